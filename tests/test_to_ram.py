"""Ewes to the ram: which ewes and lambs the number stands for."""

import pytest
from seasons import season

from template_builder.layout.columns import Row
from workbook.results.litters.to_ram import to_ram

EWES: list[Row] = [{"ewe": "A", "group": "Low", "scanned": 1}, {"ewe": "B", "group": "Hill", "scanned": 1}, {"ewe": "C"}]


@pytest.mark.parametrize(("low", "hill", "number", "counted"), [
    (None, None, None, ["A", "B", "C"]), (40, 60, 100, ["A", "B", "C"]), (40, None, 40, ["A"]), (None, 60, 60, ["B"]),
])
def test_a_ewe_is_left_out_only_where_her_group_is(
    low: int | None, hill: int | None, number: int | None, counted: list[str],
) -> None:
    of = season(ewes=EWES, groups=[{"group": "Low", "ewes_to_ram": low}, {"group": "Hill", "ewes_to_ram": hill}])
    went = to_ram(of)
    assert (number, counted) == (went.number, [ewe.name for ewe in of.flock.ewes.values() if went.holds(ewe)])


def test_a_flock_without_a_number_leaves_no_ewe_out() -> None:
    of = season(ewes=EWES)
    assert all(to_ram(of).holds(ewe) for ewe in of.flock.ewes.values()) and to_ram(of).holds(None)
