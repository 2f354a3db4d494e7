"""A scanning list by ewe in any shape: what it says of each ewe, and what could not be placed."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from template_builder.scan.cells import ewe_key, text_of
from template_builder.scan.files import read_pages
from template_builder.scan.headings import (
    COLUMNS_EXAMPLE,
    HEADINGS_WITHIN,
    LABELS,
    HeadingUse,
    find_headings,
    known_targets,
    likeliest,
    missing,
    parse_columns_option,
)
from template_builder.scan.lines import ScanRow, Table, Unplaced, read_line, set_aside
from template_builder.scan.pages import Line, Page, ScanListError
from template_builder.scan.written_dates import ORDERS, parts_of

__all__ = [
    "HeadingUse",
    "ScanList",
    "ScanListError",
    "ScanRow",
    "Unplaced",
    "parse_columns_option",
    "read_scan_list",
]

LINES_NAMED = 10  # a note names so many lines and counts the rest
HEADINGS_SHOWN = 30

_DATE_COLUMNS = ("mated_on", "scanned_on", "due")


@dataclass(frozen=True)
class ScanList:
    """A scanning list as understood. Every filled line is in `rows`, in `unplaced` or named in `notes`."""

    path: Path
    rows: tuple[ScanRow, ...]
    unplaced: tuple[Unplaced, ...]
    headings: tuple[HeadingUse, ...]
    notes: tuple[str, ...]


def read_scan_list(
    path: Path, *, columns: Mapping[str, str] | None = None, dates: str = "dmy", year: int | None = None
) -> ScanList:
    """Read a scanning list by ewe from CSV or .xlsx.

    `columns` says what a heading stands for ({heading: column}) where it would not be recognised; `dates` is the
    order of written dates (dmy, mdy or ymd); `year` is the year of lambing, for dates written without one.
    ScanListError when there is no list to be read; ValueError for a column or an order that does not exist.
    """
    if dates not in ORDERS:
        raise ValueError(f"“{dates}” is not an order of dates: use one of {', '.join(ORDERS)}.")
    return scan_list_of(path, read_pages(path), known_targets(columns or {}), dates, year)


def scan_list_of(path: Path, pages: Sequence[Page], given: Mapping[str, str], dates: str, year: int | None) -> ScanList:
    """Find and read the list on the pages of a file; ScanListError when there is none."""
    table = _find_table(path, pages, given, dates, year)
    rows, unplaced, aside = _place(table)
    if not rows and not unplaced:
        raise ScanListError(path, "there are no ewes below the headings; check that the list was exported in full")
    notes = (
        *table.page.notes,
        *_page_notes(pages, table, given),
        *_title_notes(table),
        *table.headings.notes,
        *aside,
        *_row_notes(rows, table),
    )
    return ScanList(path, tuple(rows), tuple(unplaced), table.headings.uses, notes)


def _place(table: Table) -> tuple[list[ScanRow], list[Unplaced], list[str]]:
    """Sort the lines under the headings into ewes, what could not be placed, and remarks on lines set aside."""
    first_with: dict[str, ScanRow] = {}
    unplaced: list[Unplaced] = []
    notes: list[str] = []
    for line in table.below:
        if aside := set_aside(line, table):
            notes.append(f"{table.page.unit} {line.number}: {aside}")
            continue
        row, problems = read_line(line, table)
        if row and (key := ewe_key(row.ewe)) in first_with:
            problems = [_repeated(line, table, row.ewe, first_with[key])]
        elif row:
            first_with[key] = row
        unplaced += problems
    return list(first_with.values()), unplaced, notes


def _find_table(path: Path, pages: Iterable[Page], given: Mapping[str, str], order: str, year: int | None) -> Table:
    for page in pages:
        if headings := find_headings(page.lines, given):
            return Table(page, headings, order, year)
    raise ScanListError(path, _no_headings([line for page in pages for line in page.lines[:HEADINGS_WITHIN]], given))


def _no_headings(lines: list[Line], given: Mapping[str, str]) -> str:
    line = likeliest(lines, given)
    if line is None:
        return "the list is empty; export it again, or ask for it to be sent again"
    texts = [f"“{text}”" for text in map(text_of, line.cells) if text]
    shown = ", ".join(texts[:HEADINGS_SHOWN]) + (", ..." if len(texts) > HEADINGS_SHOWN else "")
    if absent := missing(line, given):
        return f"there is no heading “{absent[0]}”; the headings found are {shown}; give one of them"
    return (
        "no line near the top has a heading for the ewe and one for the lambs scanned; "
        f"the likeliest headings found are {shown}; say which is which with {COLUMNS_EXAMPLE}"
    )


def _repeated(line: Line, table: Table, ewe: str, first: ScanRow) -> Unplaced:
    unit = table.page.unit
    return Unplaced(
        line.number,
        line.text,
        f"The row is left out: ewe {ewe} already stands in {unit} {first.line}; "
        "delete the row that is wrong, or correct the number.",
    )


def _page_notes(pages: Iterable[Page], table: Table, given: Mapping[str, str]) -> list[str]:
    others = [page for page in pages if page is not table.page and page.lines]
    if not others:
        return []
    notes = [f"sheet “{table.page.name}” was read; not read: " + ", ".join(f"“{page.name}”" for page in others)]
    return notes + [
        f"sheet “{page.name}” has headings of a scanning list too; copy its rows below those of “{table.page.name}” "
        "if they belong to this flock"
        for page in others
        if find_headings(page.lines, given)
    ]


def _title_notes(table: Table) -> list[str]:
    unit = table.page.unit
    above = table.page.lines[: table.headings.at]
    return [f"{unit} {line.number}: stands above the headings, not read ({line.text})" for line in above]


def _row_notes(rows: list[ScanRow], table: Table) -> list[str]:
    """Remark on what was taken for granted, so that a person can object."""
    notes = []
    kept = {row.line for row in rows}
    lines = [line for line in table.below if line.number in kept]
    if blank := [row.line for row in rows if row.scanned is None]:
        notes.append(f"taken as not scanned, because no count stands beside the ewe: {_named(blank, table)}")
    for column in ("ewe", "official_tag"):
        if column in table.headings.places and any(isinstance(table.cell(line, column), (int, float)) for line in lines):
            notes.append(f"each {_called(column)} is stored as a number in the sheet: zeros in front may have been lost")
    notes += _date_notes(lines, table)
    notes += _zeros_notes(rows)
    headed = {place for place, cell in enumerate(table.heading_cells) if text_of(cell)}
    unheaded = [line.number for line in lines if any(text_of(c) and at not in headed for at, c in enumerate(line.cells))]
    if unheaded:
        notes.append(
            "cells without a heading above them were not read; check that no value has slipped into the next column: "
            + _named(unheaded, table)
        )
    return notes


def _called(column: str) -> str:
    return "ewe's number" if column == "ewe" else LABELS[column]


def _date_notes(lines: list[Line], table: Table) -> list[str]:
    cells = [table.cell(line, column) for line in lines for column in _DATE_COLUMNS]
    parts = [(cell, found) for cell in cells if isinstance(cell, str) and (found := parts_of(cell, table.order))]
    notes = []
    if numeric := [cell for cell, found in parts if found.order_matters]:
        notes.append(f"dates such as “{numeric[0].strip()}” were read as {ORDERS[table.order]}")
    if table.season and (bare := [cell for cell, found in parts if found.year is None]):
        notes.append(f"dates without a year, such as “{bare[0].strip()}”, were taken for the lambing of {table.season}")
    return notes


def _zeros_notes(rows: list[ScanRow]) -> list[str]:
    bare = [ewe_key(row.ewe).lstrip("0") for row in rows]
    repeated = {key for key, times in Counter(bare).items() if key and times > 1}
    alike: dict[str, list[str]] = {}
    for key, row in zip(bare, rows, strict=True):
        if key in repeated:
            alike.setdefault(key, []).append(row.ewe)
    return [
        f"ewes {' and '.join(ewes)} differ only by zeros in front; check that they are not one ewe" for ewes in alike.values()
    ]


def _named(numbers: list[int], table: Table) -> str:
    unit = table.page.unit if len(numbers) == 1 else f"{table.page.unit}s"
    more = len(numbers) - LINES_NAMED
    return f"{unit} {', '.join(map(str, numbers[:LINES_NAMED]))}" + (f" and {more} more" if more > 0 else "")
