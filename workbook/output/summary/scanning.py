"""Scanning: lambs scanned against lambs born, and how far the scan can be trusted."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TypeVar

from template_builder.files.bars import bar_chart, bar_words
from template_builder.files.look import PRINT_CHARACTERS, ROW_HEIGHT, STRONG, TALLY, TOTAL, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import SCANNING
from workbook.output.summary.charts import beside_forecast
from workbook.output.summary.figure_cells import denominator, numerator, value
from workbook.output.summary.pack import Part, write_part
from workbook.output.summary.phrases import interval_words
from workbook.results.litters.figures import NOTHING
from workbook.results.litters.scanning import scan_table
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW

FIRST, NARROW, LEAST_COLUMNS, LEAST_LAST = 27.0, 8.0, 5, 20.0
MEASURE_HEADS = (
    Head("Figure"), Head("Value"), Head("Ewes"), Head("Of"), Head("95 % interval", WRAPPED.with_(align="center")),
    Head("What it is", WRAPPED.with_(size=9)),
)
EXACT = TOTAL.with_(align="right", number_format=TALLY.number_format)
NOTE = ("Ewes by lambs scanned (down) and lambs born, alive or dead (across); a mummified lamb that was scanned counts as found. "
        "The shaded diagonal is where scan and birth agree. Left out are ewes that aborted, have gone, or have still to lamb.")
Number = TypeVar("Number", int, float)
WEEK = 7  # days
CHART_WIDTH, CHART_HEIGHT, CHART_ROWS = 470, 290, 14  # pixels, and the rows it covers
MEASURES = "scan_"  # how the ids of figures of the scan begin
EMPTIES = ("Most ewes scanned empty are sold. One that went cannot show the scan wrong, so how well empties are found rests on "
           "the few that were kept and flatters the scan.")


def write_scanning(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    table = {} if result.stage == NOTHING else scan_table(result.season)
    scans, births = sorted({pair[0] for pair in table}), sorted({pair[1] for pair in table})
    columns = max(len(births) + 1, LEAST_COLUMNS)
    last = max(LEAST_LAST, PRINT_CHARACTERS - FIRST - NARROW * columns)
    tab = Tab(book, SCANNING, [FIRST, *[NARROW] * columns, last], footer, read=True)
    tab.title(SCANNING, NOTE)
    tab.page.freeze(tab.row)
    if table:
        _write_table(tab, table, scans, births)
        _write_measures(tab, result)
    else:
        tab.prose("No ewe that was scanned has lambed so far, so there is nothing to compare.")
    _write_weeks(book, tab, result)
    tab.paper_ends()


def _write_table(tab: Tab, table: Mapping[tuple[int, int], int], scans: Sequence[int], births: Sequence[int]) -> None:
    """Lambs scanned against lambs born, in ewes."""
    heads = [Head("Lambs scanned", STRONG), *(Head(f"Born {born}", TALLY) for born in births), Head("Ewes", EXACT)]
    rows: list[Sequence[Shown]] = [_row(scan, births, table) for scan in scans]
    totals = [sum(table.get((scan, born), 0) for scan in scans) for born in births]
    rows.append([Cell("Ewes", TOTAL), *(Cell(number, EXACT) for number in totals), sum(totals)])
    tab.table(heads, rows)


def _row(scan: int, births: Sequence[int], table: Mapping[tuple[int, int], int]) -> list[Shown]:
    numbers = [table.get((scan, born), 0) for born in births]
    cells = [Cell(number, EXACT if born == scan else TALLY) for born, number in zip(births, numbers, strict=True)]
    return [f"scanned {scan}", *cells, sum(numbers)]


def _write_measures(tab: Tab, result: Result) -> None:
    """The figures of the scan, each with what it means."""
    last = len(tab.widths)
    spans = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 6), (7, last))
    rows: list[list[Shown]] = [
        [figure.label, value(figure), numerator(figure), denominator(figure), interval_words(figure), figure.definition]
        for figure in result.figures if figure.id.startswith(MEASURES)]
    write_part(tab, "How well it agrees", Part(EMPTIES, MEASURE_HEADS, spans, rows, long=True))


def lambed_by_week(result: Result) -> list[tuple[date, int | None, float | None]]:
    """Ewes lambed and ewes expected in each week, by its first day; None where nothing can be known yet."""
    days, _ = beside_forecast(result)
    weeks = [days[at:at + WEEK] for at in range(0, len(days), WEEK)]
    return [(week[0][0], _sum(lambed for _, lambed, _ in week), _sum(expected for _, _, expected in week)) for week in weeks]


def _sum(numbers: Iterable[Number | None]) -> Number | None:
    known = [number for number in numbers if number is not None]
    return sum(known[1:], known[0]) if known else None


def _write_weeks(book: Book, tab: Tab, result: Result) -> None:
    """Week by week, with a picture beside the table."""
    weeks, (_, outside) = lambed_by_week(result), beside_forecast(result)
    if not any(lambed for _, lambed, _ in weeks):
        return
    forecast = any(expected is not None for *_, expected in weeks)
    notes = ["Expected: the forecast as it stood at scanning."] * forecast
    notes += [f"{outside} with a lambing date far from all others left out."] * bool(outside)
    notes += [f"Still ahead: {' '.join(result.to_come.words)}"] if result.to_come and result.to_come.days else []
    with tab.kept_together():
        tab.section("Ewes lambed each week", " ".join(notes))
        heads = [Head("Week from"), Head("Ewes lambed", TALLY), *[Head("Ewes expected", TALLY)] * forecast]
        top = tab.table(heads, [[f"{day.day} {day:%b}", lambed, *[round(expected or 0, 1)] * forecast]
                                for day, lambed, expected in weeks])
        total = sum(lambed or 0 for _, lambed, _ in weeks)
        if total >= FEW:
            title = f"Ewes lambed each week ({total} in all)"
            chart = bar_chart(book, title, tab.page, (top + 1, top + len(weeks)), 1, series=1 + forecast)
            tab.page.place(top, 5, chart, width=CHART_WIDTH, height=CHART_HEIGHT,
                           words=bar_words(title, [(f"{day.day} {day:%b}", lambed or 0) for day, lambed, _ in weeks]))
            while tab.row < top + CHART_ROWS:
                tab.free(ROW_HEIGHT)
