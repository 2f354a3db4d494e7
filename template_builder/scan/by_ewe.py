"""A scanning list by ewe in any shape: what it says of each ewe, and what could not be placed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from template_builder.layout.words import sentence
from template_builder.scan.blocks import find_blocks
from template_builder.scan.cells import is_a_count, text_of
from template_builder.scan.colours import ADD_A_COLUMN, counts_seem_colours
from template_builder.scan.date_columns import DAY_FIRST, MONTH_FIRST, orders_of
from template_builder.scan.ewe_columns import LABELS
from template_builder.scan.files import read_pages
from template_builder.scan.headings import (
    COLUMNS_EXAMPLE,
    HEADINGS_WITHIN,
    HeadingUse,
    known_targets,
    likeliest,
    likely_columns,
    missing,
    parse_columns_option,
)
from template_builder.scan.identity import judge_identity
from template_builder.scan.lines import ScanRow, Table, Unplaced, read_line, set_aside
from template_builder.scan.notes import row_notes, zeros_notes
from template_builder.scan.pages import Line, Page, ScanListError
from template_builder.scan.repeats import Flock
from template_builder.scan.written_dates import ORDERS

__all__ = [
    "HeadingUse",
    "ScanList",
    "ScanListError",
    "ScanRow",
    "Unplaced",
    "parse_columns_option",
    "read_scan_list",
]

HEADINGS_SHOWN = 30
_FIRST_PART = {DAY_FIRST: "dates day first", MONTH_FIRST: "dates month first", "ymd": "dates year first"}


@dataclass(frozen=True)
class ScanList:
    """A scanning list as understood. Every filled line is in `rows`, in `unplaced` or named in `notes`."""

    path: Path
    rows: tuple[ScanRow, ...]
    unplaced: tuple[Unplaced, ...]
    headings: tuple[HeadingUse, ...]
    notes: tuple[str, ...]
    understood: tuple[str, ...] = ()  # how the list as a whole was taken, in a few words


def read_scan_list(
    path: Path, *, columns: Mapping[str, str] | None = None, dates: str | None = None, year: int | None = None
) -> ScanList:
    """Read a scanning list by ewe from CSV or .xlsx.

    `columns` says what a heading stands for ({heading: column}) where it would not be recognised; `dates` is the
    order of written dates (dmy, mdy or ymd), None where each column is to tell; `year` is the year of lambing, for dates
    written without one. ScanListError when there is no list to be read; ValueError for a column or an order that does not exist.
    """
    check_order(dates)
    return scan_list_of(path, read_pages(path), known_targets(columns or {}), dates, year)


def check_order(dates: str | None) -> None:
    """ValueError for an order of dates that does not exist."""
    if dates is not None and dates not in ORDERS:
        raise ValueError(f"“{dates}” is not an order of dates: use one of {', '.join(ORDERS)}.")


@dataclass(frozen=True)
class _Read:
    """The tables of a file, and what is said of them as wholes."""

    tables: tuple[Table, ...]
    notes: tuple[str, ...]
    asked: tuple[Unplaced, ...]
    shapes: tuple[str, ...]


def scan_list_of(
    path: Path, pages: Sequence[Page], given: Mapping[str, str], dates: str | None, year: int | None,
) -> ScanList:
    """Find and read the list on the pages of a file; ScanListError when there is none."""
    read = _find_tables(path, pages, given, dates, year)
    flock = Flock()
    aside = [note for table in read.tables for note in _place(table, flock, sheet=_sheet_of(table, read))]
    if not flock.rows and not flock.unplaced:
        raise ScanListError(path, "there are no ewes below the headings; check that the list was exported in full")
    said = [_titles(table) for table in _first_of_each_page(read.tables)]
    rows = flock.rows
    notes = (
        *(note for table in _first_of_each_page(read.tables) for note in table.page.notes),
        *read.notes,
        *(note for notes, _ in said for note in notes),
        *(note for table in read.tables for note in table.headings.notes),
        *aside,
        *flock.notes,
        *(note for table in read.tables for note in row_notes(rows, table, _sheet_of(table, read))),
        *zeros_notes(rows),
    )
    uses = tuple(dict.fromkeys(use for table in read.tables for use in table.headings.uses))
    unplaced = (*_in_colours(path, rows), *read.asked, *(left for _, left_out in said for left in left_out), *flock.unplaced)
    return ScanList(path, rows, unplaced, uses, tuple(dict.fromkeys((*notes, *likely_columns(uses)))), _understood(read))


def _in_colours(path: Path, rows: Sequence[ScanRow]) -> list[Unplaced]:
    if any(row.scanned is not None for row in rows) or not counts_seem_colours(path):
        return []
    return [Unplaced(rows[0].line if rows else 1, "", f"No ewe has a count, and {ADD_A_COLUMN}.")]


def _sheet_of(table: Table, read: _Read) -> str | None:
    """The sheet of a table, where ewes are read from more than one."""
    return table.page.name if len({other.page.name for other in read.tables}) > 1 else None


def _first_of_each_page(tables: Iterable[Table]) -> list[Table]:
    return list({table.page.name: table for table in reversed(list(tables))}.values())[::-1]


def _place(table: Table, flock: Flock, sheet: str | None) -> list[str]:
    """Add the lines under the headings to the flock; gives remarks on lines set aside."""
    notes: list[str] = []
    unit = table.page.unit
    for line in table.below:
        if aside := set_aside(line, table):
            notes.append(f"{unit} {line.number}: {aside}")
            continue
        row, problems = read_line(line, table)
        flock.unplaced += [replace(problem, sheet=sheet) for problem in problems]
        if row:
            flock.add(replace(row, sheet=sheet) if sheet else row, line.text, unit)
    flock.unplaced += [replace(left, sheet=sheet) for left in _columns_asked(table)]
    return notes


def _columns_asked(table: Table) -> list[Unplaced]:
    """What is asked of a column as a whole, and the cells that stand under no heading."""
    first = table.below[0].number if table.below else 0
    asked = []
    for name, column in table.dated.items():
        if column.question:
            at = column.asked[0] if column.asked else orders_of([table.cell(line, name) for line in table.below]).month_first[0]
            asked.append(Unplaced(table.below[at].number, "", f"In the column for the {LABELS[name]} {column.question}."))
    headed = {place for place, cell in enumerate(table.heading_cells) if text_of(cell)}
    if headed and (loose := [line for line in table.below if any(text_of(c) and at not in headed
                                                                  for at, c in enumerate(line.cells))]):
        words = (f"Cells without a heading above them were not read, in {len(loose)} of {len(table.below)} {table.page.unit}s: "
                 "write a heading above them, or clear them; check that no value has slipped into the next column.")
        asked.append(Unplaced(loose[0].number, loose[0].text, words))
    return asked if first else []


def _find_tables(
    path: Path, pages: Sequence[Page], given: Mapping[str, str], order: str | None, year: int | None,
) -> _Read:
    tables: list[Table] = []
    notes: list[str] = []
    asked: list[Unplaced] = []
    shapes: list[str] = []
    unread = []
    for page in pages:
        found = find_blocks(page, given)
        if not found.blocks:
            unread += [page] * bool(page.lines)
            continue
        notes += found.notes
        shapes += [found.shape] * bool(found.shape)
        for block in found.blocks:
            identity = judge_identity(block)
            first = block.page.lines[block.headings.at]
            tables.append(Table(block.page, identity.headings, order, year))
            notes += identity.notes
            asked += [Unplaced(first.number, "", sentence(question)) for question in identity.questions]
    if not tables:
        words = _no_headings([line for page in pages for line in page.lines[:HEADINGS_WITHIN]], given)
        raise ScanListError(path, f"{words}; {ADD_A_COLUMN}" if counts_seem_colours(path) else words)
    names = list(dict.fromkeys(f"“{table.page.name}”" for table in tables))
    if len(names) > 1:
        notes.append(f"sheets {' and '.join(names)} were read")
        shapes.append(f"{len(names)} sheets")
    asked += [_unread(page) for page in unread]
    return _Read(tuple(tables), tuple(dict.fromkeys(notes)), tuple(asked), tuple(shapes))


def _unread(page: Page) -> Unplaced:
    first = page.lines[0]
    return Unplaced(first.number, first.text, f"Sheet “{page.name}” was not read, it has no headings of a scanning list: give "
                    "its ewe and count columns headings, or build from a copy without that sheet.", page.name)


def _understood(read: _Read) -> tuple[str, ...]:
    """How the list was taken, in a few words: its shape, where the number is from, how dates run."""
    uses = [use for table in read.tables for use in table.headings.uses]
    numbers = dict.fromkeys(f"“{use.heading}”" for use in uses if use.column == "ewe")
    kept = any("official_tag" in table.headings.places for table in read.tables)
    said = [f"number from {' and '.join(numbers)}" + (", electronic number kept" if kept else "")] if numbers else []
    ways = [note for table in read.tables for column in table.dated.values() for note in column.notes]
    orders = [words for order, words in _FIRST_PART.items() if any(note.endswith(f"read as {ORDERS[order]}") for note in ways)]
    return (*dict.fromkeys(read.shapes), *said, *orders)


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


def _titles(table: Table) -> tuple[list[str], list[Unplaced]]:
    """What stands above the headings: a title, or a ewe who would be lost there."""
    notes, left = [], []
    for line in table.page.lines[: table.headings.at]:
        number = text_of(table.cell(line, "ewe"))
        if any(map(str.isdigit, number)) and is_a_count(table.cell(line, "scanned")):
            words = "The row stands above the headings and was not read, but it looks like a ewe: move it below the headings."
            left.append(Unplaced(line.number, line.text, words))
        else:
            notes.append(f"{table.page.unit} {line.number}: stands above the headings, not read ({line.text})")
    return notes, left
