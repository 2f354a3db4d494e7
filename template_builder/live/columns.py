"""What a live column is: one formula for every row, and the name under which other formulas find its cells."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from template_builder.files.look import BODY, Style
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Choice
from template_builder.live.evaluator.grammar import FUNCTIONS, NotInTheLanguage, functions_in, outside_quotes

# The values of formulas: block id -> column id -> cells downwards; cells alone stand in columns of one. Blank is "".
LiveValue = str | int | float
LiveValues = Mapping[str, Mapping[str, Sequence[LiveValue]]]
CELLS = "cells"  # where in them the cells alone stand, by id

LIVE = "live_"
_NAMES = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")
_CELL = re.compile(r"\{(\w+)\}")
K, ROW = "k", "row"


def first_that_holds(cases: Iterable[tuple[str, object]], otherwise: object) -> str:
    """A formula for the value beside the first condition that holds."""
    *before, last = [*cases, ("", otherwise)]
    return "".join(f"IF({condition},{value}," for condition, value in before) + f"{last[1]}{')' * len(before)}"


@dataclass(frozen=True)
class LiveColumn:
    """A column of formulas. In `formula` {id} is the cell of that column in the same row, {k} the number of the row.

    Other columns are named `live_SHEET_COLUMN`, columns people fill in `SHEET_COLUMN`. A column without a title is hidden.
    Where its words name ewes, `ewes_named` at the most, it is wider by what long numbers need.
    """

    id: str
    formula: str
    title: str = ""
    width: float = field(default=9.0, kw_only=True)
    style: Style = field(default=BODY, kw_only=True)
    ewes_named: int = field(default=0, kw_only=True)

    def __post_init__(self) -> None:
        _only_known_functions(self.id, self.formula)


@dataclass(frozen=True)
class LiveSheet:
    """One block of formulas: `columns` from the left, in rows 1, 2, ... of the entry sheet `rows_of` (or so many `rows`).

    A column without a formula holds values. `numbered` blocks have the number of the row before their first column, or, with
    `helpers_last`, behind those with a title.
    """

    id: str
    columns: tuple[LiveColumn, ...]
    rows_of: str = ""
    rows: int = 0
    first_column: int = 1
    numbered: bool = True
    helpers_last: bool = False

    def __post_init__(self) -> None:
        ids = [K, *(column.id for column in self.columns)]
        if len(set(ids)) < len(ids):
            raise ValueError(f"{self.id}: two columns have the same id: {ids}")
        unknown = {name for column in self.columns for name in _CELL.findall(column.formula)} - {*ids, ROW}
        if unknown:
            raise NotInTheLanguage(f"{self.id}: formulas name columns it does not have: {sorted(unknown)}")

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The column number of each id; where rows are numbered, that of their number too."""
        first = [column.id for column in self.columns if column.title] if self.helpers_last else []
        rest = [column.id for column in self.columns if column.id not in first]
        return {id: number for number, id in enumerate([*first, *[K] * self.numbered, *rest], start=self.first_column)}

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

    def __post_init__(self) -> None:
        _only_known_functions(self.id, self.formula)

    @property
    def name(self) -> str:
        return f"{LIVE}{self.id}"


def _only_known_functions(id: str, formula: str) -> None:
    unknown = functions_in(formula) - FUNCTIONS
    if unknown:
        raise NotInTheLanguage(f"{id}: no functions of live cells: {sorted(unknown)}")


def names_in(formulas: Iterable[str]) -> set[str]:
    """All names of ranges that formulas use."""
    return {name for formula in formulas for name in _NAMES.findall(outside_quotes(formula))}


def place(choice: Choice) -> int:
    """The number of a value in its list, which is how formulas speak of it."""
    return list(type(choice)).index(choice) + 1
