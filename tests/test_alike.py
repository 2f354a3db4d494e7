"""Habits folded: one line for each column and kind of slip, in text, on To correct of both; the one real error first."""

import json
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from inventory import Book
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from template_builder.build import Plan, build
from template_builder.files.opening import Cell as Stored
from template_builder.files.opening import Line as StoredLine
from template_builder.files.opening import open_cells
from template_builder.layout.sheets.to_correct import CORRECT_IT, TO_CORRECT
from template_builder.layout.summary_tabs import RECORDS_LAMBS
from template_builder.layout.summary_tabs import TO_CORRECT as TO_CORRECT_HERE
from workbook.output.alike import FIRST_NAMED, MOST_ALIKE, Line, lines_of
from workbook.output.marking.copy import write_marked
from workbook.output.marking.stored import place_of
from workbook.output.problem_text import text
from workbook.output.report import as_csv, as_json
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import Reading, read, read_cells
from workbook.results.pipeline import Checked, Result, analyse, check
from workbook.rules.rule import REGISTRY, Found, Problem, Rule, Severity
from workbook.season.cells import CellRef

pytestmark = pytest.mark.usefixtures("few_spare_rows")

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
    assert more == line.more


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
AS_LISTED = [(REAL, "E108"), (SEXES, "C4"), (WEIGHTS, "F4")]


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
    assert f"    and {HABITS - 1} more like it: C5, C6, C7, C8, C9 and {HABITS - 6} more; all with --rule {SEXES}" in lines


# To correct


FIRST = 4  # the first row of To correct
RULE, CELL, ROW, VALUE, MESSAGE, ANSWER = (
    [column.id for column in TO_CORRECT.own_columns].index(id)
    for id in ("rule", "cell", "row_name", "value", "message", "answer"))


def marked(path: Path, target: Path) -> Path:
    write_marked(check(read(path)), path, target, force=True)
    return target


@pytest.fixture(scope="module")
def copy(habits: Path) -> Path:
    return marked(habits, habits.with_name("marked.xlsx"))


def corrected(path: Path) -> Worksheet:
    return openpyxl.load_workbook(path)[TO_CORRECT.title]


def in_sight(sheet: Worksheet) -> list[tuple[Cell, ...]]:
    """The rows that are not closed up."""
    return [row for row in sheet.iter_rows(min_row=FIRST) if not sheet.row_dimensions[row[0].row].hidden]


def test_to_correct_has_one_row_for_each_habit_and_the_real_error_first(copy: Path) -> None:
    sheet = corrected(copy)
    rows = in_sight(sheet)
    assert AS_LISTED == [(row[RULE].value, row[CELL].value) for row in rows]
    assert [f"'Lambs'!{cell}" for _, cell in AS_LISTED] == [row[CELL].hyperlink.location for row in rows]
    assert [f"{HABITS} cells", "lady"] == [rows[1][place].value for place in (ROW, VALUE)]
    assert rows[1][MESSAGE].value.endswith(f" (and {HABITS - 1} more like it: C5, C6, C7, C8, C9 and {HABITS - 6} more)")
    assert [CORRECT_IT, CORRECT_IT, None] == [row[ANSWER].value for row in rows]
    assert not sheet.sheet_properties.outlinePr.summaryBelow
    assert sheet.column_dimensions["J"].hidden


def test_under_each_habit_stand_its_cells_closed_up_each_with_its_link(copy: Path, result: Result) -> None:
    sheet = corrected(copy)
    under = [row for row in sheet.iter_rows(min_row=FIRST) if sheet.row_dimensions[row[0].row].hidden]
    assert {1} == {sheet.row_dimensions[row[0].row].outlineLevel for row in under}
    listed = [(row[RULE].value, row[CELL].hyperlink.location, row[ROW].value, row[VALUE].value) for row in under]
    assert sorted((one.rule.id, f"'Lambs'!{one.place.cell}", one.found.row_name, one.found.value)
                  for one in result.problems if one.rule.id != REAL) == sorted(listed)


def test_every_cell_is_marked_in_its_own_sheet(copy: Path, result: Result) -> None:
    assert {one.place.cell for one in result.problems} == {mark.cell for mark in Book(copy).marks() if mark.sheet == "Lambs"}


Change = Callable[[dict[str, dict[tuple[int, int], object]]], None]


def changed(path: Path, *changes: Change) -> Reading:
    """The workbook as it comes back, cells changed by sheet, row and column."""
    cells = open_cells(path)
    tabs = {tab: {(number, cell.column): cell.value for number, line in lines for cell in line}
            for tab, lines in cells.tabs.items()}
    for change in changes:
        change(tabs)
    return read_cells(replace(cells, tabs={tab: _lines(values) for tab, values in tabs.items()}))


def _lines(values: dict[tuple[int, int], object]) -> tuple[StoredLine, ...]:
    rows: dict[int, list[Stored]] = {}
    for (row, column), value in sorted(values.items()):
        if value is not None:
            rows.setdefault(row, []).append(Stored(column, value))
    return tuple((row, tuple(line)) for row, line in rows.items())


def say(words: str | None, rule: str, row_name: str = f"{HABITS} cells") -> Change:
    """An answer written in the row of a habit, or of one of its cells."""
    def change(tabs: dict[str, dict[tuple[int, int], object]]) -> None:
        sheet = tabs[TO_CORRECT.title]
        (row,) = {row for row, _ in sheet if (sheet.get((row, RULE + 1)), sheet.get((row, ROW + 1))) == (rule, row_name)}
        sheet[row, ANSWER + 1] = words
    return change


