"""What each lamb weighed early and at weaning, by who reared it and with how many."""

from collections import Counter
from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache

from demo_workbooks.simulation.births import Birth, births
from demo_workbooks.simulation.departures import lambs_lost
from demo_workbooks.simulation.farm import WEANING, chance
from demo_workbooks.simulation.moves import moves
from demo_workbooks.simulation.stories import Story
from template_builder.layout.choices import Sex

# The first batch is weighed on this day and the next ones every twelve days, each lamb on the first day on which it is
# 54 days old: within the 60 days, 7 either way, of Boggess and others 1991, J Anim Sci 69:3190.
_FIRST_BATCH = date(2026, 5, 5)
_BATCH_DAYS, _BATCH_AGE = 12, 54
_NOT_BROUGHT_IN = 0.04

# Grams a day by lambs reared together: 250 to 300 g for lowland twins, from memory; the rest by judgement.
_GRAMS = {1: 320.0, 2: 270.0, 3: 235.0}
_PET_GRAMS = 225.0
_MALE_GRAMS, _YOUNG_EWE_GRAMS, _POOR_MILK_GRAMS, _SPREAD_GRAMS = 18.0, -35.0, -50.0, 28.0
_AFTER_BATCH = 0.88  # growth falls off towards weaning
_POOR_MILK = (Story.SIDE_DRY, Story.MASTITIS)
_COUNTED_AT = 30  # days after birth: who sucks whom has settled
_GRAMS_IN_KG = 1000
_SCALE_STEPS = 2  # the scale shows half kilos


@cache
def reared_with() -> Mapping[str, str | None]:
    """The ewe that rears each home-born live lamb, None for a pet, by name of lamb."""
    rearer: dict[str, str | None] = {}
    for birth in births():
        for lamb in birth.alive:
            move = moves().moved.get(lamb.name)
            rearer[lamb.name] = birth.ewe.number if move is None else move.foster_ewe
    return rearer


@cache
def _at_foot() -> Counter[str]:
    """Lambs reared together by each ewe about a month after lambing."""
    found = Counter(lamb.foster_ewe for lamb in moves().bought)
    for birth in births():
        for lamb in birth.alive:
            ewe, gone = reared_with()[lamb.name], lambs_lost().get(lamb.name)
            if ewe is not None and (gone is None or gone.on > birth.day + timedelta(days=_COUNTED_AT)):
                found[ewe] += 1
    return found


@cache
def _daily_grams() -> Mapping[str, float]:
    by_ewe: dict[str, Birth] = {birth.ewe.number: birth for birth in births()}
    grams: dict[str, float] = {}
    for birth in births():
        for lamb in birth.alive:
            dice, ewe = chance("growth", lamb.name), reared_with()[lamb.name]
            rate = _PET_GRAMS
            if ewe is not None:
                rate = _GRAMS[min(max(_at_foot()[ewe], 1), 3)]
                rate += _YOUNG_EWE_GRAMS * (not by_ewe[ewe].ewe.mature)
                rate += _POOR_MILK_GRAMS * (by_ewe[ewe].story in _POOR_MILK)
            grams[lamb.name] = rate + _MALE_GRAMS * (lamb.sex is not Sex.EWE) + dice.gauss(0, _SPREAD_GRAMS)
    return grams


def batch_day(born: date) -> date:
    """The day of the early weighing for a lamb born on a day."""
    day = _FIRST_BATCH
    while (day - born).days < _BATCH_AGE:
        day += timedelta(days=_BATCH_DAYS)
    return day


@cache
def weights() -> Mapping[str, tuple[tuple[date, float], ...]]:
    """Early and weaning weight (day, kg) of each home-born lamb that was brought in, by name."""
    found: dict[str, tuple[tuple[date, float], ...]] = {}
    for birth in births():
        early = batch_day(birth.day)
        for lamb in birth.alive:
            rate, kg = _daily_grams()[lamb.name] / _GRAMS_IN_KG, lamb.kg or 0
            at_early = kg + rate * (early - birth.day).days
            both = ((early, at_early), (WEANING, at_early + rate * _AFTER_BATCH * (WEANING - early).days))
            found[lamb.name] = tuple(
                (day, round(weight * _SCALE_STEPS) / _SCALE_STEPS) for day, weight in both if _brought_in(lamb.name, day)
            )
    return found


def _brought_in(name: str, day: date) -> bool:
    gone = lambs_lost().get(name) or moves().sold.get(name)
    return (gone is None or gone.on > day) and chance("scale", name, day).random() > _NOT_BROUGHT_IN


def weaning_kg(name: str) -> float | None:
    """The weaning weight of a lamb in kg, None where it was not weighed then."""
    return next((kg for day, kg in weights().get(name, ()) if day == WEANING), None)
