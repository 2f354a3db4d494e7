"""Feeding groups: the ewes in lamb by scan and due week, split or merged to as many groups as the farm can keep.

Nothing parts like ewes but the week: a group holds one kind of litter, and early or late ewes of it where there are groups to
spare; where there are too few, neighbouring litters are fed together. Of all such divisions the most even one is taken: that
with the least sum of squared group sizes.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from typing import NamedTuple

from template_builder.layout.choices import FeedAs

FARTHEST = 150  # days from the middle of all due days: one beyond is a slip and counts as not known
WEEK = 7
EARLY, LATE, WHOLE = "early", "late", ""
WORDS = {1: "singles", 2: "twins", 3: "triplets and more"}


class Litter(IntEnum):
    """What a ewe in lamb is fed for."""

    SINGLES, TWINS, BIG = 1, 2, 3
    APART = 4


class InLamb(NamedTuple):
    """A ewe scanned in lamb that is here. `feed_as` is the farm's own word, which stands above her scan."""

    scanned: int
    due: date | None = None
    feed_as: FeedAs | None = None

    @property
    def litter(self) -> Litter:
        if self.feed_as is not None:
            return Litter(list(FeedAs).index(self.feed_as) + 1)
        return Litter(min(self.scanned, Litter.BIG))


class Part(NamedTuple):
    """What makes a group: these litters; of one litter all ewes, or those due up to (`EARLY`) or after (`LATE`) a week."""

    litters: tuple[Litter, ...]
    half: str = WHOLE
    last_early: int = 0

    @property
    def title(self) -> str:
        if self.litters == (Litter.APART,):
            return FeedAs.APART.label
        words = ", ".join(WORDS[litter] for litter in self.litters)
        return f"{words}, {self.half}" if self.half else words


@dataclass(frozen=True)
class Division:
    """The groups in order, and the number (from 1) of the group of each ewe."""

    parts: tuple[Part, ...]
    of_ewes: tuple[int, ...]
    weeks: tuple[int, ...]  # of each ewe, from 1; 0 where no due day is known


def weeks_of(ewes: Sequence[InLamb]) -> tuple[int, ...]:
    """The due week of each ewe, counted from the first due day; 0 where she has none, or one far from all others."""
    days = sorted(ewe.due.toordinal() for ewe in ewes if ewe.due)
    if not days:
        return (0,) * len(ewes)
    middle = days[(len(days) + 1) // 2 - 1]
    near = [day for day in days if abs(day - middle) <= FARTHEST]
    return tuple(
        (ewe.due.toordinal() - near[0]) // WEEK + 1 if ewe.due and abs(ewe.due.toordinal() - middle) <= FARTHEST else 0
        for ewe in ewes)


def divide(ewes: Sequence[InLamb], most: int) -> Division:
    """The most even division into at most so many groups; ewes fed apart are one more."""
    weeks = weeks_of(ewes)
    counts: dict[Litter, dict[int, int]] = {}
    for ewe, week in zip(ewes, weeks, strict=True):
        by_week = counts.setdefault(ewe.litter, {})
        by_week[week] = by_week.get(week, 0) + 1
    fed: Mapping[Litter, Mapping[int, int]] = {litter: counts[litter] for litter in sorted(counts) if litter != Litter.APART}
    parts = _merged(fed, most) if len(fed) > most else _split(fed, most)
    if Litter.APART in counts:
        parts = (*parts, Part((Litter.APART,)))
    numbers = {(litter, half): number for number, part in enumerate(parts, start=1)
               for litter in part.litters for half in ((part.half,) if part.half else (EARLY, LATE))}
    last_early = {part.litters[0]: part.last_early for part in parts if part.half}
    return Division(parts, tuple(
        numbers[ewe.litter, EARLY if week <= last_early.get(ewe.litter, week) else LATE]
        for ewe, week in zip(ewes, weeks, strict=True)), weeks)


def _merged(counts: Mapping[Litter, Mapping[int, int]], most: int) -> tuple[Part, ...]:
    """Neighbouring litters fed together: in one group, or in two of which the more even pair is taken."""
    litters = tuple(counts)
    if most == 1:
        return (Part(litters),)
    sizes = {litter: sum(weeks.values()) for litter, weeks in counts.items()}
    first = min(range(1, len(litters)), key=lambda cut: _squares(
        sum(sizes[litter] for litter in side) for side in (litters[:cut], litters[cut:])))
    return Part(litters[:first]), Part(litters[first:])


def _split(counts: Mapping[Litter, Mapping[int, int]], most: int) -> tuple[Part, ...]:
    """One group for each litter; those that gain most by it are parted into early and late ewes."""
    gains = {litter: _gain(weeks) for litter, weeks in counts.items()}
    to_spare = max(most - len(counts), 0)
    order = sorted((litter for litter, (gain, _) in gains.items() if gain > 0), key=lambda litter: (-gains[litter][0], litter))
    parted = set(order[:to_spare])
    return tuple(part for litter in counts for part in (
        (Part((litter,), EARLY, gains[litter][1]), Part((litter,), LATE, gains[litter][1])) if litter in parted
        else (Part((litter,)),)))


def _gain(weeks: Mapping[int, int]) -> tuple[int, int]:
    """How much more even two groups are than one, and the last week of the early ewes; ewes without a due day are among those."""
    total = sum(weeks.values())
    best, last, early = 0, 0, 0
    for week in range(max(weeks, default=0)):
        early += weeks.get(week, 0)
        if week and (gain := total ** 2 - early ** 2 - (total - early) ** 2) > best:
            best, last = gain, week
    return best, last


def _squares(sizes: Iterable[int]) -> int:
    return sum(size ** 2 for size in sizes)
