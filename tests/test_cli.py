"""The commands as people run them: exit codes, sentences instead of tracebacks, JSON, and files moved about in LibreOffice."""

import csv
import io
import json
import shutil
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from damage import flock
from few_rows import of_few_ewes
from office import changed
from openpyxl import load_workbook

from demo_workbooks import CLEAN, EMPTY, PAPER, SUMMARY, simulation
from demo_workbooks.simulation.half_way import half_season
from template_builder.build import Plan, build
from template_builder.layout.choices import Born, YesNo
from template_builder.layout.laying import lay_ready
from workbook.cli import main
from workbook.reading.season_file import read

pytestmark = pytest.mark.usefixtures("few_spare_rows")

GOLDEN = Path(__file__).parent / "golden"
DEMOS = Path(__file__).parent.parent / "demo_workbooks"


def run(*words: object) -> Result:
    done = CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


@pytest.fixture
def scan_list(tmp_path: Path) -> Path:
    path = tmp_path / "scan.csv"
    path.write_text("Tag,Scan,Date tupped\n0412,2,05/11/2025\n0415,empty,06/11/2025\n0416,single,\n", encoding="utf-8")
    return path


def _commands() -> list[click.Command]:
    return [main, *main.commands.values()]


def test_help_is_what_a_person_has_read(golden: Callable[[Path, str], None]) -> None:
    pages = [run("--help").output, *(run(name, "--help").output for name in sorted(main.commands))]
    golden(GOLDEN / "help.txt", "\n".join(pages))


@pytest.mark.parametrize("name", sorted(main.commands))
def test_every_command_says_one_line_and_shows_an_example(name: str) -> None:
    page = run(name, "--help").output
    assert f"Example:  lambing-workbook {name}" in page
    assert (main.commands[name].help or "").splitlines()[0].endswith(".")


def test_build_says_what_it_understood(scan_list: Path, golden: Callable[[Path, str], None]) -> None:
    done = run("build", scan_list)
    assert 0 == done.exit_code
    golden(GOLDEN / "build.txt", done.output.replace(str(scan_list.parent), "FOLDER"))
    season = read(scan_list.parent / "scan-season.xlsx").season
    assert [("0412", 2), ("0415", 0), ("0416", 1)] == [(e.name, e.scanned) for e in season.flock.ewes.values()]
    assert date(2026, 4, 1) == season.flock.ewes["0412"].due
    assert 2026 == season.settings.number("year")


def test_build_lists_what_it_could_not_place_and_still_writes(tmp_path: Path) -> None:
    (tmp_path / "scan.csv").write_text("Tag,Scan\n0412,2\n8.26E+14,1\n0413,T\n", encoding="utf-8")
    done = run("build", tmp_path / "scan.csv")
    assert 1 == done.exit_code
    assert "line 3" in done.output and "line 4" in done.output
    assert (tmp_path / "scan-season.xlsx").exists()


