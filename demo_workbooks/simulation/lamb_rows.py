"""The rows of Lambs: each lamb from birth until it was moved, sold or lost."""

from collections.abc import Mapping
from datetime import timedelta
from functools import cache

from demo_workbooks.simulation.births import Birth, BornLamb, births
from demo_workbooks.simulation.departures import LambGone, lambs_lost
from demo_workbooks.simulation.farm import FAT_LAMBS_SOLD_ON, OFFICIAL_START, WEANING, chance
from demo_workbooks.simulation.growth import weaning_kg
from demo_workbooks.simulation.lambing_rows import all_well
from demo_workbooks.simulation.moves import BoughtLamb, moves
from demo_workbooks.simulation.stories import Story
from template_builder.layout.choices import Belly, Born, CameFrom, Help, LambLeft, RearedBy, Sex, Sucked, Taken, YesNo
from template_builder.layout.columns import Row, Value

_FIRST_TAG = 26001
_TAGGED_AT = 2  # days; lambs lost sooner have no tag
_NEVER_TAGGED = 0.03
_WEIGHED_AT_BIRTH, _VIGOUR_WRITTEN = 0.96, 0.9
_FAT_FROM_KG, _MOST_FAT = 37.0, 15


@cache
def tags() -> Mapping[str, str]:
    """The tag of each lamb that has one, by its name, given in the order of birth."""
    tagged: dict[str, str] = {}
    for birth in births():
        for lamb in birth.alive:
            gone = lambs_lost().get(lamb.name)
            soon = gone is not None and gone.on <= birth.day + timedelta(days=_TAGGED_AT)
            if not soon and chance("tag", lamb.name).random() > _NEVER_TAGGED:
                tagged[lamb.name] = str(_FIRST_TAG + len(tagged))
    return tagged


def called(name: str) -> str:
    """How a lamb is called on other sheets: by its tag, or by ewe and number."""
    return tags().get(name, name)


@cache
def lambs_gone() -> Mapping[str, LambGone]:
    """Every lamb that left, lost or sold, by name."""
    return {**lambs_lost(), **moves().sold, **_fat()}


def _fat() -> dict[str, LambGone]:
    """The heaviest ringed lambs, sold fat after weaning. No lamb of Mead is sold before ewe lambs have been picked."""
    heavy = sorted(
        ((kg, lamb.name) for birth in births() for lamb in birth.alive
         if lamb.sex is Sex.WETHER and (kg := weaning_kg(lamb.name)) is not None and kg >= _FAT_FROM_KG),
        reverse=True,
    )
    return {name: LambGone(FAT_LAMBS_SOLD_ON, LambLeft.SOLD) for _, name in heavy[:_MOST_FAT]}


def lamb_rows() -> Mapping[tuple[str, int], Row]:
    """What to fill in for each lamb, by ewe and number; issued cells are not among it."""
    return {(lamb.ewe, lamb.number): _row(birth, lamb) for birth in births() for lamb in birth.lambs}


def bought_rows() -> list[Row]:
    """Rows to add below for the bought lambs, which belong to no ewe here."""
    return [_bought(lamb) for lamb in moves().bought]


def _row(birth: Birth, lamb: BornLamb) -> Row:
    dice = chance("lamb row", lamb.name)
    if lamb.born in (Born.ABORTED, Born.MUMMIFIED):
        return {"born": lamb.born}
    row: dict[str, Value] = {"sex": lamb.sex, "born": lamb.born}
    if dice.random() < _WEIGHED_AT_BIRTH:
        row["birth_weight"] = lamb.kg
    if not all_well(birth):
        row |= {"presentation": lamb.presentation, "helped": YesNo.YES if lamb.helped else YesNo.NO}
    if lamb.alive:
        row |= _first_day(birth, lamb, written=dice.random() < _VIGOUR_WRITTEN) | _moved(lamb) | _left(lamb)
    if birth.story is Story.CAESAREAN and birth.help is Help.CAESAREAN:
        row["notes"] = "Dead when the vet got to it"
    return {column: value for column, value in row.items() if value is not None}


def _first_day(birth: Birth, lamb: BornLamb, written: bool) -> dict[str, Value]:
    row: dict[str, Value] = {"vigour": lamb.vigour if written else None}
    if tag := tags().get(lamb.name):
        row |= {"tag": tag, "electronic_tag": f"{OFFICIAL_START}{tag}"}
    if not all_well(birth):
        row |= {"sucked": lamb.sucked, "taken": lamb.taken}
    gone = lambs_lost().get(lamb.name)
    if birth.story is not Story.NO_LOOK_NEXT_DAY and (gone is None or gone.on > birth.day + timedelta(days=1)):
        hollow = lamb.sucked is Sucked.TUBED or lamb.taken is Taken.REFUSED
        row["belly"] = Belly.HOLLOW if hollow else Belly.FULL
    return row


def _moved(lamb: BornLamb) -> dict[str, Value]:
    move = moves().moved.get(lamb.name)
    if move is None:
        return {}
    return {"reared_by": move.reared_by, "foster_ewe": move.foster_ewe, "moved_on": move.on, "why_moved": move.why}


def _left(lamb: BornLamb) -> dict[str, Value]:
    gone = lambs_gone().get(lamb.name)
    if gone is None:
        return {}
    row: dict[str, Value] = {"left_on": gone.on, "left_how": gone.how, "cause": gone.cause, "confirmed_by": gone.confirmed_by}
    if gone.how is LambLeft.SOLD:
        row["notes"] = "Sold as a pet" if gone.on < WEANING else "Sold fat"
    elif gone.how is LambLeft.MISSING:
        row["notes"] = "Not there when the field was looked round"
    return row


def _bought(lamb: BoughtLamb) -> Row:
    return {
        "tag": lamb.tag, "sex": lamb.sex, "born": Born.ALIVE, "came_from": CameFrom.BOUGHT_IN,
        "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": lamb.foster_ewe, "moved_on": lamb.on, "notes": "From a neighbour",
    }
