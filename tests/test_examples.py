"""The two lambings of the guide: read as they stand, they say what their words say, and the check is content."""

from datetime import date, datetime
from pathlib import Path

import pytest
from openpyxl import load_workbook

from template_builder.build import Plan, build
from template_builder.layout.columns import Row
from template_builder.layout.examples import EXAMPLES, Example, lines
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import GUIDE_TAB
from workbook.reading.season_file import read
from workbook.results.pipeline import Result, analyse

NORMAL, BAD = EXAMPLES
SOON = datetime(2026, 3, 17, 12)


def written(path: Path, example: Example) -> Result:
    """A workbook with that ewe scanned with two, and the cells of the example typed into the rows laid ready."""
    rows: dict[str, list[Row]] = lay_ready([{"ewe": example.ewe, "scanned": 2, "due": date(2026, 3, 16)}])
    rows["lambing"] = [{**rows["lambing"][0], **example.lambing}]
    rows["lambs"] = [{**row, **lamb} for row, lamb in zip(rows["lambs"], example.lambs, strict=True)]
    build(path, Plan("Example", rows))
    return analyse(read(path, SOON))


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.ewe)
def test_an_example_is_read_without_a_problem(tmp_path: Path, example: Example) -> None:
    found = written(tmp_path / "season.xlsx", example)
    assert [] == [problem.found.text for problem in found.problems]
    assert 2 == len(found.season.flock.lambs)


def test_the_normal_one_takes_six_cells_and_asks_for_no_look(tmp_path: Path) -> None:
    assert 6 == len(list(lines(NORMAL)))
    assert () == tuple(one.alert for one in written(tmp_path / "season.xlsx", NORMAL).problem_ewes)


def test_the_bad_one_is_a_problem_ewe_that_lost_a_lamb(tmp_path: Path) -> None:
    found = written(tmp_path / "season.xlsx", BAD)
    assert "hollow lamb" in {one.alert for one in found.problem_ewes}
    assert (1, 1) == (found.account.lines["born_dead"]["all"], found.account.lines["pet"]["all"])


def test_the_guide_shows_every_cell_of_both(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Example", {}))
    shown = {tuple(row[:3]) for row in load_workbook(tmp_path / "season.xlsx")[GUIDE_TAB].iter_rows(values_only=True)}
    assert {line for example in EXAMPLES for line in lines(example)} <= shown
