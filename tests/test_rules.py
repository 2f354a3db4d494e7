"""Every rule against its case file, and what must hold for all rules together."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import workbook.checks  # noqa: F401 - importing it declares the rules
from template_builder.columns import NOT_KNOWN, Column, Kind, Row, Value
from template_builder.settings import SETTINGS, Setting
from template_builder.sheets import SHEETS
from workbook.rules import CRASH, FAMILIES, REGISTRY, Found, Rule, Severity, run
from workbook.season import Season

from case_files import Case, CaseFile, case_files
from seasons import season

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


IDENTIFIERS = ["0412", "412", "00412", "0421", "A7", "0412-1", "412-2", "7001", "UK 7001", "Hill", "hill ", "-1", "²", "?"]
DAYS = st.one_of(
    st.dates(date(2025, 9, 1), date(2026, 9, 30)), st.sampled_from([date(1900, 1, 1), date(9999, 12, 31), date.min, date.max]),
)
NUMBERS = st.one_of(st.integers(-2, 12), st.floats(-5, 200), st.sampled_from([0, 0.0, 1e9, -1e9]))


def values(column: Column | Setting) -> st.SearchStrategy[Value]:
    """Anything the reader could hand on for a column, not known included."""
    clocks = st.one_of(st.times(), st.datetimes(datetime(2025, 9, 1), datetime(2026, 9, 30)), st.just(datetime.min))
    kinds: dict[Kind, st.SearchStrategy[Value]] = {
        Kind.IDENTIFIER: st.sampled_from(IDENTIFIERS), Kind.TEXT: st.sampled_from(["", "words", "0412"]),
        Kind.WHOLE: st.integers(-2, 12), Kind.NUMBER: NUMBERS, Kind.DATE: DAYS, Kind.MOMENT: clocks,
        Kind.CHOICE: st.sampled_from(list(column.choices or [])), Kind.SETTING: st.none(),
    }
    return st.one_of(st.none(), kinds[column.kind], kinds[column.kind], st.just(NOT_KNOWN))


@st.composite
def seasons(draw: st.DrawFn) -> Season:
    """A season of a few rows a sheet whose cells hold anything at all."""
    rows: dict[str, list[Row]] = {}
    for sheet in SHEETS:
        cells = st.fixed_dictionaries({column.id: values(column) for column in sheet if column.id != "row_key"})
        if not sheet.fixed_rows:
            rows[sheet.id] = list(draw(st.lists(cells, max_size=4)))
    chosen = draw(st.lists(st.sampled_from(SETTINGS), max_size=5, unique=True))
    rows["season"] = [{"row_key": setting.id, "value": draw(values(setting))} for setting in chosen]
    as_of = draw(st.sampled_from([datetime(2026, 4, 1), datetime(2026, 8, 31, 12), datetime.combine(date.min, time())]))
    return season(as_of, **rows)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(seasons())
def test_no_rule_fails_whatever_the_cells_hold(records: Season) -> None:
    problems, _ = run(records, RULES)
    assert [] == [str(problem) for problem in problems if problem.rule is CRASH]


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
