"""One line of a scanning list: a ewe, a line to set aside, or one that cannot be placed and why."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from template_builder.layout.columns import Column, Kind, Value
from template_builder.scan.cells import (
    Cell,
    Refused,
    damaged,
    fold,
    is_count_word,
    nothing_written,
    read_born_year,
    read_condition,
    read_lambings,
    read_tag,
    read_within,
    text_of,
)
from template_builder.scan.counts import CountColumn, judge_counts
from template_builder.scan.date_columns import ANY_DAY, DateColumn, Span, judge_dates, orders_of
from template_builder.scan.ewe_columns import HISTORY_KINDS, LABELS
from template_builder.scan.headings import Headings
from template_builder.scan.numbers import plain
from template_builder.scan.pages import Line, Page
from template_builder.scan.written_dates import ORDERS, read_date

# A date without a year in this month or later belongs to the year before the lambing: autumn matings, winter scans.
MATED_YEAR_BEFORE_FROM = 7
SCANNED_YEAR_BEFORE_FROM = 9
DAYS: dict[str, int | None] = {
    "mated_on": MATED_YEAR_BEFORE_FROM, "scanned_on": SCANNED_YEAR_BEFORE_FROM, "due": None,
    "ram_in": MATED_YEAR_BEFORE_FROM, "ram_out": MATED_YEAR_BEFORE_FROM,
}
WHICH_WAY = "write all dates one way round, or say how they run with --dates dmy or --dates mdy"
_ALWAYS = frozenset({"ewe", "scanned"})  # read for every ewe
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
    history: tuple[tuple[str, Value], ...] | None = None  # columns of Ewes that tell of earlier seasons, with their values
    sheet: str | None = None  # where ewes were read from more than one


@dataclass(frozen=True)
class Unplaced:
    """A row, or one cell of a row, that could not be used: where, the row as found, why and what to do."""

    line: int
    text: str
    reason: str
    sheet: str | None = None


@dataclass(frozen=True)
class Table:
    """The page of the file that holds the list, its headings, and how its dates are written."""

    page: Page
    headings: Headings
    order: str | None  # as a person gave it; None: the columns tell
    season: int | None

    @cached_property
    def below(self) -> tuple[Line, ...]:
        """The lines under the headings."""
        return self.page.lines[self.headings.at + self.headings.own_line :]

    @cached_property
    def _places(self) -> dict[int, int]:
        return {id(line): at for at, line in enumerate(self.below)}

    @property
    def heading_cells(self) -> tuple[Cell, ...]:
        """The headings as found."""
        return self.page.lines[self.headings.at].cells if self.headings.own_line else ()

    @cached_property
    def heading_texts(self) -> list[str]:
        """The headings as found, made comparable; blank ones left out."""
        return [fold(text) for text in map(text_of, self.heading_cells) if text]

    @cached_property
    def dated(self) -> dict[str, DateColumn]:
        """Each column of dates, judged as a whole: where it does not show its order, another that does lends its own."""
        columns = {name: [self.cell(line, name) for line in self.below] for name in DAYS if name in self.headings.places}
        settled = {order for cells in columns.values() if (order := orders_of(cells).settled)}
        leaning = settled.pop() if len(settled) == 1 else None
        likely = Span(date(self.season - 1, 1, 1), date(self.season, 12, 31)) if self.season else ANY_DAY
        places = [f"{self.page.unit} {line.number}" for line in self.below]
        return {
            name: judge_dates(cells, order=self.order, leaning=leaning, likely=likely,
                              season=self.season, year_before_from=DAYS[name], places=places, ask=WHICH_WAY)
            for name, cells in columns.items()
        }

    def day(self, line: Line, column: str) -> date | Refused | None:
        """The day a line holds in a column of dates; None where nothing is written, or where the column is in doubt."""
        return self.dated[column].values[self._places[id(line)]]

    @cached_property
    def counted(self) -> CountColumn:
        """The counts, judged as a whole."""
        return judge_counts(self.below, self.headings)

    def count(self, line: Line) -> int | None | Refused:
        """The lambs a line says she carries."""
        return self.counted.values[self._places[id(line)]]

    def cell(self, line: Line, column: str) -> Cell:
        """Give what a line holds in a column of the toolkit; None when the list has no such column."""
        place = self.headings.places.get(column)
        return line.cells[place] if place is not None and place < len(line.cells) else None


def set_aside(line: Line, table: Table, thing: str = "a ewe") -> str | None:
    """Say why a line is no ewe and needs no correcting: a total, or the headings printed again on a new page.

    `thing` is what the list has a line for.
    """
    texts = [fold(text_of(cell)) for cell in line.cells]
    if table.heading_texts and [text for text in texts if text] == table.heading_texts:
        return f"taken as the headings printed again, not {thing}"
    label = fold(text_of(table.cell(line, "ewe"))) or next(filter(None, texts), "")
    if _TOTALS.fullmatch(label):
        return f"taken as a totals row, not {thing} ({line.text})"
    return None


def read_line(line: Line, table: Table) -> tuple[ScanRow | None, list[Unplaced]]:
    """Read a line into a ewe and her cells that could not be read; no ewe when her number cannot be."""
    ewe, scanned = _ewe(line, table), table.count(line)
    if isinstance(ewe, Refused):
        return None, [Unplaced(line.number, line.text, f"The row is left out: {ewe.reason}.")]
    problems: list[Unplaced] = []
    if isinstance(scanned, Refused):
        problems.append(Unplaced(line.number, line.text, f"The ewe is kept and her count is left blank: {scanned.reason}."))
        scanned = None
    values: dict[str, Any] = {}
    for column in table.headings.places:
        if column in _ALWAYS:
            continue
        cell = table.cell(line, column)
        value = None if nothing_written(cell) else damaged(cell) or _read(line, column, table)
        if isinstance(value, Refused):
            reason = f"The ewe is kept and her {LABELS[column]} is left blank: {value.reason}."
            problems.append(Unplaced(line.number, line.text, reason))
        else:
            values[column] = value
    history = tuple((name, values.pop(name)) for name in HISTORY_KINDS if values.get(name) is not None) or None
    known = {name: value for name, value in values.items() if name not in HISTORY_KINDS}
    return ScanRow(line.number, str(ewe), scanned, **known, history=history), problems


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
    found = damaged(cell) or read_tag(cell)
    return found if isinstance(found, Refused) else plain(found)


_READERS: dict[str, Callable[[Cell], Any]] = {
    "ram": read_tag, "condition": read_condition, "lambings_before": read_lambings,
}


def _read(line: Line, column: str, table: Table) -> Any:
    """What a line has in a column that a ewe can do without; those not named here are taken as text."""
    if column in DAYS:
        return table.day(line, column)
    cell = table.cell(line, column)
    if column == "born_year":
        return _born_year(cell, table.season)
    if column == "official_tag":
        tag = read_tag(cell)
        return tag if isinstance(tag, Refused) else plain(tag)
    if column in HISTORY_KINDS:
        return _earlier(cell, HISTORY_KINDS[column])
    return _READERS.get(column, text_of)(cell)


def _earlier(cell: Cell, column: Column) -> Value | Refused:
    """What a cell says of earlier seasons: words, or a number within the limits of its column."""
    return text_of(cell) if column.kind is Kind.TEXT else read_within(cell, column)


def _born_year(cell: Cell, season: int | None) -> int | Refused:
    """Read a year of birth; from a full date of birth the year is taken, whichever way round it is written."""
    days = [read_date(cell, order) for order in ORDERS] if isinstance(cell, str) else [cell]
    return read_born_year(next((day for day in days if isinstance(day, date)), cell), season)
