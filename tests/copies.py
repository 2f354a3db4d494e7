"""Copies of a season as several people fill them in, made by handing the cells of a full season out."""

from collections.abc import Callable, Mapping, Sequence

from template_builder.layout.columns import Row
from template_builder.layout.whole import SHEET

Rows = dict[str, list[Row]]


def handed_out(full: Mapping[str, Sequence[Row]], copies: int, who: Callable[[str, Row, str], int]) -> list[Rows]:
    """So many copies that hold the full season between them: `who` gives the copy in which a cell is written.

    Issued rows are in all copies with their issued cells; a row added by hand is in the copy of its first cell alone.
    """
    found: list[Rows] = [{sheet: [] for sheet in full} for _ in range(copies)]
    for sheet, rows in full.items():
        for row in rows:
            if "row_key" not in row:
                found[who(sheet, row, next(iter(row)))][sheet].append(dict(row))
                continue
            issued = {"row_key", *(column.id for column in SHEET[sheet].issued)}
            for number, copy in enumerate(found):
                part = {column: value for column, value in row.items() if column in issued or who(sheet, row, column) == number}
                copy[sheet].append(part)
    return found


def plain(rows: Mapping[str, Sequence[Row]]) -> dict[str, list[Row]]:
    """The rows without blank cells and without rows that hold nothing but their hidden key."""
    filled = {
        sheet: [{column: value for column, value in row.items() if value is not None} for row in found]
        for sheet, found in rows.items()
    }
    return {sheet: [row for row in found if row.keys() - {"row_key"}] for sheet, found in filled.items()}


def unordered(rows: Mapping[str, Sequence[Row]]) -> dict[str, list[str]]:
    """The rows of each sheet in no particular order, to compare."""
    return {sheet: sorted(repr(sorted(row.items())) for row in found) for sheet, found in plain(rows).items()}
