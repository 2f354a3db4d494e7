"""A place in a workbook, and a record: the values of one row, each knowing its cell."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from functools import cached_property
from typing import NamedTuple, TypeVar

from template_builder.layout.addresses import letters
from template_builder.layout.choices import Choice
from template_builder.layout.columns import NOT_KNOWN, OWN, ROW_KEY, Column, Value
from template_builder.layout.whole import ALL_COLUMNS

ListValue = TypeVar("ListValue", bound=Choice)


class UnknownColumn(KeyError):
    """Code asked a record for a column that its sheet does not have: a slip of the program, never of the records."""

    def __init__(self, sheet: str, column: str) -> None:
        super().__init__(f"the sheet {sheet} has no column {column}")


class CellRef(NamedTuple):
    """A cell of the person's own file. `column` 0 stands for the whole row, `row` 0 for the whole sheet."""

    file: str
    sheet: str
    row: int
    column: int

    @property
    def cell(self) -> str:
        """The cell as a spreadsheet names it: "C5"; "5:5" for a row; "" for a sheet."""
        if not self.row:
            return ""
        return f"{letters(self.column)}{self.row}" if self.column else f"{self.row}:{self.row}"

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet


@dataclass(frozen=True, eq=False)
class Record:
    """One row of an entry sheet. Blank, not known and unreadable cells all give None from the typed getters.

    `values` holds what was written (blank cells left out; an unreadable cell counts as not known), `assumed` what short
    words such as "all well" stand for, `said_by` the column of the row that says each of these, `places` the column number
    of each column on this sheet, `issued` the columns the build filled in, `raw` what stands in unreadable cells, and in
    those of weights written otherwise than as a number of kg.
    """

    sheet_id: str
    file: str
    tab: str
    row: int
    values: Mapping[str, Value]
    places: Mapping[str, int]
    issued: frozenset[str] = frozenset()
    assumed: Mapping[str, Value] = field(default_factory=dict)
    raw: Mapping[str, Value] = field(default_factory=dict)
    said_by: Mapping[str, str] = field(default_factory=dict)

    def __getitem__(self, column: str) -> Value:
        """The value, or None where the cell is blank or not known."""
        value = self._known.get(column)
        if value is None and column not in ALL_COLUMNS[self.sheet_id]:
            self._own(column)
        return value

    def _own(self, column: str) -> None:
        """A column that is neither the sheet's nor a person's own would read as blank for ever. Raises UnknownColumn."""
        if not column.startswith(OWN):
            raise UnknownColumn(self.sheet_id, column)

    @cached_property
    def _known(self) -> Mapping[str, Value]:
        """What is known of the row: a cell written in, even with "?", stands before what is assumed."""
        if not self.assumed and NOT_KNOWN not in self.values.values():
            return self.values
        return {column: value for column, value in {**self.assumed, **self.values}.items() if value is not NOT_KNOWN}

    def has(self, column: str) -> bool:
        """Whether its sheet has a column of this id, for code that reads rows of several sheets alike."""
        return column in ALL_COLUMNS[self.sheet_id]

    def filled(self, *columns: str) -> bool:
        """Whether any of these cells holds anything at all, "?" and unreadable text included."""
        for column in columns:
            if column in self.values:
                return True
            if column not in ALL_COLUMNS[self.sheet_id]:
                self._own(column)
        return False

    def written(self, column: str) -> Value:
        """What stands in the cell, "?", unreadable text and units as typed; None where it is blank."""
        return self.raw[column] if column in self.raw else self.held(column)

    def held(self, column: str) -> Value:
        """What the cell holds, not known included; None where it is blank. Nothing is assumed."""
        value = self.values.get(column)
        if value is None and column not in ALL_COLUMNS[self.sheet_id]:
            self._own(column)
        return value

    @property
    def touched(self) -> bool:
        """Whether a person has written in the row beyond the cells it was issued with. Columns of their own do not count."""
        return any(column not in self.issued and column != ROW_KEY.id and not column.startswith(OWN) for column in self.values)

    @property
    def key(self) -> str | None:
        """The hidden row key, None for a row added by hand and on a sheet without row keys."""
        key = self.values.get(ROW_KEY.id)
        return key if isinstance(key, str) else None

    def at(self, column: str) -> CellRef:
        """The cell of a column; the whole row where it is not on the sheet as read."""
        if column not in ALL_COLUMNS[self.sheet_id]:
            self._own(column)
        return CellRef(self.file, self.tab, self.row, self.places.get(column, 0))

    def text(self, column: str) -> str | None:
        value = self[column]
        return value if isinstance(value, str) else None

    def words(self, column: str) -> str:
        """The text of a cell, empty where it has none."""
        return self.text(column) or ""

    def whole(self, column: str) -> int | None:
        value = self[column]
        return value if isinstance(value, int) else None

    def number(self, column: str) -> float | None:
        value = self[column]
        return float(value) if isinstance(value, int | float) else None

    def day(self, column: str) -> date | None:
        value = self[column]
        if value is None:
            return None
        if isinstance(value, datetime):
            return value.date()
        return value if isinstance(value, date) else None

    def clock(self, column: str) -> datetime | time | None:
        """A date and time, or a time alone, as written."""
        value = self[column]
        return value if isinstance(value, datetime | time) else None

    def choice(self, column: str, choices: type[ListValue]) -> ListValue | None:
        value = self[column]
        return value if isinstance(value, choices) else None

    def assuming(self, assumed: Mapping[str, Value], by: str = "") -> "Record":
        """The same record with values that stand in for blank cells, told by its column `by` where it is one of its own."""
        said_by = {**self.said_by, **dict.fromkeys(assumed, by)} if by else self.said_by
        return replace(self, assumed={**self.assumed, **assumed}, said_by=said_by)


def titled(column: Column) -> str:
    """A heading as it reads inside a sentence, without the part in brackets."""
    return column.title.split(" (")[0]
