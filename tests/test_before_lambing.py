"""What check says before lambing: at the limits, once for many, and nothing once lambing has begun."""

from datetime import date, datetime, time, timedelta

import pytest
from seasons import season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.columns import Row
from template_builder.layout.settings import SETTING
from workbook.output.alike import lines_of
from workbook.rules.rule import REGISTRY, Problem, run

NOW = date(2026, 2, 1)
FIRST = date(2026, 3, 10)
IDS = ("C171", "C172", "C173", "C174", "C175")


def told(ewes: list[Row], on: date = NOW, rules: tuple[str, ...] = IDS, **more: list[Row]) -> list[Problem]:
    given = season(datetime.combine(on, time(9)), ewes=ewes, **more)
    return run(given, [REGISTRY[rule] for rule in rules])[0]


def ids(problems: list[Problem]) -> list[str]:
    return [problem.rule.id for problem in problems]


MISSING: list[Row] = [
    {"ewe": "1", "scanned": 2, "due": FIRST, "condition": 3.0, "group": "Mead"}, {"ewe": "2", "scanned": 2, "group": "Mead"},
    {"ewe": "3", "due": FIRST, "group": "Mead"}, {"ewe": "4", "scanned": 1, "due": FIRST, "group": "Brow"},
]
GROUPS: list[Row] = [{"group": "Mead", "ram_in": date(2025, 10, 14)}, {"group": "Brow"}]


@pytest.mark.parametrize(("day", "expected"), [(-1, ["C171", "C172", "C173", "C174"]), (0, []), (1, [])])
def test_quiet_from_the_first_due_day_on(day: int, expected: list[str]) -> None:
    assert expected == ids(told(MISSING, FIRST + timedelta(day), groups=GROUPS))


@pytest.mark.parametrize(("lambed", "expected"), [
    ("1", ["C174"]),  # the other group waits still
    ("4", ["C171", "C172", "C173"]),
    ("", ["C171", "C172", "C173", "C174"]),
])
def test_quiet_for_a_group_once_one_of_its_ewes_has_lambed(lambed: str, expected: list[str]) -> None:
    rows: list[Row] = [{"ewe": lambed, "lambed_on": NOW - timedelta(1)}] if lambed else []
    assert expected == ids(told(MISSING, groups=GROUPS, lambing=rows))


@pytest.mark.parametrize(("scored", "of", "fires"), [(1, 3, False), (2, 4, True), (3, 5, True), (0, 3, False), (3, 3, False)])
def test_condition_is_asked_for_where_half_are_scored(scored: int, of: int, fires: bool) -> None:
    ewes: list[Row] = [{"ewe": f"{number}", "scanned": 2, "due": FIRST, **({"condition": 2.5} if number <= scored else {})}
                       for number in range(1, of + 1)]
    assert fires is ("C173" in ids(told(ewes)))


@pytest.mark.parametrize(("scanned", "before", "fires"), [
    (1, 1, False), (2, 1, True), (3, 1, True), (1, 0, True), (1, None, False), (0, 0, False),
])
def test_who_is_easily_thin(scanned: int, before: int | None, fires: bool) -> None:
    ewe: Row = {"ewe": "1", "scanned": scanned, "due": FIRST, **({} if before is None else {"lambings_before": before})}
    scored: list[Row] = [{"ewe": f"{number}", "scanned": 2, "due": FIRST, "condition": 3.0} for number in (2, 3)]
    assert fires is ("C173" in ids(told([ewe, *scored])))


BEFORE = SETTING["mineral_check"].default
assert isinstance(BEFORE, int)


@pytest.mark.parametrize(("day", "fires"), [(-1, False), (0, True), (1, True)])
def test_a_flock_without_scans_is_told_when_planning_begins(day: int, fires: bool) -> None:
    assert isinstance(BEFORE, int)
    on = FIRST - timedelta(BEFORE) + timedelta(day)
    assert (["C175"] if fires else []) == ids(told([{"ewe": "1", "due": FIRST}, {"ewe": "2", "due": FIRST}], on))


@pytest.mark.parametrize("ewes", [1, 3, 40])
def test_a_flock_that_writes_none_of_it_is_told_once(ewes: int) -> None:
    problems = told([{"ewe": f"{number}", "scanned": 2, "group": "All"} for number in range(ewes)], groups=[{"group": "All"}])
    assert ["C175", "C175"] == ids(problems)
    assert {"note"} == {problem.rule.severity.value for problem in problems}


def test_many_of_a_kind_are_one_line() -> None:
    ewes: list[Row] = [{"ewe": "1", "scanned": 2, "due": FIRST, "condition": 3.0},
                       *({"ewe": f"{number}", "scanned": 1 + number % 2} for number in range(2, 40)),
                       *({"ewe": f"{number}"} for number in range(40, 60))]
    lines = lines_of(told(ewes))
    assert {"C171": 1, "C172": 1} == {rule: sum(line.first.rule.id == rule for line in lines) for rule in ("C171", "C172")}


def test_after_a_whole_season_nothing_is_asked() -> None:
    assert [] == told(MISSING, date(2026, 8, 31), groups=GROUPS)
