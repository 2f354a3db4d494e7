"""On Summary: what concerns the whole flock at once, above the figures."""

from template_builder.files.look import WARNING
from template_builder.files.tab import Link, Tab
from template_builder.layout.summary_tabs import QUERIES
from workbook.results.pipeline import Result
from workbook.rules.checks.advice import ALARM


def write_alarms(tab: Tab, result: Result) -> None:
    """The abortion alarm with what to do next; nothing where it was not raised."""
    for problem in result.problems:
        if problem.rule.slug == ALARM.id:
            words = f"{problem.rule.title}: {problem.found.text}. {problem.fix}"
            tab.prose(words, WARNING.with_(wrap=True), Link(QUERIES, "A1"))
