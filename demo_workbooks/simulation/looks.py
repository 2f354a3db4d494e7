"""The rows of Ewe check: troubles on any day, every ewe at weaning, and again before mating."""

from collections import Counter
from datetime import timedelta
from functools import cache
from random import Random

from demo_workbooks.simulation.births import Birth, births
from demo_workbooks.simulation.departures import ewes_gone
from demo_workbooks.simulation.farm import BEFORE_MATING, WEANING, YEAR, chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan
from demo_workbooks.simulation.growth import reared_with
from demo_workbooks.simulation.lamb_rows import lambs_gone
from demo_workbooks.simulation.moves import moves
from demo_workbooks.simulation.stories import Story, stories
from template_builder.layout.choices import CheckOccasion, Feet, Milk, Mouth, Teats, Trouble, Udder
from template_builder.layout.columns import Row, Value

MASTITIS_AT = 20  # days after lambing, the day one of her lambs went on the bottle
SICK_FOR = 2  # days before her death on which the ewe with twin-lamb disease was found dull
LAME_DAYS = (30, 52, 75)  # days after lambing
_PROLAPSE_BEFORE = 21

_LAME, _THIN_BELOW = 0.03, 2.0
_LOST_BY_WEANING, _LOST_A_LAMB, _LOST_BY_MATING = 0.45, 0.12, 0.1  # condition below that at scanning
_USUAL_CONDITION, _CONDITION_SPREAD, _HALF_POINTS = 3.0, 0.2, 2
_LEANEST, _FATTEST = 1.5, 4.0
# Broken mouths come with age; the usual age at culling is six to seven years (Flay and others 2021). Shares: judgement.
_MOUTHS = {
    7: {Mouth.FULL: 2, Mouth.WORN: 3, Mouth.BROKEN: 4, Mouth.GUMMER: 1},
    6: {Mouth.FULL: 12, Mouth.WORN: 7, Mouth.BROKEN: 3},
    5: {Mouth.FULL: 20, Mouth.WORN: 2, Mouth.BROKEN: 1},
}
_JAW = 0.008
_NOT_CAUGHT = 4  # ewes nobody caught before mating


def look_rows() -> list[Row]:
    """All looks at ewes in order of date, then of ewe."""
    rows = [*_on_any_day()]
    rows += [_at_weaning(ewe) for ewe in _here()]
    missed = set(chance("not caught").sample([ewe.number for ewe in _here() if ewe.number not in stories()], _NOT_CAUGHT))
    rows += [_before_mating(ewe) for ewe in _here() if ewe.number not in missed]
    return sorted(rows, key=lambda row: (str(row["date"]), str(row["ewe"])))


def _here() -> list[PlannedEwe]:
    return [ewe for ewe in plan() if ewe.number not in ewes_gone()]


@cache
def _own_birth(number: str) -> Birth | None:
    return next((birth for birth in births() if birth.ewe.number == number), None)


def _on_any_day() -> list[Row]:
    rows: list[Row] = []
    for birth in births():
        number, any_day = birth.ewe.number, CheckOccasion.ANY_DAY
        match birth.story:
            case Story.ABORTS:
                rows.append({"ewe": number, "date": birth.day, "occasion": any_day, "trouble": Trouble.ABORTED,
                             "notes": "Found in the morning. Penned apart, gloves on, vet rung"})
            case Story.MASTITIS:
                rows.append({"ewe": number, "date": birth.day + timedelta(days=MASTITIS_AT), "occasion": any_day,
                             "milk": Milk.IN_MILK, "sides_in_milk": 1, "udder": Udder.HARD, "trouble": Trouble.MASTITIS})
            case Story.VAGINAL_PROLAPSE:
                rows.append({"ewe": number, "date": birth.day - timedelta(days=_PROLAPSE_BEFORE), "occasion": any_day,
                             "trouble": Trouble.PROLAPSE})
            case Story.LAME_AGAIN | Story.BADLY_LAME:
                rows += [
                    {"ewe": number, "date": birth.day + timedelta(days=days), "occasion": any_day, "feet": Feet.LAME,
                     "trouble": Trouble.LAME} for days in LAME_DAYS
                ]
    for number, gone in ewes_gone().items():
        if stories()[number] is Story.DIES_BEFORE_LAMBING:
            rows.append({"ewe": number, "date": gone.on - timedelta(days=SICK_FOR), "occasion": CheckOccasion.ANY_DAY,
                         "condition": 2.0, "trouble": Trouble.SLEEPY})
    return rows


