"""Litters against those of like ewes, and lambs against like lambs, by least squares on the flock's own records."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from statistics import fmean, stdev
from typing import NamedTuple

from template_builder.layout.choices import Born, Weighed
from workbook.results.scores.adjusted import (
    NOT_ADJUSTED,
    AdjustedWeight,
    BirthWeights,
    birth_weights,
    lamb_weight,
    litter_class,
)
from workbook.results.scores.comparing import ALIKE, Against, Comparison, Level, by_number, compare, counted
from workbook.results.scores.litter_weight import LitterWeight
from workbook.results.statistics.proportions import FEW
from workbook.season.ages import FIRST_AGE, AgeClass, age_class, age_in_years, litter_words
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import group_name
from workbook.season.matching import fold
from workbook.season.season import Season

# Ewes of this age and older share one class, as in the Icelandic constants of 1977 (9 years and more).
OLDEST_CLASS = 9

# Where a ewe whose birth year is not known stands among the years, from what is known of her lambings: house rule.
YEARS_LIKE: Mapping[AgeClass, float] = {AgeClass.FIRST: FIRST_AGE + 0.5, AgeClass.MATURE: 4.5, AgeClass.UNKNOWN: 4.6}

NO_GROUP, BY_HAND, NOT_KNOWN = "no group", "by hand", "not known"
REARED, BORN, TYPE, AGE, GROUP, SEX = (
    "lambs reared", "litter born", "birth and rearing type", "age of ewe", "group", "sex",
)
EWES, LAMBS = "ewes", "lambs"
ON_THE_DAY = f"of one group, sex and weighing day, {NOT_ADJUSTED}"


class LambAgainst(NamedTuple):
    """A lamb's weight, and how it stands against its like; `adjusted` False where its age is not known."""

    weight: AdjustedWeight
    against: Against
    adjusted: bool


def litters_against(season: Season, litters: Mapping[str, LitterWeight]) -> Comparison[str]:
    """Each complete litter against like ewes: lambs reared and born, age of ewe and group allowed for.

    A number reared by fewer than 10 ewes is not compared: a litter of three is no better for being more than two.
    """
    whole = {key: litter.kg for key, litter in litters.items() if litter.kg is not None}
    ewes = {key: season.flock.ewes[key] for key in whole}
    sizes = {key: litters[key].reared for key in whole}
    return compare(whole, {
        REARED: {key: Level(f"with {litter_words(size)} reared", size, litter_words(size)) for key, size in sizes.items()},
        BORN: {key: _born_level(ewe) for key, ewe in ewes.items()},
        AGE: {key: age_level(season, ewe) for key, ewe in ewes.items()},
        GROUP: by_number({key: _group(ewe) for key, ewe in ewes.items()}),
    }, EWES)


def lambs_against(season: Season, occasion: Weighed) -> Mapping[int, LambAgainst]:
    """Each weighed lamb against like lambs, by its row on Lambs.

    Weights brought to one age: sex, birth and rearing type, age of the ewe rearing it and group allowed for. Where the
    birth date or the mother is not known the weight stays as it was and is compared within group, sex and weighing day.
    """
    stand_ins = birth_weights(season)
    weights = _weights(season, occasion, stand_ins)
    lambs = {lamb.record.row: lamb for lamb in season.flock.lambs if lamb.named}
    adjusted = {row: weight.kg for row, weight in weights.items() if weight.kg is not None}
    by_model = compare(adjusted, _lamb_effects(season, [lambs[row] for row in adjusted]), LAMBS).against
    on_the_day = _on_the_day(season, occasion, [lambs[row] for row in weights])
    return {
        row: LambAgainst(weight, by_model[row] if row in by_model else on_the_day[row], row in by_model)
        for row, weight in weights.items()
    }


def _weights(season: Season, occasion: Weighed, stand_ins: BirthWeights) -> dict[int, AdjustedWeight]:
    found = {
        lamb.record.row: lamb_weight(season, lamb, occasion, stand_ins)
        for lamb in season.flock.lambs if lamb.named and lamb.born is Born.ALIVE
    }
    return {row: weight for row, weight in found.items() if weight is not None}


def _lamb_effects(season: Season, lambs: Iterable[Lamb]) -> Mapping[str, Mapping[int, Level]]:
    rearers = {lamb.record.row: season.flock.rearer(lamb) for lamb in lambs}
    return {
        SEX: by_number({lamb.record.row: _sex(lamb) for lamb in lambs}),
        TYPE: {lamb.record.row: _type_level(season, lamb, rearers[lamb.record.row]) for lamb in lambs},
        AGE: {row: Level("", 0, BY_HAND) if ewe is None else age_level(season, ewe) for row, ewe in rearers.items()},
        GROUP: by_number({row: _group(ewe) if ewe else BY_HAND for row, ewe in rearers.items()}),
    }


def _on_the_day(season: Season, occasion: Weighed, lambs: Iterable[Lamb]) -> Mapping[int, Against]:
    """Weights as the scale said, each within its own group, sex and weighing day."""
    classes: dict[Hashable, dict[int, float]] = defaultdict(dict)
    for lamb in lambs:
        taken, rearer = lamb.weighing(occasion), season.flock.rearer(lamb)
        if taken is not None and (kg := taken.number("kg")) is not None:
            own = (_group(rearer) if rearer else NO_GROUP, _sex(lamb), taken.day("date"))
            classes[own][lamb.record.row] = kg
    return {row: _in_class(kg, list(kgs.values())) for kgs in classes.values() for row, kg in kgs.items()}


def _in_class(kg: float, kgs: list[float]) -> Against:
    words = f"{counted(len(kgs), LAMBS)} {ON_THE_DAY}"
    if len(kgs) < FEW:
        return Against(None, None, len(kgs), f"few: only {words}")
    left, spread = kg - fmean(kgs), stdev(kgs)
    return Against(left, left / spread if spread > ALIKE else None, len(kgs), words)


def _sex(lamb: Lamb) -> str:
    return lamb.sex.label if lamb.sex else NOT_KNOWN


def _type_level(season: Season, lamb: Lamb, rearer: Ewe | None) -> Level:
    """Born in a litter of so many, reared with so many: small classes join only where as many were reared together."""
    dam = season.flock.mother(lamb)
    born = litter_class(len(dam.born)) if dam else 1
    if rearer is None:
        return Level(f"reared {BY_HAND}", born, f"{born} born, reared {BY_HAND}")
    reared = litter_class(len(reared_together(rearer)))
    return Level(f"reared as {litter_words(reared)}", born, f"{born} born, {reared} reared")


def reared_together(ewe: Ewe) -> tuple[Lamb, ...]:
    """Lambs she reared that did not die or go missing: they shared her milk to the end."""
    return tuple(lamb for lamb in ewe.suckled if not lamb.lost)


def _born_level(ewe: Ewe) -> Level:
    size = litter_class(len(ewe.born))
    return Level("", size, litter_words(size))


def age_level(season: Season, ewe: Ewe) -> Level:
    """Her age in years, all from 9 on as one; without a birth year first-time or mature, beside the years like it."""
    age = age_in_years(season, ewe)
    if age is None:
        known = age_class(season, ewe)
        return Level("", YEARS_LIKE[known], f"{known.value} (birth year not known)")
    years = min(age, OLDEST_CLASS)
    return Level("", years, f"{years} years" if years > 1 else "1 year")


def _group(ewe: Ewe) -> str:
    """The group she was turned out to, else the group on Ewes: ewes fed and kept alike."""
    written = group_name(ewe)
    return fold(written) if written else NO_GROUP
