"""Losses on the side of the ewes: those that rear no lamb and why, those that died, and lambs put on the bottle.

Ewes that died are counted against the ewes to the ram where every group states them, else against the ewes of the flock.
"""

from collections.abc import Callable, Iterable
from typing import TypeVar

from template_builder.layout.choices import Born, WhyMoved
from workbook.results.litters.ewe_facts import died, pets, rears_none
from workbook.results.litters.lamb_classes import NOT_RECORDED, first_written
from workbook.results.litters.losses import LossClass, LossTable, known_for
from workbook.results.litters.movements import scan_of
from workbook.results.litters.splits import live_born
from workbook.results.litters.to_ram import to_ram
from workbook.results.statistics.proportions import wilson
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups
from workbook.season.matching import fold
from workbook.season.season import Season

AT_LAMBING_DAYS = 7  # days after lambing up to which a death counts as one at lambing (house rule)
BEFORE, AT, LATER = "before lambing", f"at lambing or within {AT_LAMBING_DAYS} days", "later"
EMPTY, WHEN_NOT_KNOWN = "scanned empty", "not known when"
STAGES = (BEFORE, AT, LATER, EMPTY, WHEN_NOT_KNOWN)

GONE, ALL_DEAD, ALL_LOST, MOVED = (
    "she died or was lost", "all her lambs born dead", "her lambs died or are missing", "her lambs taken off her")
WHY_NONE = (GONE, ALL_DEAD, ALL_LOST, MOVED, NOT_RECORDED)

Animal = TypeVar("Animal", Ewe, Lamb)


def ewe_loss_tables(season: Season) -> tuple[LossTable, ...]:
    """Ewes rearing none, ewe deaths by stage and by cause as written, and lambs put on the bottle by why.

    Shares are fractions: of ewes lambed, of ewes to the ram, and of lambs born alive.
    """
    ewes = tuple(season.flock.ewes.values())
    dead = [ewe for ewe in ewes if died(ewe)]
    went = to_ram(season)
    stated = went.number is not None and not went.apart and went.number >= len(dead)
    of, whom = (went.number or 0, "ewes to the ram") if stated else (len(ewes), "ewes in the book")
    return (
        _rearing_none(season, [ewe for ewe in ewes if ewe.lambed]), _deaths(dead, of, whom), _death_causes(dead, of, whom),
        _on_the_bottle(season),
    )


def _rearing_none(season: Season, lambed: list[Ewe]) -> LossTable:
    groups = Groups.of(season)
    none = [ewe for ewe in lambed if rears_none(ewe, groups)]
    classes = _classes(none, _why_none, WHY_NONE, len(lambed), _lambing_cell)
    return LossTable("rearing_none", "Ewes that rear no lamb, of ewes lambed", classes)


def _why_none(ewe: Ewe) -> str:
    """Why a ewe rears none: the first that holds."""
    if ewe.lost:
        return GONE
    if not ewe.born:
        return NOT_RECORDED
    if all(lamb.born is not Born.ALIVE for lamb in ewe.born):
        return ALL_DEAD
    return ALL_LOST if all(lamb.lost for lamb in ewe.born_alive) else MOVED


def _deaths(dead: list[Ewe], of: int, whom: str) -> LossTable:
    known = sum(_stage(ewe) != WHEN_NOT_KNOWN for ewe in dead)
    classes = _classes(dead, _stage, STAGES, of, _left_cell)
    return LossTable("ewe_deaths", f"Ewe deaths by stage, of {whom}", classes, *known_for("dates", known, len(dead), "dead ewes"))


def _stage(ewe: Ewe) -> str:
    """When a ewe died. A ewe that aborted has no lambing: by the day written for it she is placed as if she had."""
    if not (ewe.lambed or ewe.aborted):
        return EMPTY if scan_of(ewe) == 0 else BEFORE
    if ewe.left_on is None or ewe.lambed_on is None:
        return WHEN_NOT_KNOWN
    days = (ewe.left_on - ewe.lambed_on).days
    return BEFORE if days < 0 else AT if days <= AT_LAMBING_DAYS else LATER


def _death_causes(dead: list[Ewe], of: int, whom: str) -> LossTable:
    written = first_written(_why_left(ewe) for ewe in dead)
    classes = _classes(dead, lambda ewe: written[fold(why)] if (why := _why_left(ewe)) else NOT_RECORDED,
                       (*sorted(written.values()), NOT_RECORDED), of, _left_cell)
    known = sum(_why_left(ewe) is not None for ewe in dead)
    return LossTable("ewe_death_causes", f"Ewe deaths by cause as written, of {whom}", classes,
                     *known_for("causes", known, len(dead), "dead ewes"))


def _why_left(ewe: Ewe) -> str | None:
    return ewe.record.text("left_why") if ewe.record else None


def _on_the_bottle(season: Season) -> LossTable:
    """Lambs put on the bottle by why, those gone since too."""
    lambs = pets(season)
    classes = _classes(lambs, _why_moved, (*(why.label for why in WhyMoved), NOT_RECORDED), len(live_born(season.flock)),
                       lambda lamb: lamb.record.at("reared_by"))
    known = sum(_why_moved(lamb) != NOT_RECORDED for lamb in lambs)
    return LossTable("pets", "Lambs put on the bottle by why, of live-born lambs", classes,
                     *known_for("reasons", known, len(lambs), "pet lambs"))


def _why_moved(lamb: Lamb) -> str:
    why = lamb.record.choice("why_moved", WhyMoved)
    return why.label if why else NOT_RECORDED


def _classes(
    found: Iterable[Animal], label: Callable[[Animal], str], order: tuple[str, ...], of: int, cell: Callable[[Animal], CellRef],
) -> tuple[LossClass, ...]:
    by_label: dict[str, list[Animal]] = {}
    for animal in found:
        by_label.setdefault(label(animal), []).append(animal)
    return tuple(
        LossClass(name, wilson(len(by_label[name]), of), rows=tuple(map(cell, by_label[name])))
        for name in dict.fromkeys(order) if name in by_label
    )


def _left_cell(ewe: Ewe) -> CellRef:
    if ewe.record is None:
        raise ValueError(f"{ewe.name} has no row that says she left")
    return ewe.record.at("left_how")


def _lambing_cell(ewe: Ewe) -> CellRef:
    return (ewe.lambing or ewe.lambs[0].record).at("ewe")
