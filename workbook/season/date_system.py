"""Whether a workbook counts its dates from another day than it was filled in by, and which days the season spans.

Spreadsheets count days from the beginning of 1900 or of 1904. Switching a filled-in workbook from one to the other moves
every date by 1,462 days at once, while the numbers typed as years stay.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from template_builder.layout.columns import Kind
from template_builder.layout.sheets import SHEETS
from workbook.season.cells import Record

SYSTEMS_APART = 1462
# A season is spoken of from the summer before, when rams go in, to the end of the lambing year.
FIRST_MONTH = 6
LEAST_DATES, LEAST_SHARE = 10, 0.9

DATE_COLUMNS = tuple(
    (sheet.id, column.id) for sheet in SHEETS for column in sheet.own_columns if column.kind in (Kind.DATE, Kind.MOMENT)
)


@dataclass(frozen=True)
class SeasonDays:
    """The first and last day a season speaks of."""

    first: date
    last: date

    def __contains__(self, day: date) -> bool:
        return self.first <= day <= self.last

    @classmethod
    def of(cls, year: int) -> "SeasonDays":
        """The days of a lambing year; a year no calendar has is brought to the nearest one it has."""
        year = min(max(year, date.min.year + 1), date.max.year)
        return cls(date(year - 1, FIRST_MONTH, 1), date(year, 12, 31))


def dates(records: Mapping[str, Iterable[Record]]) -> Iterator[tuple[Record, str, date]]:
    """Every date written on any sheet: record, column and day."""
    for sheet, column in DATE_COLUMNS:
        for row in records.get(sheet, ()):
            value = row.held(column)
            if isinstance(value, date):
                yield row, column, value.date() if isinstance(value, datetime) else value


def days_out(records: Mapping[str, Iterable[Record]], season: SeasonDays) -> int:
    """1462 where nearly every date is so many days late, -1462 where early, 0 where dates are as usual.

    That is said only where 10 dates or more are written and nine in ten lie outside the season but inside once shifted.
    """
    written = [day for _, _, day in dates(records)]
    for out in (SYSTEMS_APART, -SYSTEMS_APART):
        shift = timedelta(days=out)  # longer than any season: a day inside one once shifted lies outside as written
        moved = sum(1 for day in written if _within_calendar(day) and day - shift in season)
        if moved >= LEAST_DATES and moved >= LEAST_SHARE * len(written):
            return out
    return 0


def _within_calendar(day: date) -> bool:
    return date.min + timedelta(days=SYSTEMS_APART) <= day <= date.max - timedelta(days=SYSTEMS_APART)


def swapped(day: date) -> date | None:
    """The date with day and month the other way round; None where there is no such date, or it is the same."""
    try:
        other = date(day.year, day.day, day.month)
    except ValueError:
        return None
    return None if other == day else other
