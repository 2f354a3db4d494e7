"""The sheet "Conflicts" of the merged workbook."""

from collections.abc import Iterator, Sequence

from template_builder.files.look import WRAPPED
from template_builder.files.tab import Cell, Head, Link, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.columns import Column
from template_builder.layout.sheets.conflicts import CONFLICTS, value_columns
from workbook.merging.seasons import Conflict


def write_conflicts(book: Book, conflicts: Sequence[Conflict], footer: str) -> None:
    """Write the sheet: one row for each conflict, as many values side by side as any of them has."""
    columns = (*CONFLICTS.own_columns, *value_columns(max(len(conflict.claims) for conflict in conflicts)))
    tab = Tab(book, CONFLICTS.title, [column.characters for column in columns], footer)
    tab.title(CONFLICTS.title, CONFLICTS.purpose)
    rows = [list(_row(conflict, columns)) for conflict in conflicts]
    tab.heads_stay(tab.table([Head(column.title, WRAPPED) for column in columns], rows, name="table_conflicts"))


def _row(conflict: Conflict, columns: Sequence[Column]) -> Iterator[Shown]:
    yield conflict.sheet.title
    yield Cell(conflict.cell, link=Link(conflict.sheet.title, conflict.cell))
    yield conflict.row_name
    yield conflict.heading
    yield conflict.stands
    for claim in conflict.claims:
        yield claim.value
        yield claim.source
    yield from [None] * (len(columns) - len(CONFLICTS.own_columns) - 2 * len(conflict.claims))
