"""Every reading rule against its case file: cells as people leave them, and the whole list of what is said of them."""

import pytest
from case_files import Case, CaseFile, case_files
from raw_cells import cells

from workbook.reading.problems import READING_RULES
from workbook.reading.season_file import read_cells

FILES = [file for file in case_files() if file.rule.startswith("R")]
CASES = [pytest.param(file, case, id=f"{file.rule}, {case.title}") for file in FILES for case in file.cases]


@pytest.mark.parametrize(("file", "case"), CASES)
def test_case_gives_exactly_the_problems_it_lists(file: CaseFile, case: Case) -> None:
    problems = [problem for problem in read_cells(cells(case), case.as_of).problems if problem.rule.id == file.rule]
    assert sorted(case.expected) == sorted(f"{problem.place}: {problem.found.text}" for problem in problems)
    assert case.fires is bool(problems)


def test_every_reading_rule_has_one_case_file_with_both_kinds_of_case() -> None:
    assert sorted(f"{rule.id}-{rule.slug}" for rule in READING_RULES) == sorted(file.path.stem for file in FILES)
    assert [] == [file.path.stem for file in FILES if {case.fires for case in file.cases} != {True, False}]
