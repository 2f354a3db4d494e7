"""Season workbooks as people really return them: each case reads right, or gives the problems it lists and no others."""

import subprocess
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import pytest
from damage import flock
from damage.case import Case, InOffice, OnFile, Rows, differences, expected, rows_of, unordered
from damage.contents import CONTENTS
from damage.layout import LAYOUT
from few_rows import blocks_cut_down
from office import all_changed

import workbook
from template_builder.files.guard import Unreadable
from workbook.reading.season_file import read
from workbook.results.pipeline import Checked, check

pytestmark = pytest.mark.usefixtures("few_spare_rows")

PAGE = Path(workbook.__file__).parent / "reading" / "DAMAGE.md"
CASES = (*LAYOUT, *CONTENTS)
JOBS_AT_ONCE = 25
EVERY = 20  # of the cases done in LibreOffice one in so many is tried each time, all of them before a release
IN_OFFICE = [case.name for case in CASES if isinstance(case.done, InOffice)]
SELDOM = {name for number, name in enumerate(IN_OFFICE) if number % EVERY}


class Outcome(NamedTuple):
    """What became of a damaged workbook: what was read and said of it, or the sentence it was refused with."""

    rows: Rows
    checked: Checked | None
    refusal: str = ""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("damage")


@pytest.fixture(scope="module")
def whole(folder: Path) -> Path:
    return blocks_cut_down(flock.write(folder / "whole.xlsx"))


@pytest.fixture(scope="module")
def before(whole: Path) -> Rows:
    return rows_of(read(whole))


def _asked_for(items: Sequence[pytest.Item]) -> set[str]:
    """The cases that the tests of this run look at: all where the page is among them."""
    names = {item.originalname for item in items}  # type: ignore[attr-defined]  # every item is a function
    if test_the_page_tells_each_case.__name__ in names:
        return {case.name for case in CASES}
    asked = [getattr(item, "callspec", None) for item in items]
    return {one.params["case"].name for one in asked if one and isinstance(one.params.get("case"), Case)}


@pytest.fixture(scope="module")
def outcomes(folder: Path, whole: Path, request: pytest.FixtureRequest) -> dict[str, Outcome]:
    """Each case, damaged and read; many in one start of LibreOffice. A start that failed leaves its cases without a file."""
    asked = _asked_for(request.session.items)
    cases = [case for case in CASES if case.name in asked]
    jobs: list[tuple[Path, Path, object]] = []
    failures: list[str] = []
    targets = {case.name: folder / str(number) / case.file for number, case in enumerate(cases)}
    for case in cases:
        target = targets[case.name]
        target.parent.mkdir()
        if isinstance(case.done, OnFile):
            case.done.change(whole, target)
        else:
            jobs += _jobs(case.done, whole, target)
    for start in range(0, len(jobs), JOBS_AT_ONCE):
        try:
            all_changed(jobs[start:start + JOBS_AT_ONCE])  # type: ignore[arg-type]
        except (AssertionError, subprocess.TimeoutExpired) as error:
            failures.append(str(error))  # its cases fail for want of their file, the others do not
    told = "; ".join(failures)
    return {name: _outcome(target) if target.exists() else Outcome({}, None, f"LibreOffice failed: {told}")
            for name, target in targets.items()}


def _jobs(done: InOffice, whole: Path, target: Path) -> Iterator[tuple[Path, Path, object]]:
    if not done.by:
        yield whole, target, done.steps
        return
    between = target.with_suffix(done.by)
    yield whole, between, done.steps
    yield between, target, ()


def _outcome(path: Path) -> Outcome:
    try:
        reading = read(path)
    except Unreadable as error:
        return Outcome({}, None, str(error))
    return Outcome(rows_of(reading), check(reading))


def test_the_season_is_right_before_anything_is_done_to_it(whole: Path) -> None:
    checked = check(read(whole))
    assert ((), ()) == (checked.problems, checked.skipped)


@pytest.mark.parametrize("case", [
    pytest.param(case, id=case.name, marks=[pytest.mark.long] if case.name in SELDOM else []) for case in CASES])
def test_it_reads_right_or_says_what_to_do(case: Case, outcomes: dict[str, Outcome], before: Rows) -> None:
    outcome = outcomes[case.name]
    if outcome.checked is None:
        assert case.refused and case.refused in outcome.refusal
        return
    assert "" == case.refused
    assert sorted(case.said) == sorted(f"{problem.rule.id} {problem.place}" for problem in outcome.checked.problems)
    assert unordered(expected(before, case)) == unordered(outcome.rows)
    season = outcome.checked.season
    assert (case.own_columns, case.own_sheets) == (
        tuple(heading for found in season.own_columns.values() for heading in found), season.own_sheets)


INTRODUCTION = """# What becomes of a damaged workbook

A season workbook goes through many hands. Each case was done to a sound season of six ewes and eleven lambs, in LibreOffice or
to the file itself, then read and checked. **Read** tells what reads otherwise than in the sound workbook; "the same" means that
every value of every row does not. **Said** is every problem that was told. A file that is refused is not read at all.

| What was done | Read | Said |
| ------------- | ---- | ---- |
"""


@pytest.mark.long
def test_the_page_tells_each_case(outcomes: dict[str, Outcome], before: Rows, golden: Callable[[Path, str], None]) -> None:
    golden(PAGE, INTRODUCTION + "".join(_line(case, outcomes[case.name], before) for case in CASES))


def _line(case: Case, outcome: Outcome, before: Rows) -> str:
    if outcome.checked is None:
        return f"| {_cell(case.name)} | refused | {_cell(outcome.refusal)} |\n"
    read_as = differences(before, outcome.rows)
    own = [f"kept and listed: {name}" for found in outcome.checked.season.own_columns.values() for name in found]
    own += [f"kept and listed: the sheet {name}" for name in outcome.checked.season.own_sheets]
    said = [f"{problem.rule.id} {problem.place}: {problem.found.text}" for problem in outcome.checked.problems]
    told = said[:MOST_SAID] + ([f"{len(said) - MOST_SAID} more"] if len(said) > MOST_SAID else [])
    return f"| {_cell(case.name)} | {_cell('; '.join([*(read_as or ['the same']), *own]))} | {_cell('<br>'.join(told))} |\n"


MOST_SAID = 6


def _cell(text: str) -> str:
    return " ".join(text.replace("|", "\\|").split())
