"""What a terminal cannot show is written with what it has; JSON and CSV are UTF-8 whatever it is."""

import codecs
import csv
import io
import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from damage import flock

from template_builder.build import Plan, build
from workbook.output.terminal import plain

pytestmark = pytest.mark.usefixtures("few_spare_rows")

ROOT = Path(__file__).parents[1]
TYPED = "\u201csoon\u201d \u2192 \u2013 \U0001f411"
SHOWN = '"soon" -> - ?'


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A few ewes, with quotation marks and a sheep in a cell that wants a date, a tag that stands twice, a weight queried."""
    rows = flock.rows()
    rows["lambing"][4]["lambed_on"] = TYPED
    rows["lambs"][1]["tag"] = rows["lambs"][0]["tag"]
    rows["lambs"][2]["birth_weight"] = 9.5
    path = tmp_path_factory.mktemp("terminal") / "season.xlsx"
    build(path, Plan(flock.TITLE, rows))
    return path


def run(encoding: str, *words: str | Path) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([sys.executable, "-m", "workbook", *map(str, words)], cwd=ROOT, capture_output=True,
                          env={**os.environ, "PYTHONIOENCODING": encoding})


def test_a_sign_the_terminal_lacks_is_plain() -> None:
    codecs.register_error("plain-in-test", plain)
    assert SHOWN.encode() == TYPED.encode("ascii", "plain-in-test")
    assert b"caf\x82" == "caf\u00e9".encode("cp437", "plain-in-test")


def test_check_in_an_old_code_page(season: Path) -> None:
    done = run("cp437", "check", season)
    assert (1, b"") == (done.returncode, done.stderr)
    assert SHOWN in done.stdout.decode("cp437")


@pytest.mark.parametrize("encoding", ["cp437", pytest.param("cp1252", marks=pytest.mark.long)])
def test_no_command_stops_at_a_sign(season: Path, tmp_path: Path, encoding: str) -> None:
    scans = tmp_path / "list.csv"
    scans.write_text(f"Ewe,Scanned\n0412,2\n0413,{TYPED}\n", encoding="utf-8")
    for words in (("build", scans, "--year", "2026", "-o", tmp_path / "b.xlsx"), ("analyse", season, "-o", tmp_path / "a.xlsx"),
                  ("merge", season, flock.write(tmp_path / "other.xlsx"), "-o", tmp_path / "m.xlsx"),
                  ("explain", "C101")):
        done = run(encoding, *words)
        assert b"" == done.stderr, words
        assert done.returncode in (0, 1), words


@pytest.mark.parametrize("form", ["json", "csv"])
def test_data_is_utf_8_whatever_the_terminal_is(season: Path, form: str) -> None:
    done = run("cp1252", "check", season, "--format", form)
    told = done.stdout.decode("utf-8")
    rows = json.loads(told)["problems"] if form == "json" else list(csv.DictReader(io.StringIO(told)))
    assert (1, b"") == (done.returncode, done.stderr)
    assert TYPED in {row["value"] for row in rows}


def test_csv_names_the_file_and_the_other_cells(season: Path) -> None:
    done = run("utf-8", "check", season, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout.decode("utf-8"))))
    assert {"season.xlsx"} == {row["file"] for row in rows}
    found = json.loads(run("utf-8", "check", season, "--format", "json").stdout)["problems"]
    also = [row["also"] for row in rows]
    assert ["; ".join(problem["also"]) for problem in found] == also
    assert any(also) and not all(also)


def test_figures_to_standard_output_stand_there_alone(tmp_path: Path) -> None:
    season = ROOT / "demo_workbooks" / "season-clean.xlsx"
    done = run("cp1252", "analyse", season, "-o", tmp_path / "summary.xlsx", "--json", "-")
    assert (0, "season-clean.xlsx") == (done.returncode, json.loads(done.stdout.decode("utf-8"))["season"]["file"])
    assert f"Written: {tmp_path / 'summary.xlsx'}" == done.stderr.decode("cp1252").splitlines()[-1]
    assert [tmp_path / "summary.xlsx"] == list(tmp_path.iterdir())


def test_progress_is_told_at_a_terminal_and_wiped(tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    season = ROOT / "demo_workbooks" / "season-clean.xlsx"
    process = subprocess.Popen([sys.executable, "-m", "workbook", "analyse", str(season), "-o", str(tmp_path / "s.xlsx")],
                               cwd=ROOT, stdout=subprocess.PIPE, stderr=theirs)
    os.close(theirs)
    told = ""
    with os.fdopen(ours, "rb", buffering=0) as terminal:
        try:
            while part := terminal.read(65536):
                told += part.decode()
        except OSError:  # the other end is closed and all is read
            pass
    steps = [step.strip() for step in told.split("\r") if step.strip()]
    wanted = ["Reading season-clean.xlsx, sheet 1 of", "Checking the records", "Litter account", "Writing tab 1,",
              "Storing s.xlsx"]
    assert wanted == [words for words in wanted if any(step.startswith(words) for step in steps)]
    assert "" == told.split("\r")[-2].strip()
    said, _ = process.communicate()
    assert (0, False) == (process.returncode, b"Reading" in said)
