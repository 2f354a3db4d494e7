"""On Meeting: what concerns the whole flock at once, above the figures."""

from template_builder.files.look import WARNING
from template_builder.files.tab import Link, Tab
from template_builder.layout.summary_tabs import TO_CORRECT
from workbook.output.problem_text import open_conflicts_words
from workbook.results.pipeline import Result
from workbook.rules.checks.advice import FLOCK_ALARMS


def write_alarms(tab: Tab, result: Result) -> None:
    """Cells in open conflict, and each alarm for the flock with what to do next; nothing where there is neither."""
    if words := open_conflicts_words(result.problems):
        tab.prose(words, WARNING.with_(wrap=True), Link(TO_CORRECT, "A1"))
    for problem in result.problems:
        if problem.rule.slug in FLOCK_ALARMS:
            words = f"{problem.rule.title}: {problem.found.text}. {problem.fix}"
            tab.prose(words, WARNING.with_(wrap=True), Link(TO_CORRECT, "A1"))
