"""The sheet "Conflicts" of the merged workbook."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta

from template_builder.files.look import FILL_IN, HINT, WRAPPED, beside
from template_builder.files.stored import EPOCH
from template_builder.files.tab import Cell, Head, Link, Shown, Tab
from template_builder.files.writer import Book, Page
from template_builder.layout.columns import Column, Value
from template_builder.layout.sheets.conflicts import CONFLICTS, value_columns
from template_builder.layout.widths import width_for
from template_builder.layout.words import quoted, shown
from workbook.merging.seasons import Conflict
from workbook.output.marking.marks import NOTE_START, OWN_TEST
from workbook.output.marking.stored import place_of

DAY = timedelta(days=1)
LONG_TEXT = 26  # characters of the widest column of values
NUMBER = WRAPPED.with_(align="right")
LONGEST_QUOTED_TEXT = 100  # characters of a text in a formula; each quotation mark in it counts twice


def write_conflicts(book: Book, conflicts: Sequence[Conflict], footer: str) -> None:
    """Write the sheet: one row for each conflict, as many values side by side as any of them has."""
    columns = (*CONFLICTS.own_columns, *value_columns(max(len(conflict.claims) for conflict in conflicts)))
    rows = [list(_row(conflict, columns)) for conflict in conflicts]
    tab = Tab(book, CONFLICTS.title, [_width(column, [row[at] for row in rows]) for at, column in enumerate(columns)], footer,
              spaced=True)
    tab.title(CONFLICTS.title, CONFLICTS.purpose)
    tab.heads_stay(tab.table([_head(column) for column in columns], rows, name="table_conflicts"), one_page_wide=True)
    tab.page.open_here()
    pages = {page.title: page for page in book.pages}
    for conflict in conflicts:
        _mark(pages[conflict.sheet.title], conflict)


def _width(column: Column, values: Sequence[Shown]) -> float:
    """As declared; wider for long texts, such as two notes of one ewe, so that rows do not grow high."""
    longest = max((len(value) for value in values if isinstance(value, str)), default=0)
    return width_for(min(longest, LONG_TEXT), column.characters)


def _head(column: Column) -> Head:
    return Head(column.title, FILL_IN if column.id == "settled" else WRAPPED)


def _mark(page: Page, conflict: Conflict) -> None:
    """Frame the cell as long as it holds what it holds now, and say in a note what the copies say."""
    row, column = place_of(conflict.cell)
    page.mark(row, column, f"=AND({OWN_TEST}=0,{_holds(conflict.cell, conflict.stands)})", HINT)
    claims = " or ".join(f"“{quoted(shown(claim.value))}” ({claim.source})" for claim in conflict.claims)
    page.note(row, column, f"{NOTE_START} the copies say {claims}. Write the right one; the sheet {CONFLICTS.title} lists all.")


def _holds(cell: str, value: Value) -> str:
    """A test of what a cell holds."""
    match value:
        case None:
            return f"LEN(TRIM({cell}))=0"
        case bool() | int() | float():
            return f"{cell}={value:.15g}"
        case datetime():
            return f"ROUND({cell}*1440,0)=ROUND({(value - EPOCH) / DAY * 1440:.0f},0)"
        case date():
            return f"INT({cell})={(value - EPOCH.date()).days}"
        case time():
            return f"ROUND({cell}*1440,0)={value.hour * 60 + value.minute}"
        case _:
            words = shown(value)[:LONGEST_QUOTED_TEXT].replace('"', '""')
            return f'LEFT({cell},{len(shown(value)[:LONGEST_QUOTED_TEXT])})="{words}"'


def _row(conflict: Conflict, columns: Sequence[Column]) -> Iterator[Shown]:
    yield conflict.sheet.title
    yield Cell(conflict.cell, link=Link(conflict.sheet.title, conflict.cell))
    yield conflict.row_name
    yield conflict.heading
    yield _shown(conflict.stands, 0)
    yield Cell(None, FILL_IN)
    for number, claim in enumerate(conflict.claims, start=1):
        yield _shown(claim.value, number)
        yield claim.source
    yield from [None] * (len(columns) - len(CONFLICTS.own_columns) - 2 * len(conflict.claims))


def _shown(value: Value, number: int) -> Shown:
    """A value in the column of values of this number."""
    return Cell(value, beside(NUMBER, number)) if isinstance(value, int | float) else value
