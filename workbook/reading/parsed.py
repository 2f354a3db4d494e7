"""A typed value as read, why a cell could not be, and what reading a cell depends on."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import NamedTuple

from template_builder.files.stored import moment
from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import NOT_KNOWN, Column, Value
from template_builder.layout.words import quoted


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


def refused(slug: str, column: Column, raw: object, asked: str) -> Parsed:
    """Not known, with the value found and what to do."""
    return Parsed(NOT_KNOWN, Fault(slug, f"{column.title.split(' (')[0]} says “{quoted(in_words(raw))}”; {asked}"))
