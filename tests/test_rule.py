"""Running rules: one that breaks or lacks its columns hides nothing of what the others find."""

from collections.abc import Iterator
from dataclasses import replace

from seasons import season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.choices import Born
from workbook.rules.rule import REGISTRY, Found, Severity, run
from workbook.season.season import Season

TWICE = season(lambs=[{"ewe": ewe, "lamb_no": 1, "tag": "7001", "born": Born.ALIVE} for ewe in ("0412", "0415")])
TAG_TWICE = REGISTRY["C101"]


def breaks(of: Season) -> Iterator[Found]:
    yield Found(of.rows("lambs")[0].at("tag"), "found before it broke")
    raise ValueError("not foreseen")


def test_a_check_that_breaks_is_an_error_of_its_own_and_the_others_are_run() -> None:
    problems, skipped = run(TWICE, [replace(REGISTRY["C102"], check=breaks), TAG_TWICE])
    assert ([], ["C199", "C101"]) == (skipped, [problem.rule.id for problem in problems])
    broken = problems[0]
    assert (Severity.ERROR, "season.xlsx", 0) == (broken.rule.severity, broken.place.file, broken.place.row)
    assert "the check C102" in broken.found.text and "not foreseen" in broken.found.text


def test_a_check_whose_column_is_not_in_the_workbook_is_listed_as_not_run() -> None:
    problems, skipped = run(replace(TWICE, missing=frozenset({"lambs.tag"})), [TAG_TWICE])
    assert ([], [("C101", ("lambs.tag",))]) == (problems, [(one.rule.id, one.missing) for one in skipped])
