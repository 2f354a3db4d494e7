"""Looks at each part of a ewe in the order they were made: the last one says how she is, the earlier ones are history."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import NamedTuple

from template_builder.layout.choices import CheckOccasion, LambingTrouble, Milk, Teats
from template_builder.layout.columns import Value
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe

# Up to so many days after lambing a look is the next day's, made a little late: milk may still come. House rule.
NEXT_DAY_WITHIN = timedelta(days=2)

# Where each part is looked at: columns of Lambing in the order they are filled, then the column of Ewe check.
PARTS: Mapping[str, tuple[tuple[str, ...], str]] = {
    "sides": (("sides_in_milk", "sides_next_day"), "sides_in_milk"),
    "teats": (("teats",), "teats"),
    "udder": ((), "udder"),
    "mouth": ((), "mouth"),
    "feet": ((), "feet"),
    "condition": (("condition",), "condition"),
}


class Look(NamedTuple):
    """One look at one part: the cell that tells it, and whether it was the look before mating that follows this lambing."""

    record: Record
    column: str
    before_mating: bool = False

    @property
    def value(self) -> Value:
        return self.record[self.column]

    @property
    def day(self) -> date | None:
        """The day it was made; of what stands on Lambing, the day she lambed."""
        return self.record.day("date" if self.record.has("date") else "lambed_on")

    @property
    def place(self) -> CellRef:
        return place(self.record, self.column)


def place(record: Record, column: str) -> CellRef:
    """The cell that says it: its own, or on Lambing the short word that stands for it."""
    return record.at(column if record.filled(column) else record.said_by.get(column, column))


def looks(ewe: Ewe, part: str) -> tuple[Look, ...]:
    """All looks at a part that found something, in order of day; looks without a day come last.

    Sides in milk only where milk was to be expected.
    """
    at_lambing, column = PARTS[part]
    lambing = [Look(ewe.lambing, one) for one in at_lambing] if ewe.lambing else []
    checks = [Look(check, column, _before_mating(ewe, check)) for check in ewe.checks]
    if part == "sides":
        checks = [look for look in checks if milk_expected(ewe, look.record)]
    before = [look for look in checks if _before_lambing(ewe, look.record)]
    after = [look for look in checks if not _before_lambing(ewe, look.record)]
    return tuple(look for look in (*before, *lambing, *after) if look.value is not None)


def last_look(ewe: Ewe, part: str) -> Look | None:
    """How this part of her was when last looked at; None where nobody looked."""
    return next(reversed(looks(ewe, part)), None)


def last_sides(ewe: Ewe) -> int | None:
    """Her sides in milk when last looked at; None where nobody looked."""
    look = last_look(ewe, "sides")
    return look.record.whole(look.column) if look else None


def last_condition(ewe: Ewe) -> float | None:
    """Her condition score when last taken; None where nobody scored her."""
    look = last_look(ewe, "condition")
    return look.record.number(look.column) if look else None


def said_in_a_word(ewe: Ewe, trouble: LambingTrouble) -> CellRef | None:
    """The cell where the one word on her Lambing row says this; None where it says another or nothing."""
    return ewe.lambing.at("trouble") if ewe.lambing and ewe.lambing["trouble"] is trouble else None


def bad_in_a_word(ewe: Ewe) -> CellRef | None:
    """Where one word on Lambing calls her udder or teats bad, no cell says which, and neither was looked at since."""
    told = any(look.value is not Teats.SOUND if look.record is ewe.lambing else not _before_lambing(ewe, look.record)
               for part in ("udder", "teats") for look in looks(ewe, part))
    return None if told else said_in_a_word(ewe, LambingTrouble.BAD_UDDER)


def last_looked_on(ewe: Ewe) -> date | None:
    """The day of the last look written on Ewe check, whatever was looked at; None where none bears a day."""
    return max((day for check in ewe.checks if (day := check.day("date"))), default=None)


def is_later(ewe: Ewe, look: Look) -> bool:
    """Whether it is a look after the first days: not at lambing and not on the next day. Without a day it is."""
    if look.record is ewe.lambing:
        return False
    return look.day is None or ewe.lambed_on is None or look.day > ewe.lambed_on + NEXT_DAY_WITHIN


def milk_expected(ewe: Ewe, check: Record) -> bool:
    """Not before or on the day she lambed, not before mating, and not where she is dry without lambs."""
    day, at_foot = check.day("date"), check.whole("lambs_at_foot")
    if check["occasion"] is CheckOccasion.BEFORE_MATING or (check["milk"] is Milk.DRY and not at_foot):
        return False
    if ewe.lambing is None and not ewe.born:
        return bool(at_foot) or check["milk"] is not None
    return not (day and ewe.lambed_on and day <= ewe.lambed_on)


def _before_lambing(ewe: Ewe, check: Record) -> bool:
    day = check.day("date")
    return day is not None and ewe.lambed_on is not None and day < ewe.lambed_on


def _before_mating(ewe: Ewe, check: Record) -> bool:
    """The look before the mating to come; last autumn's stands before this lambing."""
    return check["occasion"] is CheckOccasion.BEFORE_MATING and not _before_lambing(ewe, check)
