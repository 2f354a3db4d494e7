"""The dates of a column, judged together: which way round they are written, and what plain numbers among them mean."""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from template_builder.layout.words import shown
from template_builder.scan.cells import Cell, Refused, nothing_written, text_of
from template_builder.scan.written_dates import FIRST_YEAR, LAST_YEAR, ORDERS, WrittenDate, parts_of, read_date

DAY_FIRST, MONTH_FIRST = "dmy", "mdy"
FIRST_SERIAL = date(1899, 12, 30)  # the day a spreadsheet counts from (ECMA-376 part 1, 18.17.4.1, the 1900 date system)
NAMED = 5  # a question names so many cells on each side

_PLAIN = re.compile(r"\d{5}(?:\.\d+)?")


class Span(NamedTuple):
    """The days, first and last included, that a column is likely to speak of."""

    first: date
    last: date

    def holds(self, day: date) -> bool:
        """Whether the day is one of them."""
        return self.first <= day <= self.last


ANY_DAY = Span(date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31))


class Orders(NamedTuple):
    """Which cells of a column can only be read one way round, counted from 0; the others say nothing of the order."""

    day_first: tuple[int, ...]
    month_first: tuple[int, ...]

    @property
    def mixed(self) -> bool:
        """Whether the column is written both ways."""
        return bool(self.day_first and self.month_first)

    @property
    def settled(self) -> str | None:
        """The order the column is written in; None where nothing settles it, or it is written both ways."""
        if self.mixed or not (self.day_first or self.month_first):
            return None
        return DAY_FIRST if self.day_first else MONTH_FIRST


class DateColumn(NamedTuple):
    """A column as read: a day, None or a refusal for each cell; what was taken for granted; what is asked, once.

    `asked` are the cells whose day hangs on the question; they are None.
    """

    values: tuple[date | Refused | None, ...]
    notes: tuple[str, ...] = ()
    question: str | None = None
    asked: tuple[int, ...] = ()


def orders_of(cells: Sequence[Cell]) -> Orders:
    """Which cells settle whether the day or the month comes first: 14/01 can only be one, 01/14 the other."""
    day_first: list[int] = []
    month_first: list[int] = []
    for at, cell in enumerate(cells):
        by_day, by_month = _possible(cell, DAY_FIRST), _possible(cell, MONTH_FIRST)
        if by_day != by_month:
            (day_first if by_day else month_first).append(at)
    return Orders(tuple(day_first), tuple(month_first))


def judge_dates(
    cells: Sequence[Cell], *, order: str | None = None, leaning: str | None = None, likely: Span = ANY_DAY,
    season: int | None = None, year_before_from: int | None = None, places: Sequence[str] | None = None,
    ask: str = "write all dates one way round, or the months in letters",
) -> DateColumn:
    """Read the dates of a column, deciding for all its cells together.

    `order` is what a person said; `leaning` what other columns of the file settle; `likely` the days to expect. `season` and
    `year_before_from` are those of `read_date`; `places` name the cells, `ask` says what to do where both orders occur.
    """
    orders = orders_of(cells)
    decided = order or orders.settled or (None if orders.mixed else leaning or _likelier(cells, likely, season, year_before_from))
    days = _plain_days(cells, likely)
    values: list[date | Refused | None] = []
    asked = []
    for at, cell in enumerate(cells):
        way = decided or (DAY_FIRST if at in orders.day_first else MONTH_FIRST if at in orders.month_first else None)
        if nothing_written(cell):
            values.append(None)
        elif at in days:
            values.append(days[at])
        elif way is None and _numeric(cell):
            values.append(None)
            asked.append(at)
        else:
            values.append(read_date(cell, way or DAY_FIRST, season=season, year_before_from=year_before_from))
    question = None if decided else _question(cells, orders, len(asked), places, ask)
    return DateColumn(tuple(values), _notes(cells, decided, days, season), question, tuple(asked))


def _parts(cell: Cell, order: str) -> WrittenDate | None:
    return parts_of(cell, order) if isinstance(cell, str) else None


def _numeric(cell: Cell) -> bool:
    parts = _parts(cell, DAY_FIRST)
    return bool(parts and parts.order_matters)


def _possible(cell: Cell, order: str) -> bool:
    parts = _parts(cell, order)
    return bool(parts and parts.order_matters and 1 <= parts.month <= 12 and 1 <= parts.day <= 31)


def _likelier(cells: Sequence[Cell], likely: Span, season: int | None, year_before_from: int | None) -> str:
    """The order that puts every date on a likely day; the day first where that does not tell."""

    def fits(order: str) -> bool:
        days = [read_date(cell, order, season=season, year_before_from=year_before_from) for cell in cells if _numeric(cell)]
        return all(isinstance(day, date) and likely.holds(day) for day in days)

    return MONTH_FIRST if not fits(DAY_FIRST) and fits(MONTH_FIRST) else DAY_FIRST


def _plain_days(cells: Iterable[Cell], likely: Span) -> dict[int, date]:
    """Plain numbers as days, as a spreadsheet counts them; none unless every one of them is a likely day."""
    plain = {at: int(float(text_of(cell))) for at, cell in enumerate(cells)
             if not isinstance(cell, (bool, date)) and _PLAIN.fullmatch(text_of(cell))}
    days = {at: FIRST_SERIAL + timedelta(days=number) for at, number in plain.items()}
    return days if all(map(likely.holds, days.values())) else {}


def _question(cells: Sequence[Cell], orders: Orders, in_doubt: int, places: Sequence[str] | None, ask: str) -> str | None:
    if not orders.mixed:
        return None

    def named(which: Sequence[int]) -> str:
        first = [f"“{text_of(cells[at])}”" + (f" ({places[at]})" if places else "") for at in which[:NAMED]]
        return ", ".join(first) + (f" and {len(which) - NAMED} more" if len(which) > NAMED else "")

    left = f"; {in_doubt} that could be either are left blank" if in_doubt else ""
    return (f"some dates have the day first: {named(orders.day_first)}; others the month first: "
            f"{named(orders.month_first)}{left}; {ask}")


def _notes(cells: Sequence[Cell], order: str | None, days: dict[int, date], season: int | None) -> tuple[str, ...]:
    notes = []
    numeric = [cell for cell in cells if _numeric(cell)]
    if numeric and order:
        notes.append(f"dates such as “{text_of(numeric[0])}” were read as {ORDERS[order]}")
    if days:
        at, day = next(iter(days.items()))
        notes.append(f"plain numbers such as “{text_of(cells[at])}” were read as days: {shown(day)}")
    bare = [cell for cell in cells if (parts := _parts(cell, DAY_FIRST)) and parts.year is None]
    if season and bare:
        notes.append(f"dates without a year, such as “{text_of(bare[0])}”, were taken for the lambing of {season}")
    return tuple(notes)
