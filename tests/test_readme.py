"""What the README tells people to type works as it is written."""

import os
import re
import shlex
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
from click.testing import CliRunner

from demo_workbooks import CLEAN, DEMO, FOLDER
from workbook.cli import main
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import read
from workbook.results.pipeline import analyse
from workbook.sharing.files import share_file

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
PROGRAM = "lambing-workbook"
# Words that stand for a person's own file, and a file of the demo to take in their place.
STAND_IN = {
    "scan-list.csv": "scan-list.csv", "scan-2027.csv": "scan-list.csv", "flock-season.xlsx": "season-clean.xlsx",
    "flock-2026.xlsx": "season-clean.xlsx", "flock-2027.xlsx": "season-clean.xlsx",
    "flock-2026-summary.xlsx": "season-clean-summary.xlsx",
}
FARMS = "farms"  # the folder of an adviser
NO_COMMAND = re.compile(r"[A-Z]{3,}|COMMAND|\.\.\.")  # words in capitals stand for something
OPTION_ALONE = "build --weights lb"  # what it adds to a command


def commands() -> list[str]:
    """Whole commands between back quotes, and those of the demo's line; the kinds of a command in a table are none."""
    quoted = [found for found in re.findall(r"`([^`\n]+)`", README) if found.startswith(f"{PROGRAM} ")]
    line = next(line for line in README.splitlines() if f".venv/bin/{PROGRAM} demo" in line)
    chained = [part.strip().removeprefix(".venv/bin/") for part in line.split("&&")]
    found = [*quoted, *(part for part in chained if part.startswith(PROGRAM))]
    return list(dict.fromkeys(one for one in found if not NO_COMMAND.search(one)))


def short_commands() -> list[str]:
    """Commands between back quotes without the name of the program, which stands at the one before."""
    quoted = (" ".join(found.split()) for found in re.findall(r"`([^`]+)`", README))
    found = [one for one in quoted if one.partition(" ")[0] in main.commands and " " in one and not NO_COMMAND.search(one)]
    return [one for one in dict.fromkeys(found) if one != OPTION_ALONE and f"{PROGRAM} {one}" not in commands()]


def prepare(folder: Path, words: list[str]) -> None:
    """The files a command names, the demo's, and, for one with a key, the copy that was shared and came back."""
    for name in set(words) & STAND_IN.keys():
        (folder / name).write_bytes((FOLDER / STAND_IN[name]).read_bytes())
    (folder / "demo").mkdir()
    for name in DEMO:
        (folder / "demo" / name).write_bytes((FOLDER / name).read_bytes())
    if FARMS in words:
        (folder / FARMS).mkdir()
        (folder / FARMS / "brook.xlsx").write_bytes((FOLDER / CLEAN).read_bytes())
    if "--key" in words:
        share_file(folder / "flock-season.xlsx", folder / "shared-season.xlsx", folder / "flock-season-key.xlsx")
        (folder / "back.xlsx").write_bytes((folder / "shared-season.xlsx").read_bytes())
    if "shared-summary.xlsx" in words:
        write_summary(analyse(read(folder / "shared-season.xlsx")), folder / "shared-summary.xlsx")


def test_the_readme_has_commands() -> None:
    assert len(commands()) > 5
    assert len(short_commands()) > 5
    assert f"`{OPTION_ALONE}`" in README


@pytest.mark.parametrize("command", short_commands())
def test_every_option_in_the_readme_is_one_there_is(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in command.split():
        (tmp_path / name).touch()
    name, *words = shlex.split(command)
    main.commands[name].make_context(name, words)


@pytest.mark.long
@pytest.mark.parametrize("command", short_commands())
def test_every_short_command_of_the_readme_works(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    prepare(tmp_path, shlex.split(command))
    done = CliRunner().invoke(main, shlex.split(command))
    assert done.exit_code in (0, 1), done.output
    assert done.exception is None or isinstance(done.exception, SystemExit), done.output


def test_every_module_the_readme_runs_is_there() -> None:
    modules = re.findall(r"-m ([a-z_.]+)", README)
    assert {"workbook.doors.one_file", "pytest", "venv"} <= set(modules)
    assert [] == [name for name in modules if find_spec(name) is None]


@pytest.mark.parametrize("command", commands())
def test_every_command_of_the_readme_works(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a folder with the files it names, and the demo's."""
    monkeypatch.chdir(tmp_path)
    prepare(tmp_path, shlex.split(command))
    done = CliRunner().invoke(main, shlex.split(command)[1:])
    assert done.exit_code in (0, 1), done.output
    assert done.exception is None or isinstance(done.exception, SystemExit), done.output


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_tab_key_completes_in_the_shells_named(shell: str) -> None:
    assert f"_LAMBING_WORKBOOK_COMPLETE={shell}_source {PROGRAM}" in README
    program = "import sys; from workbook.cli import main; main(prog_name='lambing-workbook')"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False,
                          env={**os.environ, "_LAMBING_WORKBOOK_COMPLETE": f"{shell}_source"})
    assert f"{shell}_complete" in done.stdout
