"""What sex, litter, age of ewe and ram make of a weight: adjusted means with their errors, from the lamb model."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from workbook.results.scores.comparing import Comparison
from workbook.results.scores.lamb_model import LambModel
from workbook.results.scores.like_lambs import AGE, BREED, GROUP, RAM, SEX, TYPE
from workbook.results.statistics.least_squares import Estimate, Fit
from workbook.results.statistics.proportions import FEW
from workbook.results.statistics.shrinking import shrunk

# What a table tells, and whether its differences are drawn in as far as chance alone would make them: of the parents one
# would choose by them.
TABLES: Mapping[str, bool] = {SEX: False, TYPE: False, AGE: False, BREED: True, RAM: True}

# What may be left out, in this order, where a table cannot be told with it in: a ram that served one breed, say.
LEFT_OUT = (BREED, RAM, GROUP)


@dataclass(frozen=True)
class LambMean:
    """A class of lambs: how many, their mean in kg were all else alike, and how far above the flock; `shrunk` drawn in."""

    name: str
    number: int
    mean: Estimate
    above: float
    shrunk: float | None = None


@dataclass(frozen=True)
class MeansTable:
    """Classes of one effect; `left_out` are effects it cannot be told from. No classes where it cannot be told at all."""

    effect: str
    classes: tuple[LambMean, ...]
    left_out: tuple[str, ...] = ()


def lamb_means(model: LambModel) -> tuple[MeansTable, ...]:
    """A table for each effect that was written and has two classes or more of ten lambs; none where nothing was compared."""
    return tuple(_table(model, effect, drawn_in) for effect, drawn_in in TABLES.items()
                 if len(_large(model.comparison, effect)) > 1)


def _large(found: Comparison[int], effect: str) -> list[str]:
    return [name for name in found.classes.get(effect, ()) if found.numbers[effect, name] >= FEW]


def _table(model: LambModel, effect: str, drawn_in: bool) -> MeansTable:
    """The means with as much allowed for as leaves them to be told."""
    others = [one for one in LEFT_OUT if one != effect and len(model.comparison.classes.get(one, ())) > 1]
    for number in range(len(others) + 1):
        for without in combinations(others, number):
            found = model.side.compared(without=without) if without else model.comparison
            if (fitted := found.model) and (means := _means(found, fitted, effect)):
                return MeansTable(effect, _classes(found, fitted, effect, means, drawn_in), without)
    return MeansTable(effect, (), tuple(others))


def _means(found: Comparison[int], fitted: Fit, effect: str) -> dict[str, Estimate]:
    """The adjusted mean of each large class; none where one of them cannot be told."""
    told = {name: fitted.adjusted(effect, name) for name in _large(found, effect)}
    known = {name: mean for name, mean in told.items() if mean is not None}
    return known if len(known) == len(told) else {}


def _classes(
    found: Comparison[int], fitted: Fit, effect: str, means: Mapping[str, Estimate], drawn_in: bool,
) -> tuple[LambMean, ...]:
    drawn: Sequence[float | None] = shrunk(list(means.values()), fitted.average) if drawn_in else [None] * len(means)
    return tuple(LambMean(name, found.numbers[effect, name], mean, mean.value - fitted.average, less)
                 for (name, mean), less in zip(means.items(), drawn, strict=True))
