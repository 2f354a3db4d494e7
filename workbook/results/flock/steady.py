"""How many ewe lambs or bought ewes a flock needs each year to stay as large as it is, if every year were as this one."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from operator import mul
from typing import NamedTuple

from workbook.results.flock.ages_now import OfAge
from workbook.results.statistics.proportions import FEW

FEWEST = 2  # ages, without which nothing is known of how ewes go on from one to the next


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


class Lambings(NamedTuple):
    """What the rate is worked out over, whatever is decided: the lines of ages that are known, from 1, with their ewes, and the
    ages from the first to the last; `pooled` where too small to tell apart."""

    lines: tuple[int, ...]
    known: tuple[OfAge, ...]
    ages: tuple[int, ...]
    pooled: bool

    @property
    def ewes(self) -> int:
        return sum(one.to_the_ram for one in self.known)


def lambings(ages: Sequence[OfAge]) -> Lambings | None:
    """Ages with fewer than ten ewes say little, so then all share one survival. None where fewer than two ages are known."""
    found = [(line, one) for line, one in enumerate(ages, start=1) if one.age is not None and one.to_the_ram]
    if len(found) < FEWEST:
        return None
    lines, known = zip(*found, strict=True)
    by_age = {one.age: one for one in known}
    years = tuple(range(known[0].age, known[-1].age + 1))
    pooled = any(age not in by_age or by_age[age].to_the_ram < FEW for age in years[:-1])
    return Lambings(lines, known, years, pooled)


def steady(ages: Sequence[OfAge]) -> Steady | None:
    """From what this season's ewes of each age did: how many of those that went to the ram stay on by the decisions.

    The oldest age goes altogether. None where fewer than two ages are known, or where none of the younger stays.
    """
    over = lambings(ages)
    if over is None or not any(one.staying for one in over.known[:-1]):
        return None
    mean = sum(one.staying for one in over.known[:-1]) / sum(one.to_the_ram for one in over.known[:-1])
    by_age = {one.age: one for one in over.known}
    survival = tuple(mean if over.pooled else by_age[age].staying / by_age[age].to_the_ram for age in over.ages[:-1])
    shares = age_shares((*survival, 0.0))
    return Steady(shares[0], over.ages, shares, survival, over.pooled, over.ewes)
