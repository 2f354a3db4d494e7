"""Meat withdrawals as far as treatments are written here: to whom each was given, and until when it runs for a ewe."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from template_builder.layout.choices import TreatedFor
from template_builder.layout.words import shown
from workbook.season.believable import believable
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe
from workbook.season.groups import group_name
from workbook.season.matching import fold
from workbook.season.mating import later
from workbook.season.season import Season, once


@dataclass(frozen=True)
class Given:
    """A treatment with its withdrawal: the day, the last day it runs, and its row."""

    row: Record
    day: date
    ends: date

    @property
    def words(self) -> str:
        return f"{self.row.text('product') or 'a treatment'} given on {shown(self.day)}"


Treated = Mapping[object, list[Given]]


def treated(season: Season) -> Treated:
    """Treatments with a withdrawal of a day or more, by whom they were given to: ewe key, lamb row, group or all of a kind.

    Those given to nobody knows whom stand under None, which stands for no animal.
    """
    found: dict[object, list[Given]] = {}
    for row in season.rows("treatments"):
        day, days = believable(season, row, "date"), row.whole("withdrawal")
        if day and days is not None and days > 0 and (ends := later(day, days)):
            found.setdefault(_whom(season, row), []).append(Given(row, day, ends))
    return found


def runs_to(row: Record) -> date | None:
    """The last day the withdrawal of a treatment runs; None where its day or its length is not written."""
    day, days = row.day("date"), row.whole("withdrawal")
    return None if day is None or days is None else later(day, days)


def _whom(season: Season, row: Record) -> object:
    """What stands for those a treatment was given to; None where nobody knows."""
    animal, given_to = row.text("animal"), row["given_to"]
    if given_to in (TreatedFor.ALL_EWES, TreatedFor.ALL_LAMBS):
        return given_to
    if animal is None:
        return None
    if given_to is TreatedFor.EWE:
        return TreatedFor.EWE, season.flock.names.match(animal).key
    if given_to is TreatedFor.GROUP:
        return TreatedFor.GROUP, fold(animal)
    lamb = season.flock.lamb_called(animal) if given_to is TreatedFor.LAMB else None
    return (TreatedFor.LAMB, lamb.record.row) if lamb else None


def stands_for(ewe: Ewe, *days: date) -> tuple[object, ...]:
    """All that may stand for a ewe on Treatments: herself, all ewes, and the groups she ran with on these days."""
    named = {name for day in days if (name := group_name(ewe, day))}
    return ((TreatedFor.EWE, ewe.key), TreatedFor.ALL_EWES, *((TreatedFor.GROUP, fold(name)) for name in sorted(named)))


@dataclass(frozen=True)
class Withdrawal:
    """What is written of a ewe's withdrawals: the last day one runs to, None where none runs, whether one is not known, and
    the cells that say so."""

    ends: date | None = None
    unknown: bool = False
    cells: tuple[CellRef, ...] = ()

    def __bool__(self) -> bool:
        return self.unknown or self.ends is not None


def withdrawal(season: Season, ewe: Ewe) -> Withdrawal:
    """Until when she may not go for meat by what is written here for her, her group or all ewes; no medicine book."""
    today = season.as_of.date()
    whom = stands_for(ewe, date.min, today)
    given = [one for one in (one for who in whom for one in _treated(season).get(who, ())) if today <= one.ends]
    unknown = [row for who in whom for row in _unknown(season).get(who, ())]
    cells = (*(one.row.at("withdrawal") for one in given), *(row.at("withdrawal") for row in unknown))
    return Withdrawal(max((one.ends for one in given), default=None), bool(unknown), tuple(dict.fromkeys(cells)))


@once
def _treated(season: Season) -> Treated:
    return treated(season)


@once
def _unknown(season: Season) -> Mapping[object, list[Record]]:
    """Treatments whose day or withdrawal is not written, by whom they were given to as in `treated`."""
    found: dict[object, list[Record]] = {}
    for row in season.rows("treatments"):
        if row.day("date") is None or row.whole("withdrawal") is None:
            found.setdefault(_whom(season, row), []).append(row)
    return found
