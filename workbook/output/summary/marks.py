"""Marks: every ewe under what is decided about her, by number, to take to the handling pen."""

import math

from template_builder.files.look import FILL_IN, PLAIN, PRINT_PAGE, PRINT_ROW_HEIGHT, ROW_HEIGHT, STRONG, TOTAL
from template_builder.files.tab import Cell, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import EWE_DECISIONS, MARKS
from workbook.output.summary.live.pen import ALL_NUMBERS, MARK_NAME, MARKED, PEN
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.live.write import define_block, used_names, write_formulas, write_values

HEADING_WIDTH = 20.0
SMALLEST = 0.75  # of its size that the list is printed at, numbers then still as large as the text of other pages
NUMBER = PLAIN.with_(size=12, number_format="@")
NOTE = (f"For the handling pen: every ewe by number under what is decided about her, as {EWE_DECISIONS} stands now. It moves "
        "when a rule or a decision is changed. Write beside each decision the mark you use.")


def write_marks(book: Book, live: LiveDecisions, footer: str) -> None:
    """Write the tab."""
    sheet = live.sheets[PEN]
    columns = sum(column.id.startswith("ewe_") for column in sheet.columns)
    tab = Tab(book, MARKS, [HEADING_WIDTH, *[ALL_NUMBERS / columns] * columns], footer, read=True)
    tab.title(MARKS, NOTE)
    top = tab.row
    for title in MARKED:
        tab.line([Cell(f"mark for {title}", STRONG), Cell(None, FILL_IN)], [STRONG, FILL_IN])
    book.define(MARK_NAME, MARKS, (top, 2), (tab.row - 1, 2))
    first, above = tab.row + 1, sum(tab.heights) + ROW_HEIGHT
    pages = pages_high(above + sheet.rows * ROW_HEIGHT)
    for number in range(sheet.rows):
        tab.page.height(first + number, line_height(above, sheet.rows, pages))
    styles = {column.id: NUMBER if column.id.startswith("ewe_") else PLAIN for column in sheet.columns}
    write_formulas(tab.page, live, sheet, first, {**styles, "heading": STRONG.with_(border="")})
    write_values(tab.page, sheet, {"line": range(1, sheet.rows + 1)}, first)
    define_block(book, sheet, MARKS, first, used_names(live))
    last = first + sheet.rows - 1
    tab.page.condition((first, 1), (last, 1 + columns), {
        "type": "formula", "criteria": f'=$A{first}<>""', "format": book.format(TOTAL.with_(border="", wrap=False))})
    for column in range(2 + columns, len(sheet.columns) + 1):
        tab.page.width(column, HEADING_WIDTH, hidden=True)
    tab.page.print_area((1, 1), (last, 1 + columns))
    tab.page.print_setup(footer=footer, pages_high=pages)


def pages_high(points: float) -> int:
    """Pages for so many points of rows: what goes a little beyond a page is printed smaller, and never alone on the next."""
    return max(1, math.ceil(points * SMALLEST / PRINT_PAGE))


def line_height(above: float, lines: int, pages: int) -> float:
    """How high a line of numbers is: over several pages they share the room, so that no few numbers stand alone on the last."""
    return ROW_HEIGHT if pages == 1 else max(ROW_HEIGHT, min(PRINT_ROW_HEIGHT, (pages * PRINT_PAGE - above) / lines))
