"""What matters before lambing: scans, due days, condition of ewes that are easily thin, ram dates. Quiet once lambing has begun.

Each asks for what is missing among what the flock does write; what it never writes is said once, as a note.
"""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from template_builder.layout.choices import HowRecorded
from template_builder.layout.settings import SETTING
from workbook.results.clinical.looks import last_condition
from workbook.rules.rule import BLANK, Found, Limit, Severity, declare
from workbook.season.ages import AgeClass, age_class
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.matching import fold
from workbook.season.mating import groups, lambing_days
from workbook.season.season import Season, once

MANY_LAMBS = Limit("Lambs that easily make a ewe thin", 2, "lambs", "Twins and more draw on her most.", "house rule")
SCORED = Limit("Share scored from which a blank condition is asked about", 50, "% of ewes at risk",
               "Who scores a few ewes only, those that look thin, has not forgotten the others.", "house rule")
HOUSE = "house rule"


class Waiting(NamedTuple):
    """Ewes that are here, of groups in which lambing has not begun, and the first day one of them is expected to lamb."""

    ewes: tuple[Ewe, ...]
    first: date | None

    @property
    def in_lamb(self) -> tuple[Ewe, ...]:
        return tuple(ewe for ewe in self.ewes if ewe.scanned)


@once
def waiting(season: Season) -> Waiting:
    """Quiet for a group from its first lambing, or its first due day, on; and for groups known by their counts alone."""
    named = groups(season)
    by_group: dict[str, list[Ewe]] = {}
    for ewe in season.flock.ewes.values():
        if ewe.record is not None:
            by_group.setdefault(ewe.group, []).append(ewe)
    found: list[Ewe] = []
    days: list[date] = []
    for name, ewes in by_group.items():
        row = named.get(name)
        first = _first_expected(season, ewes, row)
        begun = any(ewe.delivered and not ewe.aborted for ewe in ewes) or (first is not None and season.as_of.date() >= first)
        if not begun and not (row and row["how_recorded"] is HowRecorded.COUNTS_ONLY):
            found += [ewe for ewe in ewes if not (ewe.gone or ewe.delivered)]
            days += [first] if first else []
    return Waiting(tuple(found), min(days, default=None))


def _first_expected(season: Season, ewes: Iterable[Ewe], group: Record | None) -> date | None:
    """The first due day of a group, else the first day one of its ewes may lamb; a day of another season is a slip."""
    may = (one.first for ewe in ewes if (one := lambing_days(season, ewe, group)))
    for found in ((ewe.due for ewe in ewes), may):
        if days := [day for day in found if day and day in season.days]:
            return min(days)
    return None


def _asked(ewe: Ewe, column: str, text: str, value: str = BLANK) -> Found:
    assert ewe.record is not None, ewe.name
    return Found(ewe.record.at(column), text, value, (ewe.record.at("ewe"),), ewe.name)


@declare("C171", "ewe-not-scanned", title="A ewe has no scan, but others of her group have one", severity=Severity.WARNING,
         why="Nobody knows what to feed her for, and she stands in no feeding group on Plan.", source=HOUSE,
         uses=("ewes.scanned", "ewes.group"), fix="Write her scan, 0 where she is empty, or ? where nobody knows.")
def ewe_not_scanned(season: Season) -> Iterator[Found]:
    ewes = waiting(season).ewes
    scanned = {ewe.group for ewe in ewes if ewe.scanned is not None}
    for ewe in ewes:
        if _blank(ewe, "scanned") and ewe.group in scanned:
            yield _asked(ewe, "scanned", f"ewe {ewe.name} has no scan, and others of her group have one")


@declare("C172", "due-day-missing", title="A ewe in lamb has no due day, but others have one", severity=Severity.WARNING,
         why="She is in no night of the forecast, and nothing is counted back for her.", source=HOUSE,
         uses=("ewes.scanned", "ewes.due"),
         fix="Write Due on Ewes: the day she was mated, else the ram's first day, plus the days of gestation on Season.")
def due_day_missing(season: Season) -> Iterator[Found]:
    in_lamb = waiting(season).in_lamb
    for ewe in in_lamb if any(ewe.due for ewe in in_lamb) else ():
        if _blank(ewe, "due"):
            yield _asked(ewe, "due", f"ewe {ewe.name}, scanned {ewe.scanned}, has no due day")


