"""What a column and a sheet are, and what each kind of column means."""

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from enum import Enum
from functools import cached_property

from template_builder.layout.choices import Choice, WeightUnit
from template_builder.layout.count_words import MOST_LAMBS
from template_builder.layout.weights import KG, in_unit


class NotKnown(Enum):
    """Written in any cell for "we looked, but it is not known". Blank means nothing written, 0 means none."""

    NOT_KNOWN = "?"


NOT_KNOWN = NotKnown.NOT_KNOWN

# Small letters are narrower than the digits that column widths are counted in.
LABEL_CHARACTERS = 0.9
_MOST_LEADING = 2

Value = str | int | float | date | datetime | time | Choice | NotKnown | None

# One line of a sheet to write or as read: column id -> value. A key that begins with OWN is a person's own column.
Row = Mapping[str, Value]
OWN = "+"


class Kind(Enum):
    """What a cell of a column holds, in words for the guide, with its usual width in characters."""

    IDENTIFIER = "number or tag, kept as text", 11.0
    TEXT = "words", 24.0
    WHOLE = "whole number", 9.0
    NUMBER = "number", 9.0
    DATE = "date", 11.5
    MOMENT = "date and time, or time alone", 17.0
    CHOICE = "one of a list", 11.0
    SETTING = "as its row says", 16.0

    def __init__(self, words: str, width: float) -> None:
        self.words = words
        self.width = width


