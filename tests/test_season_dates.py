"""Dates of returned season sheets, judged by the column: a whole farm's habit changes no figure and is told in a few lines."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from raw_cells import empty

from demo_workbooks import CLEAN, FOLDER
from template_builder.build import Plan, build
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.files.stored import EPOCH, EPOCH_1904
from template_builder.layout.columns import NOT_KNOWN, Value
from template_builder.layout.whole import SHEET
from workbook.cli import main
from workbook.output.marking.rows import rows_for
from workbook.output.problem_text import text
from workbook.output.report import result_json
from workbook.output.summary.places import Places
from workbook.output.summary.to_correct import rows_of
from workbook.reading.season_file import Reading, read, read_cells
from workbook.results.pipeline import analyse, check

pytestmark = pytest.mark.usefixtures("few_spare_rows")

MOST_LINES = 12
AS_OF = datetime(2026, 8, 20, 12)
ENTRY = {sheet.title for sheet in SHEET.values()}
DAY_SECONDS = 86_400
Habit = Callable[[datetime | time], object]


def american(value: datetime | time) -> object:
    return f"{value:%I:%M %p}" if isinstance(value, time) else f"{value:%m/%d/%Y}" + clock(value)


def day_and_month(value: datetime | time) -> object:
    return f"{value:%H:%M}" if isinstance(value, time) else f"{value.day}/{value.month}" + clock(value)


def iso(value: datetime | time) -> object:
    return f"1899-12-31 {value:%H:%M:%S}" if isinstance(value, time) else f"{value:%Y-%m-%d}" + clock(value)


def serial(value: datetime | time) -> object:
    if isinstance(value, time):
        return (value.hour * 3600 + value.minute * 60) / DAY_SECONDS
    days = (value - EPOCH).total_seconds() / DAY_SECONDS
    return int(days) if days.is_integer() else days


def clock(value: datetime) -> str:
    return "" if value.time() == time() else f" {value:%H:%M}"


@cache
def clean() -> Cells:
    return open_cells(FOLDER / CLEAN)


def retyped(cells: Cells, habit: Habit) -> Cells:
    """The workbook with every date and time of its entry sheets as one habit leaves them."""
    def cell(one: Cell) -> Cell:
        return one._replace(value=habit(one.value)) if isinstance(one.value, datetime | time) else one

    tabs = {tab: tuple((number, tuple(map(cell, row))) for number, row in lines) if tab in ENTRY else lines
            for tab, lines in cells.tabs.items()}
    return replace(cells, tabs=tabs)


def figures(reading: Reading) -> object:
    found = json.loads(result_json(analyse(reading)))
    return {name: value for name, value in found.items() if name != "problems"}


@cache
def as_dated() -> object:
    return figures(read_cells(clean()))


@pytest.mark.parametrize("habit", [american, day_and_month, iso, serial])
def test_a_habit_in_every_date_changes_no_figure_and_is_told_in_a_few_lines(habit: Habit) -> None:
    reading = read_cells(retyped(clean(), habit))
    checked = check(reading)
    told = text(checked)
    assert MOST_LINES >= len(told.splitlines()), told
    in_sight = [row for row in rows_for(checked.problems, (), reading.season.tabs) if not row.under]
    assert 1 == len(in_sight) == len(rows_of(checked.problems, Places((), {})))
    assert " error " not in told and " warning " not in told, told
    assert as_dated() == figures(reading)


def typed(*values: object, column: str = "lambed_on", epoch: datetime = EPOCH) -> Reading:
    """A season in which these were typed below one another in a column of Lambing."""
    number = [known.id for known in SHEET["lambing"]].index(column) + 1
    book = empty()
    rows = {row: (Cell(1, str(row)), Cell(number, value)) for row, value in enumerate(values, start=4)}
    lines = tuple(sorted({**dict(book.tabs["Lambing"]), **rows}.items()))
    return read_cells(replace(book, tabs={**book.tabs, "Lambing": lines}, epoch=epoch), AS_OF)


def read_as(reading: Reading, column: str = "lambed_on") -> list[Value]:
    return [row.held(column) for row in reading.season.rows("lambing")]


def said(reading: Reading) -> list[tuple[str, str]]:
    return [(problem.rule.id, str(problem.place)) for problem in reading.problems]


MAR_4, APR_3 = date(2026, 3, 4), date(2026, 4, 3)


@pytest.mark.parametrize(("values", "days", "told"), [
    (["4/3", "13/3"], [MAR_4, date(2026, 3, 13)], [("R111", "Lambing!D4")]),
    (["4/3", "12/3"], [MAR_4, date(2026, 3, 12)], [("R131", "Lambing!D4")]),  # the twelfth can be either
    (["4/3", "3/13"], [APR_3, date(2026, 3, 13)], [("R111", "Lambing!D4")]),
    (["4/3", "3/12"], [MAR_4, date(2025, 12, 3)], [("R131", "Lambing!D4")]),
    (["4/3", "13/3", "3/13"], [NOT_KNOWN, date(2026, 3, 13), date(2026, 3, 13)],
     [("R129", "Lambing!D4"), ("R111", "Lambing!D5")]),
    (["4/4", "13/3", "3/13"], [date(2026, 4, 4), date(2026, 3, 13), date(2026, 3, 13)], [("R111", "Lambing!D4")]),
    (["13/13"], [NOT_KNOWN], [("R103", "Lambing!D4")]),
    (["8th march"], [date(2026, 3, 8)], [("R111", "Lambing!D4")]),
])
def test_the_whole_column_says_which_way_round(values: list[object], days: list[Value], told: list[tuple[str, str]]) -> None:
    reading = typed(*values)
    assert days == read_as(reading)
    assert sorted(told) == sorted(said(reading))


FIRST, LAST = date(2025, 1, 1), date(2026, 12, 31)  # the two years of a season of 2026


@pytest.mark.parametrize("epoch", [EPOCH, EPOCH_1904])
@pytest.mark.parametrize(("day", "inside"), [
    (date(2024, 12, 31), False), (FIRST, True), (date(2025, 1, 2), True),
    (date(2026, 12, 30), True), (LAST, True), (date(2027, 1, 1), False),
])
def test_plain_numbers_are_days_where_all_lie_within_the_years_of_the_season(day: date, inside: bool, epoch: datetime) -> None:
    number = (datetime.combine(day, time()) - epoch).days
    other = (datetime(2026, 4, 1) - epoch).days
    reading = typed(number, other, epoch=epoch)
    assert ([day, date(2026, 4, 1)] if inside else [NOT_KNOWN, NOT_KNOWN]) == read_as(reading)
    assert ({"R130"} if inside else {"R103"}) == {rule for rule, _ in said(reading)}


@pytest.mark.parametrize(("values", "read_them"), [
    ([0.25, 46113.5], [time(6), datetime(2026, 4, 1, 12)]),
    ([0.25, 0], [time(6), time(0)]),
    ([0], [NOT_KNOWN]),  # none were seen, perhaps
    ([0.25, 1], [NOT_KNOWN, NOT_KNOWN]),
    (["12:15 PM", "3am", "3 a.m.", "1899-12-31 21:10:00", "1899-12-30 21:10:00"],
     [time(12, 15), time(3), time(3), time(21, 10), time(21, 10)]),
    (["15/3 3am", "8th march at 2.30pm", "15/3"],
     [datetime(2026, 3, 15, 3), datetime(2026, 3, 8, 14, 30), datetime(2026, 3, 15)]),
])
def test_times(values: list[object], read_them: list[Value]) -> None:
    assert read_them == read_as(typed(*values, column="waters_seen"), "waters_seen")


@pytest.mark.parametrize(("values", "read_them"), [
    (["4/3 04:10", "13/3 05:10"], [datetime(2026, 3, 4, 4, 10), datetime(2026, 3, 13, 5, 10)]),
    (["4/3 04:10", "3/13 05:10"], [datetime(2026, 4, 3, 4, 10), datetime(2026, 3, 13, 5, 10)]),
    (["4/3 04:10", "3/13 05:10", "21.10"], [datetime(2026, 4, 3, 4, 10), datetime(2026, 3, 13, 5, 10), NOT_KNOWN]),  # no day
])
def test_days_with_a_time_say_which_way_round_and_times_alone_do_not(values: list[object], read_them: list[Value]) -> None:
    assert read_them == read_as(typed(*values, column="waters_seen"), "waters_seen")


@pytest.mark.parametrize(("typed_in", "day"), [
    ("15/3 23:59", date(2026, 3, 15)), ("15/3 12pm", date(2026, 3, 15)), ("15/3 13pm", NOT_KNOWN)])
def test_a_day_with_a_time_that_is_none_is_not_taken_without_it(typed_in: str, day: Value) -> None:
    assert [day] == read_as(typed(typed_in))


def test_a_time_beside_the_day_is_kept() -> None:
    reading = typed("15/3 3am", "15/3", datetime(2026, 3, 16, 4, 30))
    assert [date(2026, 3, 15), date(2026, 3, 15), date(2026, 3, 16)] == read_as(reading)
    assert [datetime(2026, 3, 15, 3), None, datetime(2026, 3, 16, 4, 30)] == read_as(reading, "finished")


def test_a_question_of_both_ways_is_still_asked_of_a_merged_workbook(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Farm", {"season": [{"row_key": "year", "value": 2026}],
                                "lambing": [{"ewe": ewe, "notes": "x"} for ewe in "abc"]}))
    book = openpyxl.load_workbook(path)
    for row, value in enumerate(("13/3", "3/14", "4/3"), start=4):
        book["Lambing"].cell(row, 4).value = value
        book["Lambing"].cell(row, 4).number_format = "@"
    book.save(path)
    done = CliRunner().invoke(main, ["merge", str(path), str(path), "-o", str(tmp_path / "all.xlsx")])
    assert 0 == done.exit_code, done.output
    before, after = read(path), read(tmp_path / "all.xlsx")
    assert [date(2026, 3, 13), date(2026, 3, 14), NOT_KNOWN] == read_as(before) == read_as(after)
    assert [problem.found.text for problem in before.problems] == [problem.found.text for problem in after.problems]
