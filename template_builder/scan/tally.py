"""A scanning list that is a tally by group: how many ewes of each group were seen with no lamb, one, two, three or more."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import NamedTuple

from template_builder.scan.cells import Cell, Refused, damaged, fold, nothing_written, text_of
from template_builder.scan.columns import CLASSES, TALLY_LABELS
from template_builder.scan.headings import HeadingUse, find_tally
from template_builder.scan.lines import DAYS, Table, Unplaced, set_aside
from template_builder.scan.pages import Line, Page, ScanListError

MOST_EWES = 20_000  # more in one group is a slip of the finger (house rule)
NUMBERS = ("ewes", *CLASSES, "ewes_to_ram")
_HEADS = re.compile(r"(\d+)(?:\.0+)?(?: ?(?:ewes?|sheep|head))?|(\d{1,3}),(\d{3})")
_A_GROUP = "a group"


@dataclass(frozen=True)
class TallyRow:
    """One group as the list has it. `classes` are ewes by lambs seen: 0, 1, 2, 3, 4 or more; None stands for a blank cell."""

    line: int
    group: str
    ewes: int | None
    classes: tuple[int | None, ...]
    ewes_to_ram: int | None = None
    ram_in: date | None = None
    ram_out: date | None = None
    ram_breed: str | None = None
    scanned_on: date | None = None
    notes: str | None = None


@dataclass(frozen=True)
class TallyList:
    """A tally by group as understood. Every filled line is in `rows`, in `unplaced` or named in `notes`."""

    path: Path
    rows: tuple[TallyRow, ...]
    unplaced: tuple[Unplaced, ...]
    headings: tuple[HeadingUse, ...]
    notes: tuple[str, ...]


def tally_list_of(
    path: Path, pages: Sequence[Page], given: Mapping[str, str], dates: str | None, year: int | None,
) -> TallyList:
    """Find and read the tally on the pages of a file; ScanListError when there is none."""
    table = _find_table(path, pages, given, dates, year)
    rows, unplaced, aside = _place(table)
    if not rows and not unplaced:
        raise ScanListError(path, "there are no groups below the headings; check that the list was exported in full")
    unplaced = [*_sheets_left(pages, table), *_questions(table), *unplaced]
    unit, above = table.page.unit, table.page.lines[: table.headings.at]
    titles = [f"{unit} {line.number}: stands above the headings, not read ({line.text})" for line in above]
    dates_read = [note for column in table.dated.values() for note in column.notes]
    notes = dict.fromkeys((*table.page.notes, *titles, *table.headings.notes, *aside, *dates_read))
    return TallyList(path, tuple(rows), tuple(unplaced), table.headings.uses, tuple(notes))


def _questions(table: Table) -> list[Unplaced]:
    return [Unplaced(table.below[0].number, "", f"In the column for the {TALLY_LABELS[name]} {column.question}.")
            for name, column in table.dated.items() if column.question]


def _sheets_left(pages: Sequence[Page], table: Table) -> list[Unplaced]:
    return [
        Unplaced(page.lines[0].number, page.lines[0].text,
                 f"Sheet “{page.name}” was not read: copy its rows below those of “{table.page.name}” if they belong to this "
                 "flock, or build from a copy without that sheet.", page.name)
        for page in pages if page is not table.page and page.lines
    ]


def _find_table(path: Path, pages: Sequence[Page], given: Mapping[str, str], order: str | None, year: int | None) -> Table:
    for page in pages:
        if headings := find_tally(page.lines, given):
            return Table(page, headings, order, year)
    raise ScanListError(
        path,
        "no line near the top has a heading for the group and headings for the tallies, such as empty, singles and twins; "
        'say which is which with --columns "Their heading=group,Other heading=twins"',
    )


def _place(table: Table) -> tuple[list[TallyRow], list[Unplaced], list[str]]:
    """Sort the lines under the headings into groups, what could not be placed, and remarks."""
    first_with: dict[str, TallyRow] = {}
    unplaced: list[Unplaced] = []
    notes: list[str] = []
    for line in table.below:
        if aside := set_aside(line, table, _A_GROUP):
            notes.append(f"{table.page.unit} {line.number}: {aside}")
            continue
        read = _read_line(line, table)
        if read.row and (before := first_with.get(fold(read.row.group))):
            words = (f"The row is left out: group {read.row.group} already stands in {table.page.unit} {before.line}; "
                     "delete the row that is wrong, or correct the name.")
            unplaced.append(Unplaced(line.number, line.text, words))
            continue
        if read.row:
            first_with[fold(read.row.group)] = read.row
        unplaced += [Unplaced(line.number, line.text, words) for words in read.problems]
        notes += [f"{table.page.unit} {line.number}: {words}" for words in read.notes]
    return list(first_with.values()), unplaced, notes


class _Read(NamedTuple):
    """A line read: its group where there is one, what is wrong with it, and what was taken for granted."""

    row: TallyRow | None
    problems: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def _read_line(line: Line, table: Table) -> _Read:
    cell = table.cell(line, "group")
    group = damaged(cell) or text_of(cell)
    if isinstance(group, Refused):
        return _Read(None, (f"The row is left out: {group.reason}.",))
    if nothing_written(cell):
        return _Read(None, ("The row is left out: there is no group's name in it; write the name, or clear the row.",))
    values: dict[str, object] = {}
    problems = []
    for column in table.headings.places:
        value = _value(table, column, line)
        if isinstance(value, Refused):
            problems.append(f"The group is kept and its {TALLY_LABELS[column]} is left blank: {value.reason}.")
        else:
            values[column] = value
    tally = _settled({name: _whole(values.get(name)) for name in ("ewes", *CLASSES)}, whole=not problems)
    if tally is None:
        return _Read(None, (*problems, "The row is left out: no tally stands beside the group; write how many ewes were scanned "
                            "with none, one, two, or clear the row."))
    rest = {name: value for name, value in values.items() if name not in ("group", "ewes", *CLASSES)}
    row = TallyRow(line.number, str(group), tally.ewes, tally.classes, **rest)  # type: ignore[arg-type]  # as _value reads each
    wrong = (f"The group is kept as written, but {tally.wrong}.",) if tally.wrong else ()
    return _Read(row, (*problems, *wrong), (f"group {group}: {tally.note}",) if tally.note else ())


def _value(table: Table, column: str, line: Line) -> object:
    """What a line holds in a column, None where nothing is written; Refused where it cannot be read."""
    cell = table.cell(line, column)
    if nothing_written(cell):
        return None
    if column in NUMBERS:
        return damaged(cell) or _heads(cell)
    if column in DAYS:
        return damaged(cell) or table.day(line, column)
    return damaged(cell) or text_of(cell)


def _heads(cell: Cell) -> int | Refused:
    """A number of ewes: 120, 1,200 or "120 ewes"."""
    text = text_of(cell)
    found = _HEADS.fullmatch(fold(text)) if not isinstance(cell, (bool, date)) else None
    number = int("".join(filter(None, found.groups()))) if found else -1
    if not 0 <= number <= MOST_EWES:
        return Refused(f"“{text}” is not a number of ewes; write a whole number from 0 to {MOST_EWES}")
    return number


def _whole(value: object) -> int | None:
    return value if isinstance(value, int) else None


class _Tally(NamedTuple):
    ewes: int | None
    classes: tuple[int | None, ...]
    wrong: str = ""
    note: str = ""


def _settled(numbers: Mapping[str, int | None], *, whole: bool) -> _Tally | None:
    """The tally of a group; blank cells count as none where the rest makes up all its ewes. None where nothing is written.

    Where a cell could not be read the tally is not `whole`, and nothing is made of it.
    """
    classes, ewes = [numbers[name] for name in CLASSES], numbers["ewes"]
    seen = sum(number or 0 for number in classes)
    if ewes is None and all(number is None for number in classes):
        return None
    if not whole:
        return _Tally(ewes, tuple(classes))
    none = tuple(number or 0 for number in classes)
    if ewes is None:
        return _Tally(seen, none, note=f"ewes scanned taken as the sum of its tally, {seen}")
    if all(number is None for number in classes):
        wrong = f"none of its {ewes} ewes is in a tally; write how many were empty, with one, with two"
        return _Tally(ewes, tuple(classes), wrong)
    if seen != ewes:
        return _Tally(ewes, tuple(classes), f"its tally comes to {seen} of {ewes} ewes scanned; correct the number that is wrong")
    return _Tally(ewes, none)