@cache
def _sucking_at_weaning() -> Counter[str]:
    ewes = [ewe for name, ewe in reared_with().items()
            if ewe is not None and (name not in lambs_gone() or lambs_gone()[name].on > WEANING)]
    return Counter([*ewes, *(lamb.foster_ewe for lamb in moves().bought)])


def _at_weaning(ewe: PlannedEwe) -> Row:
    dice, story = chance("weaning look", ewe.number), stories().get(ewe.number)
    at_foot = _sucking_at_weaning()[ewe.number]
    row: dict[str, Value] = {"ewe": ewe.number, "date": WEANING, "occasion": CheckOccasion.WEANING, "lambs_at_foot": at_foot}
    if at_foot:
        row |= {"milk": Milk.IN_MILK, "sides_in_milk": 1 if story in (Story.SIDE_DRY, Story.MASTITIS) else 2}
    else:
        birth = _own_birth(ewe.number)
        row["milk"] = Milk.MILKED_AND_LOST if birth is not None and birth.alive else Milk.DRY
    row |= {"udder": Udder.HARD if story is Story.MASTITIS else Udder.SOUND, "teats": _teats(story)}
    return row | _feet_and_condition(ewe, dice, lean=_LOST_BY_WEANING + _LOST_A_LAMB * at_foot)


def _before_mating(ewe: PlannedEwe) -> Row:
    dice, story = chance("mating look", ewe.number), stories().get(ewe.number)
    udder = {Story.MASTITIS: Udder.HARD, Story.LUMP: Udder.LUMP}.get(story, Udder.SOUND) if story else Udder.SOUND
    row: dict[str, Value] = {
        "ewe": ewe.number, "date": BEFORE_MATING, "occasion": CheckOccasion.BEFORE_MATING, "udder": udder,
        "teats": _teats(story), "mouth": _mouth(ewe),
    }
    return row | _feet_and_condition(ewe, dice, lean=_LOST_BY_MATING)


def _teats(story: Story | None) -> Teats:
    return {Story.LARGE_TEATS: Teats.LARGE, Story.DAMAGED_TEAT: Teats.DAMAGED}.get(story, Teats.SOUND) if story else Teats.SOUND


def _mouth(ewe: PlannedEwe) -> Mouth:
    dice = chance("mouth", ewe.number)
    shares = _MOUTHS.get(YEAR - ewe.born_year, {Mouth.FULL: 1})
    (mouth,) = dice.choices(list(shares), list(shares.values()))
    return dice.choice((Mouth.OVERSHOT, Mouth.UNDERSHOT)) if dice.random() < _JAW else mouth


def _feet_and_condition(ewe: PlannedEwe, dice: Random, lean: float) -> dict[str, Value]:
    """How she walks, and her condition: that at scanning less `lean` units, in half points."""
    feet = Feet.LAME if dice.random() < _LAME else Feet.SOUND
    if stories().get(ewe.number) is Story.BADLY_LAME:
        feet = Feet.BADLY_LAME
    condition = (ewe.condition or _USUAL_CONDITION) - lean + dice.gauss(0, _CONDITION_SPREAD)
    score = round(condition * _HALF_POINTS) / _HALF_POINTS
    row: dict[str, Value] = {"feet": feet, "condition": min(_FATTEST, max(_LEANEST, score))}
    if score < _THIN_BELOW:
        row["trouble"] = Trouble.THIN
    elif feet is not Feet.SOUND:
        row["trouble"] = Trouble.LAME
    return row
