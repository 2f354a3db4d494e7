"""However a command ends: an exit code and one sentence, no traceback nobody asked for, and nothing half-written."""

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from demo_workbooks import CLEAN, FOLDER, MESSY
from template_builder.files.writing import UNFINISHED
from workbook.__main__ import FAULT, STOPPED, TRACEBACK

ROOT = Path(__file__).parent.parent
RUN = (sys.executable, "-m", "workbook")
FAULTY = (
    "import sys; from workbook.output import report; report.as_json = lambda *_: {}['no such\\nthing']; "
    "from workbook.__main__ import run; run()"
)
PATIENCE = 60.0  # seconds a command has to begin writing


@pytest.fixture
def scratch(tmp_path: Path) -> Path:
    (folder := tmp_path / "scratch").mkdir()
    return folder


def environment(scratch: Path, **more: str) -> dict[str, str]:
    return {**os.environ, "TMPDIR": str(scratch), "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **more}


@pytest.mark.parametrize("stop", [signal.SIGTERM, signal.SIGINT])
def test_stopped_while_writing_it_leaves_nothing_half_written(tmp_path: Path, scratch: Path, stop: signal.Signals) -> None:
    (folder := tmp_path / "flock").mkdir()
    season = Path(shutil.copy(FOLDER / CLEAN, folder / "season.xlsx"))
    process = subprocess.Popen(
        [*RUN, "analyse", str(season)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT,
        env=environment(scratch))
    end = time.monotonic() + PATIENCE
    while not any(path.name.endswith(UNFINISHED) for path in folder.iterdir()):
        assert process.poll() is None and time.monotonic() < end, process.communicate()
        time.sleep(0.005)
    process.send_signal(stop)
    _, told = process.communicate(timeout=PATIENCE)
    assert (2, STOPPED) == (process.returncode, told.strip())
    assert ["season.xlsx"] == [path.name for path in folder.iterdir()]
    assert [] == list(scratch.iterdir())


def faulty(scratch: Path, **more: str) -> "subprocess.CompletedProcess[str]":
    words = [sys.executable, "-c", FAULTY, "check", str(FOLDER / CLEAN), "--format", "json"]
    return subprocess.run(words, capture_output=True, text=True, cwd=ROOT, env=environment(scratch, **more), check=False)


def test_a_fault_of_the_program_is_one_sentence(scratch: Path) -> None:
    done = faulty(scratch)
    assert (2, "") == (done.returncode, done.stdout)
    assert FAULT.format("KeyError: 'no such\\nthing'", TRACEBACK) + "\n" == done.stderr


def test_who_asks_for_it_sees_where_the_fault_is(scratch: Path) -> None:
    done = faulty(scratch, **{TRACEBACK: "1"})
    assert 2 == done.returncode
    assert done.stderr.startswith("Traceback") and "KeyError" in done.stderr.splitlines()[-1]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("words", [("check", str(FOLDER / MESSY)), ("--help",)])
def test_where_nothing_can_be_printed_it_says_so(scratch: Path, words: tuple[str, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*RUN, *words], stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT, env=environment(scratch), check=False)
    assert (2, 1) == (done.returncode, done.stderr.count("\n")), done.stderr
    assert "could not be printed (No space left on device)" in done.stderr


def test_whoever_stops_listening_is_told_nothing_more(scratch: Path) -> None:
    process = subprocess.Popen(
        [*RUN, "check", str(FOLDER / MESSY), "--format", "csv"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT,
        env=environment(scratch))
    assert process.stdout and process.stderr
    process.stdout.close()
    assert b"" == process.stderr.read()
    process.stderr.close()
    assert 1 == process.wait()


def test_a_mistake_in_calling_and_help_end_as_before(scratch: Path) -> None:
    ends = {words: subprocess.run([*RUN, *words], capture_output=True, text=True, cwd=ROOT, env=environment(scratch), check=False)
            for words in (("--help",), ("check",), ("nothing",), ("check", "nowhere.xlsx"))}
    assert [0, 2, 2, 2] == [done.returncode for done in ends.values()]
    assert [False, True, True, True] == ["Error: " in done.stderr for done in ends.values()]
