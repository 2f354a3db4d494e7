"""Who rears a lamb: too many on one ewe, a ewe that is not there, one that refused it, one that had not lambed."""

from collections.abc import Iterator
from datetime import date, timedelta

from template_builder.layout.choices import Born, RearedBy, Taken
from template_builder.layout.settings import SETTING
from template_builder.layout.words import shown
from workbook.results.clinical.hers import at_her_side
from workbook.rules.checks.lamb_rows import with_rows
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.believable import believable, lambed
from workbook.season.families import Ewe
from workbook.season.groups import Groups, weaned_on
from workbook.season.mating import later
from workbook.season.season import Season

MOST_REARED = Limit("Lambs one ewe may rear", 4, "lambs", "She has two teats; with more, a number is probably wrong.",
                    "house rule")


@declare("C150", "rears-too-many", title="More lambs are set on to a ewe than she can rear", severity=Severity.NOTE,
         why="A foster ewe's number may be wrong, or her lambs may go hungry.", source="house rule",
         uses=("lambs.foster_ewe",), fix="Check the foster ewe's number, and whether all of them are full.",
         limits=(MOST_REARED,))
def rears_too_many(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        rearing = at_her_side(ewe) if ewe.fostered else ()
        if len(rearing) > MOST_REARED.value:
            names = ", ".join(lamb.name for lamb in rearing)
            first, *others = ewe.fostered
            yield Found(first.record.at("foster_ewe"), f"ewe {ewe.name} rears {len(rearing)} lambs: {names}", str(len(rearing)),
                        tuple(lamb.record.at("foster_ewe") for lamb in others), ewe.name)


@declare("C151", "booked-on-ewe-that-left", title="Lambs not weaned are booked on a ewe that died or left",
         severity=Severity.WARNING, why="Somebody else rears them, or they left with her; she would get the credit.",
         source="house rule", uses=("ewes.left_on", "ewes.left_how", "lambs.reared_by"),
         fix="Write who rears them now, or the day they left.", limits=(SETTING["weaning_age"],))
def booked_on_ewe_that_left(season: Season) -> Iterator[Found]:
    groups = Groups.of(season)
    for ewe in season.flock.ewes.values():
        had_lambs = ewe.lambs or ewe.brought or ewe.lambed
        if ewe.record is None or not ewe.gone or not had_lambs or _weaned_before_she_left(season, groups, ewe):
            continue
        lambs = [lamb for lamb in at_her_side(ewe) if lamb.named and not _moved_after(lamb.moved_on, ewe)]
        if lambs:
            how = shown(ewe.record["left_how"]) or "left"
            when = f" on {shown(ewe.left_on)}" if ewe.left_on else ""
            names = ", ".join(lamb.name for lamb in lambs)
            text = f"ewe {ewe.name} {_verb(how)}{when}, but these lambs are still booked on her: {names}"
            yield Found(ewe.record.at("left_on"), text, str(len(lambs)), tuple(lamb.record.at("reared_by") for lamb in lambs),
                        ewe.name)


def _verb(how: str) -> str:
    """How she left, as the verb of a sentence."""
    return {"sold": "was sold", "culled": "was culled", "missing": "went missing"}.get(how, how)


def _moved_after(moved: date | None, ewe: Ewe) -> bool:
    """Whether a lamb was set on to her when she was gone, which is an error of its own."""
    return bool(moved and ewe.left_on and moved > ewe.left_on)


def _weaned_before_she_left(season: Season, groups: Groups, ewe: Ewe) -> bool:
    """Whether her lambs were weaned by then: by the day on Groups, else by their age."""
    on = lambed(season, ewe)
    weaned = weaned_on(groups, ewe) or (on and later(on, season.settings.number("weaning_age")))
    return bool(ewe.left_on and weaned and ewe.left_on >= weaned)


@declare("C152", "refused-but-not-moved", title="A ewe refused a lamb that is still booked on her", severity=Severity.WARNING,
         why="A lamb she would not have is reared by somebody else, or she took it after all.", source="house rule",
         uses=("lambs.taken", "lambs.reared_by"), fix="Write who rears it, or “slowly” in Taken by ewe if she took it after all.")
def refused_but_not_moved(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        row = lamb.record
        if row["taken"] is not Taken.REFUSED or lamb.born is not Born.ALIVE or lamb.left_how is not None:
            continue
        if lamb.bearer and lamb.reared_by is RearedBy.OWN_EWE and not row.filled("moved_on"):
            says = "reared by says own ewe" if row["reared_by"] else "reared by is blank, which stands for own ewe"
            yield Found(row.at("taken"), f"lamb {lamb.name} was refused, but {says}", shown(row["taken"]),
                        (row.at("reared_by"),), lamb.name)


SET_ON_EARLY = Limit("Days before her lambing that a lamb may be set on", 1, "days", "Lambing may run past midnight.",
                     "house rule")


@declare("C159", "set-on-before-lambing", title="A lamb is set on to a ewe before she lambed", severity=Severity.WARNING,
         why="She had no milk and no lamb of her own then, so a number or a date is probably wrong.",
         source="common practice, no source", uses=("lambs.moved_on", "lambs.foster_ewe", "lambing.lambed_on"),
         fix="Correct the foster ewe, the day it was moved or the day she lambed.", limits=(SET_ON_EARLY,))
def set_on_before_lambing(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        on = lambed(season, ewe)
        for lamb in ewe.fostered:
            moved = believable(season, lamb.record, "moved_on")
            if on and moved and ewe.lambing and moved + timedelta(days=SET_ON_EARLY.value) < on:
                text = f"lamb {lamb.name} was set on to ewe {ewe.name} on {shown(moved)}, but she lambed on {shown(on)}"
                yield Found(lamb.record.at("moved_on"), text, shown(moved), (ewe.lambing.at("lambed_on"),), lamb.name)
