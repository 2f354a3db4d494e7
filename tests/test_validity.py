"""Every workbook the toolkit writes is sound, by rules of our own and by two outside validators."""

import json
import os
import re
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from fake_result import busy_result, empty_result, result
from few_rows import blocks_cut_down, of_few_ewes
from office import missing
from seasons import season
from validity.formulas import SAFE_FUNCTIONS, criteria_in
from validity.lint import lint, lint_folder, used
from validity.parts import Broken
from validity.planted import FAULTS, FORMULAS_ALLOWED, SEASON, SUMMARY, Edit, Planted, plant

from demo_workbooks import simulation
from template_builder.build import Plan, build
from template_builder.layout.columns import Row, Start
from template_builder.layout.laying import lay_ready
from template_builder.layout.summary_tabs import (
    EWE_DECISIONS,
    FLOCK_PLAN,
    HIDDEN_LIVE,
    LITTER_ACCOUNT,
    MARKS,
    MEETING,
    POLICY,
    RECORDS_EWES,
    RECORDS_LAMBING,
    RECORDS_LAMBS,
    REPLACEMENTS,
)
from template_builder.layout.whole import LIVE_TABS
from workbook.output.summary.book import write_summary

DEMO = Path(__file__).parent.parent / "demo_workbooks"
COMMITTED = sorted(DEMO.glob("*.xlsx"))
AUDITED = {"season-paper.xlsx"}  # each time, and what is written of a few ewes; all before a release
FORMULA_SHEETS = frozenset({  # sheets whose cells hold formulas on purpose
    *LIVE_TABS, MEETING, EWE_DECISIONS, FLOCK_PLAN, HIDDEN_LIVE, MARKS, POLICY, LITTER_ACCOUNT, RECORDS_EWES, RECORDS_LAMBING,
    RECORDS_LAMBS, REPLACEMENTS,
})
OUTSIDE = "OOXML_VALIDATE"  # the environment variable that says where the Open XML SDK's validator stands
PATIENCE = 240  # seconds
FEW = 12  # ewes of the demo's season: enough for every column and colour

# What an outside validator reports and we have found to be no fault: part of its message -> why it is none.
FALSE_ALARMS: dict[str, str] = {}

Write = Callable[[Path], None]


ANSWER: Row = {"rule": "C101", "sheet": "Lambs", "row_name": "0412-1", "value": "7001", "answer": "two tags, both right"}


def _season(start: Start, *, filled: bool) -> Write:
    def write(path: Path) -> None:
        build(path, Plan("Sound", of_few_ewes(simulation.clean_season(), FEW) if filled else {}, start))

    return write


WRITTEN: dict[str, Write] = {
    **{f"season, {start.value}, empty": _season(start, filled=False) for start in Start},
    **{f"season, {start.value}, filled": _season(start, filled=True) for start in Start},
    "summary, empty season": lambda path: write_summary(empty_result(), path),
    "summary, a problem answered": lambda path: write_summary(result(season(answers=[ANSWER])), path),
    "summary, busy season": lambda path: write_summary(busy_result(ewes=30), path),
}


