"""What to have in the house before the first lamb, as counts: lambs alive, lambs beyond two of big litters, colostrum.

Each lamb scanned is born alive with a chance, each by itself. Of a big litter those beyond two will want another ewe or the
bottle; they, and a share of the others, may want colostrum from the store. Means and variances are exact, in closed form; the
range is the mean less and plus so many standard deviations, rounded outwards: it holds nine seasons out of ten or more. Lambs
of one ewe die together more often than this allows.
"""

from collections.abc import Iterable, Mapping
from math import ceil, floor, sqrt
from typing import NamedTuple

REARS = 2  # lambs a ewe can rear: one a teat
MOST_IN_LITTER = 8  # a scan of more is a slip and counts as so many
STANDARD_DEVIATIONS = 1.645  # either side: one season in twenty lies below, one in twenty above, where a count is near normal
HAIR = 0.000001  # a whole number reckoned with fractions may come out this far from it


class Moments(NamedTuple):
    """The mean and the variance of a count."""

    mean: float
    variance: float


class Band(NamedTuple):
    """How many are expected, and from how few to how many there are in nine seasons out of ten."""

    expected: float
    low: int
    high: int


class Chances(NamedTuple):
    """Of lambs scanned in litters of one or two, and of three or more, the share born alive; of lambs alive with two teats to
    themselves the share that wants colostrum from the store."""

    small_alive: float
    big_alive: float
    from_store: float

    def alive(self, litter: int) -> float:
        return self.big_alive if litter > REARS else self.small_alive


class Ready(NamedTuple):
    """What there will be: lambs born alive, lambs that may want stored colostrum, lambs beyond two of big litters."""

    alive: Band
    from_store: Band
    spare: Band


def lambs_alive(litter: int, alive: float) -> Moments:
    """Lambs born alive of a litter."""
    return Moments(litter * alive, litter * alive * (1 - alive))


def beyond_two(litter: int, alive: float) -> Moments:
    """Lambs alive beyond two in a litter of this size, each alive with this chance."""
    if litter <= REARS:
        return Moments(0.0, 0.0)
    mean, square = _mean_and_square(litter, alive)
    return Moments(mean, square - mean ** 2)


def from_store(litter: int, alive: float, share: float) -> Moments:
    """Lambs of a litter that may want colostrum from the store: those beyond two, and each other one alive with this chance."""
    born, variance = lambs_alive(litter, alive)
    mean, square = _mean_and_square(litter, alive) if litter > REARS else (0.0, 0.0)
    together = square + REARS * mean - mean * born  # covariance of lambs beyond two and lambs alive
    return Moments(
        (1 - share) * mean + share * born,
        (1 - share) ** 2 * (square - mean ** 2) + share ** 2 * variance + 2 * share * (1 - share) * together
        + share * (1 - share) * (born - mean))


def _mean_and_square(litter: int, alive: float) -> tuple[float, float]:
    """The mean of lambs alive beyond two, and of its square: as if below two there were too few, and that put right."""
    born, variance = lambs_alive(litter, alive)
    dead = 1 - alive
    none, one = dead ** litter, litter * alive * dead ** (litter - 1)
    return born - REARS + REARS * none + one, variance + (born - REARS) ** 2 - REARS ** 2 * none - one


def ready(ewes: Mapping[int, int], chances: Chances) -> Ready:
    """The three counts for so many ewes with each number of lambs scanned."""
    litters: dict[int, int] = {}
    for scanned, number in ewes.items():
        litters[min(scanned, MOST_IN_LITTER)] = litters.get(min(scanned, MOST_IN_LITTER), 0) + number
    lambs = sum(litter * number for litter, number in litters.items())
    beyond = sum((litter - REARS) * number for litter, number in litters.items() if litter > REARS)
    alive = [(lambs_alive(litter, chances.alive(litter)), number) for litter, number in litters.items()]
    spare = [(beyond_two(litter, chances.alive(litter)), number) for litter, number in litters.items()]
    store = [(from_store(litter, chances.alive(litter), chances.from_store), number) for litter, number in litters.items()]
    return Ready(band(_sum(alive), lambs), band(_sum(store), lambs), band(_sum(spare), beyond))


def _sum(litters: Iterable[tuple[Moments, int]]) -> Moments:
    """Of so many litters with these moments, none of which depends on another."""
    counted = list(litters)
    return Moments(sum(number * one.mean for one, number in counted), sum(number * one.variance for one, number in counted))


def band(count: Moments, most: int) -> Band:
    """The range of a count of at most so many."""
    away = STANDARD_DEVIATIONS * sqrt(max(0.0, count.variance))
    return Band(count.mean, max(0, floor(count.mean - away + HAIR)), min(most, ceil(count.mean + away - HAIR)))
