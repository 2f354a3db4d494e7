"""How many ewe lambs or bought ewes a flock needs each year to stay as large as it is, if every year were as this one."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import mul

from workbook.results.flock.ages_now import OfAge
from workbook.results.statistics.proportions import FEW


@dataclass(frozen=True)
class Steady:
    """A flock that neither grows nor shrinks. `rate` is the share of ewes replaced each year, `shares` the share of each age,
    `survival` the share of each age that goes on to the next; `pooled` where ages are too small to tell apart."""

    rate: float
    ages: tuple[int, ...]
    shares: tuple[float, ...]
    survival: tuple[float, ...]
    pooled: bool
    ewes: int


def age_shares(survival: Sequence[float]) -> tuple[float, ...]:
    """The share of each age in a flock where `survival` of each goes on to the next; the last is of the oldest, all of whom go.

    The first share is the replacement rate, 1 / (1 + s1 + s1 s2 + ...), as in the first column of the fundamental matrix of
    an age-classified model. Source: Caswell 2001, Matrix Population Models, chapter 5.
    """
    alive = list(accumulate(survival[:-1], mul, initial=1.0))
    total = sum(alive)
    return tuple(one / total for one in alive)


def steady(ages: Sequence[OfAge]) -> Steady | None:
    """From what this season's ewes of each age did: how many of those that went to the ram stay on by the decisions.

    Ages with fewer than ten ewes say little, so then all share one survival; the oldest age there goes altogether. None
    where no age is known, or where none stays.
    """
    known = [one for one in ages if one.age is not None and one.to_the_ram]
    ewes = sum(one.to_the_ram for one in known)
    if not known or not any(one.staying for one in known[:-1]):
        return None
    lambings = tuple(range(known[0].age or 0, (known[-1].age or 0) + 1))
    by_age = {one.age: one for one in known}
    pooled = any(age not in by_age or by_age[age].to_the_ram < FEW for age in lambings[:-1])
    mean = sum(one.staying for one in known[:-1]) / sum(one.to_the_ram for one in known[:-1])
    survival = tuple(mean if pooled else by_age[age].staying / by_age[age].to_the_ram for age in lambings[:-1])
    shares = age_shares((*survival, 0.0))
    return Steady(shares[0], lambings, shares, survival, pooled, ewes)
