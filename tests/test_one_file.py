"""The program as one file runs where nothing is installed, and files dropped on it are done with as they are."""

import builtins
import io
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from workbook.__main__ import PRESS_ENTER, run_one_file
from workbook.cli import main
from workbook.doors.asking import FOLDER
from workbook.doors.dropped import Dropped, commands, free_name
from workbook.doors.one_file import INSIDE, make
from workbook.many.line import Kind

SEASON, MARKED, SCAN, SUMMARY = (kind.value for kind in (Kind.SEASON, Kind.MARKED, Kind.SCAN_LIST, Kind.SUMMARY))


@pytest.fixture(scope="module")
def one_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make(tmp_path_factory.mktemp("one") / "lambing-workbook.pyz")


def run(one_file: Path, *words: object) -> subprocess.CompletedProcess[str]:
    """Run it by a Python that finds no installed package and nothing of this folder."""
    command = [sys.executable, "-S", "-I", str(one_file), *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL, cwd=one_file.parent, timeout=300)


def test_it_says_its_version_and_holds_every_licence(one_file: Path) -> None:
    told = run(one_file, "--version")
    assert (0, True) == (told.returncode, told.stdout.startswith("lambing-workbook, version")), told.stderr
    assert one_file.stat().st_size < 2_000_000
    with zipfile.ZipFile(one_file) as archive:
        names = archive.namelist()
    licences = {name.split("-")[0].replace("_", "-") for name in names if "LICEN" in name.upper() and ".dist-info/" in name}
    assert {"lambing-workbook", *INSIDE} == licences
    assert [] == [name for name in names if "pandas" in name or name.endswith(".pyc")]


def test_files_dropped_on_it_are_done_with_and_nothing_waits_when_piped(one_file: Path, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Ewe,Scanned\n0412,2\n0415,1\n", encoding="utf-8")
    first = run(one_file, tmp_path / "list.csv")
    assert 0 == first.returncode, first.stdout + first.stderr
    again = run(one_file, tmp_path / "list.csv", tmp_path / "list-season.xlsx", tmp_path / "nothing.xlsx")
    assert 2 == again.returncode
    assert "There is no" in again.stdout and "Press Enter" not in again.stdout
    assert {"list.csv", "list-season.xlsx", "list-paper.xlsx", "list-season 2.xlsx", "list-season 2-paper.xlsx",
            "list-season-marked.xlsx", "list-season-summary.xlsx"} == {path.name for path in tmp_path.iterdir()}


def test_what_is_not_inside_is_said(one_file: Path) -> None:
    for words in (("demo", "x"), ("compare", "x.xlsx")):
        told = run(one_file, *words)
        assert (2, True) == (told.returncode, "install the program" in told.stderr), told.stderr
    assert "C101" in run(one_file, "explain", "C101").stdout
    assert "not in this file" in run(one_file, "explain", "litter_born").stderr


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("answer", [None, EOFError, KeyboardInterrupt])
def test_the_window_waits_for_enter_and_closes_in_any_way(
    answer: type[BaseException] | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[str] = []

    def ask(words: str) -> str:
        asked.append(words)
        if answer:
            raise answer
        return ""

    for name, value in (("argv", ["x.pyz", str(tmp_path / "nothing.xlsx")]), ("stdin", Terminal()), ("stdout", Terminal())):
        monkeypatch.setattr(sys, name, value)
    monkeypatch.setattr(builtins, "input", ask)
    monkeypatch.setattr("workbook.__main__.prepare", lambda: None)
    with pytest.raises(SystemExit) as end:
        run_one_file()
    assert ([PRESS_ENTER], 2) == (asked, end.value.code)


def test_a_name_that_is_taken_stays(one_file: Path) -> None:
    before = one_file.read_bytes()
    with pytest.raises(FileExistsError, match="already there"):
        make(one_file)
    with pytest.raises(ValueError, match="pyz"):
        make(one_file.with_name("x.exe"))
    assert before == one_file.read_bytes()


@pytest.mark.parametrize(("kinds", "expected"), [
    ([SCAN], ["build"]), ([SEASON], ["check", "analyse"]), ([MARKED], ["check", "analyse"]), ([SEASON, SEASON], ["merge"]),
    ([SEASON, MARKED, SEASON], ["merge"]), ([FOLDER], ["check"]), ([FOLDER, SCAN], ["check", "build"]), ([], []),
    ([SUMMARY], []),
])
def test_what_is_done_with_what(kinds: list[str], expected: list[str]) -> None:
    dropped = [Dropped(Path(f"{number}.xlsx"), kind) for number, kind in enumerate(kinds)]
    lines = commands(dropped, lambda path: path)
    assert expected == [line[0] for line in lines]
    assert not any("--force" in line for line in lines)
    for line in lines:
        command = main.commands[line[0]]
        command.make_context(line[0], line[1:])


def test_a_name_is_free_where_its_paper_is_too(tmp_path: Path) -> None:
    wanted = tmp_path / "a-season.xlsx"
    assert wanted == free_name(wanted)
    (tmp_path / "a-paper.xlsx").touch()
    assert tmp_path / "a-season 2.xlsx" == free_name(wanted)
    (tmp_path / "a-season 2.xlsx").touch()
    assert tmp_path / "a-season 3.xlsx" == free_name(wanted)
