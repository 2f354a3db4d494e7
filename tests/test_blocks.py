"""Where blocks of formulas stand: none over another, what is read side by side, each name over the cells it stands for."""

from collections.abc import Mapping
from itertools import combinations

import pytest

from template_builder.build import Plan, build, last_row
from template_builder.files.opening import open_cells
from template_builder.layout.sheets import SHEETS
from template_builder.live.blocks import BLOCKS, SHOWN, Block, alert_words, ranges, rows_in
from template_builder.live.columns import K

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


# In a workbook


@pytest.fixture(scope="module")
def cells(tmp_path_factory: pytest.TempPathFactory, few_spare_rows: None) -> Mapping[tuple[str, int, int], object]:
    """What stands in an empty season workbook, by tab, row and column."""
    path = tmp_path_factory.mktemp("blocks") / "season.xlsx"
    build(path, Plan("Blocks", {}))
    tabs = open_cells(path).tabs
    return {(tab, row, cell.column): cell.value for tab, lines in tabs.items() for row, line in lines for cell in line}


def test_a_name_reaches_from_the_first_row_of_its_block_to_the_last(
    cells: Mapping[tuple[str, int, int], object], few_spare_rows: None,
) -> None:
    """The number of the row stands in every row of a block and in none above or below."""
    names = dict(ranges({sheet.id: last_row(sheet, 0) for sheet in SHEETS}))
    for block in BLOCKS:
        number = block.sheet.places[K]
        for id, column in block.sheet.places.items():
            if (name := block.sheet.name(id)) in names:
                tab, (first, left), (last, right) = names[name]
                assert (block.tab, column, column) == (tab, left, right)
                assert [1, last - first + 1, False] == [
                    cells[tab, first, number], cells[tab, last, number], (tab, last + 1, number) in cells]


def test_the_words_of_each_alert_stand_under_their_names(cells: Mapping[tuple[str, int, int], object]) -> None:
    names = dict(ranges({sheet.id: last_row(sheet, 0) for sheet in SHEETS}))
    for name, words in alert_words().items():
        tab, (first, left), (last, right) = names[name]
        assert (left, words) == (right, [cells[tab, row, left] for row in range(first, last + 1)])
