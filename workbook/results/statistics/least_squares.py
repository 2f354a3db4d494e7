"""Least squares with classes: what each class of each effect adds, all others held alike, and what is left of each record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean

# A pivot smaller than this share of its column's own count is nothing but rounding: the column repeats others.
NOUGHT = 1e-9

Column = tuple[str, str]  # an effect and a class of it


@dataclass(frozen=True)
class Fit:
    """An additive model value = mean + constant of each effect's class + residual.

    `mean` gives every class of an effect the same weight, however many records it holds; the constants of an effect sum
    to zero. `residuals` stand in the order of the records, `freedom` is the number of records less the constants
    estimated. `confounded` names classes that cannot be told from others (a group that holds all the ram lambs, say):
    the residuals are right all the same, the constants are one choice among many.
    """

    mean: float
    constants: Mapping[Column, float]
    residuals: tuple[float, ...]
    freedom: int
    confounded: tuple[Column, ...] = ()

    @property
    def spread(self) -> float:
        """Standard deviation of the residuals; zero where nothing is left over to estimate it from."""
        squares = sum(residual**2 for residual in self.residuals)
        return sqrt(squares / self.freedom) if self.freedom > 0 else 0.0


def fit(values: Sequence[float], effects: Mapping[str, Sequence[str]]) -> Fit:
    """Fit `values` (any unit) by the class of each record in each effect.

    Normal equations by Gaussian elimination with pivoting on the diagonal, the first class of each effect as the base.
    ValueError where there is no value or an effect has not one class a record.
    """
    if not values or any(len(classes) != len(values) for classes in effects.values()):
        raise ValueError("each record needs a value and one class of every effect")
    levels = {effect: sorted(set(classes)) for effect, classes in effects.items()}
    columns = [(effect, name) for effect, names in levels.items() for name in names[1:]]
    rows = _rows(len(values), effects, {column: number for number, column in enumerate(columns, start=1)})
    centre = fmean(values)
    matrix, right = _normal_equations(rows, [value - centre for value in values], len(columns) + 1)
    solved = _solve(matrix, right)
    answers = [answer or 0.0 for answer in solved]
    residuals = tuple(value - centre - sum(answers[at] for at in row) for row, value in zip(rows, values, strict=True))
    raw = dict(zip(columns, answers[1:], strict=True))
    means = {effect: fmean(raw.get((effect, name), 0.0) for name in names) for effect, names in levels.items()}
    constants = {
        (effect, name): raw.get((effect, name), 0.0) - means[effect] for effect, names in levels.items() for name in names
    }
    confounded = tuple(column for column, answer in zip(columns, solved[1:], strict=True) if answer is None)
    freedom = len(values) - sum(answer is not None for answer in solved)
    return Fit(centre + answers[0] + sum(means.values()), constants, residuals, freedom, confounded)


def _rows(number: int, effects: Mapping[str, Sequence[str]], places: Mapping[Column, int]) -> list[list[int]]:
    """For each record the columns in which it stands with a one; the first is common to all."""
    rows = [[0] for _ in range(number)]
    for effect, classes in effects.items():
        for row, name in zip(rows, classes, strict=True):
            if (effect, name) in places:
                row.append(places[effect, name])
    return rows


def _normal_equations(
    rows: Sequence[Sequence[int]], values: Sequence[float], size: int,
) -> tuple[list[list[float]], list[float]]:
    matrix, right = [[0.0] * size for _ in range(size)], [0.0] * size
    for row, value in zip(rows, values, strict=True):
        for first in row:
            right[first] += value
            for second in row:
                matrix[first][second] += 1.0
    return matrix, right


def _solve(matrix: list[list[float]], right: list[float]) -> list[float | None]:
    """The solution of symmetric equations; None for an unknown that others already settle, counted as zero."""
    size = len(right)
    own = [matrix[at][at] for at in range(size)]
    left, done = set(range(size)), []
    while left:
        pivot = max(left, key=lambda at: (matrix[at][at] / own[at], -at))
        left.discard(pivot)
        if matrix[pivot][pivot] <= NOUGHT * own[pivot]:
            continue
        done.append(pivot)
        for row in (at for at in range(size) if at != pivot):
            if factor := matrix[row][pivot] / matrix[pivot][pivot]:
                right[row] -= factor * right[pivot]
                matrix[row] = [one - factor * other for one, other in zip(matrix[row], matrix[pivot], strict=True)]
    return [right[at] / matrix[at][at] if at in done else None for at in range(size)]
