"""Problems answered: "right as written" holds for one rule, row and value, and lapses when the value changes."""

from collections.abc import Iterable

from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.sheets.to_correct import TO_CORRECT
from workbook.rules.rule import Problem, Severity
from workbook.season.cells import Record
from workbook.season.matching import fold
from workbook.season.season import Season

Answer = tuple[str, str, str, str]

SAY_SO = " If it is right as written, say so in the last column."
SAY_SO_OF_ALL = (
    " If all are right as written, say so in the last column: that answers each of them. The + at the left shows them one by one."
)


def answered(season: Season) -> frozenset[Answer]:
    """What has been answered on the sheets Answers and To correct: rule, sheet, row and value, folded for matching."""
    rows = (*season.rows(ANSWERS.id), *season.rows(TO_CORRECT.id))
    return frozenset(written_key(row) for row in rows if row.filled("answer"))


def written_key(row: Record) -> Answer:
    """What a row of the sheets Answers or To correct is an answer to."""
    return _folded(row.text("rule")), _folded(row.text("sheet")), _folded(row.text("row_name")), _folded(row.text("value"))


def unanswered(problems: Iterable[Problem], answers: frozenset[Answer]) -> list[Problem]:
    """The problems that nobody has answered. An error cannot be answered, only corrected."""
    return [problem for problem in problems if problem.rule.severity is Severity.ERROR or answer_key(problem) not in answers]


def answer_to(problem: Problem) -> Answer:
    """What to write on Answers to answer a problem: rule, sheet, row and value."""
    found = problem.found
    return problem.rule.id, found.place.sheet, found.row_name, found.value


def what_to_do(problem: Problem, *, beside: bool = False) -> str:
    """What to do about a problem; of one that is no error also how to answer it should it be right as written.

    `beside` where the answer is written in the row of the problem itself, as on To correct; else on the sheet Answers.
    """
    if problem.rule.severity is Severity.ERROR:
        return problem.fix
    if beside:
        return problem.fix + SAY_SO
    return f"{problem.fix} If it is right as written, answer it on Answers: {', '.join(answer_to(problem))}."


def what_to_do_with_all(problem: Problem) -> str:
    """What to do about a habit of which this is the first cell; the rows of Answers would be as many as its cells."""
    if problem.rule.severity is Severity.ERROR:
        return problem.fix
    return f"{problem.fix} If all are right as written, answer them together on To correct of a marked copy (check --marked)."


def answer_key(problem: Problem) -> Answer:
    """What an answer to a problem must say to hold, folded for matching."""
    rule, sheet, row, value = map(_folded, answer_to(problem))
    return rule, sheet, row, value


def _folded(text: str | None) -> str:
    return fold(text or "")
