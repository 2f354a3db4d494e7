"""Looks at a ewe that disagree with the book or with one another: condition, lambs at foot, milk."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from template_builder.layout.choices import Born, Milk
from template_builder.layout.sides import BOTH_DRY
from template_builder.layout.words import shown, so_many
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.believable import believable, born, lambed
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Season

CONDITION_JUMP = Limit("Largest change of condition believed", 1.5, "scores",
                       "A ewe puts on or loses about one score in eight to ten weeks.", "farm advice at second hand; house rule")


class Score(NamedTuple):
    """A condition score, when it was taken and where it stands."""

    score: float
    day: date
    place: CellRef
    words: str


@declare("C147", "condition-jump", title="A ewe's condition changed more than it can have", severity=Severity.NOTE,
         why="One of the two scores is probably mistyped, or another ewe's.", source="house rule",
         uses=("ewes.condition", "lambing.condition", "ewe_check.condition"), fix="Correct the score or the ewe's number.",
         limits=(CONDITION_JUMP,))
def condition_jump(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        for before, after in pairwise(_scores(season, ewe)):
            if abs(after.score - before.score) > CONDITION_JUMP.value:
                text = f"ewe {ewe.name}: condition {after.words}, but {before.words}"
                yield Found(after.place, text, f"{after.score:g}", (before.place,), ewe.name)


def _scores(season: Season, ewe: Ewe) -> list[Score]:
    """Her condition scores with a date, in order."""
    written = [(ewe.record, "scanned_on", "at scanning"), (ewe.lambing, "lambed_on", "at lambing")]
    written += [(check, "date", "") for check in ewe.checks]
    found = []
    for row, column, when in written:
        score, day = row.number("condition") if row else None, believable(season, row, column)
        if row and score is not None and day:
            found.append(Score(score, day, row.at("condition"), f"{score:g} {when or 'on ' + shown(day)}"))
    return sorted(found, key=lambda one: one.day)


@declare("C148", "at-foot-before-lambing", title="A ewe was seen with lambs before she lambed", severity=Severity.WARNING,
         why="The look is another ewe's, or one of the two dates is wrong.", source="house rule",
         uses=("ewe_check.date", "ewe_check.lambs_at_foot", "lambing.lambed_on"),
         fix="Correct the ewe's number or one of the dates.")
def at_foot_before_lambing(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        on = lambed(season, ewe)
        if on is None or ewe.lambing is None:
            continue
        for check in ewe.checks:
            day, at_foot = check.day("date"), check.whole("lambs_at_foot")
            if day and season.days.first <= day < on and at_foot:
                text = f"ewe {ewe.name} seen with {so_many(at_foot, 'lamb')} on {shown(day)}, but lambed on {shown(on)}"
                yield Found(check.at("date"), text, shown(day), (ewe.lambing.at("lambed_on"),), ewe.name)


@declare("C149", "more-at-foot-than-booked", title="A ewe was seen with more lambs than are booked on her",
         severity=Severity.WARNING, why="A lamb set on to her may not be written, or a lamb still alive is written as left.",
         source="house rule", uses=("ewe_check.lambs_at_foot", "lambs.reared_by", "lambs.foster_ewe"),
         fix="Write who rears the lamb, or correct the number seen.")
def more_at_foot_than_booked(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        if not ewe.family:
            continue
        for check in ewe.checks:
            day, at_foot = believable(season, check, "date"), check.whole("lambs_at_foot")
            if day is None or not at_foot or _too_early(season, ewe, day):
                continue
            booked = sum(_could_be_with(season, lamb, day) for lamb in set(ewe.family))
            if at_foot > booked:
                text = f"ewe {ewe.name} seen with {so_many(at_foot, 'lamb')} on {shown(day)}, but {booked} booked on her then"
                yield Found(check.at("lambs_at_foot"), text, str(at_foot), (), ewe.name)


def _too_early(season: Season, ewe: Ewe, day: date) -> bool:
    on = lambed(season, ewe)
    return on is not None and day < on


def _could_be_with(season: Season, lamb: Lamb, day: date) -> bool:
    """Whether a lamb borne by a ewe, or set on to her, may have been with her that day. A day not written leaves it open."""
    on = born(season, lamb)
    if lamb.born is not Born.ALIVE:
        return False
    if lamb.left_how is not None and lamb.left_on is not None and lamb.left_on < day:
        return bool(on and lamb.left_on < on)  # left before it was born: that date is wrong
    return not (on and on > day) and not (lamb.moved_on and lamb.moved_on < day and lamb.rearer is None)


@declare("C161", "dry-with-lambs", title="A ewe is dry or has no side in milk, but has lambs at foot", severity=Severity.WARNING,
         why="Either her lambs go hungry or one of the cells is a slip; ewes without milk are looked for at selection.",
         source="house rule", uses=("ewe_check.milk", "ewe_check.sides_in_milk", "ewe_check.lambs_at_foot"),
         fix="Look at the ewe and her lambs again, or correct the cell.")
def dry_with_lambs(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        for check in ewe.checks:
            at_foot = check.whole("lambs_at_foot")
            if at_foot and (dry := _dry(check)):
                text = f"ewe {ewe.name}: {dry[1]}, but {so_many(at_foot, 'lamb')} at foot"
                yield Found(check.at(dry[0]), text, str(at_foot), (check.at("lambs_at_foot"),), ewe.name)


def _dry(check: Record) -> tuple[str, str] | None:
    """The cell that says she has no milk, and its words; None where none does."""
    if check["milk"] is Milk.DRY:
        return "milk", "milk says dry"
    if check["milk"] is Milk.MILKED_AND_LOST:
        return "milk", "milk says milked and lost"
    return ("sides_in_milk", "0 sides in milk") if BOTH_DRY.said_by(check.number("sides_in_milk")) else None
