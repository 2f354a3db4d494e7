"""How many lambs of big litters will want another ewe or a bottle: those alive beyond the two that a ewe can rear."""

from collections.abc import Iterable
from functools import reduce
from typing import NamedTuple

from template_builder.forecast.chances import NOTHING, Count, binomial, together

REARS = 2  # lambs a ewe can rear: one a teat
LOW, HIGH = 0.1, 0.9


class Spare(NamedTuple):
    """Lambs beyond two: expected, and a band that eight seasons in ten stay within if only chance plays."""

    expected: float
    low: int
    high: int


def expected_beyond_two(litter: int, alive: float) -> float:
    """The mean of lambs alive beyond two in a litter of this size, each alive with this chance, in closed form."""
    dead = 1 - alive
    none, one = dead ** litter, litter * alive * dead ** (litter - 1) if litter else 0.0
    return litter * alive - REARS + REARS * none + one


def spare_lambs(litters: Iterable[int], alive: float) -> Spare:
    """Of a flock's scanned litters; those of two and fewer give none."""
    big = sorted(litter for litter in litters if litter > REARS)
    count = reduce(together, (_beyond_two(litter, alive) for litter in big), NOTHING)
    return Spare(sum(expected_beyond_two(litter, alive) for litter in big), count.quantile(LOW), count.quantile(HIGH))


def _beyond_two(litter: int, alive: float) -> Count:
    born = binomial(litter, alive)
    chances = [0.0] * (litter - REARS + 1)
    for lambs, chance in enumerate(born.chances, start=born.least):
        chances[max(lambs - REARS, 0)] += chance
    last = max(place for place, chance in enumerate(chances) if chance > 0)
    return Count(0, tuple(chances[:last + 1]))
