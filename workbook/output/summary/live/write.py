"""Write the live cells that nobody looks at to a hidden tab, and the names under which formulas find all of them."""

from collections.abc import Collection, Mapping, Sequence

from template_builder.files.look import PLAIN, SMALL, Style
from template_builder.files.writer import Book, Page
from template_builder.layout.summary_tabs import HIDDEN_LIVE
from template_builder.live.columns import LIVE, LiveSheet, names_in
from template_builder.live.evaluator.meaning import CellValue
from workbook.output.summary.live.ewes import VERDICTS
from workbook.output.summary.live.flock import AGES, NEXT
from workbook.output.summary.live.named import ADDED, LINES, NUMBERS
from workbook.output.summary.live.rules import DECIDES
from workbook.output.summary.live.values import VERDICT_WORDS, LiveDecisions
from workbook.output.summary.live.which import line

TOP = 2  # the first row of every block; above it stand the names of its columns
WORDS, CELL_IDS, CELL_VALUES = 1, 2, 3  # columns before the blocks


def used_names(live: LiveDecisions) -> set[str]:
    """Every name that some formula looks at."""
    own = {sheet.formula(column) for sheet in live.sheets.values() for column in sheet.columns if column.formula}
    return names_in([*own, DECIDES, line("said", 1), line("ewes", 1), *(cell.formula for cell in live.cells)])


def define_block(book: Book, sheet: LiveSheet, tab: str, top: int, used: Collection[str]) -> None:
    """The names of those columns of a block that formulas look at."""
    for id, number in sheet.places.items():
        if sheet.name(id) in used:
            book.define(sheet.name(id), tab, (top, number), (top + sheet.rows - 1, number))


def write_formulas(
    page: Page, live: LiveDecisions, sheet: LiveSheet, top: int, styles: Mapping[str, Style] | None = None,
) -> None:
    """The formulas of a block downwards from this row, each cell with its value."""
    for column in sheet.columns:
        if column.formula:
            style = (styles or {}).get(column.id, PLAIN)
            formula = sheet.formula(column).format(row=top)
            page.formulas(top, sheet.places[column.id], formula, live.column(sheet.id, column.id), style)


def write_values(page: Page, sheet: LiveSheet, values: Mapping[str, Sequence[CellValue]], top: int) -> None:
    """Columns of values of a block; blank cells stay blank."""
    for id, cells in values.items():
        for row, cell in enumerate(cells, start=top):
            if cell == "":
                continue
            if isinstance(cell, str):
                page.text(row, sheet.places[id], cell, PLAIN)
            elif cell is not None:
                page.number(row, sheet.places[id], cell, PLAIN)


def write_hidden(book: Book, live: LiveDecisions) -> None:
    """The hidden tab: the words of the verdicts, cells alone, the rules in force and the lists of ewes."""
    page = book.page(HIDDEN_LIVE)
    page.raw.hide()
    shown = (AGES, NEXT, LINES, ADDED, *NUMBERS.values())  # as they are, on Flock plan and Meeting
    seen = [live.sheets[id] for id in shown if id in live.sheets]
    used = used_names(live) | {sheet.name(id) for sheet in seen for id in sheet.places}
    for row, word in enumerate(VERDICT_WORDS, start=TOP):
        page.text(row, WORDS, word, PLAIN)
    book.define(f"{LIVE}{VERDICTS}", page.title, (TOP, WORDS), (TOP + len(VERDICT_WORDS) - 1, WORDS))
    for row, cell in enumerate(live.cells, start=TOP):
        page.text(row, CELL_IDS, cell.id, SMALL)
        page.formula(row, CELL_VALUES, f"={cell.formula}", live.cell(cell), PLAIN)
        book.define(cell.name, page.title, (row, CELL_VALUES))
    for sheet in live.sheets.values():
        if not sheet.numbered:  # stands on a page of its own
            continue
        _headings(page, sheet)
        for number in range(sheet.rows):
            page.number(TOP + number, sheet.first_column, number + 1, PLAIN)
        write_values(page, sheet, live.values(sheet.id), TOP)
        write_formulas(page, live, sheet, TOP)
        define_block(book, sheet, page.title, TOP, used)


def _headings(page: Page, sheet: LiveSheet) -> None:
    for id, number in sheet.places.items():
        page.text(TOP - 1, number, id, SMALL)


