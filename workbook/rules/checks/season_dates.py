"""Dates of another season than this workbook's."""

from collections.abc import Callable, Iterator
from datetime import date

from template_builder.layout.words import shown
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.believable import born, in_season_so_far
from workbook.season.cells import Record
from workbook.season.date_system import FIRST_MONTH
from workbook.season.row_names import row_name
from workbook.season.season import Season

SEASON_START = Limit("Number of the month in which a season begins, the year before lambing", FIRST_MONTH, "",
                     "Rams go in for the earliest lambing after it.", "house rule")
COLUMNS = (
    ("ewes", "scanned_on", "scanned"), ("ewes", "left_on", "left"), ("lambs", "moved_on", "moved"), ("lambs", "left_on", "left"),
    ("weights", "date", "weighed"), ("counts", "date", "counted"), ("ewe_check", "date", "looked at"),
    ("treatments", "date", "treated"),
)


@declare("C164", "date-before-season", title="A date lies before this season", severity=Severity.WARNING, source="house rule",
         why="Usually last year's date, written by habit; what is booked on it falls out of the figures by stage.",
         fix="Correct the date, or the lambing year on Season.", limits=(SEASON_START,))
def date_before_season(season: Season) -> Iterator[Found]:
    """Lambs whose birth is known are left out: what happened to them before it is an error of its own."""
    known = _with_birth(season)
    so_far = in_season_so_far(season)
    for sheet, column, verb in () if season.days_out else COLUMNS:
        for row in season.rows(sheet):
            day: date | None = row.day(column)
            if day and day < season.days.first and id(row) not in known:
                text = f"{verb} on {shown(day)}, before this season begins on {shown(season.days.first)}"
                yield Found(row.at(column), text + _a_year_later(day, so_far), shown(day), row_name=row_name(row))


def _a_year_later(day: date, so_far: Callable[[date], bool]) -> str:
    """The end of a sentence that offers the same day of the next year where that is in the season so far."""
    try:
        same = day.replace(year=day.year + 1)
    except ValueError:  # that year has no 29 February, or no calendar goes so far
        return ""
    return f"; did you mean {shown(same)}?" if so_far(same) else ""


def _with_birth(season: Season) -> set[int]:
    """The rows that speak of lambs whose day of birth is known, by identity."""
    rows: list[Record] = []
    for lamb in season.flock.lambs:
        if born(season, lamb):
            rows += [lamb.record, *lamb.weights]
    return {id(row) for row in rows}
