"""The hill season as rows: Ewes typed later, Lambing, the few rows on Lambs, Counts, Ewe check, Treatments."""

from collections.abc import Iterator, Mapping
from datetime import date
from random import Random
from typing import TypeVar

from demo_workbooks.simulation.hill.farm import BY_EWE, FAR, HIGH, MARKING, NEAR, WEANING, YEAR, Heft, chance
from demo_workbooks.simulation.hill.lambing import HillLamb, Outcome, outcomes
from template_builder.layout.choices import (
    Born,
    CheckOccasion,
    Feet,
    Help,
    LambLeft,
    Milk,
    Mouth,
    RearedBy,
    Reason,
    Stage,
    TreatedFor,
    Trouble,
    Udder,
    WhyMoved,
)
from template_builder.layout.columns import Row, Value

Kind = TypeVar("Kind")

_MOTHERING_SEEN, _MOTHERING = 0.5, {2: 1, 3: 4, 4: 8, 5: 3}
_LOOKED_AT = {NEAR.name: 0.65, FAR.name: 0.45}  # share of ewes turned over at weaning
_NOT_GATHERED = {(NEAR.name, MARKING): 3, (FAR.name, MARKING): 5, (FAR.name, WEANING): 1}
# High Heft as counted; its share lost is a little above that of the others: judgement.
_HIGH_COUNTS = {MARKING: (188, 190), WEANING: (181, 187)}
_UDDER = {Udder.SOUND: 96, Udder.LUMP: 2, Udder.HARD: 1, Udder.DAMAGED: 1}
_FEET = {Feet.SOUND: 95, Feet.LAME: 5}
# Broken mouths come with age, sooner on a hill; shares are judgement.
_MOUTHS = {
    7: {Mouth.WORN: 3, Mouth.BROKEN: 5, Mouth.GUMMER: 1}, 6: {Mouth.FULL: 8, Mouth.WORN: 5, Mouth.BROKEN: 4},
    5: {Mouth.FULL: 18, Mouth.WORN: 2, Mouth.BROKEN: 1},
}
_CONDITION = {1.5: 2, 2.0: 7, 2.5: 10, 3.0: 4}
_THIN_BELOW = 2.0


def typed_later() -> dict[str, Row]:
    """How ewes left, by ewe."""
    return {
        seen.ewe.number: {"left_on": seen.left_on, "left_how": seen.left_how} for seen in outcomes() if seen.left_on is not None
    }


def lambing_rows() -> dict[str, Row]:
    """What was written at lambing, by ewe."""
    return {seen.ewe.number: _lambing(seen) for seen in outcomes() if seen.lambs}


def _lambing(seen: Outcome) -> Row:
    dice = chance("mothering", seen.ewe.number)
    alive = sum(lamb.born is Born.ALIVE for lamb in seen.lambs)
    row: dict[str, Value] = {"born_alive": alive, "born_dead": len(seen.lambs) - alive}
    if seen.day_seen:
        row |= {"lambed_on": seen.lambed_on, "help": seen.help}
        if alive and dice.random() < _MOTHERING_SEEN:
            row["mothering"] = dice.choices(list(_MOTHERING), list(_MOTHERING.values()))[0]
    if seen.why_helped and seen.help is not Help.NONE:
        row["why_helped"] = seen.why_helped
    return row


def lamb_rows() -> list[Row]:
    """Rows for the lambs of the few ewes where somebody saw what became of one."""
    return [
        {"ewe": seen.ewe.number, "lamb_no": number, "born": lamb.born, **_end(seen, lamb)}
        for seen in outcomes() if seen.written_by_lamb for number, lamb in enumerate(seen.lambs, start=1)
    ]


def _end(seen: Outcome, lamb: HillLamb) -> Row:
    if seen.orphans:
        return {"reared_by": RearedBy.PET, "moved_on": seen.left_on, "why_moved": WhyMoved.EWE_DIED}
    if lamb.cause is None:
        return {}
    return {"left_on": lamb.gone, "left_how": LambLeft.DIED, "cause": lamb.cause}


