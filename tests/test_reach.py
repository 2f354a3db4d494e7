"""How far a typed cell reaches: the formulas that hang on it, which a spreadsheet reckons anew whether or not a value changes."""

from functools import cache

import pytest

from template_builder.live.blocks import BLOCKS, Block
from template_builder.live_values import language


@cache
def hanging_on(name: str) -> frozenset[str]:
    """The formulas that look at this name themselves."""
    found = language()
    looks = {one: found.compiled(one) for one in found.formulas}
    areas = {area for area, columns in found.areas.items() if name in columns}
    return frozenset(one for one, made in looks.items()
                     if ({name} | areas) & {*made.beside, *made.counted, *made.used})


def reached(*names: str) -> set[str]:
    """All formulas that hang on these names, through others too."""
    found: set[str] = set()
    waiting = [*names]
    while waiting:
        fresh = hanging_on(waiting.pop()) - found
        found |= fresh
        waiting += fresh
    return found


def columns(block: Block, names: set[str]) -> set[str]:
    return {column.id for column in block.sheet.columns if block.sheet.name(column.id) in names}


def count(id: str, *names: str) -> int:
    """The columns of a block that are reckoned anew."""
    (block,) = (block for block in BLOCKS if block.sheet.id == id)
    return len(columns(block, reached(*names)))


# Columns of ewes and of lambs that may hang on a cell of each sort at the most: one that makes typing much slower is seen.
@pytest.mark.parametrize(("typed", "ewes", "lambs"), [
    (("lambing_lambed_on", "lambing_all"), 110, 3), (("lambing_all_well", "lambing_all"), 110, 3),
    (("lambs_born", "lambs_all"), 60, 27), (("lambs_tag", "lambs_all"), 70, 27),
    (("ewe_check_udder",), 80, 0), (("treatments_animal",), 20, 2), (("live_now",), 50, 1),
])
def test_a_typed_cell_reaches_no_further(typed: tuple[str, ...], ewes: int, lambs: int) -> None:
    reaches = count("ewes", *typed), count("lambs", *typed)
    assert 0 < reaches[0] <= ewes and reaches[1] <= lambs


def test_reading_other_cells_of_a_row_is_not_done_anew() -> None:
    (block,) = (block for block in BLOCKS if block.sheet.id == "lambs")
    read = {"name", "named", "foster_text", "foster", "kg", "born", "vigour", "sucked", "taken", "belly", "reared_by"}
    assert set() == read & columns(block, reached("lambs_tag", "lambs_all"))
    assert {"born"} == read & columns(block, reached("lambs_born", "lambs_all"))
