"""Counts someone made, held against the book: what it expects, what was counted, and by how much they differ.

A pet lamb is counted with the group of its own ewe until the day it was moved, and from that day in no count of lambs,
neither of a group nor of the whole flock: those on the bottle stand apart, and the words say how many.

A count is an assertion; what follows from one that is not met stands in `occasions` (strays) and `shortages`.
"""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import Born, Stage
from template_builder.layout.words import so_many
from workbook.season.cells import CellRef, Record
from workbook.season.families import Flock, Lamb
from workbook.season.groups import Groups, born_on, ewe_with, group_name, on_the_bottle
from workbook.season.matching import fold
from workbook.season.season import Season, once

WHOLE_FLOCK = "whole flock"


@dataclass(frozen=True)
class CountCheck:
    """A count as an assertion: what the book expects, what was counted, and the difference (counted - expected).

    `group` is "whole flock" for a count without a group. `strayed` are lambs that likely ran with another group that day:
    above 0 they came to this one, below 0 they went.
    """

    place: CellRef
    group: str
    stage: str
    expected: int
    counted: int
    difference: int
    words: str
    on: date | None = None
    strayed: int = 0

    @property
    def unexplained(self) -> int:
        """The difference that strays do not account for."""
        return self.difference - self.strayed


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
    return tuple(lamb for lamb in flock.lambs if _booked(lamb, on, flock) and in_group(lamb, group, on, flock))


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


def in_group(lamb: Lamb, group: str | None, on: date, flock: Flock) -> bool:
    """Whether a count of a group (by folded name; None for the whole flock) is of this lamb, if it is still here."""
    if group is None:
        return not on_the_bottle(lamb, on)
    name = group_name(ewe_with(flock, lamb, on), on)
    return name is not None and fold(name) == group


def _words(group: str | None, difference: int, expected: int, counted: int, pets: int) -> str:
    where = f"in group {group}" if group else "in the whole flock"
    where += f" ({pets} on the bottle apart)" if pets else ""
    if difference == 0:
        return f"agrees with the book: {so_many(counted, 'lamb')} {where}"
    direction = f"{-difference} fewer than the book" if difference < 0 else f"{difference} more than the book"
    return f"{direction}: {so_many(expected, 'lamb')} expected {where}, {counted} counted"
