"""What became of every scanned place and every lamb: each gets exactly one class, and nothing is left over."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import Enum

from template_builder.layout.choices import Born, LambLeft, RearedBy
from workbook.results.litters.lines import BOUGHT_IN, LINE, NOT_SCANNED
from workbook.season.cells import CellRef
from workbook.season.families import BORN, Ewe, Flock, Lamb
from workbook.season.groups import Groups
from workbook.season.mating import group_of, groups, last_possible_day
from workbook.season.season import Season


class Place(Enum):
    """What a scanned place or a lamb counts as. The value is the line of the account."""

    BORN_SCANNED = "born_scanned"
    ABORTED_SCANNED = "aborted_scanned"
    LOST_WITH_EWE = "lost_with_ewe"
    FEWER = "fewer"
    NEVER_LAMBED = "never_lambed"
    TO_LAMB = "to_lamb"
    MORE_THAN_SCANNED = "more_than_scanned"
    BORN_UNSCANNED = "born_unscanned"
    ABORTED_BEYOND_SCAN = "aborted_beyond_scan"
    BOUGHT_IN = "bought_in"


class Fate(Enum):
    """What became of a lamb born, and with whom it is if still here. The value is the line of the account."""

    BORN_DEAD = "born_dead"
    DIED = "died"
    SOLD = "sold"
    MISSING = "missing"
    OWN_EWE = "own_ewe"
    FOSTER_EWE = "foster_ewe"
    PET = "pet"
    NO_EWE = "no_ewe"


SCANNED_PLACES = frozenset(Place(id) for id in LINE["scanned"].parts)
LEFT = {LambLeft.DIED: Fate.DIED, LambLeft.SOLD: Fate.SOLD, LambLeft.MISSING: Fate.MISSING}


@dataclass(frozen=True, eq=False)
class Movement:
    """A lamb, or scanned places of one ewe that no lamb filled; a lamb that fills a place is both in one.

    `fate` is None for places without a lamb and for aborted and mummified lambs. `number` is above 1 only for places
    without a lamb.
    """

    place: Place
    size_class: str
    ewe: Ewe | None
    lamb: Lamb | None = None
    fate: Fate | None = None
    number: int = 1

    @property
    def cell(self) -> CellRef:
        """The lamb's row where there is one, else the ewe's scan."""
        if self.lamb is not None:
            return self.lamb.record.at("born" if self.lamb.named else "born_alive")
        if self.ewe is None or self.ewe.record is None:
            raise ValueError("a scanned place belongs to a ewe on Ewes")
        return self.ewe.record.at("scanned")


def scan_of(ewe: Ewe) -> int | None:
    """Lambs scanned; a number below zero is no scan."""
    return None if ewe.scanned is None or ewe.scanned < 0 else ewe.scanned


def size_class(ewe: Ewe | None) -> str:
    """The class of a ewe in the account: "0", "1", ... as scanned, or "not scanned"."""
    scan = None if ewe is None else scan_of(ewe)
    return NOT_SCANNED if scan is None else str(scan)


class LastDays:
    """The last day on which each ewe may still lamb."""

    def __init__(self, season: Season) -> None:
        self._season, self._groups = season, groups(season)

    def day(self, ewe: Ewe) -> date | None:
        """From her mating, else the day her group's ram went out, else her due date; None where none is written."""
        return last_possible_day(self._season, ewe, group_of(ewe, self._groups))

    def passed(self, ewe: Ewe) -> bool:
        """Whether it is too late for her to lamb. A ewe without any date may always still lamb."""
        last = self.day(ewe)
        return last is not None and self._season.as_of.date() > last


def movements(season: Season) -> tuple[Movement, ...]:
    """Every scanned place and every lamb of a season, each once. The order of rows changes no class.

    Litters known only by the counts of their group stand in its account instead.
    """
    flock, days, in_groups = season.flock, LastDays(season), Groups.of(season)
    found: list[Movement] = []
    for ewe in flock.ewes.values():
        if not in_groups.counted_with_group(ewe):
            found += _of_ewe(ewe, flock, days)
    for lamb in flock.lambs:
        if lamb.bearer is None:
            found.append(_motherless(lamb, flock))
    return tuple(found)


def _of_ewe(ewe: Ewe, flock: Flock, days: LastDays) -> Iterator[Movement]:
    """Her lambs fill her scanned places, those born first; what is left of her scan is told by what became of her."""
    left, in_class = scan_of(ewe) or 0, size_class(ewe)
    beyond = Place.BORN_UNSCANNED if in_class == NOT_SCANNED else Place.MORE_THAN_SCANNED
    for lamb in sorted(ewe.lambs, key=_born_first):
        born = lamb.born in BORN
        if left:
            place = Place.BORN_SCANNED if born else Place.ABORTED_SCANNED
            left -= 1
        else:
            place = beyond if born else Place.ABORTED_BEYOND_SCAN
        yield Movement(place, in_class, ewe, lamb, fate_of(lamb, flock))
    if left:
        yield Movement(_unfilled(ewe, days), in_class, ewe, number=left)


def _born_first(lamb: Lamb) -> tuple[bool, int, int]:
    return (lamb.born not in BORN, lamb.number or 0, lamb.record.row)


def _unfilled(ewe: Ewe, days: LastDays) -> Place:
    """What scanned places count as that no lamb filled. An abortion seen, without a row for a lamb, is all of them."""
    if ewe.aborted and not ewe.lambs:
        return Place.ABORTED_SCANNED
    if ewe.lambed or ewe.lambs:
        return Place.FEWER
    if ewe.gone:
        return Place.LOST_WITH_EWE
    return Place.NEVER_LAMBED if days.passed(ewe) else Place.TO_LAMB


def _motherless(lamb: Lamb, flock: Flock) -> Movement:
    fate = fate_of(lamb, flock)
    if lamb.bought:
        return Movement(Place.BOUGHT_IN, BOUGHT_IN, None, lamb, fate)
    place = Place.BORN_UNSCANNED if lamb.born in BORN else Place.ABORTED_BEYOND_SCAN
    return Movement(place, NOT_SCANNED, None, lamb, fate)


def fate_of(lamb: Lamb, flock: Flock) -> Fate | None:
    """What became of a lamb; None for one aborted or mummified. A lamb whose ewe died or left is without a ewe."""
    if lamb.born is not Born.ALIVE:
        return Fate.BORN_DEAD if lamb.born in BORN else None
    if lamb.left_how is not None:
        return LEFT[lamb.left_how]
    if lamb.reared_by is RearedBy.PET:
        return Fate.PET
    if lamb.reared_by is RearedBy.NO_EWE or _ewe_gone(lamb, flock):
        return Fate.NO_EWE
    return Fate.FOSTER_EWE if lamb.set_on or lamb.reared_by is RearedBy.FOSTER_EWE and lamb.rearer is None else Fate.OWN_EWE


def _ewe_gone(lamb: Lamb, flock: Flock) -> bool:
    rearer = flock.rearer(lamb)
    return rearer is not None and rearer.gone
