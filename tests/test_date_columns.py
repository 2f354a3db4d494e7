"""A column of dates judged as a whole: which way round, what plain numbers are, what is asked once."""

from collections.abc import Sequence
from datetime import date, datetime

import pytest

from template_builder.scan.cells import Cell, Refused
from template_builder.scan.date_columns import Orders, Span, judge_dates, orders_of

SEASON = Span(date(2025, 1, 1), date(2026, 12, 31))


@pytest.mark.parametrize(("cells", "orders"), [
    (["12/10/2025", "01/12/2025"], Orders((), ())),  # twelve may be either
    (["13/10/2025", "01/12/2025"], Orders((0,), ())),
    (["10/13/2025", "01/12/2025"], Orders((), (0,))),
    (["13/10", "10/13"], Orders((0,), (1,))),
    (["2025-10-13", "13 Oct 2025", "", None, datetime(2025, 10, 13), "soon", "32/10/2025", "13/13/2025"], Orders((), ())),
])
def test_a_cell_above_twelve_settles_the_order(cells: Sequence[Cell], orders: Orders) -> None:
    assert orders == orders_of(cells)


@pytest.mark.parametrize(("cells", "days"), [
    (["04/02/2026", "01/14/2026"], [date(2026, 4, 2), date(2026, 1, 14)]),
    (["04/02/2026", "14/01/2026"], [date(2026, 2, 4), date(2026, 1, 14)]),
    (["04/02/2026"], [date(2026, 2, 4)]),
])
def test_all_dates_of_a_column_run_the_same_way(cells: Sequence[Cell], days: list[date]) -> None:
    assert days == list(judge_dates(cells).values)


def test_a_column_that_says_nothing_takes_the_order_of_the_others_unless_a_person_said() -> None:
    assert (date(2026, 4, 2),) == judge_dates(["04/02/2026"], leaning="mdy").values
    assert (date(2026, 2, 4),) == judge_dates(["04/02/2026"], leaning="mdy", order="dmy").values


@pytest.mark.parametrize(("last", "day"), [
    (date(2026, 4, 1), date(2026, 2, 4)),  # neither order fits, or only the other
    (date(2026, 4, 2), date(2026, 4, 2)),
    (date(2026, 4, 3), date(2026, 4, 2)),
])
def test_likely_days_settle_what_the_cells_do_not(last: date, day: date) -> None:
    assert (day,) == judge_dates(["04/02/2026"], likely=Span(date(2026, 3, 1), last)).values


def test_both_orders_are_one_question_naming_both_sides() -> None:
    column = judge_dates(["14/10/2025", "10/15/2025", "01/02/2025", ""], places=["line 2", "line 3", "line 4", "line 5"])
    assert (date(2025, 10, 14), date(2025, 10, 15), None, None) == column.values
    assert (2,) == column.asked
    assert ("some dates have the day first: “14/10/2025” (line 2); others the month first: “10/15/2025” (line 3); 1 that could "
            "be either are left blank; write all dates one way round, or the months in letters") == column.question


def test_an_order_given_answers_the_question() -> None:
    column = judge_dates(["14/10/2025", "10/15/2025", "01/02/2025"], order="dmy")
    assert (None, date(2025, 2, 1)) == (column.question, column.values[2])
    assert isinstance(column.values[1], Refused)


@pytest.mark.parametrize(("cell", "day"), [
    (45657, None),  # 31 December 2024
    (45658, date(2025, 1, 1)),
    ("45658.75", date(2025, 1, 1)),
    (46387, date(2026, 12, 31)),
    (46388, None),
])
def test_plain_numbers_are_days_within_the_years_of_the_season(cell: Cell, day: date | None) -> None:
    value = judge_dates([cell], likely=SEASON).values[0]
    assert day == value if day else isinstance(value, Refused)


def test_one_plain_number_outside_makes_all_of_them_doubtful() -> None:
    assert all(isinstance(value, Refused) for value in judge_dates([45700, 12345], likely=SEASON).values)
    assert (date(2025, 2, 12),) == judge_dates([45700], likely=SEASON).values


def test_what_was_taken_for_granted_is_said_once_for_the_column() -> None:
    column = judge_dates(["01/14/2026", "01/15/2026", 46040, "16 Jan"], season=2026)
    assert ("dates such as “01/14/2026” were read as month, day, year", "plain numbers such as “46040” were read as days: "
            "18 Jan 2026", "dates without a year, such as “16 Jan”, were taken for the lambing of 2026") == column.notes
