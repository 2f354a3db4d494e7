"""Lambs to be set on to another ewe: which are spare and why, up to what age, and how many a ewe can take."""

from datetime import datetime, timedelta

import pytest
from live_cells import in_rows

from template_builder.layout.alerts import NOT_SUCKING
from template_builder.layout.choices import Born, CameFrom, EweLeft, LambLeft, RearedBy, Sucked
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.formulas import LATER
from template_builder.live_values import live_values

NIGHT = datetime(2026, 3, 25, 3)
THREE_DAYS = timedelta(days=3)
A_MINUTE = timedelta(minutes=1)


def on_set_on(lambs: list[Row], born: datetime = NIGHT - timedelta(hours=5), **ewe: object) -> tuple[list[object], list[object]]:
    """Why each spare lamb is, and the room of each ewe listed, where the ewe 1 is in milk on both sides and bore these lambs."""
    rows = lay_ready([{"ewe": "1", "scanned": 2, **ewe}])  # type: ignore[dict-item]  # cells of a ewe
    rows["lambing"] = [{**rows["lambing"][0], "lambed_on": born.date(), "finished": born.time(), "sides_in_milk": 2}]
    rows["lambs"] = [{"ewe": "1", "lamb_no": number, **lamb} for number, lamb in enumerate(lambs, start=1)]
    live = in_rows(live_values(rows, NIGHT))
    return [row["why"] for row in live["spare"] if row["why"]], [row["room"] for row in live["room"] if row["ewe"]]


ALIVE: Row = {"born": Born.ALIVE}


@pytest.mark.parametrize(("lambs", "spare", "room"), [
    ([ALIVE], [], [1]), ([ALIVE, ALIVE], [], []), ([ALIVE] * 3, ["one of a big litter"] * 3, []), ([], [], [2]),
    ([{**ALIVE, "reared_by": RearedBy.PET}, ALIVE], ["on the bottle"], [1]),
    ([{**ALIVE, "reared_by": RearedBy.NO_EWE}, ALIVE], ["on no ewe"], [1]),
    ([{**ALIVE, "left_how": LambLeft.DIED}, ALIVE], [], [1]),
    ([{"born": Born.DEAD_FRESH}, {"born": Born.DEAD_DECAYED}, ALIVE], [], [1]),
    ([{"born": Born.MUMMIFIED}, ALIVE], [], []),  # she may have aborted
    ([{**ALIVE, "came_from": CameFrom.BOUGHT_IN}, ALIVE], [], []),
])
def test_which_lambs_are_spare_and_what_room_their_ewe_has(lambs: list[Row], spare: list[str], room: list[int]) -> None:
    assert (spare, room) == on_set_on(lambs)


def test_lambs_of_a_ewe_that_is_gone_are_spare() -> None:
    assert (["its ewe is gone"], []) == on_set_on([ALIVE], left_how=EweLeft.DIED)


@pytest.mark.parametrize(("ago", "listed"), [(THREE_DAYS - A_MINUTE, 1), (THREE_DAYS, 1), (THREE_DAYS + A_MINUTE, 0)])
def test_ewe_and_lamb_are_offered_for_three_days(ago: timedelta, listed: int) -> None:
    spare, room = on_set_on([{**ALIVE, "reared_by": RearedBy.PET}], NIGHT - ago)
    assert (listed, listed) == (len(spare), len(room))


@pytest.mark.parametrize(("ago", "tonight"), [(-A_MINUTE, True), (timedelta(), True), (A_MINUTE, False)])
def test_a_lamb_that_did_not_suck_is_left_for_the_end_of_the_season_after_two_days(ago: timedelta, tonight: bool) -> None:
    born = NIGHT - timedelta(hours=48) - ago
    rows = lay_ready([{"ewe": "1", "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], "lambed_on": born.date(), "finished": born.time()}]
    rows["lambs"] = [{"ewe": "1", "lamb_no": 1, **ALIVE, "sucked": Sucked.NO}]
    raised = in_rows(live_values(rows, NIGHT))["ewes"][0][raised_id(NOT_SUCKING)]
    assert tonight is (0 < int(raised) < LATER)
