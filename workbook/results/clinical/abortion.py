"""Which ewes aborted, or may have: what makes it likely, since when, and the cells that say so."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from template_builder.layout.alerts import EARLY_BY
from template_builder.layout.choices import Born, Trouble, Vigour
from template_builder.layout.words import so_many
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb
from workbook.season.mating import later
from workbook.season.season import Season, once

DEAD = (Born.DEAD_FRESH, Born.DEAD_DECAYED, Born.MUMMIFIED, Born.ABORTED)


class Abortion(NamedTuple):
    """An abortion, `certain` or suspected; `day` is None where none is written."""

    certain: bool
    why: str
    day: date | None
    cells: tuple[CellRef, ...]


@once
def abortions(season: Season) -> Mapping[str, Abortion]:
    """The ewes that aborted or may have, by key."""
    return {ewe.key: found for ewe in season.flock.ewes.values() if (found := _abortion(season, ewe))}


def _abortion(season: Season, ewe: Ewe) -> Abortion | None:
    """The strongest sign first: seen to abort, then what her lambs say, then how early they came."""
    return _seen(ewe) or _mummified(ewe) or _all_dead(ewe) or _early(season, ewe)


def _seen(ewe: Ewe) -> Abortion | None:
    lambs = [lamb for lamb in ewe.lambs if lamb.born is Born.ABORTED]
    told = ewe.seen_with(Trouble.ABORTED)
    if not lambs and not told:
        return None
    days = [day for row, _, day in told if day and row is not ewe.lambing] or [day for day in [ewe.lambed_on] if day]
    cells = (*_born_cells(lambs), *(row.at(column) for row, column, _ in told))
    return Abortion(True, f"{so_many(len(lambs), 'lamb')} aborted" if lambs else "aborted", days[0] if days else None, cells)


def _mummified(ewe: Ewe) -> Abortion | None:
    lambs = [lamb for lamb in ewe.lambs if lamb.born is Born.MUMMIFIED]
    return _suspected(ewe, f"{so_many(len(lambs), 'lamb')} mummified", lambs) if lambs else None


def _all_dead(ewe: Ewe) -> Abortion | None:
    """A whole litter dead, one of it for some time."""
    decayed = any(lamb.born is Born.DEAD_DECAYED for lamb in ewe.lambs)
    if not decayed or any(lamb.born is Born.ALIVE for lamb in ewe.lambs):
        return None
    return _suspected(ewe, "litter all dead, one decayed" if len(ewe.lambs) > 1 else "lamb dead and decayed", list(ewe.lambs))


def _early(season: Season, ewe: Ewe) -> Abortion | None:
    mated, lambed = ewe.record.day("mated_on") if ewe.record else None, ewe.lambed_on
    due = later(mated, season.settings.number("gestation")) if mated else None
    if due is None or lambed is None or ewe.record is None or due - lambed < EARLY_BY:
        return None
    poor = [lamb for lamb in ewe.lambs if lamb.born in DEAD or is_weak(lamb)]
    if not poor:
        return None
    how = "dead" if any(lamb.born in DEAD for lamb in poor) else "weak"
    found = _suspected(ewe, f"lambed {(due - lambed).days} days early, {so_many(len(poor), 'lamb')} {how}", poor)
    return found._replace(cells=(*found.cells, ewe.record.at("mated_on")))


def is_weak(lamb: Lamb) -> bool:
    return lamb.named and lamb.born is Born.ALIVE and lamb.record["vigour"] is Vigour.WEAK


def _suspected(ewe: Ewe, why: str, lambs: list[Lamb]) -> Abortion:
    return Abortion(False, why, ewe.lambed_on, _born_cells(lambs))


def _born_cells(lambs: list[Lamb]) -> tuple[CellRef, ...]:
    """Where it stands how they were born; of lambs known by number alone, on Lambing."""
    cells = (lamb.record.at(("vigour" if is_weak(lamb) else "born") if lamb.named else "born_dead") for lamb in lambs)
    return tuple(dict.fromkeys(cells))
