"""Lambs short at a count: how many, of which lambs, and between which two counts they went.

Nothing is rewritten. A count above the book is an error for a person to clear up. A count below it makes lambs short, by
these rules:

- Lambs that likely strayed to another group are there, and not short.
- Of the counts of one group the latest stands; of two on one day the higher, since a lamb counted was there.
- A count of the whole flock replaces every group count made on or before its day. What it finds missing beyond the group
  counts made later is kept as far as lambs outside those groups can make it up.
- Lambs written down as missing after the count are the lambs it missed: they are not short as well.
- A lamb that left after the count, or was weighed or moved on its day or later, was there, so that no more are short than
  the book still holds of the others.
- As many as an earlier count of the same lambs had missed already went before that one, the others since.
"""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from workbook.results.litters.counts import Assertion
from workbook.results.litters.occasions import missed, netted
from workbook.season.families import Lamb
from workbook.season.season import Season, once


class Short(NamedTuple):
    """So many of these lambs went by the day of a count; `there` gives those that a count before had found, with its day."""

    number: int
    by: date
    there: Mapping[Lamb, date]
    lambs: tuple[Lamb, ...]
    missed_by: Assertion


@once
def shortages(season: Season) -> tuple[Short, ...]:
    """Every shortage of home-born lambs; together the lambs short at the last count."""
    counts, found, spoken_for = netted(season), list[Short](), set[Lamb]()
    for count in standing(counts):
        lambs = tuple(lamb for lamb in count.lambs if _can_be_short(lamb, count.on) and lamb not in spoken_for)
        number = missed(count) - (sum(short.number for short in found) if count.group is None else 0)
        found += _between(max(0, min(number, len(lambs))), lambs, count, counts)
        spoken_for.update(count.lambs)
    return tuple(found)


def short_in(season: Season, groups: Container[str], *, flock: bool = True) -> int:
    """Of the lambs short, those of some groups (by folded name), and with `flock` all that a count of the flock found."""
    found = ((short.missed_by.group, short.number) for short in shortages(season))
    return sum(number for group, number in found if (flock if group is None else group in groups))


@once
def seen_at_counts(season: Season) -> frozenset[Lamb]:
    """The lambs of every count that met the book, strays allowed for, and of those that stand: what is short is told apart."""
    counts = netted(season)
    below = (count for count in standing(counts) if count.check.unexplained < 0)
    met = (count for count in counts if count.check.unexplained == 0)
    return frozenset(lamb for count in (*below, *met) for lamb in count.lambs)


def standing(counts: Iterable[Assertion]) -> list[Assertion]:
    """The counts that stand: each group's last one made after the last of the whole flock, newest first, then that."""
    last: dict[str | None, Assertion] = {}
    for count in sorted(counts, key=lambda count: (count.on, count.check.counted)):
        last[count.group] = count
    whole = last.pop(None, None)
    of_groups = [count for count in last.values() if whole is None or count.on > whole.on]
    of_groups.sort(key=lambda count: (-count.on.toordinal(), str(count.group)))
    return of_groups if whole is None else [*of_groups, whole]


def seen_itself(lamb: Lamb) -> date | None:
    """The last day a lamb was seen by itself: weighed or moved."""
    days = [lamb.moved_on, *(row.day("date") for row in lamb.weights)]
    return max((day for day in days if day is not None), default=None)


def _can_be_short(lamb: Lamb, on: date) -> bool:
    seen = seen_itself(lamb)
    return lamb.left_how is None and not lamb.bought and (seen is None or seen < on)


def _between(number: int, lambs: tuple[Lamb, ...], count: Assertion, counts: Sequence[Assertion]) -> Iterator[Short]:
    """What is short at a count by the counts between which it went, the last first."""
    left, by, pool = number, count.on, lambs
    for day in sorted({before.on for before in counts if before.on < count.on}, reverse=True):
        if not left:
            return
        before = [one for one in standing(one for one in counts if one.on <= day)
                  if count.group is None or one.group in (None, count.group)]
        there = {lamb: one.on for one in reversed(before) for lamb in one.lambs}
        earlier = tuple(lamb for lamb in pool if lamb in there)
        if not earlier:
            continue
        already = min(left, _missed_by(before), len(earlier))
        if already < left:
            yield Short(left - already, by, there, pool, count)
        left, by, pool = already, day, earlier
    if left:
        yield Short(left, by, {}, pool, count)


def _missed_by(before: Sequence[Assertion]) -> int:
    """Lambs that counts standing on one day had missed together: the flock's count holds those of its groups too."""
    of_groups = sum(max(0, missed(count)) for count in before if count.group is not None)
    return max(of_groups, *(missed(count) for count in before if count.group is None), 0)
