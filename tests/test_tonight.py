"""Tonight's list: who stands on it, for how long, and where it stands on the page."""

from datetime import datetime

import pytest
from live_cells import in_rows
from troubled import NIGHT, day

from template_builder.layout.choices import (
    Born,
    NextDay,
    WeightUnit,
    YesNo,
)
from template_builder.layout.laying import lay_ready
from template_builder.live.tonight import TONIGHT
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
