"""The guide made from the layout: the tab Guide of every workbook, and SHEETS.md."""

from collections.abc import Iterable, Iterator

from template_builder.entry.marks import HINTS, ROW_LOOKS
from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Link, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_NIGHT, CAUTIONS, HOW_TO_WRITE, IN_ONE_ROW, UNHIDE, YEAR
from template_builder.layout.choices import MOTHERING_LEVELS, Choice
from template_builder.layout.columns import NOT_KNOWN, Column, Sheet, Start
from template_builder.layout.count_words import COUNT_WORDS
from template_builder.layout.examples import EXAMPLES, lines
from template_builder.layout.settings import SETTINGS
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.trade_words import TRADE_WORDS
from template_builder.layout.whole import FIRST_ROW, GUIDE_TAB, LAYOUT_VERSION, SHEET, TONIGHT_TAB
from template_builder.layout.words import shown
from template_builder.paper.described import ABOUT, described

_WIDTHS = (33.0, 16.0, 64.0, 30.0)
_SPANS = ((1, 1), (2, 3), (4, 4))  # when, what to do, on which sheets
_PAIR = ((1, 1), (2, 4))
_LABEL = STRONG.with_(wrap=True, valign="top")
_LINKED = (TONIGHT_TAB, *(sheet.title for sheet in SHEETS))  # tabs that every workbook has

Line = tuple[str, str, str]  # when, what to do, on which sheets

ALSO_READ = (
    "The drop-downs offer the values. Typed or pasted elsewhere, other words of the trade are read as well, with capitals, "
    "spaces, hyphens and full stops as you like; a word that may mean two values is asked about."
)


def _uses() -> dict[type[Choice], list[str]]:
    """Where each list is used: list -> "Lambs: Born"."""
    uses: dict[type[Choice], list[str]] = {}
    for sheet in SHEETS:
        for column in sheet:
            if column.choices:
                uses.setdefault(column.choices, []).append(f"{sheet.title}: {column.title}")
    for setting in SETTINGS:
        if setting.choices:
            uses.setdefault(setting.choices, []).append(f"{SHEET['season'].title}: {setting.title}")
    return uses


def codes() -> Iterator[tuple[str, str, str, str]]:
    """Every list value: where it is used, the value, what it means, and what else is read as it."""
    for choices, where in _uses().items():
        for choice in choices:
            yield "; ".join(where), choice.label, choice.meaning, _also_read(choice)


def _also_read(choice: Choice) -> str:
    asked = f"asked which: {', '.join(choice.doubtful)}" if choice.doubtful else ""
    return "; ".join(filter(None, (", ".join(choice.spellings), asked)))


def write_guide(
    book: Book, title: str, built: str, start: Start = Start.INDOORS, hidden: frozenset[str] = frozenset(),
) -> None:
    """The tab Guide: what to mind, what to do when, how to write, and what every list value means.

    `built` says from what and when the workbook was made; nothing of what to do speaks of a tab that is `hidden`, or of a sheet
    hidden in this start. What one looks up while typing stands last and is not printed: on paper the values of each list are
    one line.
    """
    tab = Tab(book, GUIDE_TAB, _WIDTHS, title, read=True)
    tab.title(f"Guide: {title}", f"{built} Layout version {LAYOUT_VERSION}.".strip())
    write_how(tab, start, hidden)
    if SHEET["lambing"].title not in hidden:
        _lambings(tab)
    _values(tab, hidden)
    tab.paper_ends()
    _to_look_up(tab)
    tab.page.print_setup(footer=title, one_page_wide=True)
    tab.page.raw.hide_gridlines(2)


def _lambings(tab: Tab) -> None:
    """Two of them as written, and how ewes mother."""
    for example in EXAMPLES:
        with tab.kept_together():
            tab.section(example.title, example.says)
            tab.table((Head("Where"), Head("Written", _LABEL), Head("What it says")), tuple(lines(example)))
    with tab.kept_together():
        tab.section("Mothering, 1 poor to 5 good", "How she behaves while her lambs are handled on the first day.")
        levels = [(pen, str(step), field) for step, pen, field in MOTHERING_LEVELS]
        tab.table((Head("In a pen"), Head("Step", _LABEL), Head("In the field")), levels)


def _values(tab: Tab, hidden: frozenset[str]) -> None:
    """The values of what is written through the season, a line for each list: Policy and Season are set on the screen."""
    unused = tuple(f"{title}:" for title in hidden)
    fixed = tuple(f"{sheet.title}:" for sheet in SHEETS if sheet.fixed_rows)
    with tab.kept_together():
        tab.section("What stands in each list", "What each value means stands below, on the screen.")
        tab.spread(("Sheet and column", "Values"), _PAIR, None)
        for choices, uses in _uses().items():
            where = [use for use in uses if not use.startswith(unused)]
            if not where or where[0].startswith(fixed):
                continue
            tab.spread(("; ".join(where), ", ".join(choice.label for choice in choices)), _PAIR, WRAPPED)


