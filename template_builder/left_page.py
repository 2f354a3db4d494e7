"""The tab "Left", written where ewes of earlier seasons did not come back."""

from collections.abc import Sequence

from template_builder.files.look import WRAPPED
from template_builder.files.tab import Cell, Head, Tab
from template_builder.files.writer import Book
from template_builder.layout.columns import Row
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.words import shown


def write_left(book: Book, rows: Sequence[Row], footer: str) -> None:
    """Write the tab, in the order of the rows; nothing where there are none."""
    if not rows:
        return
    tab = Tab(book, LEFT.title, [column.characters for column in LEFT.own_columns], footer)
    tab.title(LEFT.title, LEFT.purpose)
    cells = [[Cell(shown(row.get(column.id)) or None, WRAPPED) for column in LEFT.own_columns] for row in rows]
    tab.heads_stay(tab.table([Head(column.title, WRAPPED) for column in LEFT.own_columns], cells, name="table_left"))
