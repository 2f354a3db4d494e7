"""A sign of trouble: which alert it raises, why, since when, and the cells that say so."""

from datetime import date, datetime, time
from typing import NamedTuple

from template_builder.layout.alerts import Alert
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb, moment


class Sign(NamedTuple):
    """One sign on one ewe; `since` is None where no day is written."""

    alert: Alert
    why: str
    since: datetime | None
    cells: tuple[CellRef, ...]


def midnight(day: date | None) -> datetime | None:
    """The start of a day whose hour is not written."""
    return None if day is None else datetime.combine(day, time.min)


def lambed_at(ewe: Ewe) -> datetime | None:
    """When she finished lambing; where the hour is not written, the start of the day she lambed."""
    finished = moment(ewe.lambing, "finished", ewe.lambed_on) if ewe.lambing else None
    return finished or midnight(ewe.lambed_on)


def called(lamb: Lamb) -> str:
    """A lamb inside a sentence: "lamb 1042-2", or "lamb in row 7" where it has no name."""
    return lamb.name if lamb.name.startswith("lamb ") else f"lamb {lamb.name}"
