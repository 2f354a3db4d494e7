"""How and when each home-born live-born lamb went: the day it was last known alive, and the first it was known gone.

A lamb with its day written went on that day. Of the others only an interval is known: a lamb is last known alive when born,
looked at the next day, moved, weighed, turned out, or in a count that found it, and first known gone at a count that does
not have it. Those of one interval are spread evenly over its days, each to one day, as the actuarial life table holds
losses to be spread (Cutler and Ederer 1958, J. Chronic Dis. 8:699, from memory). Nobody knows which lambs are short at a
count: they are taken at even steps from those it can be, for these tables only, and are booked to no ewe.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from template_builder.layout.choices import LambLeft
from workbook.results.litters.counts import in_group
from workbook.results.litters.occasions import netted
from workbook.results.litters.shortages import Short, seen_itself, shortages
from workbook.results.litters.splits import live_born
from workbook.season.cells import CellRef
from workbook.season.families import Flock, Lamb
from workbook.season.groups import born_on, ewe_with
from workbook.season.season import Season, once

DIED, MISSING, SOLD, SHORT = "died", "missing", "sold", "short"
HOW = {LambLeft.DIED: DIED, LambLeft.MISSING: MISSING, LambLeft.SOLD: SOLD}


@dataclass(frozen=True)
class Exit:
    """How a lamb went. It was alive after `after` (None: not known since when) and gone by `by`; `day` is the day it is
    counted on, None where nothing tells. `place` leads to its row, or to the count that missed it; `anywhere` says that
    this was a count of the whole flock, so that its group is not known.
    """

    how: str
    after: date | None
    by: date | None
    day: date | None
    place: CellRef
    anywhere: bool = False

    @property
    def lost(self) -> bool:
        return self.how != SOLD


@once
def exits(season: Season) -> dict[Lamb, Exit]:
    """Every home-born live-born lamb that died, is missing, was sold, or stands for one short at a count."""
    found: dict[Lamb, Exit] = {}
    undated: list[Lamb] = []
    for lamb in live_born(season.flock):
        if lamb.left_how is None:
            continue
        if lamb.left_on is None:
            undated.append(lamb)
        else:
            day = lamb.left_on
            found[lamb] = Exit(HOW[lamb.left_how], day - timedelta(days=1), day, day, lamb.record.at("left_on"))
    found |= _undated(undated, season)
    for short in reversed(shortages(season)):  # the earliest first: fewest lambs can be those
        found |= _short(short, [lamb for lamb in short.lambs if lamb not in found], season.flock)
    return found


@once
def short_in_groups(season: Season) -> Mapping[Lamb, Exit]:
    """The lambs that stand for those short at a count of a group, which are lost in that group."""
    return {lamb: exit for lamb, exit in exits(season).items() if exit.how == SHORT and not exit.anywhere}


def last_known(lamb: Lamb, flock: Flock) -> date | None:
    """The last day a lamb is known to have been alive, its leaving apart. A turnout or next-day look of its ewe tells only of
    lambs that nobody has written off.
    """
    born, itself = born_on(flock, lamb), seen_itself(lamb)
    days = [born, itself]
    mother, running = flock.mother(lamb), ewe_with(flock, lamb)
    looked = lamb.named and lamb.record.filled("belly")
    if lamb.left_how is None:
        looked = looked or (mother is not None and mother.lambing is not None and mother.lambing.filled("next_day"))
        days.append(running.lambing.day("turned_out_on") if running is not None and running.lambing is not None else None)
    if born is not None and looked:
        days.append(born + timedelta(days=1))
    return max((day for day in days if day is not None), default=None)


def _short(short: Short, lambs: Sequence[Lamb], flock: Flock) -> Iterator[tuple[Lamb, Exit]]:
    """The lambs that stand for those short, and the days they are counted on."""
    chosen = _evenly(sorted(lambs, key=lambda lamb: _in_order(lamb, flock)), short.number)
    before = short.by - timedelta(days=1)
    since = [_latest(last_known(lamb, flock), short.there.get(lamb), before) for lamb in chosen]
    for lamb, after, day in zip(chosen, since, _spread(since, short.by), strict=True):
        yield lamb, Exit(SHORT, after, short.by, day, short.missed_by.check.place, short.missed_by.group is None)


def _undated(lambs: Iterable[Lamb], season: Season) -> Iterator[tuple[Lamb, Exit]]:
    """Lambs gone on a day not written: by the first count that met the book without them."""
    met = sorted((count for count in netted(season) if count.check.unexplained == 0), key=lambda count: count.on)
    together: dict[tuple[date | None, date | None], list[Lamb]] = {}
    for lamb in lambs:
        after = last_known(lamb, season.flock)
        by = next((count.on for count in met if after is not None and count.on > after
                   and in_group(lamb, count.group, count.on, season.flock)), None)
        together.setdefault((after, by), []).append(lamb)
    for (after, by), found in together.items():
        found.sort(key=lambda lamb: _in_order(lamb, season.flock))
        days: Sequence[date | None] = [None] * len(found) if by is None else _spread([after] * len(found), by)
        for lamb, day in zip(found, days, strict=True):
            if lamb.left_how is not None:
                yield lamb, Exit(HOW[lamb.left_how], after, by, day, lamb.record.at("left_on"))


def _latest(known: date | None, counted: date | None, before: date) -> date | None:
    """The later of two days, but never after the day before the lamb was known gone."""
    days = [day for day in (known, counted) if day is not None]
    return min(max(days), before) if days else None


def _spread(since: Sequence[date | None], by: date) -> list[date]:
    """A day for each lamb between the day after it was last known alive and the day it was known gone, evenly."""
    number = len(since)
    return [
        by if after is None else after + timedelta(days=ceil((2 * place + 1) * (by - after).days / (2 * number)))
        for place, after in enumerate(since)
    ]


def _evenly(lambs: Sequence[Lamb], number: int) -> list[Lamb]:
    """So many lambs at even steps through a list."""
    return [lambs[(2 * place + 1) * len(lambs) // (2 * number)] for place in range(number)]


def _in_order(lamb: Lamb, flock: Flock) -> tuple[int, str, int, str]:
    born = born_on(flock, lamb)
    return (born.toordinal() if born else 0, lamb.own_ewe or "", lamb.number or 0, lamb.rearer or "")
