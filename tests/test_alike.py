"""Habits folded: one line for each column and kind of slip, in text, on To correct and on Queries; the one real error first."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest

from template_builder.build import Plan, build
from workbook.output.alike import FIRST_NAMED, MOST_ALIKE, Line, lines_of
from workbook.output.problem_text import text
from workbook.reading.season_file import read
from workbook.results.pipeline import Checked, Result, analyse
from workbook.rules.rule import Found, Problem, Rule, Severity
from workbook.season.cells import CellRef

HABIT = Rule("C901", "habit", "A habit", Severity.WARNING, "why", "house rule", "Put it right.")
MISTAKE = Rule("C902", "mistake", "A mistake", Severity.ERROR, "why", "house rule", "Mend it.")
REMARK = Rule("C903", "remark", "A remark", Severity.NOTE, "why", "house rule", "Leave it.")
HABITS = 100  # of each kind, in the season of habits
FIRST_SCREEN = 20  # rows that a person sees without scrolling


def problem(rule: Rule, row: int, column: int = 3, text: str = "", sheet: str = "Lambs", value: str = "x") -> Problem:
    return Problem(rule, Found(CellRef("s.xlsx", sheet, row, column), text or f"says {row}", value, row_name=f"{row}-1"))


def places(lines: Iterable[Line]) -> list[list[str]]:
    return [[one.place.cell for one in line.problems] for line in lines]


def often(rule: Rule, number: int, column: int = 3, text: str = "", value: str = "x") -> list[Problem]:
    return [problem(rule, row, column, text, value=value) for row in range(4, 4 + number)]


@pytest.mark.parametrize(("number", "lines"), [(MOST_ALIKE - 1, MOST_ALIKE - 1), (MOST_ALIKE, MOST_ALIKE), (MOST_ALIKE + 1, 1)])
def test_more_than_the_limit_are_one_line(number: int, lines: int) -> None:
    assert lines == len(lines_of(often(HABIT, number)))
    assert number == len(lines_of(often(HABIT, number), fold=False))


@pytest.mark.parametrize(("kinds", "lines"), [(MOST_ALIKE - 1, MOST_ALIKE - 1), (MOST_ALIKE, MOST_ALIKE), (MOST_ALIKE + 1, 1)])
def test_more_kinds_in_one_column_than_the_limit_are_one_line(kinds: int, lines: int) -> None:
    words = ["ab", "cd", "ef", "gh", "ij", "kl"][:kinds]
    found = sorted((one for word in words for one in often(HABIT, 6, text=f"is {word}")), key=lambda one: one.place.row)
    folded = lines_of(found)
    assert lines == len(folded)
    assert all([one.place.row for one in line.problems] == sorted(one.place.row for one in line.problems) for line in folded)


@pytest.mark.parametrize(("rule", "columns", "lines"), [
    (REMARK, MOST_ALIKE - 1, MOST_ALIKE - 1), (REMARK, MOST_ALIKE, MOST_ALIKE), (REMARK, MOST_ALIKE + 1, 1),
    (HABIT, MOST_ALIKE + 1, MOST_ALIKE + 1),
])
def test_notes_of_many_columns_are_one_line_and_warnings_one_a_column(rule: Rule, columns: int, lines: int) -> None:
    assert lines == len(lines_of([one for column in range(columns) for one in often(rule, 6, column)]))


@pytest.mark.parametrize(("first", "second", "alike"), [
    ("Sex says “femail”; choose", "Sex says “mail”; choose", True),
    ("Weight says “9 lb”; write a number", "Weight says “10lb 4”; write a number", True),
    ("Weight says “9 lb”; write a number", "Weight says “heavy”; write a number", False),
    ("died on 3 Nov 2026, after 4 Dec 2026 10:30", "died on 12 Jan 2026, after 4 Feb 2026 9:30", True),
    ("6.5 kg is large for a twin", "7 kg is large for a twin", True),
    ("6.5 kg is large for a twin", "0.5 kg is small for a twin", False),
    ("26001 is no lamb; near it: 26011, 26021", "26001 is no lamb; near it: 26011", True),
    ("group Braw is not on Groups", "group Mead is not on Groups", False),  # neither is the value found, which is x
])
def test_kinds_of_slips_are_told_by_their_words(first: str, second: str, alike: bool) -> None:
    found = [*often(HABIT, MOST_ALIKE, text=first), problem(HABIT, 99, text=second)]
    assert (1 if alike else 2) == len(lines_of(found))


@pytest.mark.parametrize("values", [("Braw", "Mead"), ("north", "the top")])
def test_the_value_itself_makes_no_kind(values: tuple[str, str]) -> None:
    found = [problem(HABIT, row, text=f"group {values[row % 2]} is not on Groups", value=values[row % 2]) for row in range(4, 12)]
    assert 1 == len(lines_of(found))


def test_errors_stand_first_and_single_ones_above_habits() -> None:
    found = [*often(REMARK, 1), *often(HABIT, 100), problem(HABIT, 900, 4), *often(MISTAKE, 100), problem(MISTAKE, 901, 4)]
    assert [["D901"], "C902", ["D900"], "C901", ["C4"]] == [
        line.first.rule.id if line.many else places([line])[0] for line in lines_of(found)]


@pytest.mark.parametrize(("number", "more"), [
    (FIRST_NAMED, "and 5 more like it: C5, C6, C7, C8, C9"),
    (FIRST_NAMED + 1, "and 6 more like it: C5, C6, C7, C8, C9 and 1 more"),
])
def test_a_line_says_how_many_more_and_the_first_of_them(number: int, more: str) -> None:
    (line,) = lines_of(often(HABIT, number + 1))
    assert (more, f"{number + 1} cells") == (line.more, line.cells)


def test_cells_of_another_sheet_are_named_with_it_and_the_commonest_value_comes_first() -> None:
    found = [*often(REMARK, 1, value="a"), *(problem(REMARK, 4, 3, "says 4", f"S{n}", "b") for n in range(MOST_ALIKE))]
    (line,) = lines_of(found)
    assert ("and 5 more like it: S0!C4, S1!C4, S2!C4, S3!C4, S4!C4", "b, a") == (line.more, line.values)


@pytest.fixture(scope="module")
def habits(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A season with a hundred sexes misspelt, a hundred weights out of range, and one tag twice lower down."""
    path, known = tmp_path_factory.mktemp("habits") / "season.xlsx", range(1, HABITS + 11)
    build(path, Plan("Farm", {
        "season": [{"row_key": "year", "value": 2026}, {"row_key": "as_of", "value": date(2026, 5, 1)}],
        "ewes": [{"ewe": f"{n:04}"} for n in known],
        "lambing": [{"ewe": f"{n:04}", "lambed_on": date(2026, 4, 1)} for n in known],
        "lambs": [_lamb(n) for n in known],
    }))
    return path


