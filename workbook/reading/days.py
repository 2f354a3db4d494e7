"""What a typed date or time means: a day, a clock, or both, as people and computers write them."""

import re
from datetime import date, datetime, time

from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import Column
from template_builder.scan.written_dates import parts_of
from workbook.reading.parsed import Fault, Parsed, Reader, in_words, refused

# A date without a year falls in the lambing year, or from this month on in the autumn before, when ewes were mated.
AUTUMN_BEFORE_FROM = 9
EARLIEST_YEAR, LATEST_YEAR = 1995, 2099

_ORDER = {DateOrder.DMY: "dmy", DateOrder.MDY: "mdy", DateOrder.YMD: "ymd"}
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?|(?=\s*[ap]m))\s*(am|pm)?", re.IGNORECASE)
_DAY_AND_CLOCK = re.compile(rf"(.+?)(?:,? (?:at )?|(?<=\d)T)({_CLOCK.pattern})", re.IGNORECASE)
_TIMED = re.compile(r"\d[:h]\d\d|[ap]m\b", re.IGNORECASE)
_HOURS_IN_HALF_DAY = 12


def read_day(column: Column, raw: object, reader: Reader) -> Parsed:
    """Read a day: a date cell, or one written out. Never raises for bad data."""
    asked = "write a date such as 12 Mar 2026"
    raw = reader.day_of(raw)
    if isinstance(raw, datetime):
        raw = raw.date() if raw.year >= EARLIEST_YEAR else raw
    if isinstance(raw, date) and not isinstance(raw, datetime):
        return _dated(column, raw, raw)
    if not isinstance(raw, str):
        return refused("not-a-date", column, raw, asked)
    return _written_date(column, raw, reader, asked)


def _dated(column: Column, day: date, raw: object) -> Parsed:
    if EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        return Parsed(day)
    return refused("not-a-date", column, raw, f"the year must lie in {EARLIEST_YEAR} to {LATEST_YEAR}")


def _written_date(column: Column, raw: str, reader: Reader, asked: str) -> Parsed:
    parts = parts_of(raw, _ORDER[reader.order])
    if parts is None:
        return refused("not-a-date", column, raw, asked)
    year = parts.year
    if year is None:
        if reader.year is None:
            return refused("not-a-date", column, raw, "write the year too, or set the lambing year on Season")
        year = reader.year - (parts.month >= AUTUMN_BEFORE_FROM)
    try:
        day = date(year, parts.month, parts.day)
    except ValueError:
        how = f" read {reader.order.label}" if parts.order_matters else ""
        return refused("not-a-date", column, raw, f"there is no such day{how}: {asked}")
    parsed = _dated(column, day, raw)
    if parsed.fault:
        return parsed
    how = f" {reader.order.label}" if parts.order_matters else ""
    text = f"{column.title} says “{raw}” as text; read{how} as {in_words(day)}"
    return Parsed(day, Fault("date-as-text", text))


def read_moment(column: Column, raw: object, reader: Reader) -> Parsed:
    """Read a day with its time, or a time alone. Never raises for bad data."""
    asked = "write a date and time such as 12 Mar 2026 02:30, or the time alone"
    raw = reader.day_of(raw)
    match raw:
        case time():
            return Parsed(raw)
        case str():
            return _written_moment(column, raw, reader, asked)
        case date() if EARLIEST_YEAR <= raw.year <= LATEST_YEAR:
            return Parsed(raw if isinstance(raw, datetime) else datetime.combine(raw, time()))
    return refused("not-a-date", column, raw, asked)


def _written_moment(column: Column, raw: str, reader: Reader, asked: str) -> Parsed:
    alone = _clock(raw)
    if alone is not None:
        if "." in raw and isinstance(_written_date(column, raw, reader, asked).value, date):
            return refused("not-a-date", column, raw, "it could be a time or a day; " + asked)
        return Parsed(alone)
    parts = _DAY_AND_CLOCK.fullmatch(raw)
    clock = _clock(parts[2]) if parts else None
    day = _written_date(column, parts[1] if parts and clock is not None else raw, reader, asked)
    if not isinstance(day.value, date) or (clock is None and _TIMED.search(raw)):
        return refused("not-a-date", column, raw, asked)
    found = datetime.combine(day.value, clock or time())
    return Parsed(found, Fault("date-as-text", f"{column.title} says “{raw}” as text; read as {in_words(found)}"))


def _clock(text: str) -> time | None:
    found = _CLOCK.fullmatch(text)
    if not found:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3]:
        if not 1 <= hour <= _HOURS_IN_HALF_DAY:
            return None
        hour = hour % _HOURS_IN_HALF_DAY + (_HOURS_IN_HALF_DAY if found[3].casefold() == "pm" else 0)
    try:
        return time(hour, minute)
    except ValueError:
        return None
