"""What a typed cell means: one function for each kind of column, from the raw cell to a value or a fault in words."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache
from typing import NamedTuple

from template_builder.files.stored import moment
from template_builder.layout.choices import Choice, DateOrder
from template_builder.layout.columns import NOT_KNOWN, Column, Kind, Value
from template_builder.layout.settings import SETTING, Setting
from template_builder.layout.words import quoted
from template_builder.scan.written_dates import parts_of
from workbook.season.matching import fold

# A date without a year falls in the lambing year, or from this month on in the autumn before, when ewes were mated.
AUTUMN_BEFORE_FROM = 9
EARLIEST_YEAR, LATEST_YEAR = 1995, 2099
# A tag of this many digits that ends in this many zeros has been through a number cell that could not hold it.
LONG_TAG, LOST_ZEROS = 12, 6

_ORDER = {DateOrder.DMY: "dmy", DateOrder.MDY: "mdy", DateOrder.YMD: "ymd"}
_SHORTENED = re.compile(r"\d+[.,]\d+E\+?\d+|\d+E\+\d+", re.IGNORECASE)
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*([a-zA-Z%]*)\.?")
_THOUSANDS = re.compile(r"[+-]?\d{1,3},\d{3}\D*")  # 1,250 may be twelve hundred or one and a quarter
_CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?|(?=\s*[ap]m))\s*(am|pm)?", re.IGNORECASE)
_DAY_AND_CLOCK = re.compile(rf"(.+?)(?:,? (?:at )?|(?<=\d)T)({_CLOCK.pattern})", re.IGNORECASE)
# Characters without width that come along when text is copied from a web page or a message.
_UNSEEN = dict.fromkeys((0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, 0x00AD))
_TYPED_MARKS = "\"'\u2018\u2019\u201c\u201d"  # put round a number or before it, to keep it text
_TIMED = re.compile(r"\d[:h]\d\d|[ap]m\b", re.IGNORECASE)
_UNITS = {"", "kg", "kgs", "kilo", "kilos", "lambs", "lamb", "ewes", "ewe", "days", "day", "d", "h", "hours", "hrs"}
PER_CENT, SHARE = "%", "share"
_HOURS_IN_HALF_DAY = 12


@dataclass(frozen=True)
class Fault:
    """Why a cell could not be read as it stands: the reading rule's slug and a sentence."""

    slug: str
    text: str


class Parsed(NamedTuple):
    """A typed value. With a fault and a value, the value stands and the fault is a remark."""

    value: Value
    fault: Fault | None = None


@dataclass(frozen=True)
class Reader:
    """What reading a cell depends on: the lambing year, how written dates run, and whether dates stand as bare numbers.

    A program that drops how cells look leaves 46113 of 1 Apr 2026. Only where it did so everywhere are such numbers dates,
    counted from `bare_days`: elsewhere a number in a date column is a slip.
    """

    year: int | None = None
    order: DateOrder = DateOrder.DMY
    bare_days: datetime | None = None

    def day_of(self, raw: object) -> object:
        """The date or time a bare number stands for, where numbers do; anything else as it is."""
        if self.bare_days is None or isinstance(raw, bool) or not isinstance(raw, int | float):
            return raw
        return moment(raw, self.bare_days)


def parse(column: Column, raw: object, reader: Reader) -> Parsed:
    """Read one cell of a column. Blank gives None, "?" is not known in every column. Never raises for bad data."""
    if isinstance(raw, str):
        raw = " ".join((raw if raw.isascii() else raw.translate(_UNSEEN)).split())
        if not raw:
            return Parsed(None)
        if raw == NOT_KNOWN.value:
            return Parsed(NOT_KNOWN)
    if raw is None:
        return Parsed(None)
    return _PARSERS[column.kind](column, raw, reader)


def setting_column(setting: Setting) -> Column:
    """A setting as a column, so that its value is read and limited like any other."""
    return Column(
        setting.id, setting.title, setting.kind, setting.why, choices=setting.choices, least=setting.least, most=setting.most,
        unit=setting.unit,
    )


