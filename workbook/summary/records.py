"""The Records tabs: the source rows, so that every figure leads to its rows inside the same file."""

from collections import Counter
from collections.abc import Mapping, Sequence

from template_builder.columns import Kind, Value
from template_builder.excel import Book, Page
from template_builder.look import BODY, HEADING, SECTION, STRONG, SUBTITLE, TITLE, WHOLE, WRAPPED
from template_builder.tab import height_needed, write
from template_builder.words import shown
from workbook.cells import Record
from workbook.litters.lines import LINE
from workbook.pipeline import Result
from workbook.summary.names import RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER
from workbook.summary.places import Block, Places

Flags = Mapping[str, Counter[tuple[str, int]]]

# Lines of the account that a lamb is counted in, marked beside its row. On Lambing stand the lambs known only by count.
FLAGS = (
    "born", "born_alive", "born_dead", "died", "sold", "missing", "present", "own_ewe", "foster_ewe", "pet", "no_ewe",
    "set_on", "bought_in",
)
FLAGGED, COUNTED_BY_EWE = "lambs", "lambing"
ROW_TITLE, ROW_OF_FILE = "Row", "Row in your file"  # the longer one where the sheet has a column "Row" itself
WIDEST, MARGIN, NARROWEST = 40.0, 2.5, 6.0
ROOM = WIDEST - MARGIN
HEADING_POINTS = 50.0
TITLE_ENDS = 3
NOTES = {
    RECORDS_EWES: "The rows of Ewes. Row is the row in your own file.",
    RECORDS_LAMBING: "The rows of Lambing. Row is the row in your own file. The account columns count lambs without a row "
                     "of their own, known by number only.",
    RECORDS_LAMBS: "The rows of Lambs that somebody has written in. Row is the row in your own file. The account columns say "
                   "in which lines of the litter account the lamb counts.",
    RECORDS_OTHER: "The rows of the other sheets, one block a sheet. Row is the row in your own file.",
}


def write_records(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the four Records tabs."""
    flags = flags_of(result)
    for tab, note in NOTES.items():
        page = book.page(tab)
        page.print_setup(footer=footer, one_page_wide=True)
        page.title_row(1, tab, TITLE)
        page.text(2, 1, note, SUBTITLE)
        widths: list[float] = [NARROWEST]
        for block in places.blocks:
            if block.tab == tab:
                widths = _wider(widths, _write_block(page, block, flags, alone=tab != RECORDS_OTHER))
        for column, width in enumerate(widths, start=1):
            page.width(column, width)
        top = next(block.top for block in places.blocks if block.tab == tab)
        page.freeze(top + 1 if tab != RECORDS_OTHER else TITLE_ENDS, 2 if tab != RECORDS_OTHER else 1)
        if tab != RECORDS_OTHER:
            page.print_setup(repeat=(top, top), footer=footer, one_page_wide=True)


def flags_of(result: Result) -> Flags:
    """For each flagged line, how many lambs each source row counts there, by (sheet, row)."""
    rows = result.account.rows
    return {line: Counter((place.sheet, place.row) for place in rows.get(line, ())) for line in FLAGS}


def _write_block(page: Page, block: Block, flags: Flags, *, alone: bool) -> list[float]:
    """Write one block and give the widths its columns need."""
    flagged = _flagged(block, flags)
    if not alone:
        page.title_row(block.top - 1, block.sheet.title, SECTION)
    if not block.rows:
        page.text(block.top, 1, "Nothing recorded.", SUBTITLE)
        return [NARROWEST]
    own = [block.sheet.column(id).title for id in block.columns]
    titles = [ROW_OF_FILE if ROW_TITLE in own else ROW_TITLE, *own, *map(_flag_title, flagged)]
    page.headings(block.top, titles, HEADING, HEADING_POINTS)
    longest = [len(str(block.rows[-1].row)), *(0 for _ in block.columns)]
    kinds = [block.sheet.column(id).kind for id in block.columns]
    for number, record in enumerate(block.rows, start=block.top + 1):
        _write_record(page, number, record, block.columns, kinds, longest)
        source = (record.tab, record.row)
        for column, line in enumerate(flagged, start=len(block.columns) + 2):
            page.number(number, column, flags[line][source], WHOLE)
    if flagged:
        _write_sums(page, block, flagged, flags)
    page.table(f"{block.sheet.id}_rows", (block.top, 1), (block.bottom, len(titles)), titles, HEADING)
    held = [max(float(length) + MARGIN, _heading_width(title)) for length, title in zip(longest, titles, strict=False)]
    return [*held, *(_heading_width(title) for title in titles[len(held):])]


def _flagged(block: Block, flags: Flags) -> Sequence[str]:
    """The lines to mark beside a block: all on Lambs, on Lambing those in which lambs known by number only count."""
    if block.sheet.id != COUNTED_BY_EWE:
        return FLAGS if block.sheet.id == FLAGGED else ()
    kept = {(row.tab, row.row) for row in block.rows}
    return [line for line in FLAGS if not kept.isdisjoint(flags[line])]


def _write_record(
    page: Page, number: int, record: Record, columns: Sequence[str], kinds: Sequence[Kind], longest: list[int],
) -> None:
    page.number(number, 1, record.row, WHOLE)
    tallest = 0
    for place, (id, kind) in enumerate(zip(columns, kinds, strict=True), start=1):
        value: Value = record.values.get(id)
        if value is None:
            page.blank(number, place + 1)
            continue
        length = len(shown(value))
        style = WHOLE if kind is Kind.WHOLE and isinstance(value, int) else WRAPPED if length > ROOM else BODY
        write(page, number, place + 1, value, style)
        longest[place] = max(longest[place], length)
        tallest = max(tallest, length)
    if tallest > ROOM:
        page.height(number, height_needed([("x" * tallest, WIDEST, WRAPPED)]))


def _write_sums(page: Page, block: Block, flagged: Sequence[str], flags: Flags) -> None:
    """The sum of each account column above its heading."""
    page.text(block.top - 1, 1, "Sum", STRONG)
    kept = [(row.tab, row.row) for row in block.rows]
    for column, line in enumerate(flagged, start=len(block.columns) + 2):
        page.number(block.top - 1, column, sum(flags[line][place] for place in kept), WHOLE.with_(bold=True))


def _flag_title(line: str) -> str:
    return f"Account: {LINE[line].title.lower()}"


def _heading_width(title: str) -> float:
    """Wide enough for the longest word of a heading and its filter button."""
    return max(len(word) for word in title.split()) * 1.1 + MARGIN


def _wider(one: Sequence[float], other: Sequence[float]) -> list[float]:
    longest = max(len(one), len(other))
    pairs = zip([*one, *[0.0] * longest], [*other, *[0.0] * longest], strict=False)
    return [min(max(pair), WIDEST) for pair in list(pairs)[:longest]]
