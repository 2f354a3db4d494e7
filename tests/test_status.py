"""Ewe status: where each ewe stands now."""


import pytest
from live_cells import CLOSE, in_rows
from troubled import NIGHT, by_name, many_troubles

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
