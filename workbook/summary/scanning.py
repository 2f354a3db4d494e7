"""Scanning: lambs scanned against lambs born, and how far the scan can be trusted."""

from collections.abc import Mapping, Sequence

from template_builder.excel import Book
from template_builder.look import ONE_DECIMAL, STRONG, TOTAL, TWO_DECIMALS, WHOLE, WRAPPED
from workbook.agreement import Agreement
from workbook.litters.scanning import kept_empty, scan_table, screening
from workbook.pipeline import Result
from workbook.proportions import Proportion
from workbook.summary.losses import interval, share
from workbook.summary.names import SCANNING
from workbook.summary.tab import Cell, Head, Shown, Tab

FIRST, NARROW, LEAST_COLUMNS, LAST = 32.0, 9.0, 6, 25.0
NOT_DEFINED = "not defined"
EXACT = TOTAL.with_(align="center", number_format="0")
MEASURE_SPANS = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 6), (7, 7))
NOTE = ("Ewes by lambs scanned (down) and lambs born, alive or dead (across). The shaded diagonal is where scan and birth agree. "
        "Left out are ewes that aborted, have gone, or have still to lamb.")
KAPPA = ("Weighted kappa is 1 for full agreement and 0 for no better than chance; a miss counts by the lambs it is out. It is "
         "not defined where all ewes were scanned alike or all bore alike.")


def write_scanning(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    table = scan_table(result.season)
    scans, births = sorted({pair[0] for pair in table}), sorted({pair[1] for pair in table})
    columns = max(len(births) + 1, LEAST_COLUMNS - 1)
    tab = Tab(book, SCANNING, [FIRST, *[NARROW] * columns, LAST], footer)
    tab.title(SCANNING, NOTE)
    tab.page.freeze(tab.row)
    if result.scanning is None or not table:
        tab.prose("No ewe that was scanned has lambed so far, so there is nothing to compare.")
        return
    heads = [Head("Lambs scanned", STRONG), *(Head(f"Born {born}", WHOLE) for born in births), Head("Ewes", EXACT)]
    rows: list[Sequence[Shown]] = [_row(scan, births, table) for scan in scans]
    totals = [sum(table.get((scan, born), 0) for scan in scans) for born in births]
    rows.append([Cell("Ewes", TOTAL), *(Cell(number, EXACT) for number in totals), sum(totals)])
    tab.table(heads, rows)
    _write_measures(tab, result.scanning, table, len(kept_empty(result.season)))


def _row(scan: int, births: Sequence[int], table: Mapping[tuple[int, int], int]) -> list[Shown]:
    numbers = [table.get((scan, born), 0) for born in births]
    cells = [Cell(number, EXACT if born == scan else WHOLE) for born, number in zip(births, numbers, strict=True)]
    return [f"scanned {scan}", *cells, sum(numbers)]


def _write_measures(tab: Tab, found: Agreement, table: Mapping[tuple[int, int], int], empties: int) -> None:
    tab.section("How well it agrees", KAPPA)
    tab.spread(("Measure", "%", "Ewes", "Of", "95 % interval", "What it is"), MEASURE_SPANS, None)
    _measure(tab, "Scanned exactly right", found.exact, "lambs born as scanned")
    _measure(tab, "Within one lamb", found.within_one, "at most one lamb out")
    kappa = NOT_DEFINED if found.weighted_kappa is None else round(found.weighted_kappa, 2)
    tab.spread(("Weighted kappa", Cell(kappa, TWO_DECIMALS.with_(wrap=True)), "", "", "", "no unit, up to 1"), MEASURE_SPANS, WRAPPED)
    tab.section("In lamb or empty", _empties_words(empties))
    tab.spread(("Measure", "%", "Ewes", "Of", "95 % interval", "What it is"), MEASURE_SPANS, None)
    test = screening(table)
    _measure(tab, "Sensitivity", test.sensitivity, "of ewes that bore lambs, those scanned in lamb")
    _measure(tab, "Specificity", test.specificity, "of ewes that stayed empty, those scanned empty")


def _empties_words(kept: int) -> str:
    return (f"{kept} {'ewe' if kept == 1 else 'ewes'} without a lamb, scanned, kept and past the last day. Most ewes scanned empty "
            "are sold: an empty ewe that went cannot show the scan wrong, so both shares rest on those kept and flatter the scan.")


def _measure(tab: Tab, title: str, found: Proportion, words: str) -> None:
    value = share(found)
    shown = value if isinstance(value, Cell) else Cell(NOT_DEFINED if value is None else value, ONE_DECIMAL.with_(wrap=True))
    row: list[Shown] = [
        title, shown, Cell(found.numerator, WHOLE), Cell(found.denominator, WHOLE), interval(found), words,
    ]
    tab.spread(row, MEASURE_SPANS, WRAPPED)
