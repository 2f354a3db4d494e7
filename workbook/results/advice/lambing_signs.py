"""Signs around lambing: overdue, in labour, the next day's look, and a litter that differs from the scan."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from template_builder.layout import alerts
from template_builder.layout.alerts import Alert
from template_builder.layout.choices import HowRecorded
from template_builder.layout.words import shown, so_many
from workbook.results.advice.signs import Sign, Watch, hours_ago, lambed_at, midnight, next_day_look
from workbook.results.clinical.looks import last_looked_on
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb, moment
from workbook.season.mating import last_possible_day
from workbook.season.season import Season


def lambing_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """All signs around her lambing."""
    if not _followed(watch, ewe):
        return
    yield from _overdue(watch, ewe)
    yield from _labour(watch, ewe)
    yield from _next_look(watch, ewe)
    yield from _unlike_scan(ewe)


def _followed(watch: Watch, ewe: Ewe) -> bool:
    """A ewe of a group known by its counts alone has no lambing to be late with."""
    group = watch.group(ewe)
    return group is None or group["how_recorded"] is not HowRecorded.COUNTS_ONLY


def _overdue(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Only a ewe scanned in lamb, and only after the last day on which she may still lamb."""
    if ewe.record is None or not ewe.scanned or ewe.lambed or ewe.aborted:
        return
    last, today = last_possible_day(watch.season, ewe, watch.group(ewe)), watch.when.date()
    if last is not None and today > last:
        days = (today - last).days
        why = f"{so_many(days, 'day')} past her last possible day, {shown(last)}; scanned {ewe.scanned}"
        dates = [ewe.record.at(column) for column in ("mated_on", "due") if ewe.record.filled(column)]
        yield Sign(alerts.OVERDUE, why, midnight(last), (ewe.record.at("scanned"), *dates[:1]), answered=None)


def _labour(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Waters seen and nothing after. A time without a day is the last such time before this moment."""
    if ewe.lambing is None or ewe.lambed or ewe.aborted:
        return
    waters = moment(ewe.lambing, "waters_seen", watch.when.date(), watch.when)
    alert = None if waters is None else _labour_alert(watch, waters)
    if alert is not None:
        why = f"waters seen {shown(waters)}, no lambing written"
        yield Sign(alert, why, waters, (ewe.lambing.at("waters_seen"),), answered=None)


def _labour_alert(watch: Watch, waters: datetime) -> Alert | None:
    """First a look at her, then hands or the vet; after half a day nobody is in labour any more."""
    since = watch.when - waters
    if since >= watch.hours("long_labour"):
        return alerts.LABOUR_NOT_RECORDED if since > alerts.LABOUR_LAPSES else alerts.LONG_LABOUR
    return alerts.IN_LABOUR if since >= watch.hours("labour_look") else None


def _next_look(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Due some hours after lambing, until it lapses; later it was not made, or not recorded."""
    since = _unlooked(watch, ewe)
    if ewe.lambing is not None and since is not None and watch.hours("next_look") <= since <= alerts.NEXT_LOOK_LAPSES:
        cells = (ewe.lambing.at("lambed_on"), ewe.lambing.at("next_day"))
        yield Sign(alerts.NEXT_LOOK, f"lambed {shown(ewe.lambed_on)}: look now", lambed_at(ewe), cells)


def _unlooked(watch: Watch, ewe: Ewe) -> timedelta | None:
    """How long ago a ewe with live lambs lambed whose next day's look is not written; None for all others."""
    alive = any(lamb.left_how is None for lamb in ewe.born_alive)
    return None if ewe.lambing is None or not alive or looked_at(ewe) else hours_ago(ewe, watch.when)


def looks_not_recorded(season: Season, when: datetime) -> tuple[Ewe, ...]:
    """Ewes whose next day's look was never written down, where the flock writes it at all."""
    watch, ewes = Watch.at(season, when), tuple(season.flock.ewes.values())
    if not any(map(next_day_look, ewes)):
        return ()
    return tuple(ewe for ewe in ewes if not ewe.gone and _followed(watch, ewe)
                 and (since := _unlooked(watch, ewe)) is not None and since > alerts.NEXT_LOOK_LAPSES)


def looked_at(ewe: Ewe) -> bool:
    """Whether anything is written of a look after the day she lambed."""
    looked = last_looked_on(ewe)
    return next_day_look(ewe) or (looked is not None and ewe.lambed_on is not None and looked > ewe.lambed_on)


def _unlike_scan(ewe: Ewe) -> Iterator[Sign]:
    """Every lamb written down counts here: born, mummified or aborted."""
    if ewe.record is None or not ewe.lambed or not ewe.scanned or not ewe.lambs or len(ewe.lambs) == ewe.scanned:
        return
    if next_day_look(ewe):
        return
    fewer = len(ewe.lambs) < ewe.scanned
    cells = (ewe.record.at("scanned"), *(_lamb_cell(lamb) for lamb in ewe.lambs))
    why = f"scanned {ewe.scanned}, {len(ewe.lambs)} written down"
    yield Sign(alerts.MISSING_LAMB if fewer else alerts.MORE_LAMBS, why, lambed_at(ewe), tuple(dict.fromkeys(cells)))


def _lamb_cell(lamb: Lamb) -> CellRef:
    return lamb.record.at("born" if lamb.named else "born_alive")
