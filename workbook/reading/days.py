"""What a typed date or time means: a day, a clock, or both, as people and computers write them."""

import re
from datetime import date, datetime, time
from typing import NamedTuple

from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import Column, Kind
from template_builder.scan.written_dates import WrittenDate, parts_of
from workbook.reading.parsed import Fault, Parsed, Reader, in_words, refused

# A date without a year falls in the lambing year, or from this month on in the autumn before, when ewes were mated.
AUTUMN_BEFORE_FROM = 9
EARLIEST_YEAR, LATEST_YEAR = 1995, 2099

NOUGHT = (date(1899, 12, 30), date(1899, 12, 31), date(1904, 1, 1))  # the days clocks alone are stored or shown on

_ORDER = {DateOrder.DMY: "dmy", DateOrder.MDY: "mdy", DateOrder.YMD: "ymd"}
_EITHER = (DateOrder.DMY, DateOrder.MDY)
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?|(?=\s*[ap]\.?m))\s*(?:([ap])\.?m\.?)?", re.IGNORECASE)
_DAY_AND_CLOCK = re.compile(rf"(.+?)(?:,? (?:at )?|(?<=\d)T)({_CLOCK.pattern})", re.IGNORECASE)
_TIMED = re.compile(r"\d[:h]\d\d|[ap]m\b", re.IGNORECASE)
_HOURS_IN_HALF_DAY = 12
_ASKED_DAY = "write a date such as 12 Mar 2026"
_ASKED_MOMENT = "write a date and time such as 12 Mar 2026 02:30, or the time alone"


def read_day(column: Column, raw: object, reader: Reader) -> Parsed:
    """Read a day: a date cell, or one written out, with or without a time. Never raises for bad data."""
    return _from_number(column, raw, reader, _day_in(column, reader.day_of(raw), reader))


def _from_number(column: Column, raw: object, reader: Reader, found: Parsed) -> Parsed:
    """What was read, with the remark that it was a plain number where its column alone says that such are dates."""
    if not reader.in_column or found.fault or not isinstance(raw, int | float):
        return found
    text = f"{column.title} says {in_words(raw)}, a plain number; read as {in_words(found.value)}"
    return found._replace(fault=Fault("date-as-number", text))


def _day_in(column: Column, value: object, reader: Reader) -> Parsed:
    match value:
        case datetime() if value.year >= EARLIEST_YEAR:
            found = _within_years(column, value.date(), value)
            return found if found.fault or value.time() == time() else found._replace(clock=value.time())
        case date() if not isinstance(value, datetime):
            return _within_years(column, value, value)
        case str():
            return _written_day(column, _Written(value, *apart(value)), reader, _ASKED_DAY)
    return refused("not-a-date", column, value, _ASKED_DAY)


class _Written(NamedTuple):
    """A cell of text, and what of it is the day and what the time."""

    raw: str
    day: str
    clock: time | None


def apart(text: str) -> tuple[str, time | None]:
    """The day and the time of a text such as "15/3 3am"; a text without a time as it is."""
    parts = _DAY_AND_CLOCK.fullmatch(text)
    clock = clock_of(parts[2]) if parts else None
    return (parts[1], clock) if parts and clock is not None else (text, None)


def _within_years(column: Column, day: date, raw: object) -> Parsed:
    if EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        return Parsed(day)
    return refused("not-a-date", column, raw, f"the year must lie in {EARLIEST_YEAR} to {LATEST_YEAR}")


def _written_day(column: Column, written: _Written, reader: Reader, asked: str) -> Parsed:
    """The day that words say, read the way its column runs."""
    parts = parts_of(written.day, _ORDER[reader.order or DateOrder.DMY])
    if parts is None:
        return refused("not-a-date", column, written.raw, asked)
    if parts.year is None and reader.year is None:
        return refused("not-a-date", column, written.raw, "write the year too, or set the lambing year on Season")
    if parts.order_matters:
        return _in_numbers(column, written, reader, _day(parts, reader.year))
    day = _day(parts, reader.year)
    if day is None:
        return refused("not-a-date", column, written.raw, f"there is no such day; {_ASKED_DAY}")
    return _told(column, day, written)


