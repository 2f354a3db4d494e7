"""Cells found by a name: each range indexed once, so that looking up, counting and ranking do not search."""

import re
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Callable, Sequence
from functools import cached_property

from template_builder.live.evaluator.meaning import (
    NOT_AVAILABLE,
    NUMBER,
    NUMBERS,
    REFERENCE,
    CellValue,
    Fault,
    checked,
    close,
    n,
    same,
)

Cells = Sequence[CellValue | Fault]
_WILD = re.compile(r"~([*?~])|([*?])")


class Range:
    """The cells of a column, downwards."""

    def __init__(self, cells: Cells) -> None:
        self.cells = cells
        self._match: dict[CellValue, int | None] = {}
        self._sums: dict[int, dict[int | float, int | float | Fault]] = {}

    @cached_property
    def faulty(self) -> bool:
        """Whether a cell holds an error."""
        return any(cell.__class__ is Fault for cell in self.cells)

    @cached_property
    def numbers(self) -> list[int | float]:
        """The numbers in order."""
        return sorted(cell for cell in self.cells if isinstance(cell, int | float))

    @cached_property
    def counts(self) -> Counter[int | float]:
        return Counter(self.numbers)

    @cached_property
    def filled(self) -> int:
        return sum(cell is not None for cell in self.cells)

    @cached_property
    def total(self) -> int | float:
        return sum(self._all(self.numbers))

    def _all(self, numbers: list[int | float]) -> list[int | float]:
        """Numbers of this range; an error in it makes an error of whatever needs them all."""
        if self.faulty:
            raise next(cell for cell in self.cells if isinstance(cell, Fault)).with_traceback(None)
        return numbers

    def at(self, place: int | float) -> CellValue:
        """The cell of this number, counted from 1."""
        row = int(place)
        if not 1 <= row <= len(self.cells):
            raise Fault(REFERENCE)
        return checked(self.cells[row - 1])

    def largest(self, place: int | float) -> int | float:
        return self._ranked(-int(place), place)

    def smallest(self, place: int | float) -> int | float:
        return self._ranked(int(place) - 1, place)

    def _ranked(self, at: int, place: int | float) -> int | float:
        numbers = self._all(self.numbers)
        if not 1 <= int(place) <= len(numbers):
            raise Fault(NUMBER)
        return numbers[at]

    def equal(self, number: int | float) -> int:
        """How many cells hold this number."""
        if number == int(number):
            return self.counts[number]
        return sum(count for one, count in self.counts.items() if close(one, number))

    def below(self, number: int | float) -> int:
        return bisect_left(self.numbers, number)

    def up_to(self, number: int | float) -> int:
        return bisect_right(self.numbers, number)

    def at_least(self, number: int | float) -> int:
        return len(self.numbers) - bisect_left(self.numbers, number)

    def above(self, number: int | float) -> int:
        return len(self.numbers) - bisect_right(self.numbers, number)

    def summed(self, key: int | float, others: "Range") -> int | float:
        """The sum of the cells of another column in the rows where this one holds this number."""
        if id(others) not in self._sums:
            sums: dict[int | float, int | float | Fault] = {}
            for own, other in zip(self.cells, others.cells, strict=True):
                if isinstance(own, int | float) and isinstance(other, int | float | Fault):
                    so_far = sums.get(own, 0)
                    if not isinstance(so_far, Fault):
                        sums[own] = other if isinstance(other, Fault) else so_far + other
            self._sums[id(others)] = sums
        return n(checked(self._sums[id(others)].get(key, 0)))

    def summed_from(self, key: int | float, others: "Range", first: int | float, last: int | float) -> int | float:
        """The same over the rows from one to another alone."""
        if not 1 <= int(first) <= int(last) <= len(self.cells):
            raise Fault(REFERENCE)
        rows = slice(int(first) - 1, int(last))
        found = [n(checked(other)) for own, other in zip(self.cells[rows], others.cells[rows], strict=True)
                 if isinstance(own, int | float) and same(own, key)]
        return sum(found)

    def match(self, value: CellValue) -> int:
        """The place of the first cell that holds this; in words * and ? stand for other signs unless ~ stands before them.

        Words are looked for among words alone: programs differ on words that look like a number among numbers.
        """
        found = self.place(value, 0)
        if not found:
            raise Fault(NOT_AVAILABLE)
        return found

    def place(self, value: CellValue, otherwise: int) -> int:
        """As `match`, with what stands for "nowhere"."""
        key = value.casefold() if isinstance(value, str) else value
        if key not in self._match:
            self._match[key] = self._found(key)
        return self._match[key] or otherwise

    def _found(self, key: CellValue) -> int | None:
        if isinstance(key, str):
            return self._of_pattern(key) if "*" in key or "?" in key or "~" in key else self._first.get(key)
        if key is None or key == int(key):
            return self._first.get(key or 0)
        return next((at for at, cell in enumerate(self.cells, 1) if isinstance(cell, int | float) and close(cell, key)), None)

    @cached_property
    def _first(self) -> dict[CellValue | Fault, int]:
        """Where each thing stands first; a blank and an error are never looked for."""
        first: dict[CellValue | Fault, int] = {}
        for at, cell in enumerate(self.cells, start=1):
            first.setdefault(cell.casefold() if isinstance(cell, str) else cell, at)
        return first

    def _of_pattern(self, pattern: str) -> int | None:
        parts, end = [], 0
        for found in _WILD.finditer(pattern):
            parts += [re.escape(pattern[end:found.start()]), re.escape(found[1]) if found[1] else {"*": ".*", "?": "."}[found[2]]]
            end = found.end()
        wanted = re.compile("".join([*parts, re.escape(pattern[end:])]), re.DOTALL)
        texts = ((at, cell) for at, cell in enumerate(self.cells, 1) if isinstance(cell, str))
        return next((at for at, cell in texts if wanted.fullmatch(cell.casefold())), None)


