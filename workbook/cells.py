"""A place in a workbook, and a record: the values of one row, each knowing its cell."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from functools import cached_property
from typing import NamedTuple, TypeVar

from template_builder.addresses import letters
from template_builder.choices import Choice
from template_builder.columns import NOT_KNOWN, Column, Value

ListValue = TypeVar("ListValue", bound=Choice)


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

    `values` holds what was written (blank cells left out; an unreadable cell counts as not known), `assumed` what "all
    well" stands for, `places` the column number of each column on this sheet, `issued` the columns the build filled in,
    `raw` what stands in the unreadable cells.
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

    def __getitem__(self, column: str) -> Value:
        """The value, or None where the cell is blank or not known."""
        return self._known.get(column)

    @cached_property
    def _known(self) -> Mapping[str, Value]:
        """What is known of the row: a cell written in, even with "?", stands before what is assumed."""
        if not self.assumed and NOT_KNOWN not in self.values.values():
            return self.values
        return {column: value for column, value in {**self.assumed, **self.values}.items() if value is not NOT_KNOWN}

    def filled(self, *columns: str) -> bool:
        """Whether any of these cells holds anything at all, "?" and unreadable text included."""
        return any(column in self.values for column in columns)

    def written(self, column: str) -> Value:
        """What stands in the cell, unreadable text as it was typed; None where it is blank."""
        return self.raw[column] if column in self.raw else self.values.get(column)

    @property
    def touched(self) -> bool:
        """Whether a person has written in the row beyond the cells it was issued with."""
        return any(column not in self.issued and column != "row_key" for column in self.values)

    @property
    def key(self) -> str | None:
        """The hidden row key, None for a row added by hand."""
        return self.text("row_key")

    def at(self, column: str) -> CellRef:
        """The cell of a column; the whole row where the sheet has no such column."""
        return CellRef(self.file, self.tab, self.row, self.places.get(column, 0))

    def text(self, column: str) -> str | None:
        value = self[column]
        return value if isinstance(value, str) else None

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

    def assuming(self, assumed: Mapping[str, Value]) -> "Record":
        """The same record with values that stand in for blank cells."""
        return replace(self, assumed={**self.assumed, **assumed})


def titled(column: Column) -> str:
    """A heading as it reads inside a sentence, without the part in brackets."""
    return column.title.split(" (")[0]