def _to_look_up(tab: Tab) -> None:
    """What each value means, and which other words are read."""
    tab.section("What each value of a list means", ALSO_READ)
    tab.table((Head("Sheet and column"), Head("Value", _LABEL), Head("Meaning"), Head("Also read")), tuple(codes()))
    tab.section("Other words of the trade", "Headings in these words are found as well, where the one used here is not there.")
    tab.table((Head("Used here", _LABEL), Head("Others say")), TRADE_WORDS)
    tab.section("Numbers of lambs in words", "On Ewes, Lambing and Ewe check a word stands for its number.")
    tab.table((Head("Lambs", _LABEL), Head("Also read")), [(str(lambs), words) for lambs, words in COUNT_WORDS.items()])


def write_how(tab: Tab, start: Start, hidden: frozenset[str] = frozenset()) -> None:
    """What to mind, what to do at night and in the year, and how to write."""
    tab.section("Take care")
    for caution in CAUTIONS:
        tab.prose(f"\u2022 {caution}")
    night = list(_used(AT_NIGHT, start, hidden))
    if any(where for _, _, where in night):
        numbered = ((f"{number}. {when}", words, where) for number, (when, words, where) in enumerate(night, start=1))
        _what_to_do(tab, "At night, in this order", numbered)
    _what_to_do(tab, "What to do when", _used(YEAR, start, hidden))
    with tab.kept_together():
        tab.section("How to write")
        tab.spread(("Write", "For"), _PAIR, None)
        for written, words in (*HOW_TO_WRITE, *([UNHIDE] if start is Start.SIMPLE else [])):
            tab.spread((Cell(written, _LABEL), words), _PAIR, WRAPPED)


def _what_to_do(tab: Tab, heading: str, lines: Iterable[Line]) -> None:
    with tab.kept_together():
        tab.section(heading)
        tab.spread(("When", "What to do", "On which sheet"), _SPANS, None)
        for when, words, where in lines:
            tab.spread((Cell(when, _LABEL), words, _linked(where)), _SPANS, WRAPPED)


def _used(lines: Iterable[Line], start: Start, hidden: frozenset[str]) -> Iterator[Line]:
    """The lines that name a tab in sight, or none at all, in the words of this start."""
    hidden |= {sheet.title for sheet in SHEETS if not sheet.shown(start)}
    for when, words, where in lines:
        seen = [name for name in where.split(", ") if name not in hidden]
        if seen:
            yield when, IN_ONE_ROW.get(when, words) if start is Start.SIMPLE else words, ", ".join(seen)


def _linked(where: str) -> Shown:
    """The name of a sheet as a link to it; several names, or none, are words alone."""
    return Cell(where, link=Link(where, f"A{FIRST_ROW}")) if where in _LINKED else where


def sheets_page() -> str:
    """SHEETS.md: every sheet and column, in words."""
    parts = [
        "# The sheets of a season workbook",
        "",
        f"Made from the layout (version {LAYOUT_VERSION}); do not edit by hand. Blank means nothing written, "
        f"`{NOT_KNOWN.value}` means not known and may stand in any cell, 0 means none. Lists stop a wrong word; limits warn and "
        "let the value stand.",
    ]
    for sheet in (*SHEETS, LEFT):
        parts += ["", *_sheet(sheet)]
    parts += ["", "# On paper", "", ABOUT, "", "| sheet | for | columns |", "|---|---|---|"]
    parts += [f"| {' | '.join(row)} |" for row in described()]
    parts += ["", "# Settings", "", "| setting | default | unit | why | source |", "|---|---|---|---|---|"]
    parts += [
        f"| {setting.title} | {shown(setting.default)} | {setting.unit} | {setting.why} | {setting.source} |"
        for setting in SETTINGS
    ]
    parts += ["", "# Lists", "", ALSO_READ, "", "| used in | value | meaning | also read |", "|---|---|---|---|"]
    parts += [f"| {' | '.join(row)} |" for row in codes()]
    parts += ["", "# Other words of the trade", "", "| used here | others say |", "|---|---|"]
    parts += [f"| {ours} | {others} |" for ours, others in TRADE_WORDS]
    parts += ["", "# Numbers of lambs in words", "", "| lambs | also read |", "|---|---|"]
    parts += [f"| {lambs} | {words} |" for lambs, words in COUNT_WORDS.items()]
    return "\n".join(parts) + "\n"


def _sheet(sheet: Sheet) -> Iterator[str]:
    yield f"# {sheet.title}"
    yield ""
    yield f"One row for {sheet.one_row_for}. {sheet.purpose}"
    yield ""
    yield "| heading | holds | what to write | also found as |"
    yield "|---|---|---|---|"
    for column in sheet.own_columns:
        yield f"| {column.title} | {_holds(column)} | {column.help} | {', '.join(column.aliases)} |"
    hints = HINTS.get(sheet.id, ())
    if hints:
        yield from ("", "Marked while typing, from what stands in the same row:", "")
        yield from (f"- {', '.join(sheet.column(id).title for id in hint.marks)}: {hint.says}" for hint in hints)
        yield from (f"- the whole row: {row.says}" for row in ROW_LOOKS.get(sheet.id, ()))


def _holds(column: Column) -> str:
    words = column.kind.words
    if column.choices:
        words = "list: " + "; ".join(choice.label for choice in column.choices)
    notes = [
        words, column.limits(), "filled in by the build" if column.issued else "", "must be filled" if column.required else "",
    ]
    return ", ".join(note for note in notes if note)
