"""A sign of trouble: which alert it raises, why, since when, the cells that say so, and what answers it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from template_builder.layout.alerts import NEXT_DAY, Alert
from workbook.results.clinical.looks import Look, last_looked_on
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb, moment
from workbook.season.groups import Groups, weaned_on
from workbook.season.mating import group_of
from workbook.season.season import Season

NEXT_DAY_COLUMNS = ("next_day", "sides_next_day")
SAME_DAY = timedelta()


class Sign(NamedTuple):
    """One sign on one ewe; `since` is None where no day is written.

    It lapses with any look at her on a day later than `answered` after `since`; None is never. `closes` at weaning or not.
    """

    alert: Alert
    why: str
    since: datetime | None
    cells: tuple[CellRef, ...]
    answered: timedelta | None = SAME_DAY
    closes: bool = True


@dataclass(frozen=True)
class Watch:
    """What is the same for all ewes: the moment, and the groups by name."""

    season: Season
    when: datetime
    groups: Groups

    @classmethod
    def at(cls, season: Season, when: datetime) -> "Watch":
        return cls(season, when, Groups.of(season))

    def group(self, ewe: Ewe) -> Record | None:
        return group_of(ewe, self.groups.rows)

    def hours(self, setting: str) -> timedelta:
        return timedelta(hours=self.season.settings.number(setting))

    def weaned(self, ewe: Ewe) -> date | None:
        """The day her lambs were weaned, where it has come."""
        day = weaned_on(self.groups, ewe)
        return day if day and day <= self.when.date() else None

    def is_open(self, ewe: Ewe, sign: Sign) -> bool:
        """Whether a sign still asks for a look: no later look has answered it, and her lambs were not weaned since."""
        weaned, looked, day = self.weaned(ewe), last_looked_on(ewe), sign.since and sign.since.date()
        if sign.closes and weaned and (day is None or day < weaned):
            return False
        return sign.answered is None or day is None or looked is None or looked - sign.answered <= day


def next_day_look(ewe: Ewe) -> bool:
    """Whether anything is written of the next day's look at her or her lambs."""
    return next_day_written(ewe) or any(lamb.record.filled("belly") for lamb in ewe.lambs if lamb.named)


def next_day_written(ewe: Ewe) -> bool:
    return ewe.lambing is not None and ewe.lambing.filled(*NEXT_DAY_COLUMNS)


def midnight(day: date | None) -> datetime | None:
    """The start of a day whose hour is not written."""
    return None if day is None else datetime.combine(day, time.min)


def lambed_at(ewe: Ewe) -> datetime | None:
    """When she finished lambing; where the hour is not written, the start of the day she lambed."""
    finished = moment(ewe.lambing, "finished", ewe.lambed_on) if ewe.lambing else None
    return finished or midnight(ewe.lambed_on)


def hours_ago(ewe: Ewe, when: datetime) -> timedelta | None:
    """How long ago she lambed; None where that is not written."""
    lambed = lambed_at(ewe)
    return None if lambed is None else when - lambed


def seen(ewe: Ewe, look: Look) -> datetime | None:
    """The day of a look at her; of what stands on Lambing, and of a look without its day, that of her lambing."""
    return (midnight(look.day) if look.record.has("date") else None) or lambed_at(ewe)


def by_look(ewe: Ewe, look: Look, alert: Alert, why: str) -> Iterator[Sign]:
    """A sign of how milk or teats were when last looked at; what was so at lambing is answered by the next day's look too."""
    at_lambing, next_day = look.record is ewe.lambing, look.column in NEXT_DAY_COLUMNS
    if not at_lambing or next_day or not next_day_look(ewe):
        yield Sign(alert, why, seen(ewe, look), (look.place,), NEXT_DAY if next_day else SAME_DAY)


def called(lamb: Lamb) -> str:
    """A lamb inside a sentence: "lamb 1042-2", or "lamb in row 7" where it has no name."""
    return lamb.name if lamb.name.startswith("lamb ") else f"lamb {lamb.name}"
