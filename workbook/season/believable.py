"""Dates that a rule may compare with. One that is already reported as impossible does not set off other rules as well."""

from collections.abc import Callable
from datetime import date, datetime

from template_builder.layout.words import shown
from workbook.season.cells import Record
from workbook.season.date_system import swapped
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Season


def believable(season: Season, row: Record | None, column: str) -> date | None:
    """The day in a cell; None where it is blank, lies ahead, or all dates of the workbook are years out."""
    day = row.day(column) if row else None
    if day is None or season.days_out or day > season.as_of.date():
        return None
    return day


def this_minute() -> datetime:
    """Now, as people write it: without seconds."""
    return datetime.now().replace(second=0, microsecond=0)


def lambed(season: Season, ewe: Ewe | None) -> date | None:
    """The day a ewe lambed, where it can be believed."""
    return believable(season, ewe.lambing, "lambed_on") if ewe else None


def born(season: Season, lamb: Lamb) -> date | None:
    """The day a lamb was born, where it can be believed."""
    return lambed(season, season.flock.mother(lamb))


def did_you_mean(day: date, fits: Callable[[date], bool]) -> str:
    """The end of a sentence that offers the date with day and month swapped where only that one fits; else empty."""
    other = swapped(day)
    return f"; did you mean {shown(other)}?" if other and fits(other) and not fits(day) else ""


def in_season_so_far(season: Season) -> Callable[[date], bool]:
    """Whether a day is one of this season's and not ahead of its moment."""
    today = season.as_of.date()
    return lambda day: day in season.days and day <= today