def parse_setting(id: str, raw: object, reader: Reader) -> Parsed:
    """Read the value of a setting by its own kind; KeyError for an unknown setting."""
    return parse(setting_column(SETTING[id]), raw, reader)


def in_words(raw: object) -> str:
    """The value found, as a person sees it in the cell."""
    match raw:
        case bool():
            return "TRUE" if raw else "FALSE"
        case datetime():
            return f"{raw.day} {raw:%b %Y}" if raw.time() == time() else f"{raw.day} {raw:%b %Y %H:%M}"
        case date():
            return f"{raw.day} {raw:%b %Y}"
        case float() if raw.is_integer():
            return f"{raw:.0f}"
        case _:
            return str(raw)


def _refused(slug: str, column: Column, raw: object, asked: str) -> Parsed:
    return Parsed(NOT_KNOWN, Fault(slug, f"{column.title.split(' (')[0]} says “{quoted(in_words(raw))}”; {asked}"))


def _identifier(column: Column, raw: object, _reader: Reader) -> Parsed:
    match raw:
        case str():
            unmarked = raw.strip(_TYPED_MARKS)
            text = unmarked if unmarked.isdigit() else raw
            return _lost(column, text) if _SHORTENED.fullmatch(text) else Parsed(text)
        case bool() | date() | time() | timedelta():
            return _refused("not-a-tag", column, raw, "the spreadsheet has changed what was typed: type the number again as text")
        case float() if not raw.is_integer():
            return Parsed(str(raw))
        case int() | float():
            digits = f"{raw:.0f}"
            if len(digits) > 15 or (len(digits) >= LONG_TAG and digits.endswith("0" * LOST_ZEROS)):
                return _lost(column, digits)
            return Parsed(digits)
        case _:
            return Parsed(str(raw))


def _lost(column: Column, raw: object) -> Parsed:
    return _refused("tag-digits-lost", column, raw, "digits of the tag are lost: copy it again from the tag or the scan file")


def _text(_column: Column, raw: object, _reader: Reader) -> Parsed:
    return Parsed(in_words(raw))


def _amount(column: Column, raw: object) -> tuple[float, str] | None:
    """A number from a number or from text such as "4,5 kg"; with a remark where it had to be interpreted.

    What is written in per cent, such as "12 %", is a number only where the column is in per cent, or a share.
    """
    match raw:
        case bool() | date() | time():
            return None
        case int() | float():
            return float(raw), ""
        case str():
            found = _NUMBER.fullmatch(raw)
            if not found or _THOUSANDS.fullmatch(raw):
                return None
            amount, unit = float(found[1].replace(",", ".")), found[2].casefold()
            if unit == PER_CENT and column.unit.startswith((PER_CENT, SHARE)):
                return (amount / 100 if column.unit == SHARE else amount), ""
            if unit not in _UNITS:
                return None
            return (amount, "written as text") if math.isfinite(amount) else None
    return None


def _number(column: Column, raw: object, _reader: Reader) -> Parsed:
    found = _amount(column, raw)
    if found is None:
        return _refused("not-a-number", column, raw, "write a number")
    value, remark = found
    return _limited(column, value, raw, remark)


def _whole(column: Column, raw: object, _reader: Reader) -> Parsed:
    found = _amount(column, raw)
    if found is None or not found[0].is_integer():
        return _refused("not-a-whole-number", column, raw, "write a whole number")
    value, remark = found
    return _limited(column, int(value), raw, remark)


def _limited(column: Column, value: int | float, raw: object, remark: str) -> Parsed:
    low = column.least is not None and value < column.least
    high = column.most is not None and value > column.most
    title = column.title.split(" (")[0]
    if low or high:
        return Parsed(value, Fault("outside-limits", f"{title} says {quoted(in_words(raw))}; {column.limits()} is expected"))
    if remark:
        return Parsed(value, Fault("number-as-text", f"{title} says “{quoted(in_words(raw))}”; read as {value:g}"))
    return Parsed(value)


