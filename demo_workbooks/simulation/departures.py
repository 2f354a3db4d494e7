"""Which lambs were lost or sold, when and why; and which ewes died or went."""

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache
from random import Random
from typing import NamedTuple

from demo_workbooks.simulation.births import Birth, BornLamb, births
from demo_workbooks.simulation.farm import COUNT_DAYS, EMPTIES_SOLD_ON, WEANING, chance
from demo_workbooks.simulation.flock_plan import plan
from demo_workbooks.simulation.risks import loss_risk
from demo_workbooks.simulation.stories import Story, stories
from template_builder.layout.choices import Cause, ConfirmedBy, EweLeft, Help, LambLeft, Vigour

# When live-born lambs died, of those that did: 15, 16, 6 and 20 of 57 within a day, on days 1 to 3, 4 to 7 and later
# (Shiels and others, as told on a Teagasc page).
_WHEN = {(0, 0): 15, (1, 3): 16, (4, 7): 6, (8, 75): 20}
_EARLY_DAYS = 3
# Causes: infection, hard birth and accidents lead, a fifth stays not known (Irish post-mortem series, by summary).
_FIRST_DAYS = {
    Cause.STARVED: 8, Cause.SCOUR: 4, Cause.ACCIDENT: 4, Cause.DEFORMED: 1, Cause.NOT_KNOWN: 3, Cause.OTHER_INFECTION: 1,
}
_LATER = {
    Cause.JOINT_ILL: 4, Cause.PNEUMONIA: 4, Cause.OTHER_INFECTION: 3, Cause.ACCIDENT: 3, Cause.PREDATOR: 2, Cause.NOT_KNOWN: 3,
}
_CONFIRMED = {ConfirmedBy.NOBODY: 5, ConfirmedBy.SHEPHERD: 8, ConfirmedBy.VET: 2, ConfirmedBy.LABORATORY: 1}
_MISSING, _MISSING_FROM_AGE = 2, 21

_DAYS_BEFORE_DUE = 6
_CAESAREAN_DEATH, _DEATH_WITH_LAMBS = 3, 2


class LambGone(NamedTuple):
    """A lamb that left: a cause only where it died."""

    on: date
    how: LambLeft
    cause: Cause | None = None
    confirmed_by: ConfirmedBy | None = None


class EweGone(NamedTuple):
    """A ewe that left."""

    on: date
    how: EweLeft
    why: str


@cache
def lambs_lost() -> Mapping[str, LambGone]:
    """Lambs born alive that died or went missing before weaning, by name."""
    lost: dict[str, LambGone] = {}
    missing = 0
    for birth in births():
        for lamb in birth.alive:
            dice = chance("loss", lamb.name)
            if dice.random() < loss_risk(lamb.kg or 0, len(birth.lambs), _hard(birth, lamb), not birth.ewe.mature):
                gone = _death(birth, lamb, dice)
                if missing < _MISSING and (gone.on - birth.day).days > _MISSING_FROM_AGE:
                    gone, missing = LambGone(gone.on, LambLeft.MISSING), missing + 1
                lost[lamb.name] = gone
    return lost


def _hard(birth: Birth, lamb: BornLamb) -> bool:
    return lamb.helped and birth.help is not Help.LIGHT


def _death(birth: Birth, lamb: BornLamb, dice: Random) -> LambGone:
    ((first, last),) = dice.choices(list(_WHEN), list(_WHEN.values()))
    age = dice.randint(first, last)
    day = birth.day + timedelta(days=age)
    while day in COUNT_DAYS or day >= WEANING:
        day -= timedelta(days=1)
    causes = dict(_FIRST_DAYS if age <= _EARLY_DAYS else _LATER)
    if age <= _EARLY_DAYS and lamb.helped:
        causes[Cause.HARD_BIRTH] = sum(causes.values())
    if lamb.vigour is Vigour.STRONG:
        causes.pop(Cause.DEFORMED, None)
    (cause,) = dice.choices(list(causes), list(causes.values()))
    if cause is Cause.NOT_KNOWN:
        return LambGone(day, LambLeft.DIED, cause)
    (confirmed,) = dice.choices(list(_CONFIRMED), list(_CONFIRMED.values()))
    return LambGone(day, LambLeft.DIED, cause, confirmed)


@cache
def ewes_gone() -> Mapping[str, EweGone]:
    """Ewes that died or went between scanning and today, by number."""
    gone: dict[str, EweGone] = {}
    days = {birth.ewe.number: birth.day for birth in births()}
    for ewe in plan():
        match stories().get(ewe.number):
            case Story.SOLD_EMPTY:
                gone[ewe.number] = EweGone(EMPTIES_SOLD_ON, EweLeft.CULLED, "empty")
            case Story.DIES_BEFORE_LAMBING if ewe.due is not None:
                gone[ewe.number] = EweGone(ewe.due - timedelta(days=_DAYS_BEFORE_DUE), EweLeft.DIED, "twin-lamb disease")
            case Story.CAESAREAN:
                day = days[ewe.number] + timedelta(days=_CAESAREAN_DEATH)
                gone[ewe.number] = EweGone(day, EweLeft.DIED, "did not recover from the caesarean")
            case Story.DIES_WITH_LAMBS:
                day = days[ewe.number] + timedelta(days=_DEATH_WITH_LAMBS)
                gone[ewe.number] = EweGone(day, EweLeft.DIED, "found dead in the pen")
    return gone
