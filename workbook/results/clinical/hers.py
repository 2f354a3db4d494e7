"""Only what is hers counts: what of a lamb's story is a ewe's own doing, and which ewe's. One table, used everywhere."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import (
    Born,
    Cause,
    Colostrum,
    ConfirmedBy,
    LambingTrouble,
    LambLeft,
    Taken,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.sides import BOTH_IN_MILK, BOTH_SIDES
from workbook.results.clinical.looks import last_sides, said_in_a_word
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb


class Judged(NamedTuple):
    """Whether it is hers, and the reason in a clause."""

    hers: bool
    why: str


# All of these are house rules. A narrow ewe is counted by WHY_HELPED alone, so a hard birth is not counted twice.
CAUSES: Mapping[Cause, Judged] = {
    Cause.HARD_BIRTH: Judged(False, "how a lamb lies and how large it is are not her doing"),
    Cause.STARVED: Judged(True, "she did not feed it or did not stay with it"),
    Cause.SCOUR: Judged(False, "a disease"),
    Cause.JOINT_ILL: Judged(False, "a disease"),
    Cause.PNEUMONIA: Judged(False, "a disease"),
    Cause.OTHER_INFECTION: Judged(False, "a disease"),
    Cause.ACCIDENT: Judged(False, "an accident"),
    Cause.PREDATOR: Judged(False, "killed by another animal"),
    Cause.DEFORMED: Judged(False, "it could not have lived"),
    Cause.OTHER: Judged(False, "the cause is not on the list"),
    Cause.NOT_KNOWN: Judged(False, "the cause is not known"),
}

MOVES: Mapping[WhyMoved, Judged] = {
    WhyMoved.SPARE: Judged(False, "moved by choice"),
    WhyMoved.REFUSED: Judged(True, "she would not have it"),
    WhyMoved.EWE_DIED: Judged(False, "she died"),
    WhyMoved.EWE_LEFT: Judged(False, "she was sold or lost"),
    WhyMoved.NO_MILK: Judged(True, "she had too little milk"),
    WhyMoved.MASTITIS: Judged(True, "her udder was ill"),
    WhyMoved.OTHER: Judged(False, "the reason is not on the list"),
}

# A lamb moved for one of these speaks of her milk, not of whether she took it.
MILK_MOVES = tuple(move for move, judged in MOVES.items() if judged.hers and move is not WhyMoved.REFUSED)

WHY_HELPED: Mapping[WhyHelped, Judged] = {
    WhyHelped.LAY_WRONG: Judged(False, "how a lamb lies is not her doing"),
    WhyHelped.LARGE_LAMB: Judged(False, "its size is as much the ram's doing"),
    WhyHelped.NARROW: Judged(True, "she is built narrow"),
    WhyHelped.NOT_OPEN: Judged(False, "a cervix that does not open is ill luck, and may not come again"),
    WhyHelped.SLOW: Judged(False, "a slow birth says little"),
    WhyHelped.DEAD_LAMB: Judged(False, "a dead lamb does not help itself"),
    WhyHelped.OTHER: Judged(False, "the reason is not on the list"),
}


def why_moved(lamb: Lamb) -> WhyMoved | None:
    """Why it left its own ewe, as written."""
    return lamb.record.choice("why_moved", WhyMoved) if lamb.named else None


def with_her(ewe: Ewe) -> tuple[Lamb, ...]:
    """Live-born lambs with a row of their own that she was rearing to the end, own and set on."""
    return tuple(lamb for lamb in ewe.suckled if lamb.named)


def at_her_side(ewe: Ewe) -> tuple[Lamb, ...]:
    """Live lambs booked on her, own and set on, that have not left."""
    return tuple(lamb for lamb in ewe.suckled if lamb.left_how is None)


def lost(ewe: Ewe, lamb: Lamb) -> bool:
    """Whether the death of a lamb is the fault of the ewe that was rearing it, a foster ewe too.

    It starved where she had milk and no more lambs than she has sides, and somebody made sure that it did: a guess, or a
    lamb too many, is nobody's fault.
    """
    if lamb.born is not Born.ALIVE or lamb.left_how is not LambLeft.DIED or lamb.rearer != ewe.key:
        return False
    cause, confirmed = lamb.record.choice("cause", Cause), lamb.record.choice("confirmed_by", ConfirmedBy)
    if cause is None or not CAUSES[cause].hers or confirmed in (None, ConfirmedBy.NOBODY):
        return False
    return in_full_milk(ewe) and at_side_on(ewe, lamb.left_on) <= BOTH_SIDES


def in_full_milk(ewe: Ewe) -> bool:
    """Whether the last look found milk on both sides, and she was not without colostrum."""
    return BOTH_IN_MILK.said_by(last_sides(ewe)) and (ewe.lambing is None or ewe.lambing["colostrum"] is not Colostrum.NONE)


def at_side_on(ewe: Ewe, day: date | None) -> int:
    """How many live-born lambs she had on a day: those booked on her that had not left, and her own not yet moved away.

    One moved away on a day nobody wrote counts as hers still, and so do all lambs where the day itself is not known.
    """
    def there(lamb: Lamb) -> bool:
        if lamb.born is not Born.ALIVE:
            return False
        if lamb.rearer != ewe.key:
            return lamb.own_ewe == ewe.key and (day is None or lamb.moved_on is None or lamb.moved_on > day)
        return day is None or lamb.left_how is None or lamb.left_on is None or lamb.left_on >= day

    return sum(map(there, ewe.family))


def under(lamb: Lamb, day: date | None) -> str | None:
    """The ewe this lamb was under on a day; None on the bottle, and where it was moved on that day or one not written."""
    if lamb.rearer == lamb.own_ewe:
        return lamb.own_ewe
    if day is None or lamb.moved_on is None or lamb.moved_on == day:
        return None
    return lamb.rearer if lamb.moved_on < day else lamb.own_ewe


def taken(lamb: Lamb) -> Taken | None:
    """How its own ewe took it. None where that is not known, or where what is written speaks of a foster ewe.

    A lamb moved because it was refused was refused by its own ewe. A lamb set on for another reason was there for its
    foster ewe to take: if she refuses it, it was not hers, and it counts against nobody.
    """
    if not lamb.named or lamb.born is not Born.ALIVE:
        return None
    moved = why_moved(lamb)
    if moved is WhyMoved.REFUSED:
        return Taken.REFUSED
    written = lamb.record.choice("taken", Taken)
    return None if lamb.bearer is None or (lamb.set_on and moved is not None) else written


def refused_by(lamb: Lamb) -> str | None:
    """The ewe that refused this live lamb of her own; None where nobody did."""
    return lamb.bearer if taken(lamb) is Taken.REFUSED else None


def refused_in_a_word(ewe: Ewe) -> CellRef | None:
    """Where one word on Lambing says that she refused a lamb, and the rows of her lambs say neither which nor that none."""
    took = [taken(lamb) for lamb in ewe.born_alive if lamb.named]
    which = Taken.REFUSED in took or (took and None not in took)
    return None if which else said_in_a_word(ewe, LambingTrouble.REFUSED)


def refused(ewe: Ewe) -> bool:
    """Whether she refused a live lamb of her own, which or not."""
    return refused_in_a_word(ewe) is not None or any(refused_by(lamb) for lamb in ewe.lambs)


def refuses(ewe: Ewe, lamb: Lamb) -> bool:
    """Whether she will not have a lamb that is booked on her: her own, or one set on to her that was not moved for that.

    A lamb that its own ewe refused is no trouble of the ewe that took it.
    """
    if not lamb.named or lamb.rearer != ewe.key or lamb.record["taken"] is not Taken.REFUSED:
        return False
    return not lamb.set_on or lamb.own_ewe is None or why_moved(lamb) not in (None, WhyMoved.REFUSED)


def short_of_milk(lamb: Lamb) -> str | None:
    """The ewe whose milk was why this lamb had to be moved: too little, or an ill udder. None where that was not it."""
    return lamb.bearer if why_moved(lamb) in MILK_MOVES else None
