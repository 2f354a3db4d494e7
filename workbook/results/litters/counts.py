"""Counts someone made, held against the book: what it expects, what was counted, and by how much they differ.

A pet lamb is counted with the group of its own ewe until the day it was moved, and from that day in no count of lambs,
neither of a group nor of the whole flock: those on the bottle stand apart, and the words say how many.

Nothing is rewritten. A count above the book is an error for a person to clear up. A count below it makes lambs short in
the account, by these rules:

- Of the counts of one group the latest stands; of two on one day the higher, since a lamb counted was there.
- A count of the whole flock replaces every group count made on or before its day. What it finds missing beyond the group
  counts made later is kept as far as lambs outside those groups can make it up.
- Lambs written down as missing after the count are the lambs it missed: they are not short as well.
- A lamb known to have left after the count was there, so that no more are short than the book still holds.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import Born, LambLeft, Stage
from workbook.season.cells import CellRef, Record
from workbook.season.families import Flock, Lamb
from workbook.season.groups import Groups, born_on, ewe_with, group_name, on_the_bottle
from workbook.season.matching import fold
from workbook.season.season import Season, once

WHOLE_FLOCK = "whole flock"


@dataclass(frozen=True)
class CountCheck:
    """A count as an assertion: what the book expects, what was counted, and the difference (counted - expected).

    `group` is "whole flock" for a count without a group.
    """

    place: CellRef
    group: str
    stage: str
    expected: int
    counted: int
    difference: int
    words: str
    on: date | None = None


class Assertion(NamedTuple):
    """A count, the folded name of its group (None for the whole flock), and the lambs the book expects there."""

    check: CountCheck
    group: str | None
    on: date
    lambs: tuple[Lamb, ...]


@once
def assertions(season: Season) -> tuple[Assertion, ...]:
    """Every count of lambs that can be held against the book, in row order."""
    flock, groups = season.flock, Groups.of(season)
    return tuple(
        _assertion(row, on, flock)
        for row in season.rows("counts")
        if (on := row.day("date")) is not None and row.whole("lambs") is not None
        and not why_not_compared(row, groups) and not _by_count(row, groups)
    )


def _by_count(row: Record, groups: Groups) -> bool:
    """Whether the group counted is known by such counts only: the count is its record, there is nothing to meet."""
    group = row.text("group")
    return group is not None and groups.by_count(group)


def why_not_compared(row: Record, groups: Groups) -> str:
    """Why a count of lambs cannot be compared with the book; empty where it can, or where no lambs were counted."""
    group = row.text("group")
    if row.whole("lambs") is None:
        return ""
    if row.day("date") is None:
        return "without its date it cannot be compared with the book"
    if group is None and row.filled("group"):
        return "without its group it cannot be compared with the book"
    if group is not None and groups.by_count(group) and not row.filled("stage"):
        return "without its stage it cannot be used for a group known by counts only"
    if group is None and any(groups.by_count(name) for name in groups.rows):
        return "a count of the whole flock takes in groups known by counts only, whose lambs are not in the book"
    return ""


def short_at_last_count(season: Season, counts: Iterable[Assertion]) -> int:
    """Home-born lambs booked but not there at the last count, by the rules on top of this module."""
    short, spoken_for = 0, set[Lamb]()
    for count in _standing(tuple(counts)):
        still_booked = [lamb for lamb in count.lambs if lamb.left_how is None and not lamb.bought and lamb not in spoken_for]
        missed = -count.check.difference - _missing_since(count)
        if count.group is None:
            missed -= short
        short += max(0, min(missed, len(still_booked)))
        spoken_for.update(count.lambs)
    return short


def seen_at_counts(counts: Iterable[Assertion]) -> frozenset[Lamb]:
    """The lambs of every count that met the book."""
    return frozenset(lamb for count in counts if count.check.difference == 0 for lamb in count.lambs)


def _standing(counts: tuple[Assertion, ...]) -> list[Assertion]:
    """The counts that stand: each group's last one made after the last of the whole flock, newest first, then that."""
    last: dict[str | None, Assertion] = {}
    for count in sorted(counts, key=lambda count: (count.on, count.check.counted)):
        last[count.group] = count
    whole = last.pop(None, None)
    of_groups = [count for count in last.values() if whole is None or count.on > whole.on]
    of_groups.sort(key=lambda count: (-count.on.toordinal(), count.group or ""))
    return of_groups if whole is None else [*of_groups, whole]


def _missing_since(count: Assertion) -> int:
    return sum(lamb.left_how is LambLeft.MISSING for lamb in count.lambs)


def _assertion(row: Record, on: date, flock: Flock) -> Assertion:
    group, counted = row.text("group"), row.whole("lambs") or 0
    folded = None if group is None else fold(group)
    lambs = booked_in(flock, folded, on)
    stage, difference = row.choice("stage", Stage), counted - len(lambs)
    pets = sum(_booked(lamb, on, flock) and on_the_bottle(lamb, on) for lamb in flock.lambs) if folded is None else 0
    check = CountCheck(
        row.at("lambs"), group or WHOLE_FLOCK, stage.label if stage else "", len(lambs), counted, difference,
        _words(group, difference, len(lambs), counted, pets), on,
    )
    return Assertion(check, folded, on, lambs)


def booked_in(flock: Flock, group: str | None, on: date) -> tuple[Lamb, ...]:
    """The lambs the book has in a group (by folded name; None for the whole flock) at the end of a day, pets apart."""
    return tuple(lamb for lamb in flock.lambs if _booked(lamb, on, flock) and _in_group(lamb, group, on, flock))


def _booked(lamb: Lamb, on: date, flock: Flock) -> bool:
    """Whether the book has a lamb here at the end of a day. One that left on a day not written had left before."""
    if lamb.born is not Born.ALIVE:
        return False
    here_from = _came_on(lamb) if lamb.bought else born_on(flock, lamb)
    if here_from is not None and here_from > on:
        return False
    return lamb.left_how is None or (lamb.left_on is not None and lamb.left_on > on)


def _came_on(lamb: Lamb) -> date | None:
    """The day a bought lamb came; of one that came with her ewe and was moved from her later that is not written."""
    moved_later = lamb.came_with is not None and lamb.rearer != lamb.came_with
    return None if moved_later else lamb.moved_on


def _in_group(lamb: Lamb, group: str | None, on: date, flock: Flock) -> bool:
    if group is None:
        return not on_the_bottle(lamb, on)
    name = group_name(ewe_with(flock, lamb, on), on)
    return name is not None and fold(name) == group


def _lambs(number: int) -> str:
    return "1 lamb" if number == 1 else f"{number} lambs"


def _words(group: str | None, difference: int, expected: int, counted: int, pets: int) -> str:
    where = f"in group {group}" if group else "in the whole flock"
    where += f" ({pets} on the bottle apart)" if pets else ""
    if difference == 0:
        return f"agrees with the book: {_lambs(counted)} {where}"
    direction = f"{-difference} fewer than the book" if difference < 0 else f"{difference} more than the book"
    return f"{direction}: {_lambs(expected)} expected {where}, {counted} counted"
