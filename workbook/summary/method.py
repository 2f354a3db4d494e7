"""Method: what every figure means, the settings used, and what to be careful of."""

from template_builder.cautions import CAUTIONS
from template_builder.columns import Value
from template_builder.excel import Book
from template_builder.look import BODY, STRONG, WRAPPED
from template_builder.settings import SETTINGS
from template_builder.tab import Cell, Head, Tab
from workbook.litters.lines import LINES
from workbook.pipeline import Result
from workbook.season import Settings
from workbook.summary.figure_cells import denominator, label, numerator, value
from workbook.summary.names import METHOD
from workbook.summary.words import moment_words, stage_words

WIDTHS = (30.0, 15.0, 9.0, 10.0, 24.0, 23.0)
SMALL = WRAPPED.with_(size=9)
LABEL = STRONG.with_(wrap=True, valign="top")
LEFT = BODY.with_(align="left", wrap=True, valign="top")
FIGURE_SPANS = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 6))
DEFINITION_SPANS = ((1, 1), (2, 6))
PRINCIPLES: tuple[str, ...] = (
    "Alive means it breathed, however briefly. Mummified and aborted lambs are not born; dead fresh and dead decayed are born "
    "dead. A ewe counts once however often her row is repeated.",
    "Shares carry a 95 % interval (Wilson 1927): with few animals it is wide. Shares of fewer than ten animals read \"few\". "
    "Intervals take lambs as unrelated; lambs of one litter are alike, so the truth is a little less sure than they say.",
    "What was not recorded is shown as not recorded, never as none. Blank is not 0.",
    "The recommendations come from the rules on Policy, which the farm sets. They are put to the meeting, not in its place: the "
    "farmer and adviser decide, the vet on anything of health.",
)


def write_method(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, METHOD, WIDTHS, footer)
    tab.title(METHOD, f"{moment_words(result.season)}. {stage_words(result)}")
    tab.section("Cautions")
    for caution in CAUTIONS:
        tab.prose(caution)
    tab.section("How it is counted")
    for principle in PRINCIPLES:
        tab.prose(principle)
    tab.keep_together(1)
    tab.section("Figures")
    tab.spread(("Figure", "Value", "Counted", "Of", "What it is"), FIGURE_SPANS, None)
    for figure in result.figures:
        row = (Cell(label(figure), LABEL), value(figure), numerator(figure), denominator(figure), figure.definition)
        tab.spread(row, FIGURE_SPANS, WRAPPED)
    tab.keep_together(1)
    tab.section("Lines of the litter account")
    tab.spread(("Line", "What it counts"), DEFINITION_SPANS, None)
    for line in LINES:
        tab.spread((Cell(line.title, LABEL), line.definition), DEFINITION_SPANS, WRAPPED)
    _write_settings(tab, result.season.settings)


def _write_settings(tab: Tab, settings: Settings) -> None:
    tab.keep_together(1)
    tab.section("Settings used", "Change them on the Season sheet of the season workbook.")
    heads = (
        Head("Setting"), Head("Value", LEFT), Head("Unit"), Head("Default or own"), Head("Why", SMALL), Head("Source", SMALL),
    )
    rows = [
        (one.title, _plain(settings.value(one.id)), one.unit, "own" if settings.own(one.id) else "default", one.why, one.source)
        for one in SETTINGS
    ]
    tab.table(heads, rows)


def _plain(value: object) -> Value:
    """A setting as a cell takes it; where nothing is set it says so."""
    return "not set" if value is None else value  # type: ignore[return-value]  # settings hold cell values only
