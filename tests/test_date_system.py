"""A workbook whose dates were moved by 1,462 days: said only where nine in ten of ten dates or more show it."""

from datetime import date, timedelta

import pytest
from seasons import season

from workbook.season.date_system import SYSTEMS_APART, SeasonDays, days_out, swapped

DAYS = SeasonDays.of(2026)
APART = timedelta(days=1462)


@pytest.mark.parametrize(("moved", "kept", "out"), [
    (9, 0, False), (10, 0, True), (11, 0, True),  # ten dates at least
    (9, 1, False), (10, 1, True), (10, 2, False),  # ten of eleven, ten of twelve
    (17, 2, False), (18, 2, True), (19, 2, True),  # nine in ten
    (0, 20, False),
])
@pytest.mark.parametrize("way", [1, -1])
def test_dates_are_out_where_nine_in_ten_of_ten_or_more_are(moved: int, kept: int, out: bool, way: int) -> None:
    day = date(2026, 3, 1)
    rows = [{"ewe": str(n), "lambed_on": day + (way * APART if n < moved else timedelta(0))} for n in range(moved + kept)]
    found = days_out(season(lambing=rows).records, DAYS)
    assert (way * SYSTEMS_APART if out else 0) == found


@pytest.mark.parametrize(("day", "inside"), [
    (date(2025, 5, 31), False), (date(2025, 6, 1), True), (date(2026, 12, 31), True), (date(2027, 1, 1), False),
])
def test_a_season_runs_from_the_june_before_to_the_end_of_its_year(day: date, inside: bool) -> None:
    assert inside == (day in DAYS)
    rows = [{"ewe": str(n), "lambed_on": day + APART} for n in range(10)]
    assert (SYSTEMS_APART if inside else 0) == days_out(season(lambing=rows).records, DAYS)


@pytest.mark.parametrize("year", [date.min.year, date.min.year + 1, date.max.year, date.max.year + 1])
def test_a_year_no_calendar_has_is_the_nearest_it_has(year: int) -> None:
    nearest = min(max(year, 2), 9999)
    assert (date(nearest - 1, 6, 1), date(nearest, 12, 31)) == (SeasonDays.of(year).first, SeasonDays.of(year).last)


@pytest.mark.parametrize("day", [date.min, date.min + APART, date.max - APART, date.max])
def test_dates_at_the_ends_of_the_calendar_are_read(day: date) -> None:
    assert 0 == days_out(season(lambing=[{"ewe": "1", "lambed_on": day}] * 10).records, DAYS)


@pytest.mark.parametrize(("day", "other"), [
    (date(2026, 3, 4), date(2026, 4, 3)), (date(2026, 12, 1), date(2026, 1, 12)), (date(2026, 3, 12), date(2026, 12, 3)),
    (date(2026, 3, 13), None), (date(2026, 4, 4), None),
])
def test_day_and_month_the_other_way_round(day: date, other: date | None) -> None:
    assert other == swapped(day)
