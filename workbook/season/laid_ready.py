"""Rows laid ready and their hidden marks: whether a row still fits its own, and marks that a sort has left behind."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from template_builder.layout.columns import Sheet, Value
from template_builder.layout.laying import row_key
from workbook.season.cells import Record

LEAST_CHANGED = 3  # rows that do not fit their marks: one or two are corrections of the scan (house rule)
LEAST_SHARE = 0.05  # of the rows with a mark: fewer are corrections of the scan (house rule)


def issued_cells(sheet: Sheet, row: Record) -> dict[str, Value]:
    """What stands in the cells that the build fills in, and that say whose row it is."""
    return {column.id: row.held(column.id) for column in sheet.issued}


def as_laid(sheet: Sheet, row: Record) -> bool:
    """Whether a row fits its mark, cells that were blank then and filled in since aside."""
    return any(mark == row.key for mark in _marks(sheet, row))


def _marks(sheet: Sheet, row: Record) -> Iterator[str]:
    """The marks a row fits: that of its cells as they are, then those of cells that may have been blank when it was laid."""
    yield row_key(sheet, row.values)
    written = issued_cells(sheet, row)
    filled = [name for name, value in written.items() if value is not None]
    for number in range(1, len(filled)):
        for blanked in combinations(filled, number):
            yield row_key(sheet, {**written, **dict.fromkeys(blanked)})


def too_many(changed: int, marked: int) -> bool:
    """Whether so many rows that do not fit their marks are more than corrections of the scan."""
    return changed >= LEAST_CHANGED and changed > LEAST_SHARE * marked


def left_behind(sheet: Sheet, rows: Sequence[Record]) -> Mapping[int, str | None]:
    """Positions of rows whose mark stands elsewhere since a sort left the marks behind; each with its own, None if not known.

    Whole rows sorted without the hidden column still say whose they are: each fits the mark of another row, and no two the
    same one. A column sorted by itself makes rows that never were, or one twice: that is another slip, and nothing is found.
    """
    marks = Counter(row.key for row in rows if row.key)
    own = [_own_mark(sheet, row, marks) for row in rows]
    astray = [position for position, row in enumerate(rows) if row.key != own[position]]
    times = Counter(own)
    moved = {position for position in astray if (mark := own[position]) and times[mark] <= marks[mark]}
    lost = [position for position in astray if rows[position].key and position not in moved]
    if too_many(len(lost), marks.total()):
        return {}
    taken = {own[position] for position in moved}
    return {position: own[position] if position in moved else None
            for position in astray if position in moved or rows[position].key in taken}


def _own_mark(sheet: Sheet, row: Record, marks: Mapping[str, int]) -> str | None:
    """The mark on the sheet that a row fits, its own before any other."""
    other = None
    for mark in _marks(sheet, row):
        if mark == row.key:
            return mark
        other = other or (mark if mark in marks else None)
    return other
