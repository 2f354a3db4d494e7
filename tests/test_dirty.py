"""How much is reckoned anew after a cell is typed: counted from what the formulas look at, not timed.

A spreadsheet reckons every formula that looks at a cell, through however many others, whether its value changes or not; and all
that looks at the clock after every cell typed anywhere. So these counts are what typing costs, at any speed of the machine.
"""

from collections.abc import Iterable, Mapping

import pytest

from template_builder.live.blocks import BLOCKS
from template_builder.live.evaluator.compiling import NOW
from template_builder.live_values import language

# Formulas for each row of a sheet, and how many of them hang on the clock: at most so many. Lower one where you can.
MOST = {"ewes": 186, "lambs": 46, "lambing": 5, "ewe_check": 29, "treatments": 24}
MOST_BY_THE_CLOCK = {"ewes": 53, "lambs": 1, "lambing": 0, "ewe_check": 0, "treatments": 2}
# Formulas for each ewe that hang on a cell people type in.
MOST_BY_TYPING = {
    "lambing_lambed_on": 112, "lambs_born": 67, "lambs_tag": 76, "ewe_check_udder": 36, "ewe_check_condition": 54,
    "treatments_animal": 19,
}


def _looks_at(name: str) -> set[str]:
    """The names a formula looks at; for an area the columns it is made of."""
    made = language().compiled(name)
    names = {*made.beside, *made.counted, *made.used}
    return names | {column for area in names for column in language().areas.get(area, ())}


LOOKS = {name: _looks_at(name) for name in language().formulas}


def _hang_on(name: str, looks: Mapping[str, set[str]] = LOOKS) -> set[str]:
    """The formulas that look at a name, through however many others."""
    found: set[str] = {name}
    while more := {one for one, others in looks.items() if one not in found and others & found}:
        found |= more
    return found - {name}


def _for_each(rows_of: str, formulas: Iterable[str]) -> int:
    """How many of these formulas stand in each row made for a row of this sheet."""
    found = {block.sheet.name(column.id) for block in BLOCKS if block.sheet.rows_of == rows_of for column in block.sheet.columns}
    return len(found & {*formulas})


@pytest.mark.parametrize("sheet", MOST)
def test_a_row_costs_no_more_formulas(sheet: str) -> None:
    assert 0 < _for_each(sheet, LOOKS) <= MOST[sheet]


@pytest.mark.parametrize("sheet", MOST)
def test_the_clock_moves_no_more_formulas(sheet: str) -> None:
    assert _for_each(sheet, _hang_on(NOW)) <= MOST_BY_THE_CLOCK[sheet]


@pytest.mark.parametrize("cell", MOST_BY_TYPING)
def test_a_cell_typed_moves_no_more_formulas_of_a_ewe(cell: str) -> None:
    assert 0 < _for_each("ewes", _hang_on(cell)) <= MOST_BY_TYPING[cell]


def test_what_hangs_on_a_cell_is_found_through_others_and_in_areas() -> None:
    assert {"b", "c"} == _hang_on("a", {"b": {"a"}, "c": {"b", "x"}, "d": {"x"}})
    assert "live_minute" in _hang_on(NOW) and "live_ewes_worst" in _hang_on("live_ewes_alert_overdue")
