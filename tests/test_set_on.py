"""Set on: ewes with milk and room, lambs that could go to them, what is said of each."""

from datetime import datetime, time

import pytest
from live_cells import in_rows
from troubled import NIGHT, by_name, day, many_troubles

from template_builder.layout.choices import (
    Born,
    RearedBy,
)
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import lay_ready
from template_builder.live.lamb_block import SPARE_WHY
from template_builder.live_values import live_values, serial

pytestmark = pytest.mark.usefixtures("few_spare_rows")


def test_set_on_leaves_out_ewes_that_are_ill_or_have_no_room() -> None:
    live = in_rows(live_values({**many_troubles()}, NIGHT))
    room = by_name(live["room"], "ewe")
    assert {"0412"} == set(room)
    assert (1, 1, "7") == (room["0412"]["at_side"], room["0412"]["room"], room["0412"]["pen"])


def test_spare_lambs_say_why_and_how_old() -> None:
    lambs = by_name(in_rows(live_values(many_troubles(), NIGHT))["spare"], "lamb")
    why = {name: row["why"] for name, row in lambs.items()}
    bottle, no_ewe, gone, big = SPARE_WHY
    assert {"A*-1": big, "A*-2": big, "A*-3": big, "bought": no_ewe, "nobody-1": no_ewe, "held-1": bottle} == why
    assert (serial(day(24)), "") == (lambs["A*-1"]["born"], lambs["bought"]["born"])
    young = by_name(in_rows(live_values(many_troubles(), datetime(2026, 3, 22, 8)))["spare"], "lamb")
    assert (gone, bottle) == (young["gone-1"]["why"], young["gone-2"]["why"])


@pytest.mark.parametrize(("finished", "hours"), [(None, ""), (time(0, 0), ""), (time(0, 1), 26 + 59 / 60), (time(2, 0), 25)])
def test_hours_are_not_counted_from_an_hour_nobody_wrote(finished: time | None, hours: object) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 1}, {"ewe": "0413", "scanned": 1}])
    rows["lambing"] = [{**row, "lambed_on": day(24), "finished": finished, "sides_in_milk": 2} for row in rows["lambing"]]
    pet: Row = {"born": Born.ALIVE, "reared_by": RearedBy.PET}
    rows["lambs"] = [{**rows["lambs"][0], "born": Born.ALIVE}, {**rows["lambs"][1], **pet}]
    live = in_rows(live_values(rows, NIGHT))
    lamb, ewe = live["spare"][0], by_name(live["room"], "ewe")["0412"]
    moment = serial(datetime.combine(day(24), finished or time()))
    assert [pytest.approx(hours)] * 2 == [lamb["hours"], ewe["hours"]]
    assert [pytest.approx(moment)] * 2 == [lamb["born"], ewe["lambed"]]
    look = next(row["next_look"] for row in live["status"] if row["ewe"] == "0412")
    assert pytest.approx(moment + 1) == look


@pytest.mark.parametrize(("written", "shown"), [(4.2, 4.2), ("9lb 4oz", "9lb 4oz"), ("?", ""), (None, "")])
def test_a_birth_weight_is_shown_as_written_and_only_in_a_big_litter_asked_about(written: Value, shown: Value) -> None:
    def seen(weight: Value) -> dict[object, object]:
        rows = many_troubles()
        born = [{**row, "birth_weight": weight} if "born" in row else row for row in rows["lambs"]]
        live = in_rows(live_values({**rows, "lambs": born}, NIGHT))
        assert {shown if weight == written else "", ""} == {row["kg"] for row in live["spare"]}
        return {row["ewe"]: row["seen"] for row in live["tonight"]}

    unlike = {ewe for ewe, words in seen(written).items() if words != seen(None).get(ewe)}
    assert ({"small", "A*"} if isinstance(written, str) and written != "?" else set()) == unlike
