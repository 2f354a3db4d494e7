"""One line of a scanning list: a ewe, a line to set aside, or one that cannot be placed and why."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from template_builder.scan.cells import (
    Cell,
    Refused,
    damaged,
    fold,
    is_count_word,
    nothing_written,
    read_born_year,
    read_condition,
    read_count,
    read_lambings,
    read_tag,
    text_of,
)
from template_builder.scan.headings import LABELS, SCAN_COLUMNS, Headings
from template_builder.scan.pages import Line, Page
from template_builder.scan.written_dates import read_date

# A date without a year in this month or later belongs to the year before the lambing: autumn matings, winter scans.
MATED_YEAR_BEFORE_FROM = 7
SCANNED_YEAR_BEFORE_FROM = 9
_TOTALS = re.compile(r"((grand |sub ?)?totals?|sum|averages?|avg|mean)[:. ]*|(totals?|average)[ :].*|sum:.*", re.DOTALL)


@dataclass(frozen=True)
class ScanRow:
    """One ewe as the scanning list has her. None stands for a blank cell, so `scanned` None is "not scanned"."""

    line: int  # line of a text file or row of a sheet, from 1, as an editor or a spreadsheet shows it
    ewe: str  # identifier as text, leading zeros kept
    scanned: int | None = None  # lambs scanned; 0 is empty
    breed: str | None = None
    born_year: int | None = None
    group: str | None = None
    ram: str | None = None
    mated_on: date | None = None
    scanned_on: date | None = None
    due: date | None = None
    official_tag: str | None = None
    condition: float | None = None
    mark: str | None = None
    lambings_before: int | None = None
    notes: str | None = None


@dataclass(frozen=True)
class Unplaced:
    """A row, or one cell of a row, that could not be used: where, the row as found, why and what to do."""

    line: int
    text: str
    reason: str


@dataclass(frozen=True)
class Table:
    """The page of the file that holds the list, its headings, and how its dates are written."""

    page: Page
    headings: Headings
    order: str
    season: int | None

    @property
    def below(self) -> tuple[Line, ...]:
        """The lines under the headings."""
        return self.page.lines[self.headings.at + 1 :]

    @property
    def heading_cells(self) -> tuple[Cell, ...]:
        """The headings as found."""
        return self.page.lines[self.headings.at].cells

    @cached_property
    def heading_texts(self) -> list[str]:
        """The headings as found, made comparable; blank ones left out."""
        return [fold(text) for text in map(text_of, self.heading_cells) if text]

    @cached_property
    def readers(self) -> dict[str, Callable[[Cell], Any]]:
        """How each column is read that the list has and a ewe can do without."""
        return _optional_readers(self)

    def cell(self, line: Line, column: str) -> Cell:
        """Give what a line holds in a column of the toolkit; None when the list has no such column."""
        place = self.headings.places.get(column)
        return line.cells[place] if place is not None and place < len(line.cells) else None


def set_aside(line: Line, table: Table, thing: str = "a ewe") -> str | None:
    """Say why a line is no ewe and needs no correcting: a total, or the headings printed again on a new page.

    `thing` is what the list has a line for.
    """
    texts = [fold(text_of(cell)) for cell in line.cells]
    if [text for text in texts if text] == table.heading_texts:
        return f"taken as the headings printed again, not {thing}"
    label = fold(text_of(table.cell(line, "ewe"))) or next(filter(None, texts), "")
    if _TOTALS.fullmatch(label):
        return f"taken as a totals row, not {thing} ({line.text})"
    return None


def read_line(line: Line, table: Table) -> tuple[ScanRow | None, list[Unplaced]]:
    """Read a line into a ewe and her cells that could not be read; no ewe when her number or count cannot be."""
    ewe = _ewe(line, table)
    scanned = _checked(table.cell(line, "scanned"), read_count)
    for refused in (ewe, scanned):
        if isinstance(refused, Refused):
            return None, [Unplaced(line.number, line.text, f"The row is left out: {refused.reason}.")]
    values: dict[str, Any] = {}
    problems: list[Unplaced] = []
    for column, read in table.readers.items():
        cell = table.cell(line, column)
        value = None if nothing_written(cell) else _checked(cell, read)
        if isinstance(value, Refused):
            reason = f"The ewe is kept and her {LABELS[column]} is left blank: {value.reason}."
            problems.append(Unplaced(line.number, line.text, reason))
        else:
            values[column] = value
    return ScanRow(line.number, str(ewe), scanned, **values), problems


def _ewe(line: Line, table: Table) -> str | Refused:
    cell = table.cell(line, "ewe")
    text = text_of(cell)
    if not text:
        return Refused("there is no ewe's number in it; write the number, or clear the row if it is not a ewe")
    if text in {"-", "?"}:
        return Refused(f"“{text}” is not a ewe's number; write the number, or clear the row if it is not a ewe")
    alone = sum(bool(text_of(other)) for other in line.cells) == 1
    if alone and len(text.split()) > 1 and not any(map(str.isdigit, text)):
        return Refused("it looks like a remark, not a ewe; if it is a ewe, write her count or “not scanned” beside her")
    if is_count_word(text):
        return Refused(f"“{text}” is a count, not a ewe's number; clear the row if it sums up the list")
    found = _checked(cell, read_tag)
    return found if isinstance(found, Refused) else str(found)


def _checked(cell: Cell, read: Callable[[Cell], Any]) -> Any:
    return damaged(cell) or read(cell)


def _optional_readers(table: Table) -> dict[str, Callable[[Cell], Any]]:
    """Give the reader of every column that a ewe can do without; those not named here are taken as text."""
    order, season = table.order, table.season
    particular: dict[str, Callable[[Cell], Any]] = {
        "born_year": lambda cell: _born_year(cell, order, season),
        "ram": read_tag,
        "official_tag": read_tag,
        "condition": read_condition,
        "lambings_before": read_lambings,
        "mated_on": lambda cell: read_date(cell, order, season=season, year_before_from=MATED_YEAR_BEFORE_FROM),
        "scanned_on": lambda cell: read_date(cell, order, season=season, year_before_from=SCANNED_YEAR_BEFORE_FROM),
        "due": lambda cell: read_date(cell, order, season=season),
    }
    optional = (column.name for column in SCAN_COLUMNS if column.name not in {"ewe", "scanned"})
    return {name: particular.get(name, text_of) for name in optional if name in table.headings.places}


def _born_year(cell: Cell, order: str, season: int | None) -> int | Refused:
    """Read a year of birth; from a full date of birth the year is taken."""
    day = read_date(cell, order) if isinstance(cell, str) else cell
    return read_born_year(day if isinstance(day, date) else cell, season)
