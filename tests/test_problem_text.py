"""Problems for a person: errors first, a habit on one line, only what was asked for, and the exit code judged on all."""

import csv
import io
import json
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from demo_workbooks import FOLDER, MESSY
from workbook.cli import main
from workbook.output.alike import MOST_ALIKE
from workbook.output.problem_text import Asked, Only, text
from workbook.results.pipeline import Checked
from workbook.rules.rule import Found, Problem, Rule, Severity
from workbook.season.cells import CellRef
from workbook.season.season import Season

HABIT = Rule("C901", "habit", "A habit", Severity.WARNING, "why", "house rule", "Put it right.")
MISTAKE = Rule("C902", "mistake", "A mistake", Severity.ERROR, "why", "house rule", "Mend it.")


def checked(habits: int, mistakes: int = 1) -> Checked:
    rows = [(HABIT, row) for row in range(4, 4 + habits)] + [(MISTAKE, 900 + row) for row in range(mistakes)]
    problems = tuple(Problem(rule, Found(CellRef("s.xlsx", "Lambs", row, 3), f"says {row}")) for rule, row in rows)
    return Checked(Season("s.xlsx", {}, datetime(2026, 5, 1)), problems, ())


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.mark.parametrize(("habits", "lines"), [(MOST_ALIKE - 1, MOST_ALIKE - 1), (MOST_ALIKE, MOST_ALIKE), (MOST_ALIKE + 1, 1)])
def test_more_of_one_rule_than_the_limit_stand_on_one_line(habits: int, lines: int) -> None:
    said = text(checked(habits))
    assert lines == said.count("[habit]")
    more = ", ".join(f"C{row}" for row in range(5, 4 + habits))
    assert (lines == 1) is (f"    and {habits - 1} more like it: {more}; all with --rule C901" in said)


def test_an_error_stands_above_all_habits() -> None:
    lines = text(checked(200)).splitlines()
    assert "[mistake]" in lines[0]
    assert 8 > len(lines)


def test_a_rule_asked_for_by_name_is_told_each_time() -> None:
    said = text(checked(200), Asked(rules={"C901"}))
    assert (200, 0) == (said.count("[habit]"), said.count("[mistake]"))
    assert said.endswith("s.xlsx: 201 problems: 1 error, 200 warnings (200 shown)")


@pytest.mark.parametrize(("only", "seen"), [(Only.ERRORS, (0, 1)), (Only.WARNINGS, (1, 0)), (None, (1, 1))])
def test_only_one_severity(only: Only | None, seen: tuple[int, int]) -> None:
    said = text(checked(9), Asked(only))
    assert seen == (said.count("[habit]"), said.count("[mistake]"))


def test_the_end_says_how_many_of_each_rule() -> None:
    assert ["     9 x C901 A habit", "s.xlsx: 10 problems: 1 error, 9 warnings"] == text(checked(9)).splitlines()[-2:]


def _rules(done: Result) -> Sequence[str]:
    return [problem["rule"] for problem in json.loads(done.output)["problems"]]


def test_the_command_shows_what_is_asked_for_and_judges_all() -> None:
    every = _rules(run("check", FOLDER / MESSY, "--format", "json"))
    some = run("check", FOLDER / MESSY, "--format", "json", "--rule", "count-above-book", "--rule", "C105,C123")
    assert [id for id in every if id in ("B102", "C105", "C123")] == _rules(some)
    warnings = run("check", FOLDER / MESSY, "--only", "warnings", "--format", "csv")
    assert {"warning"} == {row["severity"] for row in csv.DictReader(io.StringIO(warnings.output))}
    assert (1, 1) == (some.exit_code, warnings.exit_code)


def test_a_rule_that_is_none_is_told_with_those_near_it(tmp_path: Path) -> None:
    done = run("check", FOLDER / MESSY, "--rule", "lamb-tag-twise")
    assert 2 == done.exit_code
    assert "There is no rule 'lamb-tag-twise'. Did you mean lamb-tag-twice" in done.output
