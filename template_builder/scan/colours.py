"""Counts shown by the colour of a cell alone, which no program can read for sure: seen, so that they can be asked for."""

import warnings
import zipfile
from pathlib import Path

LEAST_COLOURS, MOST_COLOURS = 2, 8  # one for each count: no fewer, and seldom more (house rule)
LEAST_CELLS = 3
FIRST_LINES = 500  # enough to see it

ADD_A_COLUMN = "the counts seem to be colours: add a column with the count of each ewe"


def counts_seem_colours(path: Path) -> bool:
    """Whether a workbook that has passed the guard has a column whose cells are filled in several colours."""
    if not zipfile.is_zipfile(path):
        return False
    from openpyxl import load_workbook  # slow to import, and most lists have counts
    from openpyxl.cell.read_only import EmptyCell

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # openpyxl warns of features it passes over; none is a colour
        book = load_workbook(path, read_only=True, keep_links=False)
    columns: dict[tuple[str, int | None], list[str]] = {}
    for sheet in book.worksheets:
        for row in sheet.iter_rows(min_row=2, max_row=FIRST_LINES):
            for cell in row:
                if not isinstance(cell, EmptyCell) and cell.has_style and cell.fill.fill_type == "solid":
                    columns.setdefault((sheet.title, cell.column), []).append(str(cell.fill.fgColor.value))
    book.close()
    return any(len(fills) >= LEAST_CELLS and LEAST_COLOURS <= len(set(fills)) <= MOST_COLOURS for fills in columns.values())