def _lamb(n: int) -> dict[str, object]:
    habit, tag = n <= HABITS, 7000 + n - (n == HABITS + 5)
    return {"ewe": f"{n:04}", "lamb_no": 1, "tag": str(tag), "born": "alive", "sex": "lady" if habit else "ewe",
            "birth_weight": 45 + n / 10 if habit else 4.5}


REAL, SEXES, WEIGHTS = "C101", "R104", "R105"
AS_LISTED = [(REAL, "C108"), (SEXES, "D4"), (WEIGHTS, "F4")]


@pytest.fixture(scope="module")
def result(habits: Path) -> Result:
    return analyse(read(habits))


def test_all_are_found(result: Result) -> None:
    assert [REAL] + HABITS * [SEXES] + HABITS * [WEIGHTS] == sorted(one.rule.id for one in result.problems)


def test_text_has_one_line_for_each_habit_and_the_real_error_first(result: Result) -> None:
    lines = text(Checked(result.season, result.problems, ())).splitlines()
    listed = [line for line in lines if "season.xlsx:Lambs!" in line]
    assert [f"season.xlsx:Lambs!{cell}: {'warning' if id == WEIGHTS else 'error'} {id}" for id, cell in AS_LISTED] == [
        " ".join(line.split()[:3]) for line in listed]
    assert listed[0] == lines[0]
    assert f"    and {HABITS - 1} more like it: D5, D6, D7, D8, D9 and {HABITS - 6} more; all with --rule {SEXES}" in lines