@declare("C173", "condition-of-ewe-at-risk-missing", title="A ewe that is easily thin has no condition", severity=Severity.NOTE,
         why="With twins or more, or at her first lambing, she loses condition first; Plan names her only where it is written.",
         source="aim for 2.5 to 3 in late pregnancy: Cranston and others 2017, Anim Biosci 30(9), by abstract; whom to score is "
                "common practice, no source",
         uses=("ewes.scanned", "ewes.condition"), fix="Feel her back and write her condition on Ewes or Ewe check.",
         limits=(MANY_LAMBS, SCORED))
def condition_of_ewe_at_risk_missing(season: Season) -> Iterator[Found]:
    at_risk = _at_risk(season)
    blank = [ewe for ewe in at_risk if last_condition(ewe) is None and _blank(ewe, "condition")]
    scored = len(at_risk) - len(blank)
    if scored and 100 * scored >= SCORED.value * len(at_risk):
        for ewe in blank:
            why = f"scanned {ewe.scanned}" if (ewe.scanned or 0) >= MANY_LAMBS.value else "lambing for the first time"
            yield _asked(ewe, "condition", f"ewe {ewe.name}, {why}, has no condition")


@declare("C174", "ram-dates-missing", title="A group has no ram dates, but others have them", severity=Severity.WARNING,
         why="Without them no due day of its ewes can be worked out or checked.", source=HOUSE,
         uses=("groups.group", "groups.ram_in"), fix="Write Ram in and Ram out on Groups.")
def ram_dates_missing(season: Season) -> Iterator[Found]:
    named = groups(season)
    with_ewes = {ewe.group for ewe in waiting(season).ewes if not (ewe.record and ewe.record.day("mated_on"))}
    by_count = {name for name, row in named.items() if _tally_waits(season, name, row)}
    if not any(row.day("ram_in") for row in named.values()):
        return
    for name, row in named.items():
        if name in with_ewes | by_count and not row.filled("ram_in"):
            yield Found(row.at("ram_in"), f"group {row.text('group')} has no first ram day", BLANK, (row.at("group"),),
                        row.words("group"))


@declare("C175", "nothing-to-plan-by", title="The flock writes nothing of what Plan goes by", severity=Severity.NOTE,
         why="Plan can only show what the records hold; a flock that does not keep this needs no reminding of each ewe.",
         source=HOUSE, uses=("ewes.scanned", "ewes.due", "ewes.condition"),
         fix="Write it for next time if Plan is wanted; else answer once on Answers.", limits=(SETTING["mineral_check"],))
def nothing_to_plan_by(season: Season) -> Iterator[Found]:
    found = waiting(season)
    to_scan = found.ewes if _time_to_plan(season, found.first) else ()
    nobody = {  # column: whose it would be, what is answered, for one ewe can lack all three, and what is said
        "scanned": (to_scan, "no scan", "no ewe has a scan: Plan makes no feeding groups"),
        "due": (found.in_lamb, "no due day", "no ewe in lamb has a due day: nothing is counted back before lambing"),
        "condition": (_at_risk(season), "no condition", "no ewe with twins or more, or lambing for the first time, has a "
                      "condition: Plan names no thin ewe"),
    }
    for column, (ewes, value, text) in nobody.items():
        if ewes and all(_never(ewe, column) for ewe in ewes):
            yield _asked(ewes[0], column, text, value)


def _at_risk(season: Season) -> tuple[Ewe, ...]:
    return tuple(ewe for ewe in waiting(season).in_lamb
                 if (ewe.scanned or 0) >= MANY_LAMBS.value or age_class(season, ewe) is AgeClass.FIRST)


def _never(ewe: Ewe, column: str) -> bool:
    return _blank(ewe, column) and (column != "condition" or last_condition(ewe) is None)


def _blank(ewe: Ewe, column: str) -> bool:
    return ewe.record is not None and not ewe.record.filled(column)


def _time_to_plan(season: Season, first: date | None) -> bool:
    """Whether what is planned first is due: before, nobody need have scanned yet."""
    return first is not None and season.as_of.date() >= first - timedelta(days=season.settings.number("mineral_check"))


def _tally_waits(season: Season, name: str, row: Record) -> bool:
    """Whether a group known by its counts has a tally and no count was made of it yet."""
    counted = any(fold(count.words("group")) in (name, "") for count in season.rows("counts"))
    return row["how_recorded"] is HowRecorded.COUNTS_ONLY and row.whole("tally_ewes") is not None and not counted
