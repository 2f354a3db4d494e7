"""A funnel for each loss: every farm's share over its number of animals, between limits that chance alone seldom passes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import sqrt

from workbook.comparing.farm import Farm
from workbook.comparing.like import ALL_FARMS, LEAST_FARMS, Entry, comparable, entries
from workbook.comparing.measures import Measure
from workbook.results.statistics.funnel import (
    LEAST_FOR_SPREAD,
    WARN,
    Limits,
    Outside,
    Spread,
    limits,
    outside,
    pooled,
    spread,
)
from workbook.results.statistics.proportions import FEW, PER_CENT

POINTS = 60  # denominators at which the limits are drawn
FEWER, MORE = 0.75, 1.1  # the least and the most of those, of what the smallest and the largest farm shown have
ONE_MORE = 2.0  # the most where one farm alone is shown
ROOM = 1.1  # over what is highest


@dataclass(frozen=True)
class Standing:
    """One farm in a funnel: `lost` of `of`, its share from 0 to 1, the limits for so many animals, and where it lies."""

    letter: str
    lost: float
    of: float
    limits: Limits
    where: Outside

    @property
    def share(self) -> float:
        return self.lost / self.of


@dataclass(frozen=True)
class Funnel:
    """One loss of farms that are alike: `share` from 0 to 1 of all their animals together."""

    measure: Measure
    like: str
    share: float
    spread: Spread
    farms: tuple[Standing, ...]

    @property
    def title(self) -> str:
        return self.measure.title if self.like == ALL_FARMS else f"{self.measure.title}: {self.like}"

    @property
    def outside(self) -> tuple[Standing, ...]:
        return tuple(farm for farm in self.farms if farm.where is not Outside.INSIDE)

    def at(self, animals: int) -> Limits:
        return limits(animals, self.share, self.spread.stretch)


def funnels(farms: Sequence[Farm], *, together: bool = False) -> tuple[Funnel, ...]:
    """Every funnel with enough farms, in the order of the figures, the largest group of each first."""
    found: dict[tuple[str, str], list[Entry]] = {}
    for entry in comparable(entries(farms, together=together)):
        if entry.measure.loss:
            found.setdefault((entry.measure.id, entry.like), []).append(entry)
    made = [funnel for alike in found.values() if (funnel := funnel_of(alike))]
    order = list(dict.fromkeys(funnel.measure.id for funnel in made))
    return tuple(sorted(made, key=lambda funnel: (order.index(funnel.measure.id), -len(funnel.farms))))


def funnel_of(alike: Sequence[Entry]) -> Funnel | None:
    """The funnel of farms that are alike; None where they are too few, or where none or all of their animals were lost."""
    counts = [(entry.number.numerator or 0.0, entry.number.denominator or 0.0) for entry in alike]
    if len(alike) < LEAST_FARMS or not 0 < (share := pooled(counts)) < 1:
        return None
    effects = [entry.number.effect for entry in alike]
    told = spread(counts, effects)
    standing = []
    for entry, (lost, of) in zip(alike, counts, strict=True):
        found = limits(int(of), share, told.stretch)
        standing.append(Standing(entry.farm.letter, lost, of, found, outside(lost / of, found)))
    return Funnel(alike[0].measure, alike[0].like, share, told, tuple(standing))


def drawn(funnel: Funnel, shown: Sequence[Standing]) -> Iterator[tuple[int, Limits]]:
    """The numbers of animals at which the limits are drawn, from fewer than any farm shown has to more.

    Closer together where there are few, since limits bend there. Of one farm alone nothing tells how large others are.
    """
    least, most = sqrt(FEW if len(shown) == 1 else max(FEW, FEWER * min(farm.of for farm in shown))), sqrt(most_drawn(shown))
    for animals in sorted({round((least + (most - least) * at / (POINTS - 1)) ** 2) for at in range(POINTS)}):
        yield animals, funnel.at(animals)


def most_drawn(shown: Sequence[Standing]) -> float:
    """The number of animals at which the limits end."""
    return max(farm.of for farm in shown) * (ONE_MORE if len(shown) == 1 else MORE)


def highest(funnel: Funnel, shown: Sequence[Standing]) -> float:
    """The top of the drawing in per cent: over the highest farm shown, and over the limits of a small one of them."""
    small = sorted(farm.of for farm in shown)[len(shown) // 4] * (FEWER if len(shown) == 1 else 1)
    return min(float(PER_CENT), PER_CENT * ROOM * max(*(farm.share for farm in shown), funnel.at(int(small)).high_alarm))


def words(funnel: Funnel) -> str:
    """What a funnel shows, in sentences."""
    lost, of = sum(farm.lost for farm in funnel.farms), sum(farm.of for farm in funnel.farms)
    return " ".join((
        f"{len(funnel.farms)} farms, {lost:,.0f} of {of:,.0f} {funnel.measure.of}: {PER_CENT * funnel.share:.1f} %.",
        f"By chance alone at most {_about(len(funnel.farms) * (1 - WARN))} would lie outside the 95 % limits; "
        f"{_listed(funnel.outside)}.", spread_words(funnel.spread, len(funnel.farms))))


def _about(number: float) -> str:
    return f"about {round(number)}" if number >= 1 else "one now and then"


def _listed(found: Iterable[Standing]) -> str:
    farms = list(found)
    if not farms:
        return "none does"
    parts = []
    for where in Outside:
        if letters := [farm.letter for farm in farms if farm.where is where]:
            parts.append(f"{', '.join(letters)} {where.value}")
    return "here " + "; ".join(parts)


def spread_words(found: Spread, farms: int) -> str:
    """How far farms lie apart and litter mates are alike, and what that did to the limits."""
    why = []
    if found.effect > 1:
        why.append(f"lambs of one litter are alike (design effect {found.effect:.2f})")
    if found.over:
        why.append(f"farms differ {found.phi:.2f} times as much as chance gives (over-dispersion)")
    moved = f"Limits stand {found.stretch:.2f} times as far out as exact ones, as {' and '.join(why)}." if why else (
        "Limits are exact.")
    if found.phi is None:
        return f"{moved} {farms} farms are too few to tell whether farms differ by more than chance; from {LEAST_FOR_SPREAD} on."
    return moved if found.over else f"{moved} It is not clear that farms differ by more than chance."


