"""One model of the weights of lambs: each against like lambs, and what sex, litter, ewe and ram make of a weight.

Everything weighed rests on it: how a ewe's litter stands, the growth part of the mothering score, her seasons together.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from statistics import fmean
from typing import NamedTuple

from template_builder.layout.choices import Born, Weighed
from workbook.results.scores.adjusted import (
    AGES,
    NOT_ADJUSTED,
    AdjustedWeight,
    BirthWeights,
    birth_weights,
    lamb_weight,
    window,
)
from workbook.results.scores.comparing import Against, Comparison, Level, compare
from workbook.results.scores.like_lambs import DAY, day_level, levels
from workbook.results.statistics.proportions import FEW
from workbook.season.families import Lamb
from workbook.season.season import Season

LAMBS = "lambs"
AGE_WHEN_WEIGHED = "age when weighed"


class LambAgainst(NamedTuple):
    """A lamb against its like. `kg` is the weight compared: brought to one age, or as the scale said where that cannot be.

    `adjusted` is False where its age is not known.
    """

    weight: AdjustedWeight
    kg: float
    against: Against
    adjusted: bool

    @property
    def expected(self) -> float | None:
        """What a lamb like it weighs in this flock."""
        return None if self.against.deviation is None else self.kg - self.against.deviation


@dataclass(frozen=True)
class Side:
    """Weights with all that is allowed for, by row on Lambs: what one comparison is made from."""

    kgs: Mapping[int, float] = field(default_factory=dict)
    effects: Mapping[str, Mapping[int, Level]] = field(default_factory=dict)
    lines: Mapping[str, Mapping[int, float]] = field(default_factory=dict)
    litters: Mapping[int, str] = field(default_factory=dict)

    def compared(self, *, without: Collection[str] = ()) -> Comparison[int]:
        """Each lamb against its like, these effects not allowed for."""
        effects = {name: levels for name, levels in self.effects.items() if name not in without}
        return compare(self.kgs, effects, LAMBS, self.lines, self.litters)


@dataclass(frozen=True)
class LambModel:
    """Each weighed lamb against like lambs, by its row on Lambs, and the comparison behind most of them, made from `side`.

    `target` is the age in days that weights are brought to, None where those behind the comparison are as the scale said.
    """

    lambs: Mapping[int, LambAgainst] = field(default_factory=dict)
    comparison: Comparison[int] = Comparison({})
    side: Side = Side()
    target: float | None = None


class _Weighed(NamedTuple):
    lamb: Lamb
    weight: AdjustedWeight
    scale: float  # kg as the scale said


def lamb_model(season: Season, occasion: Weighed = Weighed.WEANING) -> LambModel:
    """Least squares on the flock's own weights: sex, birth and rearing type, age of ewe, group, ram and breed allowed for.

    Weights are brought to one age where the straight line from birth is good enough. Ten lambs and more weighed too far from
    that age keep their weight, and age and day are in the model. Lambs whose age is not known are compared as the scale said
    with all weighed lambs, weighing day allowed for.
    """
    weighed = _weighed(season, occasion, birth_weights(season))
    aged = {row: one for row, one in weighed.items() if one.weight.kg is not None}
    side, behind = _by_age(season, aged), Comparison[int]({})
    by_age = side.compared()
    lambs = {row: LambAgainst(aged[row].weight, side.kgs[row], found, True) for row, found in by_age.against.items()}
    if len(aged) < len(weighed):
        as_weighed = _by_day(season, weighed)
        behind = _not_adjusted(as_weighed.compared())
        lambs |= {row: LambAgainst(one.weight, one.scale, behind.against[row], False)
                  for row, one in weighed.items() if row not in aged}
        if by_age.model is None:
            return LambModel(lambs, behind, as_weighed)
    return LambModel(lambs, by_age, side, season.settings.number(AGES[occasion]))


def _weighed(season: Season, occasion: Weighed, stand_ins: BirthWeights) -> dict[int, _Weighed]:
    """Lambs born alive that were weighed on the occasion."""
    found = {}
    for lamb in season.flock.lambs:
        row = lamb.weighing(occasion) if lamb.born is Born.ALIVE else None
        weight, scale = (lamb_weight(season, lamb, occasion, stand_ins), row.number("kg")) if row else (None, None)
        if weight is not None and scale is not None:
            found[lamb.record.row] = _Weighed(lamb, weight, scale)
    return found


def _by_age(season: Season, aged: Mapping[int, _Weighed]) -> Side:
    """Lambs whose age is known: weights at one age, or age and day beside the weight."""
    effects, far, litters = dict(levels(season, _lambs(aged.values()))), _far(aged), _litters(aged)
    kgs = {row: one.scale if row in far else one.weight.kg or 0.0 for row, one in aged.items()}
    if not far:
        return Side(kgs, effects, litters=litters)
    near = Level("at one age", 0, "brought to one age")
    effects[DAY] = {row: _far_level(one) if row in far else near for row, one in aged.items()}
    mean = fmean(far.values())
    return Side(kgs, effects, {AGE_WHEN_WEIGHED: {row: far[row] - mean if row in far else 0.0 for row in aged}}, litters)


def _far(aged: Mapping[int, _Weighed]) -> dict[int, int]:
    """Ages of lambs weighed so far from the one age that the straight line does not hold; none where they are under ten.

    Where under ten are left that were weighed near it, they go with the others.
    """
    ages = {row: one.weight.age for row, one in aged.items() if one.weight.age is not None}
    far = {row: age for row, age in ages.items()
           if abs(age - aged[row].weight.target) > window(aged[row].weight.target)}
    if len(far) < FEW:
        return {}
    return ages if len(ages) - len(far) < FEW else far


def _far_level(one: _Weighed) -> Level:
    return day_level(one.weight.weighed_on)._replace(block="weighed at another age")


def _by_day(season: Season, weighed: Mapping[int, _Weighed]) -> Side:
    """Weights as the scale said, of all weighed lambs."""
    days = {row: day_level(one.weight.weighed_on) for row, one in weighed.items()}
    effects = {**levels(season, _lambs(weighed.values())), DAY: days}
    return Side({row: one.scale for row, one in weighed.items()}, effects, litters=_litters(weighed))


def _not_adjusted(found: Comparison[int]) -> Comparison[int]:
    against = {row: replace(one, words=f"{one.words}, {NOT_ADJUSTED}") for row, one in found.against.items()}
    return replace(found, against=against, words=f"{found.words}, {NOT_ADJUSTED}")


def _lambs(weighed: Iterable[_Weighed]) -> list[Lamb]:
    return [one.lamb for one in weighed]


def _litters(weighed: Mapping[int, _Weighed]) -> dict[int, str]:
    """Lambs of one ewe are alike: by the ewe rearing each, else each by itself."""
    return {row: one.lamb.rearer or f"row {row}" for row, one in weighed.items()}
