"""Least squares with classes: what each class of each effect adds, all others held alike, and what is left of each record."""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean
from typing import NamedTuple

from workbook.results.statistics.equations import Matrix, clustered, normal_equations, plain, product, solve

Column = tuple[str, str]  # an effect and a class of it

# A combination that misses what the records can tell by no more than this is missed by rounding alone.
NOUGHT = 1e-6


class Estimate(NamedTuple):
    """A value in the unit of the records, and its standard error."""

    value: float
    error: float


@dataclass(frozen=True)
class Fit:
    """An additive model value = mean + constant of each effect's class + slope x each number + residual.

    `mean` gives every class of an effect the same weight, however many records it holds; the constants of an effect sum
    to zero. `residuals` stand in the order of the records, `freedom` is the number of records less the constants
    estimated. `confounded` names classes that cannot be told from others (a group that holds all the ram lambs, say):
    the residuals are right all the same, the constants are one choice among many.
    """

    mean: float
    constants: Mapping[Column, float]
    residuals: tuple[float, ...]
    freedom: int
    confounded: tuple[Column, ...]
    solution: "Solution"

    @property
    def spread(self) -> float:
        """Standard deviation of the residuals; zero where nothing is left over to estimate it from."""
        squares = sum(residual**2 for residual in self.residuals)
        return sqrt(squares / self.freedom) if self.freedom > 0 else 0.0

    def adjusted(self, effect: str, name: str) -> Estimate | None:
        """The mean of all records were every one of them of this class and else as it is; None where it cannot be told."""
        return self.solution.estimate(self.solution.standing(effect, name), whole=True)

    @property
    def average(self) -> float:
        """The mean of all records as they are."""
        return self.solution.centre

    def difference(self, effect: str, first: str, second: str) -> Estimate | None:
        """How far the first class of an effect stands above the second; None where they cannot be told apart."""
        own, other = (self.solution.standing(effect, name) for name in (first, second))
        return self.solution.estimate([one - less for one, less in zip(own, other, strict=True)], whole=False)


@dataclass(frozen=True)
class Solution:
    """The solved equations: column numbers, `means` of the columns over the records, answers and their covariances."""

    places: Mapping[Column, int]
    means: Sequence[float]
    centre: float
    answers: Sequence[float]
    project: Matrix
    covariance: Matrix

    def standing(self, effect: str, name: str) -> list[float]:
        """The columns of an average record, but of this class."""
        found = list(self.means)
        for (other, level), place in self.places.items():
            if other == effect:
                found[place] = float(level == name)
        return found

    def estimate(self, combination: Sequence[float], *, whole: bool) -> Estimate | None:
        """A combination of the answers with its standard error; None where the records do not settle it."""
        settled = [sum(one * row[at] for one, row in zip(combination, self.project, strict=True))
                   for at in range(len(combination))]
        if any(abs(one - other) > NOUGHT for one, other in zip(settled, combination, strict=True)):
            return None
        value = sum(one * answer for one, answer in zip(combination, self.answers, strict=True))
        variance = sum(one * cell * other for one, row in zip(combination, self.covariance, strict=True) if one
                       for other, cell in zip(combination, row, strict=True))
        return Estimate(value + (self.centre if whole else 0.0), sqrt(max(variance, 0.0)))


def fit(
    values: Sequence[float], effects: Mapping[str, Sequence[str]], numbers: Mapping[str, Sequence[float]] | None = None,
    clusters: Sequence[Hashable] | None = None,
) -> Fit:
    """Fit `values` (any unit) by the class of each record in each effect, and by `numbers` along a straight line each.

    Records of one cluster (lambs of one ewe) are alike: the standard errors allow for it, with the correction for few
    clusters of Liang and Zeger 1986 as statistics packages make it. ValueError where there is no value or an effect has not
    one class a record.
    """
    straight = list((numbers or {}).values())
    if not values or any(len(side) != len(values) for side in [*effects.values(), *straight]):
        raise ValueError("each record needs a value and one class of every effect")
    levels = {effect: sorted(set(classes)) for effect, classes in effects.items()}
    columns = [(effect, name) for effect, names in levels.items() for name in names[1:]]
    places = {column: number for number, column in enumerate(columns, start=1)}
    rows, centre = _rows(len(values), effects, places, straight), fmean(values)
    matrix, right = normal_equations(rows, [value - centre for value in values], 1 + len(columns) + len(straight))
    solved, inverse = solve(matrix, right)
    answers = [answer or 0.0 for answer in solved]
    residuals = tuple(
        value - centre - sum(answers[at] * one for at, one in row) for row, value in zip(rows, values, strict=True))
    freedom = len(values) - sum(answer is not None for answer in solved)
    covariance = (plain(inverse, residuals, freedom) if clusters is None
                  else clustered(inverse, rows, residuals, clusters, freedom))
    solution = Solution(places, [cell / len(values) for cell in matrix[0]], centre, answers, product(inverse, matrix), covariance)
    confounded = tuple(column for column, place in places.items() if solved[place] is None)
    return _told(solution, levels, residuals, freedom, confounded)


def _told(
    solution: Solution, levels: Mapping[str, Sequence[str]], residuals: tuple[float, ...], freedom: int,
    confounded: tuple[Column, ...],
) -> Fit:
    """The answers as constants that sum to zero in each effect."""
    answers, places = solution.answers, solution.places
    raw = {(effect, name): answers[places[effect, name]] if (effect, name) in places else 0.0
           for effect, names in levels.items() for name in names}
    means = {effect: fmean(raw[effect, name] for name in names) for effect, names in levels.items()}
    slopes = sum(answers[at] * solution.means[at] for at in range(1 + len(places), len(answers)))
    constants = {(effect, name): one - means[effect] for (effect, name), one in raw.items()}
    return Fit(solution.centre + answers[0] + sum(means.values()) + slopes, constants, residuals, freedom, confounded, solution)


def _rows(
    number: int, effects: Mapping[str, Sequence[str]], places: Mapping[Column, int], numbers: Sequence[Sequence[float]],
) -> list[list[tuple[int, float]]]:
    """For each record the columns in which it stands, and with what; the first is one for all."""
    rows = [[(0, 1.0)] for _ in range(number)]
    for effect, classes in effects.items():
        for row, name in zip(rows, classes, strict=True):
            if (effect, name) in places:
                row.append((places[effect, name], 1.0))
    for place, column in enumerate(numbers, start=len(places) + 1):
        for row, one in zip(rows, column, strict=True):
            if one:
                row.append((place, one))
    return rows
