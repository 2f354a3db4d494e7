"""Where a cell of the person's file stands in the summary workbook, so that each figure leads to its rows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from template_builder.files.tab import Link
from template_builder.layout.addresses import letters
from template_builder.layout.columns import OWN, Sheet
from template_builder.layout.sheets import SHEETS
from template_builder.layout.summary_tabs import RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER
from workbook.season.cells import CellRef, Record
from workbook.season.season import Season

OWN_TAB: Mapping[str, str] = {"ewes": RECORDS_EWES, "lambing": RECORDS_LAMBING, "lambs": RECORDS_LAMBS}
ELSEWHERE = ("season", "policy")  # shown on Method and Policy
TITLE_ROWS = 3  # the title of a records tab, its note, and the sums; headings follow
BLOCK_ROWS = 2  # a free row and the title above each further block


@dataclass(frozen=True)
class Block:
    """The rows of one entry sheet as they stand on a records tab, headings in `top`."""

    sheet: Sheet
    tab: str
    top: int
    columns: tuple[str, ...]
    rows: tuple[Record, ...]

    @property
    def bottom(self) -> int:
        """The last row it takes; a block without rows takes one to say so."""
        return self.top + max(1, len(self.rows))


@dataclass(frozen=True)
class Places:
    """All blocks, and for each cell of the source its cell here."""

    blocks: tuple[Block, ...]
    rows: Mapping[tuple[str, int], tuple[Block, int]]

    def link(self, place: CellRef) -> Link | None:
        """The cell that repeats this one; None where the source row is not repeated in this workbook."""
        found = self.rows.get((place.sheet, place.row))
        if found is None:
            return None
        block, row = found
        source = next(iter(block.rows)).places
        name = next((id for id, column in source.items() if column == place.column), "")
        column = block.columns.index(name) + 2 if name in block.columns else 1
        return Link(block.tab, f"{letters(column)}{row}")

    def first(self, places: Iterable[CellRef]) -> Link | None:
        """The first of these that is repeated in this workbook."""
        return next((link for link in map(self.link, places) if link), None)


def places_of(season: Season) -> Places:
    """Lay out the records tabs of a season."""
    blocks: list[Block] = []
    bottom = TITLE_ROWS - BLOCK_ROWS
    for sheet in SHEETS:
        if sheet.id in ELSEWHERE:
            continue
        rows = tuple(row for row in season.rows(sheet.id) if _worth_showing(row))
        tab = OWN_TAB.get(sheet.id, RECORDS_OTHER)
        top = TITLE_ROWS + 1 if sheet.id in OWN_TAB else bottom + BLOCK_ROWS + 1
        block = Block(sheet, tab, top, _held(sheet, rows), rows)
        blocks.append(block)
        bottom = bottom if sheet.id in OWN_TAB else block.bottom
    rows_by_place = {
        (row.tab, row.row): (block, number)
        for block in blocks
        for number, row in enumerate(block.rows, start=block.top + 1)
    }
    return Places(tuple(blocks), rows_by_place)


def _worth_showing(row: Record) -> bool:
    """A row laid ready on Lambs that nobody has written in is no lamb; a row of own columns alone says nothing."""
    return row.touched if row.sheet_id == "lambs" else not all(column.startswith(OWN) for column in row.values)


def _held(sheet: Sheet, rows: Sequence[Record]) -> tuple[str, ...]:
    """The columns in which any of these rows holds something."""
    held = {column for row in rows for column in row.values}
    return tuple(column.id for column in sheet.own_columns if column.id in held)
