"""Signs around lambing: overdue, long labour, the next day's look, and a litter that differs from the scan."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from template_builder.layout import alerts
from template_builder.layout.choices import HowRecorded
from template_builder.layout.words import shown
from workbook.results.advice.signs import Sign, lambed_at, midnight
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb, moment
from workbook.season.mating import group_of, groups, last_possible_day
from workbook.season.season import Season

NEXT_DAY_COLUMNS = ("next_day", "sides_next_day")


@dataclass(frozen=True)
class Watch:
    """What is the same for all ewes: the moment, the groups by name, and whether the flock writes the next day's look."""

    season: Season
    when: datetime
    groups: Mapping[str, Record]
    writes_looks: bool

    @classmethod
    def at(cls, season: Season, when: datetime) -> "Watch":
        written = any(row.filled(*NEXT_DAY_COLUMNS) for row in season.rows("lambing"))
        return cls(season, when, groups(season), written or any(row.filled("belly") for row in season.rows("lambs")))

    def group(self, ewe: Ewe) -> Record | None:
        return group_of(ewe, self.groups)

    def hours(self, setting: str) -> timedelta:
        return timedelta(hours=self.season.settings.number(setting))


def lambing_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """All signs around her lambing. A ewe of a group known by its counts alone has no lambing to be late with."""
    group = watch.group(ewe)
    if group is not None and group["how_recorded"] is HowRecorded.COUNTS_ONLY:
        return
    yield from _overdue(watch, ewe)
    yield from _long_labour(watch, ewe)
    yield from _next_look(watch, ewe)
    yield from _unlike_scan(ewe)


def _overdue(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Only a ewe scanned in lamb, and only after the last day on which she may still lamb."""
    if ewe.record is None or not ewe.scanned or ewe.lambed or ewe.aborted:
        return
    last, today = last_possible_day(watch.season, ewe, watch.group(ewe)), watch.when.date()
    if last is not None and today > last:
        days = (today - last).days
        why = f"{days} {_days(days)} past her last possible day, {shown(last)}; scanned {ewe.scanned}"
        dates = [ewe.record.at(column) for column in ("mated_on", "due") if ewe.record.filled(column)]
        yield Sign(alerts.OVERDUE, why, midnight(last), (ewe.record.at("scanned"), *dates[:1]))


def _days(number: int) -> str:
    return "day" if number == 1 else "days"


def _long_labour(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Waters seen and nothing after. A time without a day is the last such time before this moment."""
    if ewe.lambing is None or ewe.lambed or ewe.aborted:
        return
    waters = moment(ewe.lambing, "waters_seen", watch.when.date(), watch.when)
    if waters is None or watch.when - waters < watch.hours("long_labour"):
        return
    lapsed = watch.when - waters > alerts.LABOUR_LAPSES
    why = f"waters seen {shown(waters)}, no lambing written"
    alert = alerts.LABOUR_NOT_RECORDED if lapsed else alerts.LONG_LABOUR
    yield Sign(alert, why, waters, (ewe.lambing.at("waters_seen"),))


def _next_look(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Due some hours after lambing, lapsed after 48: then only "not recorded", and only where the flock writes it at all."""
    lambed = lambed_at(ewe)
    alive = [lamb for lamb in ewe.born_alive if lamb.left_how is None]
    if ewe.lambing is None or lambed is None or not alive or looked_at(ewe):
        return
    gone_by = watch.when - lambed
    cells = (ewe.lambing.at("lambed_on"), ewe.lambing.at("next_day"))
    if gone_by > alerts.NEXT_LOOK_LAPSES:
        if watch.writes_looks:
            yield Sign(alerts.LOOK_NOT_RECORDED, f"lambed {shown(ewe.lambed_on)}, no look written", lambed, cells)
    elif gone_by >= watch.hours("next_look"):
        yield Sign(alerts.NEXT_LOOK, f"lambed {shown(ewe.lambed_on)}: look now", lambed, cells)


def looked_at(ewe: Ewe) -> bool:
    """Whether anything is written of a look after the day she lambed."""
    if ewe.lambing is not None and ewe.lambing.filled(*NEXT_DAY_COLUMNS):
        return True
    if any(lamb.record.filled("belly") for lamb in ewe.lambs if lamb.named):
        return True
    days = [check.day("date") for check in ewe.checks]
    return any(day is not None and ewe.lambed_on is not None and day > ewe.lambed_on for day in days)


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
