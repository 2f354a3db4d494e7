"""How many of many ewes: the distribution of a count, when each ewe adds one with a chance of her own.

Worked out by convolution, not by simulation. Shares below TINY of the largest are dropped, far less than any printed digit.
"""

from collections.abc import Iterable, Sequence
from functools import reduce
from typing import NamedTuple

TINY = 1e-15


class Count(NamedTuple):
    """The distribution of a count: the chance of `least`, of `least` + 1, and so on; the chances add up to 1."""

    least: int
    chances: tuple[float, ...]

    def quantile(self, share: float) -> int:
        """The smallest number that the count stays at or below with at least this chance."""
        reached = 0.0
        for number, chance in enumerate(self.chances, start=self.least):
            reached += chance
            if reached >= share - TINY:
                return number
        return self.least + len(self.chances) - 1


NOTHING = Count(0, (1.0,))


def binomial(ewes: int, chance: float) -> Count:
    """How many of so many ewes with one and the same chance. Walks out from the likeliest number on both sides."""
    if ewes <= 0 or chance <= 0:
        return NOTHING
    if chance >= 1:
        return Count(ewes, (1.0,))
    odds = chance / (1 - chance)
    likeliest = min(ewes, int((ewes + 1) * chance))
    above, below = [1.0], []
    for number in range(likeliest, ewes):
        above.append(above[-1] * odds * (ewes - number) / (number + 1))
        if above[-1] < TINY:
            break
    share = 1.0
    for number in range(likeliest, 0, -1):
        share *= number / (ewes - number + 1) / odds
        below.append(share)
        if share < TINY:
            break
    shares = below[::-1] + above
    total = sum(shares)
    return Count(likeliest - len(below), tuple(share / total for share in shares))


def number_of(groups: Iterable[tuple[int, float]]) -> Count:
    """How many of all ewes, from (ewes, chance) for each set of ewes with one chance: the sum of unequal chances."""
    merged: dict[float, int] = {}
    for ewes, chance in groups:
        merged[chance] = merged.get(chance, 0) + ewes
    return reduce(_together, sorted((binomial(ewes, chance) for chance, ewes in merged.items()), key=_size), NOTHING)


def _size(count: Count) -> tuple[int, Count]:
    return len(count.chances), count


def _together(one: Count, other: Count) -> Count:
    """The sum of two counts that do not depend on each other."""
    short, long = sorted((one.chances, other.chances), key=len)
    total = [0.0] * (len(short) + len(long) - 1)
    for shift, chance in enumerate(short):
        end = shift + len(long)
        total[shift:end] = [sum_so_far + chance * more for sum_so_far, more in zip(total[shift:end], long, strict=True)]
    return _trimmed(one.least + other.least, total)


def _trimmed(least: int, chances: Sequence[float]) -> Count:
    floor = TINY * max(chances)
    first = next(place for place, chance in enumerate(chances) if chance > floor)
    last = next(place for place in range(len(chances), 0, -1) if chances[place - 1] > floor)
    return Count(least + first, tuple(chances[first:last]))