def faultless(cells: Cells) -> Range:
    """A column that is known to hold no error."""
    found = Range(cells)
    found.faulty = False
    return found


class Area:
    """Several columns side by side, whose first row is `top`."""

    def __init__(self, columns: Sequence[Range], top: int) -> None:
        self.columns = columns
        self.top = top

    @property
    def rows(self) -> int:
        return len(self.columns[0].cells)

    @cached_property
    def faulty(self) -> bool:
        return any(column.faulty for column in self.columns)

    @cached_property
    def filled(self) -> int:
        return sum(column.filled for column in self.columns)

    @cached_property
    def filled_in_rows(self) -> list[int]:
        """How many cells of each row hold anything."""
        return [sum([cell is not None for cell in row]) for row in zip(*(column.cells for column in self.columns), strict=True)]

    @property
    def row_numbers(self) -> range:
        return range(self.top, self.top + self.rows)

    def row(self, place: int | float) -> tuple[CellValue | Fault, ...]:
        if not 1 <= int(place) <= self.rows:
            raise Fault(REFERENCE)
        return tuple(column.cells[int(place) - 1] for column in self.columns)


def match_beside(value: CellValue, cells: Cells) -> int:
    """The place of a number among cells that stand side by side."""
    for at, cell in enumerate(cells, start=1):
        if isinstance(cell, int | float) and same(cell, value):
            return at
    raise Fault(NOT_AVAILABLE)


def at_beside(cells: Cells, place: int | float) -> CellValue:
    """The cell of this number, counted from 1, among cells that stand side by side."""
    at = int(place)
    if not 1 <= at <= len(cells):
        raise Fault(REFERENCE)
    return checked(cells[at - 1])


def smallest_beside(cells: Cells, place: int | float) -> int | float:
    """The n-th smallest number among cells that stand side by side."""
    return Range(cells).smallest(place)


def largest_beside(cells: Cells, place: int | float) -> int | float:
    """The n-th largest number among cells that stand side by side."""
    return Range(cells).largest(place)


def count_beside(cells: Cells, number: int | float) -> int:
    return sum(isinstance(cell, int | float) and close(cell, number) for cell in cells)


def words_beside(cells: Cells, words: tuple[str | None, ...]) -> int:
    """How many cells side by side hold one of these words; None is a blank."""
    return sum(cell.__class__ not in NUMBERS and cell in words for cell in cells)


def numbers_beside(cells: Cells) -> int:
    return sum(cell.__class__ in NUMBERS for cell in cells)


def total_beside(cells: Cells) -> int | float:
    """The sum of the numbers among cells that stand side by side."""
    return sum(cell for cell in map(checked, cells) if isinstance(cell, int | float))


def count_rows(*asked: tuple[Range, Callable[[int | float], bool]]) -> int:
    """The rows in which each of these columns holds a number that is as asked."""
    ranges, tests = zip(*asked, strict=True)
    return sum(
        all(isinstance(cell, int | float) and test(cell) for cell, test in zip(row, tests, strict=True))
        for row in zip(*(one.cells for one in ranges), strict=True)
    )
