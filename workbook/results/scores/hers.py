"""Only what is hers counts: what of a lamb's story is a ewe's own doing, and which ewe's. One table, used everywhere."""

from collections.abc import Mapping
from typing import NamedTuple

from template_builder.layout.choices import Born, Cause, LambLeft, Taken, WhyHelped, WhyMoved
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
    WhyHelped.NARROW: Judged(True, "she is built narrow or did not open"),
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


def lost_by(lamb: Lamb) -> str | None:
    """The ewe whose own fault its death is: the one rearing it when it died, a foster ewe too. None where nobody's."""
    if lamb.born is not Born.ALIVE or lamb.left_how is not LambLeft.DIED:
        return None
    cause = lamb.record.choice("cause", Cause)
    return lamb.rearer if cause is not None and CAUSES[cause].hers else None


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


def short_of_milk(lamb: Lamb) -> str | None:
    """The ewe whose milk was why this lamb had to be moved: too little, or an ill udder. None where that was not it."""
    return lamb.bearer if why_moved(lamb) in MILK_MOVES else None
