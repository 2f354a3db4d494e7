"""Scanning: lambs scanned against lambs born, and how far the scan can be trusted."""

from collections.abc import Mapping, Sequence

from template_builder.files.look import PRINT_CHARACTERS, STRONG, TOTAL, WHOLE, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import SCANNING
from workbook.output.summary.figure_cells import denominator, numerator, value
from workbook.output.summary.phrases import interval_words
from workbook.results.litters.figures import NOTHING
from workbook.results.litters.scanning import scan_table
from workbook.results.pipeline import Result

FIRST, NARROW, LEAST_COLUMNS, LEAST_LAST = 27.0, 8.0, 5, 20.0
SMALL = WRAPPED.with_(size=9)
CENTRED = WRAPPED.with_(align="center")
EXACT = TOTAL.with_(align="center", number_format="0")
NOTE = ("Ewes by lambs scanned (down) and lambs born, alive or dead (across); a mummified lamb that was scanned counts as found. "
        "The shaded diagonal is where scan and birth agree. Left out are ewes that aborted, have gone, or have still to lamb.")
MEASURES = "scan_"  # how the ids of figures of the scan begin
EMPTIES = ("Most ewes scanned empty are sold. One that went cannot show the scan wrong, so how well empties are found rests on "
           "the few that were kept and flatters the scan.")


def write_scanning(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    table = {} if result.stage == NOTHING else scan_table(result.season)
    scans, births = sorted({pair[0] for pair in table}), sorted({pair[1] for pair in table})
    columns = max(len(births) + 1, LEAST_COLUMNS)
    last = max(LEAST_LAST, PRINT_CHARACTERS - FIRST - NARROW * columns)
    tab = Tab(book, SCANNING, [FIRST, *[NARROW] * columns, last], footer)
    tab.title(SCANNING, NOTE)
    tab.page.freeze(tab.row)
    if not table:
        tab.prose("No ewe that was scanned has lambed so far, so there is nothing to compare.")
        return
    heads = [Head("Lambs scanned", STRONG), *(Head(f"Born {born}", WHOLE) for born in births), Head("Ewes", EXACT)]
    rows: list[Sequence[Shown]] = [_row(scan, births, table) for scan in scans]
    totals = [sum(table.get((scan, born), 0) for scan in scans) for born in births]
    rows.append([Cell("Ewes", TOTAL), *(Cell(number, EXACT) for number in totals), sum(totals)])
    tab.table(heads, rows)
    _write_measures(tab, result)


def _row(scan: int, births: Sequence[int], table: Mapping[tuple[int, int], int]) -> list[Shown]:
    numbers = [table.get((scan, born), 0) for born in births]
    cells = [Cell(number, EXACT if born == scan else WHOLE) for born, number in zip(births, numbers, strict=True)]
    return [f"scanned {scan}", *cells, sum(numbers)]


def _write_measures(tab: Tab, result: Result) -> None:
    """The figures of the scan, each with what it means."""
    last = len(tab.widths)
    spans = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 6), (7, last))
    tab.section("How well it agrees", EMPTIES)
    tab.spread(("Figure", "Value", "Ewes", "Of", "95 % interval", "What it is"), spans, None)
    for figure in result.figures:
        if figure.id.startswith(MEASURES):
            row: list[Shown] = [
                figure.label, value(figure), numerator(figure), denominator(figure), Cell(interval_words(figure), CENTRED),
                Cell(figure.definition, SMALL),
            ]
            tab.spread(row, spans, WRAPPED)
