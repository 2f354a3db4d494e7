"""Whether a farm's loss lies further from its group's than chance would put it: limits of a funnel plot.

Limits are exact: of a farm that loses like its group, at most 2.5 in 100 seasons lie above the upper 95 % limit and 2.5 below
the lower one, however few its animals are. Lambs of one litter are alike, and farms may differ by more than chance for a
hundred reasons that nobody has written down; limits are then moved out, so that the few that stand apart are few.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import ceil, exp, fsum, lgamma, log, sqrt
from typing import NamedTuple

WARN, ALARM = 0.95, 0.998
"""Shares of chance inside the inner and the outer limits: about 2 and 3 standard deviations of a normal."""

CUT = 0.1
"""Of the farms at either end, so many are drawn in before the spread of the rest is looked at."""

LEAST_FOR_SPREAD = 10
"""With fewer farms the spread of them is not told from chance (house rule)."""

REACH = 14  # standard deviations from the middle beyond which a binomial holds nothing worth counting
NEAR = 1e-12  # a share so near a limit lies on it

Count = tuple[float, float]


class Limits(NamedTuple):
    """Shares from 0 to 1 between which a farm like its group lies, from the lowest limit to the highest."""

    low_alarm: float
    low_warn: float
    high_warn: float
    high_alarm: float


class Outside(Enum):
    """Where a farm lies; the value is what is said of it."""

    ABOVE_ALARM = "above the 99.8 % limit"
    BELOW_ALARM = "below the 99.8 % limit"
    ABOVE_WARN = "above the 95 % limit"
    BELOW_WARN = "below the 95 % limit"
    INSIDE = "inside the limits"


FAR = (Outside.ABOVE_ALARM, Outside.BELOW_ALARM)


@dataclass(frozen=True)
class Spread:
    """How far farms lie apart, for what chance gives: `phi` is 1 where chance explains all, None with too few farms to tell.

    `effect` is the design effect of litter mates, over which `phi` is what remains.
    """

    effect: float
    phi: float | None

    @property
    def over(self) -> bool:
        """Whether farms differ by more than chance gives."""
        return self.phi is not None and self.phi > 1

    @property
    def stretch(self) -> float:
        """How many times as far as the exact ones limits stand from the group's share."""
        return sqrt(max(1.0, self.effect) * max(1.0, self.phi or 1.0))


def exact_counts(animals: int, share: float) -> tuple[int, int, int, int]:
    """The counts of cases at the four limits, from the lowest: a farm at a limit is inside.

    Each is the smallest count that at most so much of the binomial distribution lies below or at. Source: exact limits as in
    Spiegelhalter 2005, Stat. Med. 24:1185, without his interpolation between counts, so that no farm is outside more often
    than the limit says. ValueError for a share that is not between 0 and 1.
    """
    if not 0 < share < 1:
        raise ValueError(f"limits round a share of {share} are none")
    tails = ((1 - ALARM) / 2, (1 - WARN) / 2, (1 + WARN) / 2, (1 + ALARM) / 2)
    first, chances = _chances(animals, share)
    below, found = 0.0, list[int]()
    for count, chance in enumerate(chances, start=first):
        below += chance
        while len(found) < len(tails) and below >= tails[len(found)]:
            found.append(count)
    low_alarm, low_warn, high_warn, high_alarm = (*found, *[animals] * (len(tails) - len(found)))
    return low_alarm, low_warn, high_warn, high_alarm


def _chances(animals: int, share: float) -> tuple[int, list[float]]:
    """The first count worth looking at, and the chance of each from there on: from the likeliest outwards, by ratios."""
    middle = min(animals, int((animals + 1) * share))
    odds, reach = share / (1 - share), ceil(REACH * sqrt(animals * share * (1 - share))) + REACH
    top = exp(lgamma(animals + 1) - lgamma(middle + 1) - lgamma(animals - middle + 1)
              + middle * log(share) + (animals - middle) * log(1 - share))
    up, down = [top], []
    for count in range(middle + 1, min(animals, middle + reach) + 1):
        up.append(up[-1] * odds * (animals - count + 1) / count)
    last = top
    for count in range(middle - 1, max(-1, middle - reach - 1), -1):
        last *= (count + 1) / (odds * (animals - count))
        down.append(last)
    return middle - len(down), [*reversed(down), *up]


def limits(animals: int, share: float, stretch: float = 1.0) -> Limits:
    """The limits for a farm with so many animals, each `stretch` times as far from the share as the exact one.

    Source of moving limits out: multiplicative over-dispersion, Spiegelhalter 2005, Stat. Med. 24:1185 (from memory).
    """
    exact = (count / animals for count in exact_counts(animals, share))
    return Limits(*(found if stretch == 1 else min(1.0, max(0.0, share + (found - share) * stretch)) for found in exact))


def outside(share: float, of: Limits) -> Outside:
    """Where a share lies; one on a limit is inside it."""
    if _beyond(share, of.high_alarm):
        return Outside.ABOVE_ALARM
    if _beyond(of.low_alarm, share):
        return Outside.BELOW_ALARM
    if _beyond(share, of.high_warn):
        return Outside.ABOVE_WARN
    return Outside.BELOW_WARN if _beyond(of.low_warn, share) else Outside.INSIDE


def _beyond(one: float, other: float) -> bool:
    """Whether one number is the larger, by more than rounding makes."""
    return one - other > NEAR


def pooled(counts: Sequence[Count]) -> float:
    """The share of all animals together."""
    return fsum(cases for cases, _ in counts) / fsum(animals for _, animals in counts)


def pooled_effect(counts: Sequence[Count], effects: Sequence[float]) -> float:
    """The design effect of a group of farms: the mean of theirs, each counting for its animals; at least 1."""
    animals = fsum(of for _, of in counts)
    return fsum(max(1.0, effect) * of for (_, of), effect in zip(counts, effects, strict=True)) / animals if animals else 1.0


def winsorised(values: Sequence[float], cut: float = CUT) -> list[float]:
    """The values with the most extreme tenth at either end drawn in to the next one, in the order given."""
    ordered, drawn = sorted(values), int(cut * len(values))
    if not ordered:
        return []
    low, high = ordered[drawn], ordered[len(ordered) - 1 - drawn]
    return [min(max(value, low), high) for value in values]


def spread(counts: Sequence[Count], effects: Sequence[float]) -> Spread:
    """How far the farms lie apart: the mean square of their standardised differences from the group's share, winsorised.

    Those farms that truly stand apart are drawn in first, so that they do not hide themselves by making the limits wide.
    Source: Spiegelhalter 2005, Stat. Med. 24:1185 (from memory). The group's share has to lie between 0 and 1.
    """
    share, effect = pooled(counts), pooled_effect(counts, effects)
    if len(counts) < LEAST_FOR_SPREAD:
        return Spread(effect, None)
    apart = [(cases - of * share) / sqrt(of * share * (1 - share) * effect) for cases, of in counts]
    return Spread(effect, fsum(z * z for z in winsorised(apart)) / len(apart))
