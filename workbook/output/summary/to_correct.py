"""To correct: every problem, a habit on one line, with its cell and what to do; what was not checked, what not read."""

from collections.abc import Sequence

from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import TO_CORRECT
from workbook.output.alike import Line, lines_of
from workbook.output.summary.phrases import column_words, problem_words
from workbook.output.summary.places import Places
from workbook.results.pipeline import Result
from workbook.rules.answers import what_to_do, what_to_do_with_all
from workbook.rules.rule import Problem, Severity
from workbook.season.season import Season

SMALL = WRAPPED.with_(size=9)
WIDTHS = (6.5, 9.0, 10.5, 7.0, 12.0, 29.0, 37.0)
HEADS = (
    Head("Rule"), Head("Kind"), Head("Sheet"), Head("Cell"), Head("Value found", SMALL), Head("What is wrong", SMALL),
    Head("What to do", SMALL),
)
LOOKS = {
    Severity.ERROR: STRONG.with_(wrap=True, valign="top"), Severity.WARNING: WRAPPED, Severity.NOTE: WRAPPED.with_(italic=True),
}
NOTE = ("Error: a figure resting on it is not to be trusted. Warning: likely a slip, still counted. Note: worth knowing. The "
        "cell is that of your own file and links to the row in this one. A slip made often is one row with its first cells; in a "
        "marked copy of your file all are marked, and each but an error can be answered in its own row, on To correct.")
SKIP_SPANS = ((1, 1), (2, 5), (6, 7))
OWN_SPANS = ((1, 3), (4, 7))


def write_to_correct(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, TO_CORRECT, WIDTHS, footer, read=True)
    tab.title(TO_CORRECT, problem_words(result).replace(": see To correct", ""), *([NOTE] if result.problems else []))
    if result.problems:
        tab.heads_stay(tab.table(HEADS, rows_of(result.problems, places), name="to_correct"))
    tab.section("Checks not run", "Columns they look at are not in the file." if result.skipped else "Every check was run.")
    if result.skipped:
        tab.spread(("Rule", "What it looks for", "Columns not found"), SKIP_SPANS, None)
    for skipped in result.skipped:
        tab.spread((skipped.rule.id, skipped.rule.title, ", ".join(map(column_words, skipped.missing))), SKIP_SPANS, SMALL)
    _write_own(tab, result.season)


def rows_of(problems: Sequence[Problem], places: Places) -> list[Sequence[Shown]]:
    """A row for each problem, one for each habit, errors first."""
    return [_row(line, places) for line in lines_of(problems)]


def _row(line: Line, places: Places) -> Sequence[Shown]:
    first = line.first
    place, rule = first.place, first.rule
    return [
        rule.id, Cell(rule.severity.value, LOOKS[rule.severity]), place.sheet, Cell(place.cell, link=places.link(place)),
        line.values, f"{first.found.text} ({line.more})" if line.many else first.found.text,
        what_to_do_with_all(first) if line.many else what_to_do(first),
    ]


def _write_own(tab: Tab, season: Season) -> None:
    tab.section("Kept but not read", "Columns and sheets of your own. They stay in your file; no figure uses them.")
    found = [(sheet, ", ".join(titles)) for sheet, titles in season.own_columns.items() if titles]
    found += [(sheet, "the whole sheet") for sheet in season.own_sheets]
    found += [("The file", note) for note in season.left_alone]
    if not found:
        tab.prose("None.")
        return
    tab.spread(("Sheet", "Columns"), OWN_SPANS, None)
    for row in found:
        tab.spread(row, OWN_SPANS, SMALL)
