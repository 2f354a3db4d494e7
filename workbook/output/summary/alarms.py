"""On Meeting: what concerns the whole flock at once, above the figures."""

from template_builder.files.look import WARNING
from template_builder.files.tab import Link, Tab
from template_builder.layout.summary_tabs import TO_CORRECT
from workbook.output.problem_text import open_conflicts_words
from workbook.results.pipeline import Result
from workbook.rules.checks.advice import FLOCK_ALARMS

_WORN = WARNING.with_(wrap=True)


def write_alarms(tab: Tab, result: Result) -> None:
    """Cells in open conflict, and each alarm for the flock with what to do next; nothing where there is neither."""
    if words := open_conflicts_words(result.problems):
        tab.prose(words, _WORN, Link(TO_CORRECT, "A1"))
    for words in alarm_words(result):
        tab.prose(words, _WORN)  # no link: programs print one on a single line and cut it off


def alarm_words(result: Result) -> list[str]:
    """A sentence or two for each alarm; several illnesses are one alarm, with what to do said once."""
    found = {slug: [problem for problem in result.problems if problem.rule.slug == slug] for slug in FLOCK_ALARMS}
    return [f"{told[0].rule.title}: {'; '.join(problem.found.text for problem in told)}. {told[0].fix}"
            for told in found.values() if told]