def _in_numbers(column: Column, written: _Written, reader: Reader, day: date | None) -> Parsed:
    """A date in numbers alone: `day` is what it says in the order of its column."""
    ways = days_either_way(written.day, reader.year)
    order, doubted = reader.order, len(set(ways.values())) > 1
    if order is None and doubted:
        return refused("dates-both-ways", column, written.raw, "it could be either of two days")
    if order is None and ways:
        order, day = next(iter(ways.items()))
    if day is None and ways:
        return refused("dates-both-ways", column, written.raw, f"there is no such day when read {order}, as Season says")
    if day is None:
        how = f" when read {order}" if order else ""
        return refused("not-a-date", column, written.raw, f"there is no such day{how}; {_ASKED_DAY}")
    found = _told(column, day, written, f" {order}")
    if reader.settled or not doubted or found.value != day or found.fault is None:
        return found
    return found._replace(fault=Fault("date-order-not-said", f"{found.fault.text}; nothing says how dates run here"))


def days_either_way(text: str, year: int | None) -> dict[DateOrder, date]:
    """The days a date written in numbers could be, read day first and month first."""
    found = {order: _day(parts, year) for order in _EITHER if (parts := parts_of(text, _ORDER[order])) and parts.order_matters}
    return {order: day for order, day in found.items() if day}


def _day(parts: WrittenDate, year: int | None) -> date | None:
    """The day of a date taken apart, completed by the lambing year; None where there is no such day."""
    full = parts.year
    if full is None:
        if year is None:
            return None
        full = year - (parts.month >= AUTUMN_BEFORE_FROM)
    try:
        return date(full, parts.month, parts.day)
    except ValueError:
        return None


def _told(column: Column, day: date, written: _Written, how: str = "") -> Parsed:
    """A day read from text, with the remark that it was."""
    found = _within_years(column, day, written.raw)
    if found.fault:
        return found
    clock = written.clock if column.kind is Kind.MOMENT or column.clock_to else None
    read = datetime.combine(day, clock or time())
    text = f"{column.title} says “{written.raw}” as text; read{how} as {in_words(read)}"
    if clock is None and (written.clock or _TIMED.search(written.raw)):
        text += "; the time was left out"
    return Parsed(day, Fault("date-as-text", text), written.clock)


def read_moment(column: Column, raw: object, reader: Reader) -> Parsed:
    """Read a day with its time, or a time alone. Never raises for bad data."""
    return _from_number(column, raw, reader, _moment_in(column, reader.day_of(raw), reader))


def _moment_in(column: Column, raw: object, reader: Reader) -> Parsed:
    match raw:
        case time():
            return Parsed(raw)
        case str():
            return _written_moment(column, raw, reader)
        case datetime() if raw.date() in NOUGHT:
            return Parsed(raw.time())
        case date() if EARLIEST_YEAR <= raw.year <= LATEST_YEAR:
            return Parsed(raw if isinstance(raw, datetime) else datetime.combine(raw, time()))
    return refused("not-a-date", column, raw, _ASKED_MOMENT)


def _written_moment(column: Column, raw: str, reader: Reader) -> Parsed:
    alone = clock_of(raw)
    if alone is not None:
        if "." in raw and days_either_way(raw, reader.year):
            return refused("not-a-date", column, raw, "it could be a time or a day; " + _ASKED_MOMENT)
        return Parsed(alone)
    words, clock = apart(raw)
    if clock is not None and words in map(str, NOUGHT):
        return Parsed(clock)
    if clock is None and _TIMED.search(raw):
        return refused("not-a-date", column, raw, _ASKED_MOMENT)
    found = _written_day(column, _Written(raw, words, clock), reader, _ASKED_MOMENT)
    if not isinstance(found.value, date):
        return found
    return Parsed(datetime.combine(found.value, clock or time()), found.fault)


def clock_of(text: str) -> time | None:
    """A time of day as people write it: 02:30, 2.30, 2h30, 2am; None for anything else."""
    found = _CLOCK.fullmatch(text)
    if not found:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3]:
        if not 1 <= hour <= _HOURS_IN_HALF_DAY:
            return None
        hour = hour % _HOURS_IN_HALF_DAY + (_HOURS_IN_HALF_DAY if found[3].casefold() == "p" else 0)
    try:
        return time(hour, minute)
    except ValueError:
        return None
