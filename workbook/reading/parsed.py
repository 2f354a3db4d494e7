"""A typed value as read, why a cell could not be, and what reading a cell depends on."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import NamedTuple

from template_builder.files.stored import moment
from template_builder.layout.choices import DateOrder, WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Column, Value
from template_builder.layout.words import quoted


@dataclass(frozen=True)
class Fault:
    """Why a cell could not be read as it stands: the reading rule's slug and a sentence."""

    slug: str
    text: str


class Parsed(NamedTuple):
    """A typed value. With a fault and a value, the value stands and the fault is a remark.

    `clock` is a time written beside the day, in a cell that holds a day alone.
    """

    value: Value
    fault: Fault | None = None
    clock: time | None = None


@dataclass(frozen=True)
class Reader:
    """What reading a cell depends on: the lambing year, how written dates run, and whether dates stand as bare numbers.

    `order` None: the column is written both ways, so only what can be read one way is read. `settled` False: nothing says
    how they run, and `order` is the default. A program that drops how cells look leaves 46113 of 1 Apr 2026: such numbers
    are days counted from `bare_days`, where the file or the column as a whole says so; elsewhere a number in a date column
    is a slip. `in_column`: that the column alone says so, which is told. `weights_in` is the unit of a weight without one.
    """

    year: int | None = None
    order: DateOrder | None = DateOrder.DMY
    bare_days: datetime | None = None
    settled: bool = True
    in_column: bool = False
    weights_in: WeightUnit = WeightUnit.KG

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
