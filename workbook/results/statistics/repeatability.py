"""Repeatability: how alike several seasons of one animal are, by analysis of variance."""

from collections.abc import Sequence
from statistics import fmean
from typing import NamedTuple


class Seasons(NamedTuple):
    """An animal's value this season, and the mean of `number` earlier ones, all in one unit, each above its own season."""

    now: float
    before: float
    number: int


def repeatability(animals: Sequence[Seasons]) -> float | None:
    """Intraclass correlation t = (MSB - MSW) / (MSB + (n0 - 1) MSW), between 0 and 1; None for under two animals, or all alike.

    With one earlier season each this is the one-way analysis of variance. Of more than one only the mean was kept: what lies
    within them is not known, so MSW is what lies between this season and that mean, one degree of freedom for each animal;
    MSB is whole. n0 = (N - sum n² / N) / (k - 1). Source: Lessells and Boag 1987, The Auk 104:116.
    """
    if len(animals) < 2:
        return None
    counts = [one.number + 1 for one in animals]
    means = [(one.number * one.before + one.now) / count for one, count in zip(animals, counts, strict=True)]
    total = sum(counts)
    centre = sum(count * mean for count, mean in zip(counts, means, strict=True)) / total
    between = sum(count * (mean - centre) ** 2 for count, mean in zip(counts, means, strict=True)) / (len(animals) - 1)
    within = fmean((one.now - one.before) ** 2 * one.number / (one.number + 1) for one in animals)
    size = (total - sum(count**2 for count in counts) / total) / (len(animals) - 1)
    below = between + (size - 1) * within
    return min(max((between - within) / below, 0.0), 1.0) if below > 0 else None
