"""The Records tabs: the source rows, so that every figure leads to its rows inside the same file."""

from collections.abc import Sequence
from itertools import accumulate

from template_builder.files.look import BODY, HEADING, SECTION, STRONG, SUBTITLE, TITLE, WHOLE, WRAPPED
from template_builder.files.room import height_needed
from template_builder.files.tab import of_number, padded, write
from template_builder.files.writer import Book, Page
from template_builder.layout.columns import Kind, Value
from template_builder.layout.summary_tabs import RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER
from template_builder.layout.words import shown
from workbook.output.summary.flags import CLASS, CLASS_TITLE, Flag, Flags, class_value, name
from workbook.output.summary.places import Block, Places
from workbook.season.cells import Record

ROW_TITLE, ROW_OF_FILE = "Row", "Row in your file"  # the longer one where the sheet has a column "Row" itself
WIDEST, MARGIN, NARROWEST = 40.0, 2.5, 6.0
ROOM = WIDEST - MARGIN
HEADING_POINTS = 50.0
SUM_STYLE = WHOLE.with_(bold=True)
TITLE_ENDS = 3
NOT_PRINTED = "for the screen; print these rows from your own file"
PRINTED_WIDE = 110.0  # characters that the title takes, and that a laptop shows of the note
NOTE = SUBTITLE.with_(wrap=True, valign="top")
COUNTING = ("Columns on the right say how often the row counts in each line of the litter account and in the headline figures, "
            "which are live sums over them.")
NOTES = {
    RECORDS_EWES: f"The rows of Ewes. Row is the row in your own file. {COUNTING} Here are the lambs seen at scanning, and "
                  "scanned lambs that match no lamb born.",
    RECORDS_LAMBING: f"The rows of Lambing. Row is the row in your own file. {COUNTING} Here are lambs without a row of "
                     "their own, known by number only.",
    RECORDS_LAMBS: f"The rows of Lambs that somebody has written in. Row is the row in your own file. {COUNTING}",
    RECORDS_OTHER: "The rows of the other sheets, one block for each sheet. Row is the row in your own file.",
}


def write_records(book: Book, places: Places, flags: Flags, footer: str) -> None:
    """Write the Records tabs; of a flock known by counts alone, those that hold a row."""
    for tab, note in NOTES.items():
        if flags.by_counts_alone and not any(block.rows for block in places.blocks if block.tab == tab):
            continue
        page = book.page(tab)
        page.print_setup(footer=footer, one_page_wide=True)
        page.title_row(1, f"{tab}: {NOT_PRINTED}", TITLE)
        widths: list[float] = [NARROWEST]
        for block in places.blocks:
            if block.tab == tab:
                widths = _wider(widths, _write_block(page, block, flags, alone=tab != RECORDS_OTHER))
        for column, width in enumerate(widths, start=1):
            page.width(column, width)
        first = next(block for block in places.blocks if block.tab == tab)
        top = first.top
        page.freeze(top + 1 if tab != RECORDS_OTHER else TITLE_ENDS, 2 if tab != RECORDS_OTHER else 1)
        in_sight = 1 + sum(width < PRINTED_WIDE for width in accumulate(widths))
        page.across(2, 1, in_sight, note, NOTE)
        page.height(2, height_needed([(note, sum(widths[:in_sight]), NOTE)]))
        page.print_area((1, 1), (1, in_sight))


def _write_block(page: Page, block: Block, flags: Flags, *, alone: bool) -> list[float]:
    """Write one block and give the widths its columns need."""
    flagged = flags.columns.get(block.sheet.id, ())
    if not alone:
        page.title_row(block.top - 1, block.sheet.title, SECTION)
    if not block.rows:
        page.text(block.top, 1, "Nothing recorded.", SUBTITLE)
        return [NARROWEST]
    own = [block.sheet.column(id).title for id in block.columns]
    titles = [ROW_OF_FILE if ROW_TITLE in own else ROW_TITLE, *own]
    if flagged:
        titles += [CLASS_TITLE, *(flag.title for flag in flagged)]
    page.headings(block.top, titles, HEADING, HEADING_POINTS)
    longest = [len(str(block.rows[-1].row)), *(0 for _ in block.columns)]
    kinds = [block.sheet.column(id).kind for id in block.columns]
    for number, record in enumerate(block.rows, start=block.top + 1):
        _write_record(page, number, record, block.columns, kinds, longest)
    if flagged:
        _write_flags(page, block, flagged, flags)
    page.table(f"{block.sheet.id}_rows", (block.top, 1), (block.bottom, len(titles)), titles, HEADING)
    held = [max(float(length) + MARGIN, _heading_width(title)) for length, title in zip(longest, titles, strict=False)]
    return [*held, *(_heading_width(title) for title in titles[len(held):])]


def _write_record(
    page: Page, number: int, record: Record, columns: Sequence[str], kinds: Sequence[Kind], longest: list[int],
) -> None:
    page.number(number, 1, record.row, WHOLE)
    tallest = 0
    for place, (id, kind) in enumerate(zip(columns, kinds, strict=True), start=1):
        value: Value = record.held(id)
        if value is None:
            page.blank(number, place + 1)
            continue
        length = len(shown(value))
        style = WHOLE if kind is Kind.WHOLE and isinstance(value, int) else WRAPPED if length > ROOM else BODY
        write(page, number, place + 1, value, padded(of_number(style) if isinstance(value, int | float) else style))
        longest[place] = max(longest[place], length)
        tallest = max(tallest, length)
    if tallest > ROOM:
        page.height(number, height_needed([("x" * tallest, WIDEST, WRAPPED)]))


def _write_flags(page: Page, block: Block, flagged: Sequence[Flag], flags: Flags) -> None:
    """Beside each row its class and how often it counts, each column named, its sum above its heading."""
    rows = list(enumerate(((row.tab, row.row) for row in block.rows), start=block.top + 1))
    first = len(block.columns) + 2
    for number, row in rows:
        page.value(number, first, class_value(flags.class_at.get(row, "")), WHOLE)
    page.book.define(name(block.sheet.id, CLASS), block.tab, (block.top + 1, first), (block.bottom, first))
    page.text(block.top - 1, 1, "Sum", STRONG)
    for column, flag in enumerate(flagged, start=first + 1):
        for number, row in rows:
            page.number(number, column, flag.rows.get(row, 0), WHOLE)
        called = name(block.sheet.id, flag.id)
        page.book.define(called, block.tab, (block.top + 1, column), (block.bottom, column))
        page.formula(block.top - 1, column, f"=SUM({called})", sum(flag.rows.values()), SUM_STYLE)


def _heading_width(title: str) -> float:
    """Wide enough for the longest word of a heading and its filter button."""
    return max(len(word) for word in title.split()) * 1.1 + MARGIN


def _wider(one: Sequence[float], other: Sequence[float]) -> list[float]:
    longest = max(len(one), len(other))
    pairs = zip([*one, *[0.0] * longest], [*other, *[0.0] * longest], strict=False)
    return [min(max(pair), WIDEST) for pair in list(pairs)[:longest]]
