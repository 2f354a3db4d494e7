"""Counts of one occasion set off against each other: lambs that ran with another group have strayed and are no loss.

All groups are seldom counted on one day, so that counts within a week are one occasion. Of two counts of a group in it the
later stands (of two on one day the higher); a count of the same group at another stage begins a new occasion. A group short
and another over by as many are a pair; what is left is set off largest against largest.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from template_builder.layout.choices import LambLeft
from template_builder.layout.words import so_many
from workbook.results.litters.counts import Assertion, assertions
from workbook.season.season import Season, once

OCCASION_DAYS = 7  # days from the first count of an occasion to the last (house rule)


class Stray(NamedTuple):
    """Lambs that were likely in another group when both were counted."""

    lambs: int
    home: Assertion
    found_in: Assertion

    @property
    def words(self) -> str:
        return f"{so_many(self.lambs, 'lamb')} likely strayed from {self.home.check.group} to {self.found_in.check.group}"


@once
def strays(season: Season) -> tuple[Stray, ...]:
    """Every likely stray, in order of time."""
    return tuple(stray for occasion in _occasions(assertions(season)) for stray in _set_off(occasion))


@once
def netted(season: Season) -> tuple[Assertion, ...]:
    """Every count as an assertion, in row order, with the lambs that likely strayed told apart from what it cannot explain."""
    found = list(assertions(season))
    places = {count.check.place: number for number, count in enumerate(found)}
    for stray in strays(season):
        for count, lambs in ((stray.home, -stray.lambs), (stray.found_in, stray.lambs)):
            number = places[count.check.place]
            check = found[number].check
            found[number] = found[number]._replace(
                check=replace(check, strayed=check.strayed + lambs, words=f"{check.words}; {stray.words}"))
    return tuple(found)


def missed(count: Assertion) -> int:
    """Lambs a count did not find, strays and lambs written down as missing since apart; below 0: it found more than there are."""
    return -count.check.unexplained - sum(lamb.left_how is LambLeft.MISSING for lamb in count.lambs)


def _occasions(counts: Iterable[Assertion]) -> Iterator[list[Assertion]]:
    """The counts of groups that stand at each occasion."""
    occasion: dict[str, Assertion] = {}
    first = None
    for count in sorted(counts, key=lambda count: (count.on, count.check.counted, count.group or "")):
        if count.group is None:
            continue
        if first is None or (count.on - first).days > OCCASION_DAYS or _other_stage(occasion.get(count.group), count):
            yield list(occasion.values())
            occasion, first = {}, count.on
        occasion[count.group] = count
    yield list(occasion.values())


def _other_stage(before: Assertion | None, count: Assertion) -> bool:
    return before is not None and len({before.check.stage, count.check.stage} - {""}) > 1


def _set_off(occasion: Sequence[Assertion]) -> Iterator[Stray]:
    """Pairs of as many first, then largest against largest; by name where that leaves a choice."""
    in_order = sorted(occasion, key=lambda count: count.group or "")
    short = {count: lambs for count in in_order if (lambs := missed(count)) > 0}
    over = {count: count.check.difference for count in in_order if count.check.difference > 0}
    for home, lambs in list(short.items()):
        if (there := next((count for count, more in over.items() if more == lambs), None)) is not None:
            yield Stray(lambs, home, there)
            del short[home], over[there]
    while short and over:
        home, there = max(short, key=short.__getitem__), max(over, key=over.__getitem__)
        lambs = min(short[home], over[there])
        yield Stray(lambs, home, there)
        short[home] -= lambs
        over[there] -= lambs
        short, over = ({count: left for count, left in of.items() if left} for of in (short, over))