def count_rows() -> list[Row]:
    """Lambs and ewes through the gate at marking and weaning."""
    rows: list[Row] = []
    for stage, day in ((Stage.MARKING, MARKING), (Stage.WEANING, WEANING)):
        for heft in BY_EWE:
            ewes = _ewes(heft, day) - _NOT_GATHERED.get((heft.name, day), 0)
            rows.append({"date": day, "group": heft.name, "stage": stage, "lambs": _lambs(heft, day), "ewes": ewes})
        lambs, ewes = _HIGH_COUNTS[day]
        rows.append({"date": day, "group": HIGH.name, "stage": stage, "lambs": lambs, "ewes": ewes})
    return rows


def _lambs(heft: Heft, day: date) -> int:
    """Lambs of a heft alive on a day; those on the bottle run with no group."""
    return sum(
        lamb.born is Born.ALIVE and (lamb.gone is None or lamb.gone > day)
        for seen in outcomes() if seen.ewe.heft is heft and not seen.orphans for lamb in seen.lambs
    )


def _ewes(heft: Heft, day: date) -> int:
    return sum(seen.ewe.heft is heft and seen.there(day) for seen in outcomes())


def look_rows() -> list[Row]:
    """Looks at ewes: those that aborted, and the share turned over at weaning, in order of date."""
    rows = [*_aborted(), *(_at_weaning(seen) for seen in outcomes() if _looked_at(seen))]
    return sorted(rows, key=lambda row: (str(row["date"]), str(row["ewe"])))


def _aborted() -> Iterator[Row]:
    for seen in outcomes():
        if seen.aborted_on:
            yield {"ewe": seen.ewe.number, "date": seen.aborted_on, "occasion": CheckOccasion.ANY_DAY,
                   "trouble": Trouble.ABORTED, "notes": "Penned apart, gloves on, vet rung"}


def _looked_at(seen: Outcome) -> bool:
    return seen.there(WEANING) and chance("looked at", seen.ewe.number).random() < _LOOKED_AT[seen.ewe.heft.name]


def _at_weaning(seen: Outcome) -> Row:
    dice = chance("weaning", seen.ewe.number)
    reared = any(lamb.born is Born.ALIVE and lamb.gone is None for lamb in seen.lambs)
    bore = any(lamb.born is Born.ALIVE for lamb in seen.lambs)
    condition = _one_of(_CONDITION, dice)
    row: dict[str, Value] = {
        "ewe": seen.ewe.number, "date": WEANING, "occasion": CheckOccasion.WEANING,
        "milk": Milk.IN_MILK if reared else Milk.MILKED_AND_LOST if bore else Milk.DRY,
        "udder": _one_of(_UDDER, dice), "mouth": _one_of(_MOUTHS.get(YEAR - seen.ewe.born_year, {Mouth.FULL: 1}), dice),
        "feet": _one_of(_FEET, dice), "condition": condition,
    }
    if row["feet"] is not Feet.SOUND:
        row["trouble"] = Trouble.LAME
    elif condition < _THIN_BELOW:
        row["trouble"] = Trouble.THIN
    return row


def _one_of(shares: Mapping[Kind, int], dice: Random) -> Kind:
    return dice.choices(list(shares), list(shares.values()))[0]


def treatment_rows() -> list[Row]:
    """Treatments of everything gathered at once. Products are of no maker."""
    return [
        {"date": date(2026, 3, 18), "given_to": TreatedFor.ALL_EWES, "product": "clostridial vaccine", "reason": Reason.VACCINE,
         "withdrawal": 0, "given_by": "NW"},
        {"date": MARKING, "given_to": TreatedFor.ALL_LAMBS, "product": "fly pour-on", "reason": Reason.FLY, "withdrawal": 8,
         "given_by": "NW"},
    ]
