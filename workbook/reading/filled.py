"""What people have filled in, in words, for a file that must not be replaced: how much would go with it."""

from pathlib import Path

from template_builder.build import fixed_rows
from template_builder.files.opening import Cells, open_cells
from template_builder.files.told import Told
from template_builder.layout.columns import ROW_KEY
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import UNREAD_TABS
from template_builder.layout.words import so_many
from workbook.reading.season_file import read_cells
from workbook.season.cells import Record
from workbook.season.season import Season

_DEFAULTS = {
    sheet.id: {row[ROW_KEY.id]: row for row in fixed_rows(sheet, ())} for sheet in SHEETS if sheet.fixed_rows
}


def held(path: Path) -> str:
    """What is filled in in a workbook of this program; "" for every other file, one that cannot be read too."""
    try:
        cells = open_cells(path, unread=UNREAD_TABS)
        if is_summary(cells.tabs):
            return "what was written into the summary"
        return _in_words(filled_cells(read_cells(cells).season, cells))
    except Told:
        return ""


def filled_cells(season: Season, cells: Cells) -> int:
    """How many cells of a season are filled in beyond those the build writes to tell the rows apart, own sheets too."""
    ours = sum(_filled(record) for sheet in season.records for record in season.rows(sheet))
    return ours + sum(cell.value is not None for tab in season.own_sheets for _, line in cells.tabs[tab] for cell in line)


def _filled(record: Record) -> int:
    if record.sheet_id == TO_CORRECT.id:
        return int(record.filled("answer"))
    default = _DEFAULTS.get(record.sheet_id, {}).get(record.key, {})
    filled = (column for column in record.values if column not in record.issued and column != ROW_KEY.id)
    return sum(record.values[column] != default.get(column) for column in filled)


def _in_words(number: int) -> str:
    return so_many(number, "filled cell")
