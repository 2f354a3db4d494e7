"""Litter account: what became of every scanned and every born lamb, for the flock, against counts, and per ewe."""

from collections.abc import Sequence

from template_builder.files.look import PRINT_CHARACTERS, TALLY, TOTAL, WHOLE, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.addresses import letters
from template_builder.layout.summary_tabs import LITTER_ACCOUNT
from workbook.output.summary.flags import Flags, line_name
from workbook.output.summary.group_table import write_groups
from workbook.output.summary.places import Places
from workbook.results.litters.lines import ALL, BOUGHT_IN, COUNT, LINE, LINES, NOT_SCANNED, Line
from workbook.results.pipeline import Result

PER_EWE = (
    "scanned", "born_alive", "born_dead", "died", "sold", "missing", "own_ewe", "foster_ewe", "pet",
)
TITLE_WIDTH, NARROW, LEAST_DEFINITION = 23.0, 7.3, 18.0
APART = WHOLE.with_(number_format="+0;-0;0")
COUNTED = WHOLE.with_(bold=True)
PART_INDENT = 2  # every text stands one step from the edge
AFTER_BIRTH = [line.id for line in LINES].index("died")  # a page each
FIRST_CLASS = 3  # the column of the first class
CLASS_TITLES = {ALL: "All", NOT_SCANNED: "not scanned", BOUGHT_IN: "bought in"}
COUNT_NOTE = ("What the book expects at a count, and what was counted. What strays do not explain is carried as \"short\", "
              "in the column \"count\".")
EWE_NOTE = "One row for each ewe, for the screen; it is not printed. Filter a column to find the ewes behind a number above."


def write_litter_account(book: Book, result: Result, places: Places, flags: Flags, footer: str) -> None:
    """Write the tab."""
    account = result.account
    number = max(len(account.classes), len(PER_EWE))
    narrow = min(NARROW, (PRINT_CHARACTERS - TITLE_WIDTH - LEAST_DEFINITION) / number)
    definition = PRINT_CHARACTERS - TITLE_WIDTH - narrow * number
    tab = Tab(book, LITTER_ACCOUNT, [TITLE_WIDTH, definition, *[narrow] * number], footer, read=True)
    tab.title(LITTER_ACCOUNT, "The flock is known by counts alone: here are its groups." if result.by_counts_alone else
              "Every lamb scanned or born, in exactly one line; the indented lines add up to the one above. "
              "Columns: lambs the ewe was scanned with.")
    tab.page.freeze(tab.row, 2)
    if result.by_counts_alone:
        write_groups(tab, result, places)
        return
    _write_lines(book, tab, result, flags)
    _write_counts(tab, result, places)
    write_groups(tab, result, places)
    tab.paper_ends()
    _write_ewes(tab, result)


def _write_lines(book: Book, tab: Tab, result: Result, flags: Flags) -> None:
    """The account itself in two tables, each line over all classes under a name of its own."""
    classes = [ALL, *(name for name in result.account.classes if name != ALL)]
    heads = [Head("Line"), Head("What it counts"), *(Head(_class_title(name), TALLY) for name in classes)]
    for title, lines in (("From scanning to birth", LINES[:AFTER_BIRTH]), ("From birth until now", LINES[AFTER_BIRTH:])):
        with tab.kept_together():
            tab.section(title)
            top = tab.row + 1
            tab.table(heads, [_line(line, result, classes, flags, row) for row, line in enumerate(lines, start=top)])
        for row, line in enumerate(lines, start=top):
            book.define(line_name(line.id), LITTER_ACCOUNT, (row, FIRST_CLASS))


def _write_ewes(tab: Tab, result: Result) -> None:
    tab.section("Per ewe", EWE_NOTE)
    ewe_heads = [Head("Ewe"), Head("Scanned with"), *(Head(LINE[id].title, TALLY) for id in PER_EWE)]
    rows: list[Sequence[Shown]] = [
        [ewe.name, ewe.size_class, *(ewe.lines.get(id, 0) for id in PER_EWE)] for ewe in result.account.ewes.values()
    ]
    tab.table(ewe_heads, rows, name="ewe_accounts", empty="No ewes recorded.")


def _class_title(name: str) -> str:
    return CLASS_TITLES.get(name, name)


def _line(line: Line, result: Result, classes: Sequence[str], flags: Flags, row: int) -> list[Shown]:
    """One line of the account in row `row`: main lines strong, their parts set in; numbers are live sums over the records."""
    numbers = result.account.lines.get(line.id, {})
    main = bool(line.parts) or line.title[0].isupper()
    style = TOTAL if main else WRAPPED.with_(indent=PART_INDENT, align="left")
    count = TOTAL.with_(align="right", number_format=TALLY.number_format) if main else TALLY
    adjusted = f"{letters(FIRST_CLASS + classes.index(COUNT))}{row}" if COUNT in classes else ""
    values: list[Shown] = [
        Cell(number := numbers.get(name, 0), count, formula=(
            flags.all_of_line(line.id, numbers.get(COUNT, 0), adjusted) if name == ALL else
            "" if name == COUNT else flags.line(line.id, name, number)
        )) for name in classes
    ]
    return [Cell(line.title, style), Cell(line.definition, WRAPPED.with_(size=9, bold=False, fill=style.fill)), *values]


def _write_counts(tab: Tab, result: Result, places: Places) -> None:
    """A line for each count; what it means in words goes over the columns of the classes."""
    spans = ((1, 1), (2, 2), (3, 3), (4, 4), (5, len(tab.widths)))
    with tab.kept_together():
        tab.section("Counts", COUNT_NOTE)
        if not result.account.counts:
            tab.prose("No counts recorded.")
            return
        tab.spread(("Count", "Count less book", "Book", "Count", "In words"), spans, None)
        for count in result.account.counts:
            called = Cell(f"{count.stage}, {count.group or 'whole flock'}", link=places.link(count.place))
            numbers = (Cell(count.difference, APART), Cell(count.expected, WHOLE), Cell(count.counted, COUNTED))
            tab.spread((called, *numbers, count.words), spans, WRAPPED)
