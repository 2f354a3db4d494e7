"""Rows of Ewe check and Treatments: each word of trouble raises its own alert, a treatment its withdrawal."""

from datetime import datetime, timedelta

import pytest
from live_cells import in_rows

from template_builder.layout.choices import Feet, Reason, Teats, TreatedFor, Trouble, Udder
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live_values import live_values

NIGHT = datetime(2026, 3, 25, 3)
TODAY = NIGHT.date()


def seen(**rows: list[Row]) -> list[str]:
    """What Tonight says of the ewe 1 of two."""
    laid = lay_ready([{"ewe": "1", "scanned": 1}, {"ewe": "2", "scanned": 1}])
    listed = in_rows(live_values({**laid, **rows}, NIGHT))["tonight"]
    return [str(row["seen"]) for row in listed if row["ewe"] == "1"]


@pytest.mark.parametrize(("trouble", "said"), [
    (Trouble.MASTITIS, ["mastitis"]), (Trouble.SLEEPY, ["sleepy or down"]), (Trouble.PROLAPSE, ["prolapse"]),
    (Trouble.ABORTED, ["aborted"]), (Trouble.THIN, ["very thin"]),
])
def test_each_trouble_seen_raises_its_own_alert(trouble: Trouble, said: list[str]) -> None:
    assert said == seen(ewe_check=[{"ewe": "1", "date": TODAY, "trouble": trouble}])


@pytest.mark.parametrize(("cells", "said"), [
    ({"feet": Feet.BADLY_LAME}, ["badly lame"]), ({"condition": 1.4}, ["very thin"]), ({"condition": 1.5}, []),
    ({"udder": Udder.SOUND}, []), ({"teats": Teats.SOUND}, []),
])
def test_what_a_look_found_raises_its_own_alert(cells: Row, said: list[str]) -> None:
    assert said == seen(ewe_check=[{"ewe": "1", "date": TODAY, **cells}])


@pytest.mark.parametrize(("days", "said"), [(-1, []), (0, ["withdrawal running"]), (1, ["withdrawal running"])])
def test_a_withdrawal_runs_to_the_end_of_its_last_day(days: int, said: list[str]) -> None:
    given: Row = {"date": TODAY - timedelta(days=10), "given_to": TreatedFor.EWE, "animal": "1", "withdrawal": 10 + days}
    assert said == seen(treatments=[given])


@pytest.mark.parametrize(("reason", "said"), [(Reason.LAMENESS, False), (Reason.MASTITIS, True)])
def test_a_lame_ewe_is_answered_by_a_treatment_of_her_feet(reason: Reason, said: bool) -> None:
    check: Row = {"ewe": "1", "date": TODAY, "feet": Feet.BADLY_LAME}
    given: Row = {"date": TODAY, "given_to": TreatedFor.EWE, "animal": "1", "reason": reason, "withdrawal": 0}
    assert said is ("badly lame" in seen(ewe_check=[check], treatments=[given])[0])
