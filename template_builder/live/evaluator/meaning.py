"""What the signs and functions of formulas mean for single values, as LibreOffice takes them.

A blank cell is None: 0 among numbers, "" among words. An error is a value, and what is made from it is an error too.
"""

import math
import re
from collections.abc import Callable, Iterable
from datetime import date

from template_builder.layout.words import beginning

CellValue = str | int | float | bool | None
NUMBERS = frozenset({int, float})
_CLOSE = 2.0**-48  # numbers that differ by less than this share count as equal
_WHOLE_UP_TO = 2.0**53
_EXACT_ABOVE = 2.0**41  # from here on no figure behind the point is doubtful
_NEARLY_ONE = 0.999
_DAY_0 = date(1899, 12, 30).toordinal()
_FIRST_DATE, _LAST_DATE = 61, 2_958_466  # from 1 March 1900 to the end of 9999
_AS_NUMBER = re.compile(r"\s*[-+]?\d+(?:\.\d*)?(?:[eE][-+]?\d+)?\s*")
VALUE, NOT_AVAILABLE, REFERENCE, NUMBER, DIVISION = "#VALUE!", "#N/A", "#REF!", "#NUM!", "#DIV/0!"


class Fault(Exception):
    """An error as it stands in a cell: "#N/A"."""

    @property
    def code(self) -> str:
        return str(self.args[0])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Fault) and self.code == other.code

    __hash__ = Exception.__hash__


def text_of(value: CellValue) -> str:
    """A value as words: numbers with at most 15 figures."""
    match value:
        case str():
            return value
        case None:
            return ""
        case bool():
            return "TRUE" if value else "FALSE"
        case _:
            return f"{value + 0.0:.15g}".replace("e", "E")  # a sum with nothing has no -0


def number_of(value: CellValue) -> int | float:
    """A value as a number: words only where they are a plain number."""
    if value is None:
        return 0
    if isinstance(value, str):
        if not _AS_NUMBER.fullmatch(value):
            raise Fault(VALUE)
        return float(value)
    return value


def n(value: CellValue) -> int | float:
    """A number as it is, anything else as 0."""
    return value if isinstance(value, int | float) else 0


def truth_of(value: CellValue) -> bool:
    if isinstance(value, str):
        raise Fault(VALUE)
    return bool(value)


def blank_as_0(value: CellValue) -> CellValue:
    """What a formula shows that only says which cell it takes its value from."""
    return 0 if value is None else value


def is_number(value: CellValue) -> bool:
    return value.__class__ in NUMBERS


def close(one: float, other: float) -> bool:
    """Whether two numbers are the same but for what reckoning with fractions leaves; whole numbers are the same or not."""
    if one == other:
        return True
    apart, one, other = abs(one - other), abs(one), abs(other)
    if apart >= min(one, other) * _CLOSE:
        return False
    return not all(number < _WHOLE_UP_TO and number == int(number) for number in (one, other))


def plus(one: float, other: float) -> int | float:
    """A sum; what differs from nothing by rounding alone is 0."""
    return 0 if close(one, -other) else one + other


def minus(one: float, other: float) -> int | float:
    return 0 if close(one, other) else one - other


def divided(one: float, other: float) -> float:
    if other == 0:
        raise Fault(DIVISION)
    return one / other


def square_root(value: float) -> float:
    if value < 0:
        raise Fault(NUMBER)
    return math.sqrt(value)


def floor(value: float) -> int:
    """The whole number not above; what lacks no more than rounding to the next counts as the next."""
    below = math.floor(value)
    if value - below > _NEARLY_ONE and abs(value) < _EXACT_ABOVE and float(f"{value:.15g}") >= below + 1:
        return below + 1
    return below


def rounded(value: float) -> int:
    """To the nearest whole number, halves away from 0."""
    return math.floor(value + 0.5) if value >= 0 else -math.floor(0.5 - value)


def compared(one: CellValue, other: CellValue) -> int:
    """Below 0, 0 or above 0 as the first is less, the same or more: numbers before words, words without their case."""
    if one is None:
        one = "" if isinstance(other, str) else 0
    if other is None:
        other = "" if isinstance(one, str) else 0
    if isinstance(one, str) or isinstance(other, str):
        if isinstance(one, str) and isinstance(other, str):
            first, second = one.casefold(), other.casefold()
            return (first > second) - (first < second)
        return 1 if isinstance(one, str) else -1
    return 0 if close(one, other) else 1 if one > other else -1


def same(one: CellValue, other: CellValue) -> bool:
    return compared(one, other) == 0


def trim(text: str) -> str:
    """Without spaces at its ends and with single ones inside."""
    return text if " " not in text else " ".join(filter(None, text.split(" ")))


def mid(text: str, start: float, length: float) -> str:
    """So many characters from this one on, counted from 1."""
    if start < 1 or length < 0:
        raise Fault(VALUE)
    first = floor(start) - 1
    skipped = beginning(text, first)
    return beginning(text[len(skipped):], floor(length))


def right(text: str, length: float) -> str:
    """So many characters from the end."""
    if length < 0:
        raise Fault(VALUE)
    return text[max(0, len(text) - floor(length)):]


def day_of(value: float) -> date:
    """The date of a number; days before March 1900 differ from program to program and are not asked for."""
    if not _FIRST_DATE <= value < _LAST_DATE:
        raise Fault(VALUE)
    return date.fromordinal(_DAY_0 + math.floor(value))


def substitute(text: str, old: str, new: str) -> str:
    return text.replace(old, new) if old else text


def greatest(values: Iterable[CellValue]) -> int | float:
    """The largest number among cells, 0 where there is none."""
    return max((value for value in values if isinstance(value, int | float)), default=0)


def least(values: Iterable[CellValue]) -> int | float:
    return min((value for value in values if isinstance(value, int | float)), default=0)


def checked(value: CellValue | Fault) -> CellValue:
    """The value of a cell that may hold an error: the error spreads."""
    if isinstance(value, Fault):
        raise value.with_traceback(None)
    return value


def or_else(asked: Callable[[], CellValue], otherwise: Callable[[], CellValue]) -> CellValue:
    try:
        return asked()
    except Fault:
        return otherwise()


def is_number_there(asked: Callable[[], CellValue]) -> bool:
    try:
        return is_number(asked())
    except Fault:
        return False


def is_filled(asked: Callable[[], CellValue]) -> bool:
    """Whether there is anything in a cell, be it an error."""
    try:
        return asked() is not None
    except Fault:
        return True
