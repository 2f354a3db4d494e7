"""Groups at turnout: like litters with lambs of like age, from ewes with lambs at their side, or from counts alone."""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from typing import NamedTuple

# Days: lambs from so old on go out apart from younger ones, for feed, dosing by age and weighing. Common practice, no source.
OLDER_FROM = (14, 28)
AGES = ("under 2 weeks", "2 to 4 weeks", "4 weeks and older", "day not written")
LITTERS = ("one lamb", "two lambs", "three or more")
NOT_KNOWN = len(AGES)
MOST_HEATS = 4  # rounds of matings that are told apart; few ewes hold to a later one


class WithLambs(NamedTuple):
    """A ewe to turn out: how many lambs she has at her side, and the day they were born."""

    lambs: int
    born: date | None


class Counted(NamedTuple):
    """A group known by its counts: heads at its last count, or as scanned; ewes scanned with 1, 2, 3 and 4 or more."""

    ewes: int
    lambs: int
    tally: tuple[int, int, int, int] = (0, 0, 0, 0)


def age_class(born: date | None, today: date) -> int:
    """The place of an age in `AGES`, from 1."""
    if born is None:
        return NOT_KNOWN
    return 1 + sum((today - born).days >= days for days in OLDER_FROM)


def together(ewes: Iterable[WithLambs], today: date) -> Mapping[tuple[int, int], int]:
    """How many ewes go out together, by lambs at their side (the last of `LITTERS` is that many or more) and age."""
    return Counter((min(ewe.lambs, len(LITTERS)), age_class(ewe.born, today)) for ewe in ewes if ewe.lambs > 0)


def with_two(group: Counted) -> tuple[int, int]:
    """The least and the most ewes that can have two lambs or more, where no ewe has more than she was scanned with.

    Lambs beyond one a ewe stand with as few ewes as can have them, those of the largest litters first. Without a tally any ewe
    may have two.
    """
    _, twins, triplets, more = group.tally
    beyond = max(0, group.lambs - group.ewes)
    left = max(0, beyond - 3 * more)
    least = min(more, (beyond + 2) // 3) + min(triplets, (left + 1) // 2) + max(0, left - 2 * triplets)
    big = twins + triplets + more if any(group.tally) else group.ewes
    return least, max(least, min(big, group.ewes, group.lambs // 2))


def heats(days: int, cycle: float) -> int:
    """Rounds of matings in so many days with the ram, the last one begun."""
    return min(MOST_HEATS, max(1, int(days // cycle) + (days % cycle > 0)))


def first_heat(rounds: int, conception: float) -> float:
    """The share of the ewes in lamb that held at the first heat, and so lamb first: their lambs are the older ones."""
    return 1 / sum((1 - conception) ** heat for heat in range(rounds))
