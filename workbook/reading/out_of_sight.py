"""What a sheet holds that nobody sees on it: values under merged cells, and rows that are hidden."""

import re

from template_builder.files.opening import Cells
from template_builder.files.stored import column_number
from template_builder.layout.words import so_many_are
from workbook.reading.anchors import Anchored
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef

_RANGE = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?")


def merged(cells: Cells, found: Anchored) -> list[Problem]:
    """A problem for each merge that touches a record; those of a title, a heading or a column of one's own are harmless."""
    told = []
    for written in cells.merged.get(found.tab, ()):
        place = area(written)
        if place is None:
            continue
        left, top, right, bottom = place
        if bottom <= found.heading_row or not any(left <= column <= right for column in found.places.values()):
            continue
        beneath = sum(
            1 for number, row in cells.tabs[found.tab] if top <= number <= bottom
            for cell in row if left <= cell.column <= right and (number, cell.column) != (top, left) and cell.value is not None
        )
        told.append(reading_problem("merged-cells", CellRef(cells.file, found.tab, top, left),
                                    f"cells {written} are merged; {_read(beneath)}", written))
    return told


def _read(beneath: int) -> str:
    if not beneath:
        return "only the first has a value, the others were read as blank"
    where = "out of sight under the first cell"
    return f"{so_many_are(beneath, 'value', f'{where} was', f'{where} were')} read too"


def area(written: str) -> tuple[int, int, int, int] | None:
    """A range or a cell as its left column, top row, right column and bottom row; None where it is none."""
    parts = _RANGE.fullmatch(written)
    try:
        if not parts:
            return None
        left, top = column_number(parts[1]), int(parts[2])
        return (left, top, column_number(parts[3]), int(parts[4])) if parts[3] else (left, top, left, top)
    except ValueError:
        return None


def hidden(cells: Cells, found: Anchored) -> list[Problem]:
    """A note with the number of hidden rows that hold something, below the headings of a sheet."""
    rows = set(cells.hidden_rows.get(found.tab, ()))
    filled = [number for number, row in cells.tabs[found.tab] if number in rows and not found.is_head(number, row)]
    if not filled:
        return []
    text = f"{so_many_are(len(filled), 'row')} hidden, by hand or by a filter; read all the same"
    return [reading_problem("hidden-rows", CellRef(cells.file, found.tab, filled[0], 0), text, str(len(filled)))]


__all__ = ["area", "hidden", "merged"]
