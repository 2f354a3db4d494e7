"""What a typed cell means: one function for each kind of column, from the raw cell to a value or a fault in words."""

import math
import re
from collections.abc import Callable, Mapping
from datetime import date, time, timedelta

from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Column, Kind
from template_builder.layout.count_words import count_of, doubt_of
from template_builder.layout.settings import SETTING, Setting
from template_builder.layout.spellings import folded, meant
from template_builder.layout.weights import IN_KG, KG, weight_of
from template_builder.layout.words import quoted
from workbook.reading.days import read_day, read_moment
from workbook.reading.parsed import Fault, Parsed, Reader, in_words, refused

# A tag of this many digits that ends in this many zeros has been through a number cell that could not hold it.
LONG_TAG, LOST_ZEROS = 12, 6

_SHORTENED = re.compile(r"\d+[.,]\d+E\+?\d+|\d+E\+\d+", re.IGNORECASE)
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*([a-zA-Z%]*)\.?")
_THOUSANDS = re.compile(r"[+-]?\d{1,3},\d{3}\D*")  # 1,250 may be twelve hundred or one and a quarter
# Characters without width that come along when text is copied from a web page or a message.
_UNSEEN = dict.fromkeys((0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, 0x00AD))
_TYPED_MARKS = "\"'\u2018\u2019\u201c\u201d"  # put round a number or before it, to keep it text
_UNITS = {"", "kg", "kgs", "kilo", "kilos", "lambs", "lamb", "ewes", "ewe", "days", "day", "d", "h", "hours", "hrs"}
PER_CENT, SHARE = "%", "share"


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


def _identifier(column: Column, raw: object, _reader: Reader) -> Parsed:
    match raw:
        case str():
            unmarked = raw.strip(_TYPED_MARKS)
            text = unmarked if unmarked.isdigit() else raw
            return _lost(column, text) if _SHORTENED.fullmatch(text) else Parsed(text)
        case bool() | date() | time() | timedelta():
            return refused("not-a-tag", column, raw, "the spreadsheet has changed what was typed: type the number again as text")
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
    return refused("tag-digits-lost", column, raw, "digits of the tag are lost: copy it again from the tag or the scan file")


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


def _number(column: Column, raw: object, reader: Reader) -> Parsed:
    if column.unit == KG:
        return _weight(column, raw, reader.weights_in if column.scale else WeightUnit.KG)
    found = _amount(column, raw)
    if found is None:
        return refused("not-a-number", column, raw, "write a number")
    value, remark = found
    return _limited(column, value, raw, remark)


def _weight(column: Column, raw: object, bare: WeightUnit) -> Parsed:
    """A weight in kg, from a number in the unit `bare` or from text that may say its own."""
    match raw:
        case int() | float() if not isinstance(raw, bool):
            kg: float | None = raw * IN_KG[bare]
        case str():
            kg = weight_of(raw, bare)
        case _:
            kg = None
    if kg is None:
        return refused("not-a-number", column, raw, "write a weight such as 4.2 kg or 9 lb 4 oz")
    return _limited(column, kg, raw, "written as text" if isinstance(raw, str) else "")


def _whole(column: Column, raw: object, _reader: Reader) -> Parsed:
    word = raw if column.of_a_litter and isinstance(raw, str) else ""
    if (lambs := count_of(word)) is not None:
        return _limited(column, lambs, raw, "")
    if doubt := doubt_of(word):
        return refused("not-a-whole-number", column, raw, f"it {doubt}")
    found = _amount(column, raw)
    if found is None or not found[0].is_integer():
        return refused("not-a-whole-number", column, raw, "write a whole number")
    value, remark = found
    return _limited(column, int(value), raw, remark)


def _limited(column: Column, value: int | float, raw: object, remark: str) -> Parsed:
    low = column.least is not None and value < column.least
    high = column.most is not None and value > column.most
    title = column.title.split(" (")[0]
    read = f"{round(value, 2):g} kg" if column.unit == KG else f"{value:g}"
    if low or high:
        as_typed = in_words(raw).replace(",", ".").startswith(f"{value:g}")
        how = "" if as_typed else f", read as {read}"
        return Parsed(value, Fault("outside-limits", f"{title} says {quoted(in_words(raw))}{how}; {column.limits()} is expected"))
    if remark:
        return Parsed(value, Fault("number-as-text", f"{title} says “{quoted(in_words(raw))}”; read as {read}"))
    return Parsed(value)


def _choice(column: Column, raw: object, _reader: Reader) -> Parsed:
    if column.choices is None:
        raise TypeError(f"{column.id} has no list")
    word = in_words(raw)
    match () if folded(word) in column.unread else meant(column.choices, word):
        case (one,):
            return Parsed(one)
        case ():
            asked = "choose from the list: " + "; ".join(choice.label for choice in column.choices)
        case several:
            asked = f"it may mean {' or '.join(f'“{choice.label}”' for choice in several)}: write which"
    return refused("not-in-the-list", column, raw, asked)


_PARSERS: Mapping[Kind, Callable[[Column, object, Reader], Parsed]] = {
    Kind.IDENTIFIER: _identifier,
    Kind.TEXT: _text,
    Kind.WHOLE: _whole,
    Kind.NUMBER: _number,
    Kind.DATE: read_day,
    Kind.MOMENT: read_moment,
    Kind.CHOICE: _choice,
    Kind.SETTING: _text,
}
