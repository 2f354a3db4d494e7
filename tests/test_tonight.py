"""Tonight's list: who stands on it, for how long, and where it stands on the page."""

from datetime import datetime

import pytest
from live_cells import in_rows
from troubled import NIGHT, day, many_troubles

from template_builder.layout.choices import (
    Born,
    NextDay,
    WeightUnit,
    YesNo,
)
from template_builder.layout.laying import lay_ready
from template_builder.live.tonight import LISTED, TOLD_CHARACTERS, TONIGHT
from template_builder.live_values import live_values

pytestmark = pytest.mark.usefixtures("few_spare_rows")


def test_the_list_empties_itself_as_looks_are_written() -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 1}])
    lambed = {**rows["lambing"][0], "lambed_on": day(24), "all_well": YesNo.YES}
    rows["lambs"] = [{**rows["lambs"][0], "born": Born.ALIVE}]
    due = in_rows(live_values({**rows, "lambing": [lambed]}, NIGHT))
    seen = in_rows(live_values({**rows, "lambing": [{**lambed, "next_day": NextDay.ALL_FULL}]}, NIGHT))
    assert ["0412", "look due"] == [due["tonight"][0]["ewe"], due["tonight"][0]["seen"]]
    assert ("", "Nothing to look at now.") == (seen["tonight"][0]["ewe"], seen["cells"][0]["tonight_head"])


@pytest.mark.parametrize(("hours", "seen"), [(0, ""), (1, "in labour"), (3, "long labour"), (13, "lambing not recorded")])
def test_long_labour_lapses(hours: int, seen: str) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], "waters_seen": datetime(2026, 3, 24, 12)}]
    live = in_rows(live_values(rows, datetime(2026, 3, 24, 12 + hours) if hours < 12 else datetime(2026, 3, 25, hours - 12)))
    assert seen == live["tonight"][0]["seen"]


@pytest.mark.parametrize(("weight", "unit", "small"), [
    (2.9, WeightUnit.KG, True), (3.0, WeightUnit.KG, False), (6.6, WeightUnit.LB, True), (6.62, WeightUnit.LB, False),
])
def test_a_small_lamb_is_small_in_kilograms_and_in_pounds(weight: float, unit: WeightUnit, small: bool) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 3}])
    rows["lambing"] = [{**rows["lambing"][0], "lambed_on": day(24)}]
    rows["lambs"] = [{**row, "born": Born.ALIVE, "birth_weight": weight} for row in rows["lambs"]]
    live = in_rows(live_values({**rows, "season": [{"row_key": "weights_in", "value": unit}]}, NIGHT))
    assert small == ("small lambs" in str(live["tonight"][0]["seen"]))


def test_what_is_read_begins_at_the_left_of_the_page_as_the_look_up_does() -> None:
    assert [1, 2, 3] == [TONIGHT.places[column.id] for column in TONIGHT.columns if column.title]


@pytest.mark.parametrize(("name", "called"), [
    ("041200001", "041200001"), ("0412000012", "000012"), ("UK 0412 000013", "000013"),
    ("the old horned one", "the old horned one"),
    ("041200000x", "041200000x"),
])
def test_a_number_of_more_than_nine_signs_stands_there_by_its_last_six(name: str, called: str) -> None:
    rows = lay_ready([{"ewe": name, "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], "waters_seen": datetime(2026, 3, 25, 1)}]
    assert called == in_rows(live_values(rows, NIGHT))["tonight"][0]["whom"]


def test_what_is_seen_is_cut_short_so_that_all_that_is_told_fits() -> None:
    lists = in_rows(live_values(many_troubles(), NIGHT))["tonight"]
    long = [row for row in lists if str(row["told"]).startswith(str(row["seen"])[:20]) and "..." in str(row["told"])]
    assert long
    for row in long:
        whole = f"{row['seen']} since {row['since']}. {row['step']}"
        assert len(str(row["told"])) == TOLD_CHARACTERS + len(" since . ") < len(whole)


@pytest.mark.parametrize(("ewes", "head"), [
    (0, "Nothing to look at now."), (1, "1 ewe to look at."), (2, "2 ewes to look at."), (LISTED, f"{LISTED} ewes to look at."),
    (LISTED + 1, f"{LISTED + 1} ewes to look at, the first {LISTED} are listed."),
])
def test_the_head_counts_the_ewes_and_says_how_many_are_listed(ewes: int, head: str) -> None:
    rows = lay_ready([{"ewe": f"{number}", "scanned": 1} for number in range(40)])
    rows["lambing"] = [{**row, **({"waters_seen": datetime(2026, 3, 25, 1)} if number < ewes else {})}
                       for number, row in enumerate(rows["lambing"])]
    live = in_rows(live_values(rows, NIGHT))
    assert (head, min(ewes, LISTED)) == (live["cells"][0]["tonight_head"], len([row for row in live["tonight"] if row["whom"]]))


@pytest.mark.parametrize(("pen", "whom"), [(None, "0412"), ("7", "0412 pen 7")])
def test_a_ewe_in_a_pen_is_called_by_it_too(pen: str | None, whom: str) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], "waters_seen": datetime(2026, 3, 25, 1), "pen": pen}]
    assert whom == in_rows(live_values(rows, NIGHT))["tonight"][0]["whom"]
