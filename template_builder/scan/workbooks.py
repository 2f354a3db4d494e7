"""A scanning list saved as a workbook: looked over by the guard and read as season files are, values as a person sees them."""

from collections.abc import Iterator, Sequence
from datetime import date, time
from pathlib import Path

from template_builder.files import opening
from template_builder.files.opening import open_cells
from template_builder.layout.paper_tabs import is_paper
from template_builder.layout.summary_tabs import is_summary
from template_builder.layout.whole import META_TAB
from template_builder.scan.cells import Cell, Uncomputed, text_of
from template_builder.scan.pages import Line, Page, ScanListError, as_cell, found_text

WORKBOOK_NAMES = (".xlsx", ".xlsm")
MOST_COLUMNS = 702  # as far as column ZZ; a list is no wider
MOST_LINES = 50_000  # of one sheet; a list has a line for each ewe, and flocks of ten thousand are rare

_COPY_IT = "copy the list by itself into a new workbook"


def workbook_pages(path: Path) -> tuple[Page, ...]:
    """Every sheet of a workbook. Unreadable where the guard refuses it, ScanListError where it is no list."""
    found = open_cells(path)
    _refuse_own(path, tuple(found.tabs))
    notes = (*found.notes, *_by_another_name(path))
    return tuple(Page(tab, tuple(_lines(path, tab, lines)), notes) for tab, lines in found.tabs.items())


def _refuse_own(path: Path, titles: Sequence[str]) -> None:
    """Refuse what this program wrote itself, before its rows are read."""
    ours = (
        ("a season workbook already", META_TAB in titles), ("a summary that analyse wrote", is_summary(titles)),
        ("what was printed to be written on", is_paper(titles)),
    )
    if what := next((what for what, found in ours if found), ""):
        raise ScanListError(path, f"this is {what}; give the list as it came from scanning")


def _by_another_name(path: Path) -> tuple[str, ...]:
    return () if path.suffix.lower() in WORKBOOK_NAMES else (f"read as a workbook although its name ends in “{path.suffix}”",)


def _lines(path: Path, tab: str, lines: Sequence[opening.Line]) -> Iterator[Line]:
    if len(lines) > MOST_LINES:
        raise ScanListError(path, f"the sheet {tab} has more than {MOST_LINES:,} filled rows; {_COPY_IT}")
    for number, stored in lines:
        filled = [(cell.column, value) for cell in stored if text_of(value := _value(cell))]
        if not filled:
            continue
        if filled[-1][0] > MOST_COLUMNS:
            raise ScanListError(path, f"the sheet {tab} has cells far to the right, beyond column ZZ; {_COPY_IT}")
        cells: list[Cell] = [None] * filled[-1][0]
        for column, value in filled:
            cells[column - 1] = value
        yield Line(number, tuple(cells), found_text(cells))


def _value(cell: opening.Cell) -> Cell:
    if cell.value is None or (cell.value == "" and cell.formula):
        return Uncomputed(cell.formula) if cell.formula and cell.value is None else None
    if isinstance(cell.value, str):
        return as_cell(cell.value)
    return cell.value if isinstance(cell.value, int | float | date | time) else str(cell.value)