@pytest.fixture(scope="module", params=WRITTEN)
def written(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("written") / "book.xlsx"
    WRITTEN[request.param](path)
    return path


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A small season workbook and a small summary, to plant faults in."""
    folder = tmp_path_factory.mktemp("sound")
    paths = {SEASON: folder / "season.xlsx", SUMMARY: folder / "summary.xlsx"}
    build(paths[SEASON], Plan("Planted", lay_ready([{"ewe": "0412", "scanned": 2}])))
    write_summary(busy_result(ewes=20), paths[SUMMARY])
    return paths


def _planted(rule: Broken) -> Planted:
    return next(fault for fault in FAULTS if fault.rule is rule)


# Our own rules


@pytest.mark.long
def test_committed_workbooks_are_sound() -> None:
    assert {path.name: [] for path in COMMITTED} == lint_folder(DEMO, FORMULA_SHEETS)
    assert COMMITTED, "demo_workbooks holds no workbook"


def test_written_workbooks_are_sound(written: Path) -> None:
    assert [] == lint(written, FORMULA_SHEETS)


def test_one_broken_workbook_in_a_folder_is_found(sound: dict[str, Path], tmp_path: Path) -> None:
    shutil.copy(sound[SUMMARY], tmp_path / "a.xlsx")
    plant(_planted(Broken.NAME_TWICE), sound[SEASON], tmp_path / "b.xlsx")
    assert {"a.xlsx": 0, "b.xlsx": 1} == {name: len(found) for name, found in lint_folder(tmp_path, FORMULA_SHEETS).items()}


def first_of_each(faults: Sequence[Planted]) -> list[Any]:
    """The first fault of each rule for every run, its other ways of being broken for who changes the rules (`-m slow`)."""
    seen: set[Broken] = set()
    found = []
    for fault in faults:
        found.append(pytest.param(fault, id=fault.rule.value, marks=[pytest.mark.slow] if fault.rule in seen else []))
        seen.add(fault.rule)
    return found


@pytest.mark.long
@pytest.mark.parametrize("fault", first_of_each(FAULTS))
def test_a_planted_fault_is_found_by_its_rule_alone(fault: Planted, sound: dict[str, Path], tmp_path: Path) -> None:
    broken = plant(fault, sound[fault.book], tmp_path / "broken.xlsx")
    assert {fault.rule} == {finding.rule for finding in lint(broken, {FORMULAS_ALLOWED, *FORMULA_SHEETS})}


def test_every_rule_has_a_planted_fault() -> None:
    assert set(Broken) == {fault.rule for fault in FAULTS}


# What formulas use, listed so that nothing new slips in unread. A tag is never a criterion: "0412" and "412" would count as one.
FUNCTIONS = {
    "AND", "COLUMNS", "COUNT", "COUNTA", "COUNTIF", "COUNTIFS", "DATE", "DAY", "HYPERLINK", "IF", "IFERROR", "INDEX", "INT",
    "ISNUMBER", "LARGE", "LEFT", "LEN", "MATCH", "MAX", "MID", "MIN", "MONTH", "N", "NOT", "NOW", "OR", "RIGHT", "ROUND", "ROW",
    "ROWS", "SMALL", "SQRT", "SUBSTITUTE", "SUM", "SUMIF", "SUMIFS", "SUMPRODUCT", "TODAY", "TRIM",
}
# Pens, days of the forecast; in the live sheets row numbers, counts and keys made of them; in the summary numbers of rules and
# classes of the litter account. # stands for a number, @ for the letters of a column of the same row.
CRITERIA = {
    '">"&set_pens', '">="&#', "#", "-#", '"#"', '">#"', '"<#"', '">=#"', '"not scanned"', '"bought in"', '"yes"', '"perhaps"',
    "$@#", "$@#+#", "$@#-#", '">="&$@#', '">"&$@#+#', '">"&$@#-#', '"<"&$@#+#', '">="&$@#*#', '"<"&$@#*#', '">="&($@#+#)*#',
    '"<"&($@#+#)*#', '">"&$@#*#+$@#', "live_found",
    '"<"&($@#-#)*#+#', '"<"&($@#+#)*#+#', '"<"&($@#-#)*#', '"<"&INDEX(live_plan_near,$@#)+#', '"<"&INDEX(live_plan_near,$@#)-#',
    '"<"&$@#', '"<="&$@#', '"<"&INT($@#/#)*#', '"<"&$@#-#',  # keys of illness, animal and day, and days ago
    '""', '"~?"',  # blanks and question marks among the cells of one row
}


def test_formulas_use_these_functions_and_criteria(written: Path) -> None:
    functions, criteria = used(written)
    assert set(functions) <= FUNCTIONS <= SAFE_FUNCTIONS
    assert {re.sub(r"\$[A-Z]+", "$@", re.sub(r"\d+", "#", criterion)) for criterion in criteria} <= CRITERIA


def test_criteria_are_found_wherever_they_stand() -> None:
    formula = 'IF(COUNTIF(A1:A9,"a,b")>0,SUMIFS(C1:C9,A1:A9,">="&B1,B1:B9,INDEX(D1:D9,2)),SUMIF(A1:A9,A1,B1:B9))'
    assert ['"a,b"', '">="&B1', "INDEX(D1:D9,2)", "A1"] == criteria_in(formula)


# Outside validators


def _audited(path: Path) -> list[str]:
    from openxml_audit import OpenXmlValidator  # seconds, for whoever collects the tests too

    return [str(error) for error in OpenXmlValidator(max_errors=0).validate(path).errors]


def _sdk(path: Path) -> list[str]:
    """What the Open XML SDK says of a workbook."""
    tool = os.environ.get(OUTSIDE) or shutil.which("ooxml-validate")
    if not tool or not shutil.which("node"):
        missing(f"ooxml-validate (set {OUTSIDE} to its path) or node")
    done = subprocess.run([tool, str(path), "--of", "json"], capture_output=True, text=True, timeout=PATIENCE, check=False)
    assert done.stdout.startswith("["), done.stderr
    return [json.dumps(finding) for finding in json.loads(done.stdout)]


def _real(findings: list[str]) -> list[str]:
    return [finding for finding in findings if not any(alarm in finding for alarm in FALSE_ALARMS)]


@pytest.mark.parametrize("path", [
    pytest.param(path, id=path.name, marks=[] if path.name in AUDITED else [pytest.mark.long]) for path in COMMITTED])
def test_the_audit_has_no_finding_on_committed_workbooks(path: Path) -> None:
    assert [] == _real(_audited(path))


@pytest.mark.parametrize("written", [
    pytest.param(name, marks=[] if name.startswith(("summary", f"season, {Start.INDOORS.value}")) else [pytest.mark.long])
    for name in WRITTEN], indirect=True)
def test_the_audit_has_no_finding_on_written_workbooks(written: Path) -> None:
    assert [] == _real(_audited(written))


def test_the_audit_finds_a_planted_fault(sound: dict[str, Path], tmp_path: Path) -> None:
    assert _audited(plant(_planted(Broken.TEXT_NOT_THERE), sound[SEASON], tmp_path / "broken.xlsx"))


@pytest.mark.slow  # a minute for each
@pytest.mark.parametrize("path", COMMITTED, ids=lambda path: path.name)
def test_the_sdk_has_no_finding_on_committed_workbooks(path: Path) -> None:
    assert [] == _real(_sdk(path))


@pytest.mark.long
@pytest.mark.parametrize("name", [f"season, {Start.OUTDOORS.value}, empty", "summary, empty season"])
def test_the_sdk_has_no_finding_on_written_workbooks(name: str, tmp_path: Path) -> None:
    WRITTEN[name](tmp_path / "book.xlsx")
    assert [] == _real(_sdk(tmp_path / "book.xlsx"))


@pytest.fixture(scope="module")
def small(sound: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """As few rows as have a cell of every kind, since this validator takes seconds for a hundred of them."""
    folder = tmp_path_factory.mktemp("small")
    paths = {SEASON: blocks_cut_down(Path(shutil.copy(sound[SEASON], folder / "season.xlsx"))), SUMMARY: folder / "summary.xlsx"}
    write_summary(busy_result(ewes=6), paths[SUMMARY])
    return paths


@pytest.mark.parametrize("book", [pytest.param(SEASON, marks=pytest.mark.long), SUMMARY])
def test_the_sdk_has_no_finding_on_small_workbooks_filled_in(small: dict[str, Path], book: str) -> None:
    assert [] == _real(_sdk(small[book]))


def test_the_sdk_finds_a_planted_fault(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as book:
        book.add_worksheet().write_number("A1", 1)
    fault = Planted(Broken.STYLE_NOT_THERE, SEASON, (Edit("xl/worksheets/sheet1.xml", '<c r="A1"', '<c r="A1" s="9999"'),))
    assert [] == _sdk(tmp_path / "book.xlsx")
    assert _sdk(plant(fault, tmp_path / "book.xlsx", tmp_path / "broken.xlsx"))
