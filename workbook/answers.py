"""Queries answered: "right as written" holds for one rule, row and value, and lapses when the value changes."""

from collections.abc import Iterable

from workbook.links import fold
from workbook.rules import Problem, Severity
from workbook.season import Season

Answer = tuple[str, str, str, str]


def answered(season: Season) -> frozenset[Answer]:
    """What has been answered on the Answers sheet: rule, sheet, row and value, folded for matching."""
    rows = season.rows("answers")
    return frozenset(
        (_folded(row.text("rule")), _folded(row.text("sheet")), _folded(row.text("row_name")), _folded(row.text("value")))
        for row in rows if row.filled("answer")
    )


def unanswered(problems: Iterable[Problem], answers: frozenset[Answer]) -> list[Problem]:
    """The problems that nobody has answered. An error cannot be answered, only corrected."""
    return [problem for problem in problems if problem.rule.severity is Severity.ERROR or _key(problem) not in answers]


def answer_to(problem: Problem) -> Answer:
    """What to write on Answers to answer a query: rule, sheet, row and value."""
    found = problem.found
    return problem.rule.id, found.place.sheet, found.row_name, found.value


def _key(problem: Problem) -> Answer:
    rule, sheet, row, value = map(_folded, answer_to(problem))
    return rule, sheet, row, value


def _folded(text: str | None) -> str:
    return fold(text or "")
