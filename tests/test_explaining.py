"""Whatever an output names by an id can be explained, from the declaration the program works with."""

import json
from collections.abc import Iterator

import pytest
from click.testing import CliRunner

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN, HILL_MESSY, MESSY
from workbook.cli import main
from workbook.output import report
from workbook.output.explaining import entries, find, near
from workbook.reading.season_file import read
from workbook.results.pipeline import Result, analyse


@pytest.fixture(scope="module", params=[CLEAN, MESSY, HILL_CLEAN, HILL_MESSY])
def result(request: pytest.FixtureRequest) -> Result:
    return analyse(read(FOLDER / request.param))


def printed_ids(result: Result) -> Iterator[str]:
    """Every id in the figures as JSON, the problems, the looks that are due and the scores."""
    found = json.loads(report.result_json(result))
    for part in ("figures", "gaps", "contrasts"):
        yield from (one["id"] for one in found[part])
    yield from found["account"]
    for ewe in found["ewes"]:
        yield from (reason["rule"] for reason in ewe["reasons"])
        yield from (part["id"] for part in (ewe["mothering"] or {"parts": []})["parts"])
    for problem in result.problems:
        yield from (problem.rule.id, problem.rule.slug)
    yield from (problem.alert for problem in result.problem_ewes)


def test_every_id_that_is_printed_is_explained(result: Result) -> None:
    assert [] == sorted({id for id in printed_ids(result) if not find(id)})


def test_each_says_something_and_no_two_are_called_the_same() -> None:
    names = [(entry.kind, name.casefold()) for entry in entries() for name in (entry.id, *entry.names)]
    assert len(names) == len(set(names))
    assert [] == [entry.id for entry in entries() if len(entry.text.split()) < 5 or not entry.title]


@pytest.mark.parametrize(("word", "says"), [
    ("C115", "has not lambed"), ("in-lamb-ewe-never-lambed", "has not lambed"), ("REARED_PCT", "Reared %"),
    ("reared-pct", "per 100"), ("long labour", "Clean gloves"), ("own_ewe", "ewe that bore them"), ("weight-growth", "Policy"),
    ("gestation", "147"), ("ram:17", "lost"),
])
def test_it_is_called_by_id_or_name_in_capitals_or_small(word: str, says: str) -> None:
    done = CliRunner().invoke(main, ["explain", word])
    assert 0 == done.exit_code, done.output
    assert says in done.output


def test_near_names_are_offered_for_one_that_is_none() -> None:
    assert "reared_pct" in near("reard_pct")
    done = CliRunner().invoke(main, ["explain", "reard_pct"])
    assert 2 == done.exit_code
    assert "Did you mean reared_pct" in done.output


def test_without_a_name_all_are_listed() -> None:
    done = CliRunner().invoke(main, ["explain"])
    assert 0 == done.exit_code
    listed = {line.split()[0] for line in done.output.splitlines() if line.startswith("  ")}
    assert {"json", *(entry.id for entry in entries())} == listed
