"""Ewes to the ram: how many the groups state, and which ewes and lambs may be counted against them.

A group that does not say it, or of which more ewes lambed or died than it says went to the ram, is left out below the line and
above it: else its lambs would be counted over the ewes of others.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.layout.choices import EweLeft
from template_builder.layout.words import sentence, so_many
from workbook.results.litters.figure import Denominator
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.groups import Groups
from workbook.season.matching import fold
from workbook.season.season import Season, once

WORDS = "ewes to the ram"
NOT_STATED = "Not worked out: no group on Groups says how many ewes went to the ram."


class TooMany(NamedTuple):
    """More ewes lambed or died than went to the ram: the row that says how many went, and the words."""

    row: Record
    group: str
    words: str


@dataclass(frozen=True)
class ToRam:
    """`number` is None where it is not known, and `note` says why, or which groups are left out.

    `stated` are the folded names of the groups counted; `apart` says that others are left out.
    """

    number: int | None
    note: str = ""
    stated: frozenset[str] = frozenset()
    apart: bool = False

    @property
    def denominator(self) -> Denominator:
        return Denominator(self.number, WORDS, self.note)

    def holds(self, ewe: Ewe | None) -> bool:
        """Whether a ewe may be counted: all may while no group is left out, else those whose group is counted."""
        return not self.apart or ewe is not None and ewe.group in self.stated


@once
def to_ram(season: Season) -> ToRam:
    """The ewes to the ram of all groups recorded by ewe or lamb that say it and can be so."""
    groups = Groups.of(season)
    rows = groups.in_the_book
    if groups.rows and not rows:
        return ToRam(0)
    wrong = {found.group for found in too_many(season)}
    silent = [name for row in rows if (name := row.words("group")) and _number(row) is None]
    kept = [row for row in rows if _number(row) is not None and row.words("group") not in wrong]
    if not any(_number(row) is not None for row in rows):
        return ToRam(None, NOT_STATED)
    stated = frozenset(fold(row.words("group")) for row in kept)
    unnamed = _lambed_or_died(ewe for ewe in season.flock.ewes.values() if not ewe.group)
    apart = bool(silent or wrong)
    notes = [
        *[f"without {', '.join(silent)}: ewes to the ram not written"] * bool(silent),
        *[f"without {', '.join(sorted(wrong))}: more ewes lambed or died than went to the ram"] * bool(wrong),
        *[f"without {so_many(unnamed, 'ewe')} whose group is not written"] * bool(apart and unnamed),
    ]
    if FLOCK in wrong or not kept:
        return ToRam(None, "Not worked out: more ewes lambed or died than went to the ram; see To correct.")
    return ToRam(sum(_number(row) or 0 for row in kept), sentence("; ".join(notes)), stated, apart)


FLOCK = "the whole flock"


def too_many(season: Season) -> Iterator[TooMany]:
    """Groups, else the whole flock, of which more ewes lambed or died than went to the ram."""
    rows = [row for row in Groups.of(season).in_the_book if _number(row) is not None]
    all_stated = len(rows) == len(Groups.of(season).in_the_book)
    named = {fold(row.words("group")) for row in rows}
    found = 0
    for row in rows:
        name, number = row.words("group"), _number(row) or 0
        there = _lambed_or_died(ewe for ewe in season.flock.ewes.values() if ewe.group == fold(name))
        if there > number:
            found += 1
            yield TooMany(row, name, f"group {name}: {so_many(number, 'ewe')} to the ram, but {there} lambed or died")
    if rows and not found and all_stated:
        there = _lambed_or_died(ewe for ewe in season.flock.ewes.values() if not ewe.group or ewe.group in named)
        number = sum(_number(row) or 0 for row in rows)
        if there > number:
            yield TooMany(rows[0], FLOCK, f"{FLOCK}: {so_many(number, 'ewe')} to the ram, but {there} lambed or died")


def _number(row: Record) -> int | None:
    """Ewes to the ram; none or fewer is no number to count against."""
    number = row.whole("ewes_to_ram")
    return number if number is not None and number > 0 else None


def _lambed_or_died(ewes: Iterable[Ewe]) -> int:
    return sum(ewe.lambed or ewe.record is not None and ewe.record["left_how"] is EweLeft.DIED for ewe in ewes)