def _date(column: Column, raw: object, reader: Reader) -> Parsed:
    asked = "write a date such as 12 Mar 2026"
    raw = reader.day_of(raw)
    if isinstance(raw, datetime):
        raw = raw.date() if raw.year >= EARLIEST_YEAR else raw
    if isinstance(raw, date) and not isinstance(raw, datetime):
        return _dated(column, raw, raw)
    if not isinstance(raw, str):
        return _refused("not-a-date", column, raw, asked)
    return _written_date(column, raw, reader, asked)


def _dated(column: Column, day: date, raw: object) -> Parsed:
    if EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        return Parsed(day)
    return _refused("not-a-date", column, raw, f"the year must lie in {EARLIEST_YEAR} to {LATEST_YEAR}")


def _written_date(column: Column, raw: str, reader: Reader, asked: str) -> Parsed:
    parts = parts_of(raw, _ORDER[reader.order])
    if parts is None:
        return _refused("not-a-date", column, raw, asked)
    year = parts.year
    if year is None:
        if reader.year is None:
            return _refused("not-a-date", column, raw, "write the year too, or set the lambing year on Season")
        year = reader.year - (parts.month >= AUTUMN_BEFORE_FROM)
    try:
        day = date(year, parts.month, parts.day)
    except ValueError:
        how = f" read {reader.order.label}" if parts.order_matters else ""
        return _refused("not-a-date", column, raw, f"there is no such day{how}: {asked}")
    parsed = _dated(column, day, raw)
    if parsed.fault:
        return parsed
    how = f" {reader.order.label}" if parts.order_matters else ""
    text = f"{column.title} says “{raw}” as text; read{how} as {in_words(day)}"
    return Parsed(day, Fault("date-as-text", text))


def _moment(column: Column, raw: object, reader: Reader) -> Parsed:
    asked = "write a date and time such as 12 Mar 2026 02:30, or the time alone"
    raw = reader.day_of(raw)
    match raw:
        case time():
            return Parsed(raw)
        case str():
            return _written_moment(column, raw, reader, asked)
        case date() if EARLIEST_YEAR <= raw.year <= LATEST_YEAR:
            return Parsed(raw if isinstance(raw, datetime) else datetime.combine(raw, time()))
    return _refused("not-a-date", column, raw, asked)


def _written_moment(column: Column, raw: str, reader: Reader, asked: str) -> Parsed:
    alone = _clock(raw)
    if alone is not None:
        if "." in raw and isinstance(_written_date(column, raw, reader, asked).value, date):
            return _refused("not-a-date", column, raw, "it could be a time or a day; " + asked)
        return Parsed(alone)
    parts = _DAY_AND_CLOCK.fullmatch(raw)
    clock = _clock(parts[2]) if parts else None
    day = _written_date(column, parts[1] if parts and clock is not None else raw, reader, asked)
    if not isinstance(day.value, date) or (clock is None and _TIMED.search(raw)):
        return _refused("not-a-date", column, raw, asked)
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


@cache
def _spellings(choices: type[Choice]) -> Mapping[str, Choice]:
    found: dict[str, Choice] = {}
    for choice in choices:
        for spelling in (choice.label, *choice.spellings):
            found.setdefault(fold(spelling), choice)
    return found


def _choice(column: Column, raw: object, _reader: Reader) -> Parsed:
    if column.choices is None:
        raise TypeError(f"{column.id} has no list")
    found = _spellings(column.choices).get(fold(in_words(raw)))
    if found is not None:
        return Parsed(found)
    asked = "choose from the list: " + "; ".join(choice.label for choice in column.choices)
    return _refused("not-in-the-list", column, raw, asked)


_PARSERS: Mapping[Kind, Callable[[Column, object, Reader], Parsed]] = {
    Kind.IDENTIFIER: _identifier,
    Kind.TEXT: _text,
    Kind.WHOLE: _whole,
    Kind.NUMBER: _number,
    Kind.DATE: _date,
    Kind.MOMENT: _moment,
    Kind.CHOICE: _choice,
    Kind.SETTING: _text,
}
