"""Summary: the figures in short, what to do next, and the pictures. The workbook opens here."""

from collections.abc import Sequence
from dataclasses import replace

from template_builder.files.look import PLAIN, PROSE, STRONG, WARNING, WRAPPED
from template_builder.files.tab import Head, Link, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import EWE_DECISIONS, LOSSES, PROBLEM_EWES, QUERIES, SUMMARY
from workbook.output.summary.alarms import write_alarms
from workbook.output.summary.figure_cells import denominator, numerator, value
from workbook.output.summary.flags import Flags
from workbook.output.summary.gaps import difference_words, references, write_gaps
from workbook.output.summary.losses import worst_words
from workbook.output.summary.phrases import (
    interval_words,
    label,
    missing_words,
    moment_words,
    problem_words,
    stage_words,
    verdict_counts,
)
from workbook.output.summary.pictures import write_pictures
from workbook.output.summary.places import Places
from workbook.results.litters.figures import Figure
from workbook.results.pipeline import Result

WIDTHS = (24.0, 8.5, 7.5, 6.5, 10.0, 6.5, 6.5, 9.5, 32.0)
TINY = WRAPPED.with_(size=8)
TARGET = WRAPPED.with_(align="right", size=10)
HEADS = (
    Head("Figure", STRONG.with_(wrap=True, valign="top", size=10)), Head("Value"), Head("Counted"), Head("Of"),
    Head("95 % interval", WRAPPED.with_(align="center", size=10)), Head("Own target", TARGET), Head("Last season", TARGET),
    Head("Difference", TINY), Head("What it is", TINY),
)
COUNTED, OF = "C", "D"  # columns of what is counted and of what it is counted against
HEADLINES = (
    "scanning_pct_ram", "scanning_pct_scanned", "litter_scanned", "empty_pct", "litter_born", "ewes_lambed_pct", "lambing_pct",
    "aborted_pct", "stillbirth_pct", "loss_live_born_pct", "total_loss_pct", "reared_pct", "pet_pct", "ewe_deaths_pct",
    "assisted_pct", "kg_weaned_per_ewe",
)
HEADLINE_NOTE = ("Counted links to its rows. Difference is from the own target, else from last season. \"From x of y\": the rest "
                 "is not recorded; \"with the rest\" is what it could be if all those went one way or the other. See Method.")
FOOTNOTE = " * "
SOON = 2  # urgency up to which a ewe needs a look today
ALL_WELL = "Nothing that the figures rest on was found missing."
CAUTION = ("Made from the records alone: nobody has seen your sheep. The farmer and adviser decide; the vet decides on health "
           "and medicines. Cautions are on Method.")
TOP = "A1"


def write_front(book: Book, result: Result, places: Places, flags: Flags, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, SUMMARY, WIDTHS, footer)
    tab.title(" ".join(part for part in (result.season.title, SUMMARY) if part), f"{moment_words(result.season)}, from "
              f"{result.season.file}")
    tab.prose(stage_words(result), WARNING.with_(wrap=True))
    write_alarms(tab, result)
    missing = missing_words(result)
    tab.prose(f"Missing or incomplete: {'; '.join(missing)}." if missing else ALL_WELL)
    tab.prose(problem_words(result), PROSE, Link(QUERIES, TOP) if result.problems else None)
    tab.prose(CAUTION)
    _write_next(tab, result)
    write_gaps(tab, result)
    known = {figure.id: figure for figure in result.figures}
    _write_headlines(tab, [known[id] for id in HEADLINES if id in known], result, places, flags)
    write_pictures(book, tab, result)


def _write_headlines(tab: Tab, figures: Sequence[Figure], result: Result, places: Places, flags: Flags) -> None:
    """The headline figures, on two pages where definitions are too long for one."""
    rows = [_row(figure, result, places, flags) for figure in figures]
    note = " ".join([HEADLINE_NOTE, *sorted({f"{FOOTNOTE}{figure.without}" for figure in figures if figure.without})])
    half = len(rows) // 2
    for part in ([rows] if tab.fits_a_page(note, HEADS, rows) else [rows[:half], rows[half:]]):
        with tab.kept_together():
            tab.section("Headline figures", note)
            tab.table(HEADS, part, empty="No figures yet.")


def _row(figure: Figure, result: Result, places: Places, flags: Flags) -> Sequence[Shown]:
    counted, of, formulas = numerator(figure), denominator(figure), flags.figure(figure)
    target, last = references(figure, result.season.settings)
    return [
        label(figure) + FOOTNOTE * bool(figure.without), value(figure, COUNTED, OF),
        replace(counted, link=places.first(figure.rows), formula=formulas[0]), replace(of, formula=formulas[1]),
        interval_words(figure), _per_cent(target), _per_cent(last), difference_words(figure, target, last, result.gaps),
        figure.definition.removesuffix(figure.without).strip(),
    ]


def _per_cent(reference: float | None) -> str | None:
    return None if reference is None else f"{reference:g} %"


def _write_next(tab: Tab, result: Result) -> None:
    """What to do next: ewes to look at, decisions to take, and where most was lost."""
    tab.section("What to do next")
    urgent = sum(problem.urgency <= SOON for problem in result.problem_ewes)
    if urgent:
        tab.prose(f"{urgent} {'alert asks' if urgent == 1 else 'alerts ask'} for a look now or today: see {PROBLEM_EWES}.", PLAIN,
                  Link(PROBLEM_EWES, TOP))
    counts = ", ".join(f"{number} {verdict.label}" for verdict, number in verdict_counts(result).items() if number)
    if counts:
        tab.prose(f"Ewes to decide on at the meeting, as recommended: {counts}. See {EWE_DECISIONS}.", PROSE,
                  Link(EWE_DECISIONS, TOP))
    found = worst_words(result.losses)
    for words in found:
        tab.prose(f"{words} See {LOSSES}.", PROSE, Link(LOSSES, TOP))
    if not (urgent or counts or found):
        tab.prose("Nothing yet.")
