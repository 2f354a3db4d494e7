"""Dates as people write them: 12/10/25, 12 Oct 2025, 2025-10-12, or 12 Oct without a year."""

import re
from datetime import date, datetime
from functools import lru_cache
from typing import NamedTuple

from template_builder.scan.cells import Cell, Refused, text_of

ORDERS = {"dmy": "day, month, year", "mdy": "month, day, year", "ymd": "year, month, day"}
FIRST_YEAR, LAST_YEAR = 1990, 2099
CENTURY = 2000  # two-digit years are years of this century
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_TIME_AFTER = re.compile(r"[ T]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?Z?$")
_YEAR_FIRST = re.compile(r"(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})")
_THREE_NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})")
_TWO_NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/.]?")
_MONTH_NAME = (
    r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_DAY = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_YEAR = r"(?:[-/., ]+(?P<year>\d{4}|\d{2}))?"
_NAMED = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (rf"{_DAY}[-/. ]*{_MONTH_NAME}\.?{_YEAR}", rf"{_MONTH_NAME}[-/. ]*{_DAY}{_YEAR}")
)


class WrittenDate(NamedTuple):
    """The parts of a date as written, before anyone asks whether there is such a day."""

    year: int | None
    month: int
    day: int
    order_matters: bool  # written in numbers only, so that day and month could be taken for each other


@lru_cache(maxsize=4096)  # the dates of a list are few, and each is looked at several times
def parts_of(text: str, order: str) -> WrittenDate | None:
    """Take a written date apart; `order` is a key of ORDERS. None: it is not written as a date."""
    text = _TIME_AFTER.sub("", " ".join(text.split()))
    if not text.isascii():
        return None
    if found := _YEAR_FIRST.fullmatch(text):
        return WrittenDate(int(found[1]), int(found[2]), int(found[3]), False)
    for pattern in _NAMED:
        if found := pattern.fullmatch(text):
            month = MONTHS.index(found["month"][:3].lower()) + 1
            return WrittenDate(_full_year(found["year"]), month, int(found["day"]), False)
    return _from_numbers(text, order)


def _from_numbers(text: str, order: str) -> WrittenDate | None:
    if found := _THREE_NUMBERS.fullmatch(text):
        # A year of four digits at the end is the last part in every order.
        letters = "mdy" if order == "ymd" and len(found[3]) == 4 else order
        part = dict(zip(letters, found.groups(), strict=True))
        return WrittenDate(_full_year(part["y"]), int(part["m"]), int(part["d"]), True)
    if found := _TWO_NUMBERS.fullmatch(text):
        part = dict(zip(order.replace("y", ""), found.groups(), strict=True))
        return WrittenDate(None, int(part["m"]), int(part["d"]), True)
    return None


def _full_year(digits: str | None) -> int | None:
    if digits is None:
        return None
    return int(digits) if len(digits) == 4 else CENTURY + int(digits)


def read_date(cell: Cell, order: str, *, season: int | None = None, year_before_from: int | None = None) -> date | Refused:
    """Read a date from a date cell or from text.

    `season` is the year of lambing; a date without a year falls in it, or in the year before when its month is
    `year_before_from` (1 to 12) or later, as for autumn matings.
    """
    if isinstance(cell, datetime):
        return _in_range(cell.date())
    if isinstance(cell, date):
        return _in_range(cell)
    text = text_of(cell)
    parts = parts_of(text, order) if isinstance(cell, str) else None
    if parts is None:
        return Refused(f"“{text}” is not a date; write it like 12 Oct 2025, or as a date cell")
    if parts.year is None and season is None:
        return Refused(f"“{text}” has no year; write the year, or give the year of the season with --year")
    early = year_before_from is not None and parts.month >= year_before_from
    year = parts.year if parts.year is not None else (season or 0) - early
    try:
        return _in_range(date(year, parts.month, parts.day))
    except ValueError:
        return _no_such_day(text, order, parts)


def _in_range(day: date) -> date | Refused:
    if FIRST_YEAR <= day.year <= LAST_YEAR:
        return day
    return Refused(f"“{day.isoformat()}” lies outside {FIRST_YEAR} to {LAST_YEAR}; check the year")


def _no_such_day(text: str, order: str, parts: WrittenDate) -> Refused:
    if not parts.order_matters:
        return Refused(f"there is no such day as “{text}”; check the date")
    others = " or ".join(other for other in ORDERS if other != order)
    return Refused(
        f"there is no such day as “{text}” read as {ORDERS[order]}; check the date, "
        f"or give the order of the list with --dates {others}"
    )
