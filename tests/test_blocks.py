"""Where blocks of formulas stand: none over another, what is read beside one another, what only helps out of sight."""

from itertools import combinations

import pytest

from template_builder.build import last_row
from template_builder.layout.sheets import SHEETS
from template_builder.live.blocks import BLOCKS, SHOWN, Block, rows_in

LAST_ROWS = {sheet.id: last_row(sheet, 500) for sheet in SHEETS}


def share_a_cell(one: Block, other: Block) -> bool:
    """Whether two blocks do, the headings above them too."""
    (left, right), (left_too, right_too) = ((min(places), max(places)) for places in (
        one.sheet.places.values(), other.sheet.places.values()))
    last, last_too = (block.top + rows_in(block, LAST_ROWS) - 1 for block in (one, other))
    return (one.tab == other.tab and left <= right_too and left_too <= right
            and one.top - 1 <= last_too and other.top - 1 <= last)


def test_no_two_blocks_of_a_tab_share_a_cell() -> None:
    assert [] == [(one.sheet.id, other.sheet.id) for one, other in combinations(BLOCKS, 2) if share_a_cell(one, other)]


@pytest.mark.parametrize("block", SHOWN, ids=lambda block: block.sheet.id)
def test_what_is_read_stands_side_by_side_with_what_helps_beyond_it(block: Block) -> None:
    read = [block.sheet.places[column.id] for column in block.sheet.columns if column.title]
    helping = {*block.sheet.places.values()} - {*read}
    assert [*range(read[0], read[-1] + 1)] == read
    assert max(helping) < read[0] or read[-1] < min(helping)


def test_every_column_of_a_block_has_its_own_id() -> None:
    for block in BLOCKS:
        assert len(block.sheet.places) == len(block.sheet.columns) + 1
