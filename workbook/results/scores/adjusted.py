"""Lamb weights brought to one age, so that a lamb born early is not better for being older."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from statistics import fmean

from template_builder.layout.choices import Sex, Weighed
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Season, once

# Days either side of an age within which the straight line through birth weight is published as adequate:
# Boggess and others 1991, J Anim Sci 69:3190. An age in between takes the window of the nearest of these.
WINDOWS: Mapping[int, int] = {30: 7, 60: 7, 90: 28}

# A flock mean birth weight of fewer lambs than this does not stand in for a missing one: house rule.
LEAST_FOR_MEAN = 5

# Lambs of three and more share one class of birth weight.
LARGEST_CLASS = 3
CONSTANTS = {1: "single_constant", 2: "twin_constant", 3: "triplet_constant"}

AGES = {Weighed.EARLY: "early_age", Weighed.WEANING: "weaning_age"}

NOT_ADJUSTED = "not adjusted for age"


@dataclass(frozen=True)
class AdjustedWeight:
    """A weight in kg at `target` days, None where it cannot be brought to that age; `words` warn or say why."""

    kg: float | None
    target: float
    age: int | None
    birth_weight: float | None
    words: str
    cells: tuple[CellRef, ...]
    weighed_on: date | None = None


@dataclass(frozen=True)
class BirthWeights:
    """What stands in for a birth weight nobody took: the flock's own mean in kg by sex and litter class, else a constant."""

    means: Mapping[tuple[str, int], float]
    constants: Mapping[int, float]

    def stand_in(self, lamb: Lamb, litter: int) -> float:
        """The mean of its sex and litter size (at least 5 lambs weighed), else the constant on Season."""
        size = litter_class(litter)
        return self.means.get((_sex(lamb), size), self.constants[size])


def adjusted_weight(weight: float, birth_weight: float, age: float, target: float) -> float:
    """Weight at a target age, all growth taken as even: (W - B) / age x T + B.

    Weights in one unit, ages in days above 0. Source: Boggess and others 1991, J Anim Sci 69:3190.
    """
    return (weight - birth_weight) / age * target + birth_weight


def window(target: float) -> int:
    """Days either side of the target age for which the method is published as adequate."""
    return WINDOWS[min(WINDOWS, key=lambda age: abs(age - target))]


def litter_class(size: int) -> int:
    """1, 2 or 3 and more; a litter nobody counted stands as a single."""
    return min(max(size, 1), LARGEST_CLASS)


@once
def birth_weights(season: Season) -> BirthWeights:
    """The flock's mean birth weights by sex and litter size, and the constants behind them."""
    weighed: dict[tuple[str, int], list[float]] = defaultdict(list)
    for ewe in season.flock.ewes.values():
        for lamb in ewe.born_alive:
            if lamb.birth_weight is not None and (sex := _sex(lamb)):
                weighed[sex, litter_class(len(ewe.born))].append(lamb.birth_weight)
    means = {key: fmean(kgs) for key, kgs in weighed.items() if len(kgs) >= LEAST_FOR_MEAN}
    return BirthWeights(means, {size: season.settings.number(id) for size, id in CONSTANTS.items()})


def lamb_weight(season: Season, lamb: Lamb, occasion: Weighed, stand_ins: BirthWeights) -> AdjustedWeight | None:
    """The lamb's weight brought to the age on Season; None where it was not weighed on that occasion."""
    row = lamb.weighing(occasion)
    kg = None if row is None else row.number("kg")
    if row is None or kg is None:
        return None
    target = season.settings.number(AGES[occasion])
    dam = season.flock.mother(lamb)
    age = _age(dam, row)
    if dam is None or age is None:
        return AdjustedWeight(None, target, None, lamb.birth_weight, NOT_ADJUSTED, (row.at("kg"),), row.day("date"))
    birth = lamb.birth_weight
    used = stand_ins.stand_in(lamb, len(dam.born)) if birth is None else birth
    adjusted = adjusted_weight(kg, used, age, target)
    return AdjustedWeight(adjusted, target, age, used, _words(age, target, birth, used), _cells(lamb, row, dam), row.day("date"))


def _age(dam: Ewe | None, row: Record) -> int | None:
    """Days from the dam's lambing to the weighing; None where either day is missing or they make no age."""
    born, weighed = (dam.lambed_on if dam else None), row.day("date")
    days = (weighed - born).days if born and weighed else 0
    return days if days > 0 else None


def _words(age: int, target: float, birth: float | None, used: float) -> str:
    said = []
    if abs(age - target) > window(target):
        said.append(f"weighed at {age} days: more than {window(target)} days from {target:g}, take with care")
    if birth is None:
        said.append(f"birth weight not taken, {used:.1f} kg used")
    return "; ".join(said)


def _cells(lamb: Lamb, row: Record, dam: Ewe) -> tuple[CellRef, ...]:
    cells = [row.at("kg"), row.at("date")]
    if dam.lambing is not None:
        cells.append(dam.lambing.at("lambed_on"))
    if lamb.birth_weight is not None:
        cells.append(lamb.record.at("birth_weight"))
    return tuple(cells)


def _sex(lamb: Lamb) -> str:
    """Ewe lamb or male; ram and wether lambs weigh the same at birth. Empty where not known."""
    return "" if lamb.sex is None else "ewe" if lamb.sex is Sex.EWE else "male"
