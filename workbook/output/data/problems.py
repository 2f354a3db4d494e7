"""The problems of a season workbook as data."""

from typing import NamedTuple

from workbook.output.data.shapes import CELLS, TEXT, Field, Shape, always, each, word
from workbook.rules.answers import what_to_do
from workbook.rules.rule import Problem, Severity, Skipped

VERSION = 1


class Report(NamedTuple):
    """What is written of a check: the file, the problems asked for, and the rules that could not run."""

    file: str
    problems: tuple[Problem, ...]
    skipped: tuple[Skipped, ...]


PROBLEM: Shape[Problem] = Shape("problem", "Something found in the records, at the cell where it is to be put right.", (
    Field("rule", TEXT, "The id of the rule; `explain` tells of it.", lambda problem: problem.rule.id),
    Field("slug", TEXT, "The rule's name, which states what is wrong.", lambda problem: problem.rule.slug),
    Field("severity", word(severity.value for severity in Severity),
          "error: a figure resting on it is not to be trusted; warning: likely a slip, still counted; note: worth knowing.",
          lambda problem: problem.rule.severity.value),
    Field("sheet", TEXT, "The tab it stands on.", lambda problem: problem.place.sheet),
    Field("cell", TEXT, "The cell, as a spreadsheet names it.", lambda problem: problem.place.cell),
    Field("value", TEXT, "What stands in the cell, as found.", lambda problem: problem.found.value),
    Field("message", TEXT, "What is wrong.", lambda problem: problem.found.text),
    Field("fix", TEXT, "What to do about it.", what_to_do),
    Field("also", CELLS, "Other cells it is about.", lambda problem: problem.found.also),
))

SKIPPED: Shape[Skipped] = Shape("skipped", "A rule that could not run because columns are not in the file.", (
    Field("rule", TEXT, "The id of the rule.", lambda skipped: skipped.rule.id),
    Field("missing", each(TEXT), "The columns it looks at that were not found."),
))

CHECK: Shape[Report] = Shape("check", "What `check --json` and `check --format json` write of a season workbook.", (
    Field("version", always(VERSION), "The version of this shape; it is raised when a field goes or changes its meaning.",
          lambda _: VERSION),
    Field("file", TEXT, "The file that was checked."),
    Field("problems", each(PROBLEM), "The problems asked for, by tab and row."),
    Field("skipped", each(SKIPPED), "Rules that could not run."),
))
