"""The days on which a ewe may lamb, from the day she was mated, else from the days the ram was with her group."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from template_builder.layout.words import shown
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe
from workbook.season.matching import fold
from workbook.season.season import Season, once


@dataclass(frozen=True)
class LambingDays:
    """First and last day on which a ewe may lamb; None where that end is open. `because` says from what, in words."""

    first: date | None
    last: date | None
    because: str
    places: tuple[CellRef, ...]

    def __contains__(self, day: date) -> bool:
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)


@once
def groups(season: Season) -> Mapping[str, Record]:
    """The rows of Groups by folded name; the first where a name stands twice."""
    found: dict[str, Record] = {}
    for row in season.rows("groups"):
        if name := row.text("group"):
            found.setdefault(fold(name), row)
    return found


def group_of(ewe: Ewe, named: Mapping[str, Record]) -> Record | None:
    """The Groups row a ewe runs in, None where it is not written or not known."""
    name = ewe.record.text("group") if ewe.record else None
    return named.get(fold(name)) if name else None


def lambing_days(season: Season, ewe: Ewe, group: Record | None) -> LambingDays | None:
    """When she may lamb, by the earliest and latest days after mating on Season; None where she has neither mating nor group."""
    least, most = (season.settings.number(id) for id in ("gestation_least", "gestation_most"))
    if ewe.record and (mated := ewe.record.day("mated_on")):
        return LambingDays(later(mated, least), later(mated, most), f"mating on {shown(mated)}", (ewe.record.at("mated_on"),))
    if group is None:
        return None
    ram = {way: day for way in ("in", "out") if (day := group.day(f"ram_{way}"))}
    words = ", ".join(f"{way} {shown(day)}" for way, day in ram.items())
    first, last = ram.get("in"), ram.get("out")
    return LambingDays(first and later(first, least), last and later(last, most), f"ram {words}",
                       tuple(group.at(f"ram_{way}") for way in ram))


def last_possible_day(season: Season, ewe: Ewe, group: Record | None) -> date | None:
    """The day after which she will not lamb any more; None where no date allows to say so.

    From her mating or the day the ram went out, else her due date, later by what the latest lambing is after the usual.
    """
    days = lambing_days(season, ewe, group)
    if days and days.last:
        return days.last
    return ewe.due and later(ewe.due, season.settings.number("gestation_most") - season.settings.number("gestation"))


def later(day: date, days: float) -> date | None:
    """A day so many days later, None beyond the calendar."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return None
