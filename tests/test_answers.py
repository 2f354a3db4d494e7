"""A problem answered stays answered until its value changes; an error cannot be answered."""

from dataclasses import replace

import pytest
from case_files import Case, CaseFile, case_files
from raw_cells import cells
from seasons import records, season

from template_builder.layout.choices import Born
from template_builder.layout.columns import Row
from workbook.output import problem_text
from workbook.reading.season_file import Reading, read_cells
from workbook.results.pipeline import check
from workbook.rules.answers import answer_to, answered, unanswered
from workbook.rules.rule import REGISTRY, Problem, Severity, run

FIRING = [
    pytest.param(file, case, id=f"{file.rule}, {case.title}") for file in case_files() for case in file.cases if case.fires
]


def found(file: CaseFile, case: Case) -> list[Problem]:
    """The problems of the rule of a case file in one of its cases."""
    if file.rule.startswith("R"):
        return [problem for problem in read_cells(cells(case), case.as_of).problems if problem.rule.id == file.rule]
    return run(case.season(), [REGISTRY[file.rule]])[0]


def left(problems: list[Problem], *answers: Row) -> list[str]:
    """The problems not answered by such rows of Answers, as text."""
    return [str(problem) for problem in unanswered(problems, answered(season(answers=answers)))]


def written(problem: Problem) -> Row:
    """The row of Answers that the report asks for."""
    rule, sheet, row, value = answer_to(problem)
    return {"rule": rule, "sheet": sheet, "row_name": row, "value": value, "answer": "right as written"}


@pytest.mark.parametrize(("file", "case"), FIRING)
def test_an_answer_silences_exactly_its_problem_until_the_value_changes(file: CaseFile, case: Case) -> None:
    problems = found(file, case)
    for problem in problems:
        all_of_them, answer = left(problems), written(problem)
        assert all(answer.values()), problem
        if problem.rule.severity is Severity.ERROR:
            assert all_of_them == left(problems, answer)
            continue
        assert [text for text in all_of_them if text != str(problem)] == left(problems, answer)
        assert all_of_them == left(problems, {**answer, "value": f"{answer['value']} and more"})
        assert all_of_them == left(problems, {**answer, "row_name": f"{answer['row_name']} and more"})


TWIN = [{"ewe": "0412", "lamb_no": number, "born": Born.ALIVE, "birth_weight": 4.0} for number in (1, 2)]
ANSWER: Row = {"rule": "c116", "sheet": "lambs", "row_name": "0412-1", "value": "6.5", "answer": "Right as written."}


def lines(*answers: Row, weight: float = 6.5) -> list[str]:
    """What check says of the birth weight of a large twin."""
    lambs = [{**TWIN[0], "birth_weight": weight}, TWIN[1]]
    rows = replace(season(lambs=lambs, ewes=[{"ewe": "0412"}]), tabs=("Lambs",))
    with_answers = replace(rows, records={**rows.records, "answers": records("answers", answers)})
    return [line for line in problem_text.text(check(Reading(with_answers, ()))).splitlines() if "C116" in line]


def test_the_report_says_what_to_write_on_answers() -> None:
    assert [
        "season.xlsx:Lambs!F4: warning C116 6.5 kg is large for a twin (2 to 6 kg expected) [birth-weight-unlikely]",
        "    Correct the weight. If it is right as written, answer it on Answers: C116, Lambs, 0412-1, 6.5.",
    ] == lines()


def test_an_answer_lapses_when_the_weight_changes() -> None:
    assert [] == lines(ANSWER)
    assert 2 == len(lines(ANSWER, weight=6.75))
    assert 2 == len(lines({**ANSWER, "answer": None}))
