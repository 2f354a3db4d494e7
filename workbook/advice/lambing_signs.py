"""Signs around lambing: overdue, long labour, the next day's look, and a litter that differs from the scan."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from template_builder.choices import HowRecorded
from workbook.advice import alerts
from workbook.advice.signs import Sign, lambed_at, midnight
from workbook.cells import CellRef, shown
from workbook.flock import Ewe, Lamb, moment
from workbook.mating import group_of, groups, last_possible_day
from workbook.season import Season

NEXT_DAY_COLUMNS = ("next_day", "sides_next_day")


def lambing_signs(season: Season, ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """All signs around her lambing. A ewe of a group known by its counts alone has no lambing to be late with."""
    group = group_of(ewe, groups(season))
    if group is not None and group["how_recorded"] is HowRecorded.COUNTS_ONLY:
        return
    yield from _overdue(season, ewe, when)
    yield from _long_labour(season, ewe, when)
    yield from _next_look(season, ewe, when)
    yield from _unlike_scan(ewe)


def _overdue(season: Season, ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """Only a ewe scanned in lamb, and only after the last day on which she may still lamb."""
    if ewe.record is None or not ewe.scanned or ewe.lambed or ewe.aborted:
        return
    last = last_possible_day(season, ewe, group_of(ewe, groups(season)))
    if last is not None and when.date() > last:
        days = (when.date() - last).days
        why = f"{days} {_days(days)} past her last possible day, {shown(last)}; scanned {ewe.scanned}"
        yield Sign(alerts.OVERDUE, why, midnight(last), (ewe.record.at("scanned"), ewe.record.at("due")))


def _days(number: int) -> str:
    return "day" if number == 1 else "days"


def _long_labour(season: Season, ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """Waters seen and nothing after. A time without a day is the last such time before this moment."""
    if ewe.lambing is None or ewe.lambed or ewe.aborted:
        return
    waters = moment(ewe.lambing, "waters_seen", ewe.lambed_on or when.date(), when)
    limit = timedelta(hours=season.settings.number("long_labour"))
    if waters is None or not limit <= when - waters:
        return
    lapsed = when - waters > alerts.LABOUR_LAPSES
    why = f"waters seen {shown(waters)}, no lambing written"
    alert = alerts.LABOUR_NOT_RECORDED if lapsed else alerts.LONG_LABOUR
    yield Sign(alert, why, waters, (ewe.lambing.at("waters_seen"),))


def _next_look(season: Season, ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """Due some hours after lambing, lapsed after 48: then only "not recorded", and only where the flock writes it at all."""
    lambed = lambed_at(ewe)
    alive = [lamb for lamb in ewe.born_alive if lamb.left_how is None]
    if ewe.lambing is None or lambed is None or not alive or looked_at(ewe):
        return
    gone_by = when - lambed
    cells = (ewe.lambing.at("lambed_on"), ewe.lambing.at("next_day"))
    if gone_by > alerts.NEXT_LOOK_LAPSES:
        if _flock_writes_it(season):
            yield Sign(alerts.LOOK_NOT_RECORDED, f"lambed {shown(ewe.lambed_on)}, no look written", lambed, cells)
    elif gone_by >= timedelta(hours=season.settings.number("next_look")):
        yield Sign(alerts.NEXT_LOOK, f"lambed {shown(ewe.lambed_on)}: look now", lambed, cells)


def looked_at(ewe: Ewe) -> bool:
    """Whether anything is written of a look after the day she lambed."""
    if ewe.lambing is not None and ewe.lambing.filled(*NEXT_DAY_COLUMNS):
        return True
    if any(lamb.record.filled("belly") for lamb in ewe.lambs if lamb.named):
        return True
    days = [check.day("date") for check in ewe.checks]
    return any(day is not None and ewe.lambed_on is not None and day > ewe.lambed_on for day in days)


def _flock_writes_it(season: Season) -> bool:
    return any(row.filled(*NEXT_DAY_COLUMNS) for row in season.rows("lambing")) or any(
        row.filled("belly") for row in season.rows("lambs"))


def _unlike_scan(ewe: Ewe) -> Iterator[Sign]:
    """Every lamb written down counts here: born, mummified or aborted."""
    if ewe.record is None or not ewe.lambed or not ewe.scanned or not ewe.lambs or len(ewe.lambs) == ewe.scanned:
        return
    fewer = len(ewe.lambs) < ewe.scanned
    cells = (ewe.record.at("scanned"), *(_lamb_cell(lamb) for lamb in ewe.lambs))
    why = f"scanned {ewe.scanned}, {len(ewe.lambs)} written down"
    yield Sign(alerts.MISSING_LAMB if fewer else alerts.MORE_LAMBS, why, lambed_at(ewe), tuple(dict.fromkeys(cells)))


def _lamb_cell(lamb: Lamb) -> CellRef:
    return lamb.record.at("born" if lamb.named else "born_alive")
