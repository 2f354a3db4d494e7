"""Ewe status: where each ewe stands now."""

from datetime import datetime

import pytest
from live_cells import CLOSE, in_rows
from troubled import NIGHT, by_name, day, many_troubles

from template_builder.layout.choices import TreatedFor
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live_values import live_values

pytestmark = pytest.mark.usefixtures("few_spare_rows")


def test_the_status_of_a_ewe() -> None:
    status = by_name(in_rows(live_values(many_troubles(), NIGHT))["status"], "ewe")
    assert ("lambed", 1, -1) == tuple(status["0412"][id] for id in ("state", "lambs", "unlike"))
    assert ("overdue", 15) == (status["AB"]["state"], status["AB"]["over"])
    assert ("to lamb", 2.5) == (status["labour"]["state"], status["labour"]["labour"])
    assert ("no longer here", "aborted") == (status["gone"]["state"], status["aborted"]["state"])
    assert abs(46106 + 2 / 24 - float(status["0412"]["next_look"])) < CLOSE
    assert 46129 == status["treated"]["until"]
    assert "not known" == status["mastitis"]["until"]


@pytest.mark.parametrize(("cells", "see_to"), [
    ({"waters_seen": datetime(2026, 3, 24, 23, 0)}, "long labour"), ({"waters_seen": datetime(2026, 3, 25, 1, 30)}, "in labour"),
    ({}, ""),
])
def test_what_to_look_at_is_her_most_urgent_alert(cells: Row, see_to: str) -> None:
    """The last of all alerts, a withdrawal nobody wrote, is said of her where there is nothing else."""
    rows = lay_ready([{"ewe": "1", "scanned": 1}, {"ewe": "2", "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], **cells}, rows["lambing"][1]]
    rows["treatments"] = [{"date": day(24), "given_to": TreatedFor.EWE, "animal": "2"}]
    status = by_name(in_rows(live_values(rows, NIGHT))["status"], "ewe")
    assert [see_to, "withdrawal not known"] == [status[ewe]["see_to"] for ewe in ("1", "2")]
