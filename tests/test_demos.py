"""The demo from end to end: the committed files are what the program writes, the clean one is clean, the messy one is not."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from case_files import case_files
from click.testing import CliRunner
from dumps import dump

from demo_workbooks import CLEAN, DEMO, EMPTY, HILL_MESSY, MESSY, PAPER, SCAN_LIST, SUMMARY
from demo_workbooks import FOLDER as COMMITTED
from demo_workbooks.simulation.writing import write_demo
from workbook.cli import main
from workbook.output import report
from workbook.reading.season_file import read
from workbook.results.litters.lines import LINES, SECOND_SUMS
from workbook.results.pipeline import analyse, check

GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("demo")
    write_demo(made)
    return made


@pytest.mark.parametrize("name", [EMPTY, PAPER, CLEAN, MESSY, SUMMARY])
def test_committed_workbooks_are_what_is_written_now(folder: Path, name: str) -> None:
    assert dump(COMMITTED / name) == dump(folder / name), "run python -m demo_workbooks.make_demos and read the difference"


def test_the_committed_scan_list_is_what_is_written_now(folder: Path) -> None:
    assert (COMMITTED / SCAN_LIST).read_text(encoding="utf-8") == (folder / SCAN_LIST).read_text(encoding="utf-8")


def test_demo_copies_the_committed_files(tmp_path: Path) -> None:
    done = CliRunner().invoke(main, ["demo", str(tmp_path / "new")])
    assert 0 == done.exit_code, done.output
    assert {name: (COMMITTED / name).read_bytes() for name in DEMO} == {
        path.name: path.read_bytes() for path in (tmp_path / "new").iterdir()}


def test_the_clean_season_has_no_problem(folder: Path) -> None:
    done = CliRunner().invoke(main, ["check", str(folder / CLEAN), "--strict"])
    assert f"{CLEAN}: no problem found\n" == done.output
    assert 0 == done.exit_code


def test_the_messy_season_gives_exactly_its_list(folder: Path, golden: Callable[[Path, str], None]) -> None:
    done = CliRunner().invoke(main, ["check", str(folder / MESSY)])
    golden(GOLDEN / "season-messy-problems.txt", done.output)
    assert 1 == done.exit_code


def test_the_messy_seasons_fire_every_rule_or_its_case_file_says_why_not(folder: Path) -> None:
    messy = (folder / MESSY, COMMITTED / HILL_MESSY)
    fired = {problem.rule.id for path in messy for problem in check(read(path)).problems}
    unsaid = {file.rule for file in case_files() if not file.not_in_demo and not file.cannot_fire}
    assert fired == unsaid


@pytest.mark.parametrize("name", [CLEAN, MESSY])
def test_every_line_balances_in_every_class(folder: Path, name: str) -> None:
    account = json.loads(report.result_json(analyse(read(folder / name))))["account"]
    sums = [(line.id, line.parts) for line in LINES if line.parts] + list(SECOND_SUMS)
    classes = account["scanned"].keys()
    assert {"all", "0", "1", "2", "3", "not scanned", "bought in", "count"} <= classes
    for line, parts in sums:
        for kind in classes:
            assert account[line][kind] == sum(account[part][kind] for part in parts), (line, kind)
    for line in account:
        assert account[line]["all"] == sum(number for kind, number in account[line].items() if kind != "all"), line


def test_the_empty_season_has_nothing_to_say_of_lambs(folder: Path) -> None:
    checked = check(read(folder / EMPTY, datetime(2026, 2, 1)))
    assert {"C171", "C173"} == {problem.rule.id for problem in checked.problems}  # a few ewes were not scanned, or not felt
