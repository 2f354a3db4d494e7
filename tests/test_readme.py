"""What the README tells people to type works as it is written."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from demo_workbooks import DEMO, FOLDER
from workbook.cli import main

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
PROGRAM = "lambing-workbook"
# Words that stand for a person's own file, and a file of the demo to take in their place.
STAND_IN = {
    "scan-list.csv": "scan-list.csv", "scan-2027.csv": "scan-list.csv", "flock-season.xlsx": "season-clean.xlsx",
    "flock-2026.xlsx": "season-clean.xlsx", "flock-2027.xlsx": "season-clean.xlsx",
    "flock-2026-summary.xlsx": "season-clean-summary.xlsx",
}
NO_COMMAND = re.compile(r"[A-Z]{3,}|COMMAND|\.\.\.")  # words in capitals stand for something


def commands() -> list[str]:
    """Whole commands between back quotes, and those of the demo's line; the kinds of a command in a table are none."""
    quoted = [found for found in re.findall(r"`([^`\n]+)`", README) if found.startswith(f"{PROGRAM} ")]
    line = next(line for line in README.splitlines() if f".venv/bin/{PROGRAM} demo" in line)
    chained = [part.strip().removeprefix(".venv/bin/") for part in line.split("&&")]
    found = [*quoted, *(part for part in chained if part.startswith(PROGRAM))]
    return list(dict.fromkeys(one for one in found if not NO_COMMAND.search(one)))


def test_the_readme_has_commands() -> None:
    assert len(commands()) > 5


@pytest.mark.parametrize("command", commands())
def test_every_command_of_the_readme_works(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a folder with the files it names, and the demo's."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "demo").mkdir()
    for name in set(shlex.split(command)) & STAND_IN.keys():
        (tmp_path / name).write_bytes((FOLDER / STAND_IN[name]).read_bytes())
    for name in DEMO:
        (tmp_path / "demo" / name).write_bytes((FOLDER / name).read_bytes())
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
