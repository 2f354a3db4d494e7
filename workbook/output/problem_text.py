"""Problems as lines for a person: errors first, a habit on one line, and at the end how many of each."""

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from template_builder.layout.words import so_many, so_many_are
from workbook.output.alike import lines_of
from workbook.results.pipeline import Checked
from workbook.rules.answers import what_to_do, what_to_do_with_all
from workbook.rules.checks.conflicts import OPEN_CONFLICT
from workbook.rules.rule import Problem, Rule, Severity, Skipped


class Only(Enum):
    """Which problems are asked for."""

    ERRORS = "errors"
    WARNINGS = "warnings"

    @property
    def severity(self) -> Severity:
        return Severity.ERROR if self is Only.ERRORS else Severity.WARNING


@dataclass(frozen=True)
class Asked:
    """What a person asked to see: one severity, some rules, or all. A rule asked for by name is not folded."""

    only: Only | None = None
    rules: Collection[str] = ()

    def takes(self, problem: Problem) -> bool:
        return (self.only is None or problem.rule.severity is self.only.severity) and (
            not self.rules or problem.rule.id in self.rules)

    def of(self, problems: Sequence[Problem]) -> tuple[Problem, ...]:
        """The problems asked for, in the order given."""
        return tuple(filter(self.takes, problems))


EVERYTHING = Asked()


def count_words(problems: Sequence[Problem]) -> str:
    """How many problems, by severity: "5 problems: 2 errors, 3 warnings"."""
    if not problems:
        return "no problem found"
    counts = Counter(problem.rule.severity for problem in problems)
    parts = ", ".join(so_many(counts[severity], severity.value) for severity in Severity if counts[severity])
    return f"{so_many(len(problems), 'problem')}: {parts}"


def open_conflicts_words(problems: Sequence[Problem]) -> str:
    """That copies were merged and differ, before any figure is read; empty where nothing is open."""
    number = sum(problem.rule.slug == OPEN_CONFLICT for problem in problems)
    if not number:
        return ""
    cells = so_many_are(number, "cell")
    return f"{cells} in open conflict between merged copies: settle them first (sheet Conflicts); figures may change."


def text(checked: Checked, asked: Asked = EVERYTHING) -> str:
    """The problems asked for with what to do, errors first; then the rules that could not run, and the counts."""
    shown = asked.of(checked.problems)
    lines = list(_lines(shown, fold=not asked.rules))
    lines += [f"not checked: {skipped.rule.id} {skipped.rule.title}: {_missing(skipped)}" for skipped in checked.skipped]
    lines += [f"{checked.season.file}: {note}" for note in checked.season.left_alone]
    lines += _by_rule(shown)
    less = f" ({len(shown)} shown)" if len(shown) < len(checked.problems) else ""
    return "\n".join([*lines, f"{checked.season.file}: {count_words(checked.problems)}{less}"])


def _lines(problems: Sequence[Problem], *, fold: bool) -> Iterator[str]:
    """Each problem with what to do; of a habit the first, how many more, and where."""
    for line in lines_of(problems, fold=fold):
        yield str(line.first)
        if line.many:
            yield f"    {line.more}; all with --rule {line.first.rule.id}"
            yield f"    {what_to_do_with_all(line.first)}"
        else:
            yield f"    {what_to_do(line.first)}"


def _by_rule(problems: Sequence[Problem]) -> Iterator[str]:
    """A line for each rule that fired more than once, most often first."""
    rules: dict[str, Rule] = {problem.rule.id: problem.rule for problem in problems}
    counts = Counter(problem.rule.id for problem in problems)
    for id, number in sorted(counts.items(), key=lambda one: (-one[1], one[0])):
        if number > 1:
            yield f"{number:>6} x {id} {rules[id].title}"


def _missing(skipped: Skipped) -> str:
    return f"not in the file: {', '.join(skipped.missing)}"
