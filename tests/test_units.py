"""Copies of which one reads bare weights in pounds and the other in kilograms."""

from datetime import date

from seasons import season

from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import Row
from workbook.merging.seasons import merge

LAMBED: Row = {"ewe": "0412", "lambed_on": date(2026, 4, 1), "notes": "slow"}
IN_POUNDS: list[Row] = [{"row_key": "weights_in", "value": WeightUnit.LB}]


def test_the_file_both_were_made_from_still_tells_who_changed_a_cell() -> None:
    base = season(file="base.xlsx", lambing=[LAMBED])
    day = season(file="day.xlsx", lambing=[{**LAMBED, "notes": "slow, then well"}])
    night = season(file="night.xlsx", lambing=[LAMBED], season=IN_POUNDS)
    found = merge([day, night], base)
    assert ((), ["slow, then well"]) == (found.conflicts, [row["notes"] for row in found.rows["lambing"]])
