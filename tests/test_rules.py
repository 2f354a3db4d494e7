"""Every rule against its case file, and what must hold for all rules together."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from random import Random

import pytest
from case_files import FILE, Case, CaseFile, case_files
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import AS_OF, season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.choices import Born
from template_builder.layout.columns import NOT_KNOWN, Column, Kind, Row, Value
from template_builder.layout.settings import SETTINGS
from template_builder.layout.sheets import SHEETS
from workbook.reading.parsing import setting_column
from workbook.rules.rule import CRASH, FAMILIES, REGISTRY, Found, Rule, Severity, run
from workbook.season.season import Season

# Rules of reading are about cells, not records: their case files are run through real workbooks by another test.
ELSEWHERE = "R"

FILES = [file for file in case_files() if not file.rule.startswith(ELSEWHERE)]
RULES = [rule for rule in REGISTRY.values() if not rule.id.startswith(ELSEWHERE)]
CASES = [pytest.param(file, case, id=f"{file.rule}, {case.title}") for file in FILES for case in file.cases]


@pytest.mark.parametrize(("file", "case"), CASES)
def test_case_gives_exactly_the_problems_it_lists(file: CaseFile, case: Case) -> None:
    problems, skipped = run(case.season(), [REGISTRY[file.rule]])
    assert [] == skipped
    assert sorted(case.expected) == sorted(f"{problem.place}: {problem.found.text}" for problem in problems)
    assert case.fires is bool(problems)


def test_every_rule_has_one_case_file_and_every_file_a_rule() -> None:
    assert sorted(f"{rule.id}-{rule.slug}" for rule in RULES) == sorted(file.path.stem for file in FILES)


@pytest.mark.parametrize("file", [pytest.param(file, id=file.rule) for file in FILES])
def test_every_rule_has_a_case_that_fires_and_a_quiet_one(file: CaseFile) -> None:
    assert bool(file.cannot_fire) is not bool(file.cases)
    if file.cases:
        assert {True, False} == {case.fires for case in file.cases}


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in REGISTRY.values()])
def test_every_rule_says_what_why_whence_and_what_to_do(rule: Rule) -> None:
    assert rule.title and rule.why and rule.source and rule.fix
    assert rule.id[0] in FAMILIES and rule.id[1:].isdigit()
    assert rule.slug == rule.slug.lower() and " " not in rule.slug
    assert set(rule.uses) <= {sheet.address(column) for sheet in SHEETS for column in sheet}


def test_problems_lead_to_a_cell_and_a_row_that_can_be_answered() -> None:
    for file in FILES:
        for case in file.cases:
            for problem in run(case.season(), [REGISTRY[file.rule]])[0]:
                assert problem.place.row > 0 and problem.place.column > 0, problem
                assert problem.found.row_name, problem
                assert "\n" not in problem.found.text


def test_an_empty_season_gives_no_problem() -> None:
    assert ([], []) == run(season(), RULES)


# Few numbers, so that rows meet; some differ only by zeros, case or spaces, and some are no numbers.
IDENTIFIERS = ["0412", "412", "00412", "0421", "A7", "0412-1", "412-2", "7001", "UK 7001", "Hill", "hill ", "-1", "²"]
SEASON_DAYS = [date(2025, 10, 1) + timedelta(days=17 * number) for number in range(20)]
DAYS = [*SEASON_DAYS, date(1900, 1, 1), date(9999, 12, 31), date.min, date.max]
CLOCKS = [time(), time(2, 30), time(23, 59)]
MOMENTS: list[Value] = [*CLOCKS, datetime.min, datetime.max, *(datetime.combine(day, time(4)) for day in SEASON_DAYS)]
# Share of the rules that random seasons must make fire, so that they are known to get past the first line of a rule.
NEARLY_EVERY = 0.9
IN_POUNDS = 0.05  # share of random seasons in which all lambs have such a weight
NUMBERS = [-1.0, 0.0, 0.5, 2.0, 4.25, 6.0, 40.0, 1e9]


def any_value(column: Column, random: Random, filled: float) -> Value:
    """Anything that the reader could hand on for a column, not known included; blank unless `filled` (a share) says so."""
    choices: Sequence[Value] = list(column.choices or [])
    kinds: dict[Kind, Sequence[Value]] = {
        Kind.IDENTIFIER: IDENTIFIERS, Kind.TEXT: ["words", "0412"], Kind.WHOLE: range(-1, 6), Kind.NUMBER: NUMBERS,
        Kind.DATE: DAYS, Kind.MOMENT: MOMENTS, Kind.CHOICE: choices, Kind.SETTING: [None],
    }
    return random.choice([*kinds[column.kind], NOT_KNOWN]) if random.random() < filled else None


def any_season(random: Random) -> Season:
    """A season of a few rows a sheet, now and then of more, whose cells hold anything at all."""
    filled, most = random.random(), 16 if random.random() < 0.1 else 6
    rows: dict[str, list[Row]] = {
        sheet.id: [
            {column.id: any_value(column, random, filled) for column in sheet.own_columns} for _ in range(random.randrange(most))
        ]
        for sheet in SHEETS if not sheet.fixed_rows
    }
    if random.random() < IN_POUNDS:
        rows["lambs"] = [{"ewe": str(number), "lamb_no": 1, "born": Born.ALIVE, "birth_weight": 10.0} for number in range(9)]
    chosen = random.sample(SETTINGS, 5)
    rows["season"] = [{"row_key": one.id, "value": any_value(setting_column(one), random, filled)} for one in chosen]
    return season(random.choice([datetime(2026, 4, 1), AS_OF, datetime.min]), FILE, **rows)


# Drawing every cell by hypothesis gives few and nearly blank seasons, so it draws the seed of a full one.
@settings(deadline=None, max_examples=examples(200))
@given(st.integers(0, 2**32))
def test_no_rule_fails_whatever_the_cells_hold(seed: int) -> None:
    problems, _ = run(any_season(Random(seed)), RULES)
    assert [] == [str(problem) for problem in problems if problem.rule is CRASH]


@pytest.mark.long
def test_random_seasons_reach_into_nearly_every_rule() -> None:
    fired = {problem.rule.id for seed in range(1500) for problem in run(any_season(Random(seed)), RULES)[0]}
    can = {file.rule for file in FILES if not file.cannot_fire}
    assert len(can) * NEARLY_EVERY <= len(fired & can), f"never fired: {sorted(can - fired)}"


def test_a_rule_that_fails_is_a_problem_of_its_own_and_hides_no_other() -> None:
    def fails(_: Season) -> Iterator[Found]:
        raise KeyError("tag")
        yield

    failing = Rule("C998", "planted", "Planted", Severity.NOTE, "test", "test", "test", (), fails)
    doubled = season(ewes=[{"ewe": "0412"}, {"ewe": "0412"}])
    problems, _ = run(doubled, [failing, REGISTRY["C103"]])
    assert ["C199", "C103"] == [problem.rule.id for problem in problems]
    assert "the check C998 [planted] stopped: KeyError: 'tag'" == problems[0].found.text


def test_a_rule_whose_column_is_missing_is_skipped_and_said_to_be() -> None:
    records = replace(season(), missing=frozenset({"lambs.tag", "lambs.notes"}))
    problems, skipped = run(records, [REGISTRY["C101"], REGISTRY["C103"]])
    assert [] == problems
    assert [("C101", ("lambs.tag",))] == [(one.rule.id, one.missing) for one in skipped]