def test_build_takes_headings_ram_dates_order_and_start(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("Beast;How many\nB2;1\nB1;2\n", encoding="utf-8")
    done = run("build", tmp_path / "list.csv", "-o", tmp_path / "s.xlsx", "--columns", "Beast=ewe,How many=scanned",
               "--ram-in", "2025-10-20", "--ram-out", "2025-11-28", "--order", "ewe", "--start", "outdoors")
    assert 0 == done.exit_code, done.output
    season = read(tmp_path / "s.xlsx").season
    assert ["B1", "B2"] == [row.text("ewe") for row in season.rows("lambing")]
    assert [date(2026, 3, 16)] * 2 == [row.day("due") for row in season.rows("ewes")]
    assert [(date(2025, 10, 20), date(2025, 11, 28))] == [(r.day("ram_in"), r.day("ram_out")) for r in season.rows("groups")]


def test_an_existing_file_is_left_alone_without_force(scan_list: Path) -> None:
    target = scan_list.parent / "scan-season.xlsx"
    shutil.copy(DEMOS / EMPTY, target)
    before = target.read_bytes()
    done = run("build", scan_list)
    assert (2, before) == (done.exit_code, target.read_bytes())
    assert "was left as it is" in done.output and "--force" in done.output
    assert 0 == run("build", scan_list, "--force").exit_code
    assert before != target.read_bytes()


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _text(path: Path) -> None:
    path.write_text("ewe,scanned\n0412,2\n", encoding="utf-8")


def _half(path: Path) -> None:
    whole = (DEMOS / CLEAN).read_bytes()
    path.write_bytes(whole[: len(whole) // 2])


@pytest.mark.parametrize("spoil", [_empty, _text, _half], ids=["empty file", "text named .xlsx", "half a file"])
@pytest.mark.parametrize("command", ["check", "analyse"])
def test_a_file_that_cannot_be_read_gets_one_sentence(tmp_path: Path, command: str, spoil: Callable[[Path], None]) -> None:
    path = tmp_path / "season.xlsx"
    spoil(path)
    done = run(command, path)
    assert 2 == done.exit_code
    assert done.output.startswith("Error: season.xlsx ") and 1 == done.output.count("\n")
    assert not (tmp_path / "season-summary.xlsx").exists()


@pytest.mark.parametrize("text", ["", "Tag,Scan\n", "nothing\nof the kind\n"])
def test_a_scan_list_without_ewes_gets_one_sentence(tmp_path: Path, text: str) -> None:
    (tmp_path / "scan.csv").write_text(text, encoding="utf-8")
    done = run("build", tmp_path / "scan.csv")
    assert 2 == done.exit_code
    assert "scan.csv" in done.output and "Traceback" not in done.output


def test_a_missing_file_and_a_missing_sheet(tmp_path: Path) -> None:
    assert 2 == run("check", tmp_path / "nowhere.xlsx").exit_code
    book = load_workbook(flock.write(tmp_path / "season.xlsx"))
    del book["Weights"]
    book.save(tmp_path / "without.xlsx")
    done = run("check", tmp_path / "without.xlsx")
    assert 1 == done.exit_code
    assert "there is no sheet Weights" in done.output
    assert "not checked: " in done.output


def test_check_prints_json_and_csv() -> None:
    messy = DEMOS / "season-messy.xlsx"
    found = json.loads(run("check", messy, "--format", "json").output)
    assert {"version", "file", "problems", "skipped"} == found.keys()
    assert {"rule", "slug", "severity", "sheet", "cell", "value", "message", "fix", "also"} == found["problems"][0].keys()
    lines = list(csv.DictReader(io.StringIO(run("check", messy, "--format", "csv").output)))
    assert [problem["message"] for problem in found["problems"]] == [line["message"] for line in lines]


def test_strict_makes_warnings_count(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    rows = lay_ready([{"ewe": "0412", "scanned": 1}])
    rows["lambing"] = [{**rows["lambing"][0], "lambed_on": date(2026, 3, 1), "all_well": YesNo.YES}]
    rows["lambs"] = [{**rows["lambs"][0], "born": Born.ALIVE, "birth_weight": 8.5}]
    build(path, Plan("Strict", rows))
    assert (0, 1) == (run("check", path).exit_code, run("check", path, "--strict").exit_code)


@pytest.mark.parametrize("name", ["C101", "c101", "lamb-tag-twice"])
def test_explain(name: str) -> None:
    done = run("explain", name)
    assert 0 == done.exit_code
    assert "Two lambs have the same tag" in done.output


def test_explain_what_is_not_there() -> None:
    done = run("explain", "C000")
    assert (2, 1) == (done.exit_code, done.output.count("\n"))


def _figures(path: Path, folder: Path) -> dict[str, object]:
    out = folder / f"{path.stem}.json"
    run("analyse", path, "-o", folder / f"{path.stem}-summary.xlsx", "--json", out)
    found: dict[str, object] = json.loads(out.read_text(encoding="utf-8"))
    return {"figures": found["figures"], "account": found["account"]}


@pytest.mark.long
def test_moved_about_in_libreoffice_it_gives_the_same_figures(tmp_path: Path) -> None:
    build(tmp_path / "few.xlsx", Plan("Few", of_few_ewes(simulation.clean_season(), 40)))
    moved = changed(tmp_path / "few.xlsx", tmp_path / "moved.xlsx", [
        ["move_column", "Lambs", 6, 2], ["sort", "Lambing", 4, 4], ["insert_columns", "Lambs", 1, 3],
        ["rename", "Ewes", "Our ewes"],
    ])
    assert _figures(tmp_path / "few.xlsx", tmp_path) == _figures(moved, tmp_path)


@pytest.mark.parametrize(("words", "says"), [
    (("check", SUMMARY), "is a summary that analyse wrote: give the season workbook it was made from."),
    (("analyse", SUMMARY), "is a summary that analyse wrote: give the season workbook it was made from."),
    (("merge", CLEAN, SUMMARY), "is a summary that analyse wrote: give the season workbook it was made from."),
    (("build", SUMMARY), "this is a summary that analyse wrote; give the list as it came from scanning."),
    (("build", CLEAN), "this is a season workbook already; give the list as it came from scanning."),
    (("build", PAPER), "this is what was printed to be written on; give the list as it came from scanning."),
    (("check", PAPER), "is what was printed to be written on: give the season workbook it belongs to."),
    (("paper", PAPER), "is what was printed to be written on: give the season workbook it belongs to."),
    (("paper", SUMMARY), "is a summary that analyse wrote: give the season workbook it was made from."),
], ids=lambda value: " ".join(value) if isinstance(value, tuple) else "")
def test_the_wrong_one_of_its_own_workbooks_is_told_by_name(words: tuple[str, ...], says: str, tmp_path: Path) -> None:
    command, *files = words
    out = ("--output", tmp_path / "out.xlsx") if command != "check" else ()
    done = run(command, *(DEMOS / file for file in files), *out)
    assert 2 == done.exit_code
    assert says in done.output and not list(tmp_path.iterdir())


def test_with_half_the_ewes_lambed_it_says_so(tmp_path: Path) -> None:
    until = date(2026, 3, 24)
    build(tmp_path / "half.xlsx", Plan(simulation.TITLE, half_season(until)))
    moment = until + timedelta(days=1)
    out = tmp_path / "half.json"
    done = run("analyse", tmp_path / "half.xlsx", "--as-of", moment, "--json", out)
    found = json.loads(out.read_text(encoding="utf-8"))
    assert "so far" == found["stage"]
    assert {True} == {ewe["provisional"] for ewe in found["ewes"] if ewe["decision"]}
    assert 0 < found["account"]["to_lamb"]["all"] < found["account"]["scanned"]["all"]
    assert "so far" in done.output and "provisional" in done.output
