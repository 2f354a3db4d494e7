"""Without a command three questions lead to the right one; what cannot be worked with is said in a sentence."""

import shutil
from pathlib import Path

import pytest

from demo_workbooks import CLEAN, FOLDER, HILL_TALLY, PAPER, SCAN_LIST, SUMMARY
from workbook.cli import main
from workbook.doors.asking import CAN_BE_DONE, Asked, arguments


def line_for(*answers: str) -> tuple[list[str], list[str]]:
    """The command line, and what was said on the way; an empty answer takes what is offered."""
    given, said = iter(answers), []

    def ask(question: str, default: str) -> str:
        return next(given, "") or default

    return arguments(ask, said.append), said


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in (CLEAN, SCAN_LIST, HILL_TALLY, SUMMARY, PAPER):
        shutil.copy(FOLDER / name, tmp_path / name)
    (tmp_path / "letter.txt").write_text("Dear all")
    return tmp_path


def test_nothing_named_shows_the_demo() -> None:
    assert ["demo", "demo"] == line_for("")[0]


def test_where_there_is_no_demo_none_is_offered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("workbook.doors.asking.SHIPPED", False)
    with pytest.raises(Asked, match="No file was named"):
        arguments(lambda question, _: "" if "demo" not in question else "demo", lambda _: None)


@pytest.mark.parametrize(("name", "answers", "line"), [
    (SCAN_LIST, ("1", ""), ["build", SCAN_LIST, "-o", "scan-list-season.xlsx"]),
    (SCAN_LIST, ("2",), ["build", "--preview", SCAN_LIST]),
    (HILL_TALLY, ("",), ["build", HILL_TALLY, "-o", "hill-scan-tally-season.xlsx"]),
    (CLEAN, ("1",), ["check", CLEAN]),
    (CLEAN, ("2", ""), ["check", CLEAN, "--marked", "season-clean-marked.xlsx"]),
    (CLEAN, ("3", ""), ["analyse", CLEAN, "-o", "season-clean-summary.xlsx"]),
    (CLEAN, ("4", ""), ["paper", CLEAN, "-o", "season-clean-paper.xlsx"]),
    (CLEAN, ("5",), ["build", "--previous", CLEAN]),
    (".", ("1",), ["check", "."]),
    (".", ("3",), ["compare", "."]),
])
def test_a_file_and_a_number_make_a_command(
    name: str, answers: tuple[str, ...], line: list[str], folder: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(folder)
    assert line == line_for(name, *answers)[0]


def test_the_paper_of_a_season_goes_where_the_command_puts_it(folder: Path) -> None:
    season = folder / CLEAN
    season.rename(folder / "flock-season.xlsx")
    assert str(folder / "flock-paper.xlsx") == line_for(str(folder / "flock-season.xlsx"), "4", "")[0][-1]


def test_what_can_be_done_is_listed_and_a_dragged_name_in_quotes_is_read(folder: Path) -> None:
    line, said = line_for(f"'{folder / CLEAN}'", "1")
    assert ["check", str(folder / CLEAN)] == line
    assert "That is a season workbook." == said[0] and len(CAN_BE_DONE["season workbook"]) == len(said) - 1


@pytest.mark.parametrize("name", [SUMMARY, PAPER, "letter.txt", "nowhere.xlsx"])
def test_what_cannot_be_worked_with_is_named(name: str, folder: Path) -> None:
    with pytest.raises(Asked, match=name):
        line_for(str(folder / name), "1")


@pytest.mark.parametrize("number", ["0", "6", "all"])
def test_a_number_that_is_not_offered_is_refused(number: str, folder: Path) -> None:
    with pytest.raises(Asked, match=number):
        line_for(str(folder / CLEAN), number)


def test_every_command_offered_is_one_there_is() -> None:
    assert {wanted.command[0] for choices in CAN_BE_DONE.values() for wanted in choices} <= main.commands.keys()