def put(cell: str, value: object) -> Change:
    """A value written in a cell of Lambs."""
    row, column = place_of(cell)
    return lambda tabs: tabs["Lambs"].update({(row, column): value})


def turned_round(tabs: dict[str, dict[tuple[int, int], object]]) -> None:
    """The rows of To correct in the opposite order."""
    sheet = tabs[TO_CORRECT.title]
    last = max(row for row, _ in sheet)
    tabs[TO_CORRECT.title] = {
        (row if row < FIRST else FIRST + last - row, column): value for (row, column), value in sheet.items()}


def asked(reading: Reading) -> Counter[str]:
    return Counter(one.rule.id for one in check(reading).problems)


def cells_asked(reading: Reading, rule: str) -> list[str]:
    return [one.place.cell for one in check(reading).problems if one.rule.id == rule]


@pytest.fixture(scope="module")
def answered(copy: Path) -> Path:
    """The marked copy saved by another program, the weights answered in their one row."""
    book = openpyxl.load_workbook(copy)
    sheet = book[TO_CORRECT.title]
    (row,) = (row for row in in_sight(sheet) if row[RULE].value == WEIGHTS)
    row[ANSWER].value = "Jo: in pounds"
    book.save(copy.with_name("answered.xlsx"))
    return copy.with_name("answered.xlsx")


LEFT = Counter({REAL: 1, SEXES: HABITS})  # once the weights are answered


def test_an_answer_to_a_habit_answers_each_of_its_cells_and_nothing_else(answered: Path) -> None:
    reading = read(answered)
    assert LEFT == asked(reading)
    rows = [row for row in reading.season.rows(TO_CORRECT.id) if row.filled("answer")]
    assert [f"{n:04}-1" for n in range(1, HABITS + 1)] == [row.text("row_name") for row in rows]
    assert {(WEIGHTS, "Lambs", "Jo: in pounds")} == {(row.text("rule"), row.text("sheet"), row.text("answer")) for row in rows}


def test_the_answer_lapses_for_a_cell_whose_value_changes(answered: Path) -> None:
    assert ["F50"] == cells_asked(changed(answered, put("F50", 77)), WEIGHTS)


def test_errors_are_never_answered(copy: Path) -> None:
    assert HABITS == asked(changed(copy, say("yes", SEXES)))[SEXES]


def test_one_cell_of_a_habit_can_be_answered_alone(copy: Path) -> None:
    left = cells_asked(changed(copy, say("weighed twice", WEIGHTS, "0017-1")), WEIGHTS)
    assert (HABITS - 1, False) == (len(left), "F20" in left)


def test_the_answer_of_a_cell_stands_before_that_of_its_habit(copy: Path) -> None:
    reading = changed(copy, say("all in pounds", WEIGHTS), say("weighed twice", WEIGHTS, "0017-1"))
    assert LEFT == asked(reading)
    words = Counter(row.text("answer") for row in reading.season.rows(TO_CORRECT.id) if row.filled("answer"))
    assert {"all in pounds": HABITS - 1, "weighed twice": 1} == words


def test_an_answer_finds_its_cells_wherever_rows_are_sorted_to(copy: Path) -> None:
    assert LEFT == asked(changed(copy, say("yes", WEIGHTS), turned_round))


def test_answers_to_a_habit_outlive_the_next_marking_as_one_row_and_can_be_taken_back(answered: Path) -> None:
    again = marked(answered, answered.with_name("again.xlsx"))
    assert LEFT == asked(read(again))
    rows = in_sight(corrected(again))
    assert [REAL, SEXES, WEIGHTS] == [row[RULE].value for row in rows]
    assert [f"{HABITS} cells", "Jo: in pounds"] == [rows[2][place].value for place in (ROW, ANSWER)]
    assert HABITS == asked(changed(again, say(None, WEIGHTS)))[WEIGHTS]


# To correct of the summary


@pytest.fixture(scope="module")
def to_correct(result: Result, habits: Path) -> Worksheet:
    path = habits.with_name("summary.xlsx")
    write_summary(result, path)
    return openpyxl.load_workbook(path)[TO_CORRECT_HERE]


def test_problems_have_one_row_for_each_habit_and_the_real_error_first(to_correct: Worksheet) -> None:
    rows = [row for row in to_correct.iter_rows() if row[0].value in REGISTRY]
    assert AS_LISTED == [(row[0].value, row[3].value) for row in rows]
    assert FIRST_SCREEN > rows[0][0].row
    assert all(RECORDS_LAMBS in row[3].hyperlink.location for row in rows)
    assert ["7104", "lady", "45.1, 45.2, 45.3, 45.4, 45.5 and 95 more"] == [row[4].value for row in rows]
    assert rows[2][5].value.endswith(f"(and {HABITS - 1} more like it: F5, F6, F7, F8, F9 and {HABITS - 6} more)")
    assert [True, False] == ["answer them together on To correct" in row[6].value for row in (rows[2], rows[1])]


# JSON and CSV


def test_what_is_handed_on_as_data_keeps_every_cell(result: Result) -> None:
    checked = Checked(result.season, result.problems, ())
    assert len(result.problems) == len(json.loads(as_json(checked))["problems"]) == len(as_csv(checked).splitlines()) - 1