class Start(Enum):
    """How a flock lambs and is recorded; decides which columns are shown at first."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"
    SIMPLE = "simple"


@dataclass(frozen=True)
class Column:
    """One column of a sheet, declared once; heading, width, drop-down, limits and reading derive from it.

    `issued` cells are written by the build and identify the row. `links_to` names the column whose values this one repeats
    ("ewes.ewe"). `least` and `most` are limits that warn. `outdoors` False hides it for a flock by count, `simple` True
    shows it to who writes one row and one word for each ewe, `day_book` False in a day book. `printed` columns have room on
    the paper sheets. `help` shows on entering a cell.
    `clock_to` names the column of the same sheet that takes a time written beside the day. `unread` are words of its list
    that say nothing in this column. `scale` columns hold what the farm's own scale says, in the unit Season names. `since`
    is the layout version it came with.
    """

    id: str
    title: str
    kind: Kind
    help: str
    choices: type[Choice] | None = None
    least: float | None = None
    most: float | None = None
    unit: str = ""
    links_to: str = ""
    required: bool = False
    issued: bool = False
    indoors: bool = True
    outdoors: bool = True
    simple: bool = False
    day_book: bool = True
    printed: bool = False
    width: float = 0.0
    aliases: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    clock_to: str = ""
    scale: bool = False
    since: int = 1

    @property
    def of_past(self) -> bool:
        """Whether it holds what earlier seasons left."""
        return self.id.startswith("past_")

    @property
    def of_a_litter(self) -> bool:
        """Whether it counts the lambs of one ewe, so that "twins" is a number in it."""
        return self.unit == "lambs" and self.most is not None and self.most <= MOST_LAMBS

    def in_unit(self, unit: WeightUnit) -> "Column":
        """The column as a workbook in this unit has it: of a weight off the scales heading and limits follow the unit."""
        if not self.scale or unit is WeightUnit.KG:
            return self
        least, most = (None if end is None else in_unit(end, unit) for end in (self.least, self.most))
        return replace(self, title=self.title.replace(f"({KG})", f"({unit.label})"), least=least, most=most, unit=unit.label)

    @property
    def headings(self) -> tuple[str, ...]:
        """What may stand as its heading: in whichever unit, and its other names."""
        return (*dict.fromkeys(self.in_unit(unit).title for unit in WeightUnit), *self.aliases)

    @property
    def characters(self) -> float:
        """Width of the column in characters: as declared, and never too narrow for the longest value of its list."""
        longest = max((len(choice.label) for choice in self.choices), default=0) if self.choices else 0
        return max(self.width or self.kind.width, longest * LABEL_CHARACTERS + 2)

    def shown(self, start: Start, *, day_book: bool = False) -> bool:
        """Whether the column is visible at first in a workbook of this start; the line number only in a day book."""
        if self.id == LINE.id:
            return day_book
        in_sight = {Start.INDOORS: self.indoors, Start.OUTDOORS: self.outdoors, Start.SIMPLE: self.simple}[start]
        return in_sight and (self.day_book or not day_book)

    def holds(self, number: float) -> bool:
        """Whether a number lies within the limits; where one is not set, every number does."""
        return (self.least is None or self.least <= number) and (self.most is None or number <= self.most)

    def limits(self) -> str:
        """The limits in words, empty where there are none."""
        unit = f" {self.unit}" if self.unit else ""
        match self.least, self.most:
            case None, None:
                return ""
            case None, most:
                return f"at most {most:g}{unit}"
            case least, None:
                return f"at least {least:g}{unit}"
            case least, most:
                return f"{least:g} to {most:g}{unit}"


# Hidden last column of sheets with issued rows: a short hash of the issued cells, or the name of a fixed row.
ROW_KEY = Column("row_key", "Row key", Kind.IDENTIFIER, "Written by the program. Leave as it is.", indoors=False, outdoors=False)

# Number of a line in a day book: lambings are written down in the order they happen, on paper and here on the same lines.
LINE = Column("line", "Line", Kind.WHOLE, "Line of the day book, the same on paper and here. Its rows are numbered by the build.",
              least=1, most=99999, indoors=False, outdoors=False, printed=True, width=6)


@dataclass(frozen=True)
class Sheet:
    """One entry sheet: a title row, a heading row and one row for each thing."""

    id: str
    title: str
    one_row_for: str
    purpose: str
    own_columns: tuple[Column, ...]
    spare_rows: int = 0
    fixed_rows: bool = False
    numbered: tuple[str, ...] = ()  # columns that a day book numbers beside the line

    @property
    def since(self) -> int:
        """The layout version the sheet came with."""
        return min(column.since for column in self.own_columns)

    def shown(self, start: Start) -> bool:
        """Whether a workbook of this start has any use for the sheet; else its tab is hidden."""
        return any(column.shown(start) for column in self.own_columns)

    @property
    def keyed(self) -> bool:
        """Whether its rows carry a hidden row key."""
        return self.fixed_rows or any(column.issued for column in self.own_columns)

    @property
    def columns(self) -> tuple[Column, ...]:
        """All columns in order, the hidden row key last where there is one."""
        return (*self.own_columns, ROW_KEY) if self.keyed else self.own_columns

    @cached_property
    def issued(self) -> tuple[Column, ...]:
        """The columns that the build fills in and that identify a row."""
        return tuple(column for column in self.own_columns if column.issued)

    @cached_property
    def lead(self) -> int:
        """How many columns at the left edge say whose row it is: they stay in sight, and stand on every printed page."""
        return min(_MOST_LEADING, len(self.issued) or 1)

    def issued_in(self, row: Container[str]) -> tuple[Column, ...]:
        """What the build filled in on a row that has these columns: on a line of the day book its numbers alone."""
        if LINE.id not in row:
            return self.issued
        return tuple(column for column in self.own_columns if column.id in (LINE.id, *self.numbered))

    def arranged(self, *, day_book: bool) -> tuple[Column, ...]:
        """The columns in the order they are laid out: in a day book the line number comes first."""
        first = [column for column in self.columns if day_book and column.id == LINE.id]
        return (*first, *(column for column in self.columns if column not in first))

    def column(self, id: str) -> Column:
        """The column of this id; KeyError where the sheet has none."""
        for column in self.columns:
            if column.id == id:
                return column
        raise KeyError(f"{self.id}.{id}")

    def __iter__(self) -> Iterator[Column]:
        return iter(self.columns)

    def address(self, column: Column) -> str:
        """The full id of a column, as it stands in the hidden first row: "lambs.tag"."""
        return f"{self.id}.{column.id}"
