"""What a live column is: one formula for every row, and the name under which other formulas find its cells."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from template_builder.addresses import letters
from template_builder.choices import Choice
from template_builder.look import BODY, Style

# The values of formulas as computed outside the workbook: sheet id -> rows -> column id -> value. Blank is "".
LiveValue = str | int | float
LiveRow = Mapping[str, LiveValue]
LiveValues = Mapping[str, Sequence[LiveRow]]

LIVE = "live_"
_NAMES = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")
_CELL = re.compile(r"\{(\w+)\}")
K, ROW = "k", "row"


@dataclass(frozen=True)
class LiveColumn:
    """A column of formulas. In `formula` {id} is the cell of that column in the same row, {k} the number of the row.

    Other columns are named `live_SHEET_COLUMN`, columns people fill in `SHEET_COLUMN`. A column without a title is hidden.
    """

    id: str
    formula: str
    title: str = ""
    width: float = 9.0
    style: Style = BODY


@dataclass(frozen=True)
class LiveSheet:
    """One block of formulas: `columns` from the left, in rows 1, 2, ... of the entry sheet `rows_of` (or so many `rows`)."""

    id: str
    columns: tuple[LiveColumn, ...]
    rows_of: str = ""
    rows: int = 0
    first_column: int = 1

    def __post_init__(self) -> None:
        ids = [K, *(column.id for column in self.columns)]
        if len(set(ids)) < len(ids):
            raise ValueError(f"{self.id}: two columns have the same id: {ids}")

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The column number of each id; the number of the row stands in the first."""
        return {
            id: number for number, id in enumerate((K, *(column.id for column in self.columns)), start=self.first_column)
        }

    def formula(self, column: LiveColumn) -> str:
        """The formula of a column with {row} for the row it stands in."""
        return "=" + _CELL.sub(self._cell, column.formula)

    def _cell(self, found: re.Match[str]) -> str:
        return found[0] if found[1] == ROW else f"${letters(self.places[found[1]])}{{{ROW}}}"

    def beside(self, column: str) -> str:
        """The cell of a column in the same row, seen from another sheet whose rows stand at the same height.

        A block's own rows never move, so this is safe among blocks; it spares the spreadsheet a search through the column.
        """
        return f"_{self.id}!${letters(self.places[column])}{{{ROW}}}"

    def name(self, column: str) -> str:
        return f"{LIVE}{self.id}_{column}"


@dataclass(frozen=True)
class LiveCell:
    """One cell of its own, found as `live_ID`."""

    id: str
    formula: str
    words: str = ""
    style: Style = BODY

    @property
    def name(self) -> str:
        return f"{LIVE}{self.id}"


def names_in(formulas: Iterable[str]) -> set[str]:
    """All names of ranges that formulas use."""
    return {name for formula in formulas for name in _NAMES.findall(_outside_quotes(formula))}


def _outside_quotes(formula: str) -> str:
    return "".join(formula.split('"')[::2])


def place(choice: Choice) -> int:
    """The number of a value in its list, which is how formulas speak of it."""
    return list(type(choice)).index(choice) + 1


