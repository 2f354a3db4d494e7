"""A folder of farms: every spreadsheet in it named with what it is, a line for each season, only what changed read again."""

import csv
import json
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator
from openpyxl import load_workbook

from demo_workbooks import CLEAN, EMPTY, FOLDER, MESSY, PAPER, SCAN_LIST, SUMMARY
from template_builder.build import Plan, build
from template_builder.files.told import Told
from template_builder.files.written import as_written
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from workbook.cli import main
from workbook.many import folder as folder_module
from workbook.many.cores import in_parallel
from workbook.many.folder import Asked, Done, default_index, index_folder, spreadsheets
from workbook.many.kept import kept_in
from workbook.many.line import Counted, Kind, Line, line_from
from workbook.many.looking import IN_A_FOLDER, Job, look_at
from workbook.many.season_line import not_looked_at
from workbook.many.tabs import FARMS, FIGURES, KINDS, OTHER_FILES
from workbook.output.data.whole import schema

pytestmark = pytest.mark.usefixtures("few_spare_rows")

MOMENT = datetime(2026, 8, 1)
SEASON = Line(Kind.SEASON, flock="Invented", year=2026, stage="weaned", newest="2026-07-30", as_of=MOMENT.isoformat(), ewes=12,
              errors={"C101": 2}, warnings={}, stops=("2 errors to correct",),
              figures=(Counted("reared_pct", "%", 91.7, 22, 24), Counted("litter_born", "lambs per ewe", None, 3, 2, few=True)))
LETTER = "Dear all\n"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")


@pytest.fixture
def farms(tmp_path: Path) -> Path:
    """A folder with one of each kind."""
    found = tmp_path / "farms"
    found.mkdir()
    for name in (CLEAN, MESSY, SUMMARY, PAPER, SCAN_LIST):
        shutil.copy(FOLDER / name, found / name)
    (found / "letter.xlsx").write_text(LETTER, encoding="utf-8")
    return found


@pytest.fixture
def looked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the files that were read, earlier indexes apart; their text stands for the flock."""
    seen: list[str] = []

    def here(work: object, jobs: list[Job], lost: Line, cores: int | None) -> Any:
        for job in jobs:
            if job.path.read_bytes().startswith(b"PK"):
                yield job, Line(Kind.INDEX)
                continue
            seen.append(job.path.name)
            yield job, replace(SEASON, flock=job.path.read_text(encoding="utf-8"))

    monkeypatch.setattr(folder_module, "in_parallel", here)
    return seen


def again(folder: Path, **asked: Any) -> Done:
    return index_folder(folder, default_index(folder), Asked(**{"force": True, **asked}))


def rows(path: Path, tab: str) -> list[list[object]]:
    return [list(row) for row in load_workbook(path)[tab].iter_rows(values_only=True)]


def test_a_folder_of_every_kind_gives_one_index_on_all_cores(farms: Path) -> None:
    (farms / f"~${CLEAN}").touch()
    (farms / ".hidden.xlsx").touch()
    done = run("check", farms, "--as-of", "2026-08-01")
    assert 1 == done.exit_code, done.output
    assert "season workbook 2, summary 1, paper 1, scan list 1, unreadable 1; 6 read" in done.output
    index = farms / "farms-index.xlsx"
    assert as_written(index)
    heads = next(row for row in rows(index, FARMS) if row[0] == "File")
    farm = {str(row[0]): dict(zip(heads, row, strict=True)) for row in rows(index, FARMS) if row[0] in (CLEAN, MESSY)}
    assert {CLEAN, MESSY} == set(farm)
    assert 0 == farm[CLEAN]["Errors"]
    assert 2026 == farm[CLEAN]["Year"]
    assert datetime(2026, 8, 1) == farm[CLEAN]["As of"]
    assert f"{farm[MESSY]['Errors']} errors to correct" in str(farm[MESSY]["What stops a decision"])
    told = {str(row[0]): row[1] for row in rows(index, OTHER_FILES)}
    assert {SUMMARY: "summary", PAPER: "paper", SCAN_LIST: "scan list", "letter.xlsx": "unreadable"}.items() <= told.items()
    kinds = [row for row in rows(index, KINDS) if row[0] == MESSY]
    assert farm[MESSY]["Errors"] == sum(int(str(row[4])) for row in kinds if row[3] == "error")
    assert CLEAN == load_workbook(index)[FARMS].cell(len(rows(index, FARMS)) - 1, 1).hyperlink.target


def test_figures_of_the_index_are_those_of_the_season(farms: Path) -> None:
    from workbook.reading.season_file import read
    from workbook.results.pipeline import analyse

    line = look_at(Job(farms / CLEAN, MOMENT))
    result = analyse(read(farms / CLEAN, MOMENT))
    known = {figure.id: figure for figure in result.figures}
    assert line.figures
    for counted in line.figures:
        figure = known[counted.id]
        assert (figure.value, figure.numerator, figure.denominator) == (counted.value, counted.numerator, counted.denominator)


def test_equal_bytes_for_equal_input(tmp_path: Path) -> None:
    found = []
    for side in ("one", "two"):
        folder = tmp_path / side / "farms"
        folder.mkdir(parents=True)
        shutil.copy(FOLDER / EMPTY, folder / EMPTY)
        found.append(index_folder(folder, default_index(folder), Asked(MOMENT)).index.read_bytes())
    assert found[0] == found[1]


def test_only_what_changed_is_read_again(tmp_path: Path, looked: list[str]) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.xlsx").write_text(name, encoding="utf-8")
    assert 2 == again(tmp_path).read
    looked.clear()
    assert 0 == again(tmp_path).read
    (tmp_path / "b.xlsx").write_text("changed", encoding="utf-8")
    done = again(tmp_path)
    assert ["b.xlsx"] == looked
    assert ["a", "changed"] == [entry.line.flock for entry in done.entries]


def test_the_same_content_under_another_name_is_known(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    again(tmp_path)
    looked.clear()
    (tmp_path / "a.xlsx").rename(tmp_path / "z.xlsx")
    assert [("z.xlsx", "a")] == [(entry.name, entry.line.flock) for entry in again(tmp_path).entries]
    assert [] == looked


def test_another_moment_is_another_question(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    again(tmp_path, as_of=MOMENT)
    assert 0 == again(tmp_path, as_of=MOMENT).read
    assert 1 == again(tmp_path, as_of=datetime(2026, 8, 2)).read


def test_files_stand_as_people_count_them(tmp_path: Path) -> None:
    names = ["2026 b.xlsx", "Farm 2.xlsx", "farm 10.xlsx", "Farm 10b.xlsx", "hill.xlsx"]
    for name in reversed(names):
        (tmp_path / name).touch()
    assert names == [path.name for path in spreadsheets(tmp_path)]


def test_what_was_not_looked_at_of_as_many_ewes_is_said_together() -> None:
    unchecked = {"udder": 204, "lambing": 13, "feet": 204, "mouth": 204, "scanning": 1}
    said = ["feet, mouth and udder of 204 ewes", "lambing of 13", "scanning of 1"]
    assert said == list(not_looked_at(unchecked))


def test_the_index_never_reads_itself(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    index = again(tmp_path).index
    assert [tmp_path / "a.xlsx"] == spreadsheets(tmp_path, index)
    assert Kind.INDEX is look_at(Job(index)).kind


def test_an_index_that_is_there_stays_without_force(farms: Path) -> None:
    index = default_index(farms)
    index.write_text("mine", encoding="utf-8")
    done = run("check", farms, "--force")
    assert (2, "mine") == (done.exit_code, index.read_text(encoding="utf-8"))
    assert "never replaced" in done.output


def test_the_index_of_a_folder_is_brought_up_to_date_without_being_asked(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    index = again(tmp_path, force=False).index
    (tmp_path / "a.xlsx").write_text("changed", encoding="utf-8")
    assert ["changed"] == [entry.line.flock for entry in again(tmp_path, force=False).entries]
    assert {"a.xlsx", index.name} == {path.name for path in tmp_path.iterdir()}


def test_an_index_that_somebody_has_typed_into_is_kept_beside_the_new_one(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    index = again(tmp_path, force=False).index
    book = load_workbook(index)
    book[FARMS]["Z9"] = "ring them"
    book.save(index)
    assert ["a"] == [entry.line.flock for entry in again(tmp_path, force=False).entries]
    assert as_written(index)
    (kept,) = (path for path in tmp_path.iterdir() if " (before " in path.name)
    assert "ring them" == load_workbook(kept)[FARMS]["Z9"].value


def test_the_index_of_another_folder_is_not_replaced_without_force(tmp_path: Path, looked: list[str]) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.xlsx").write_text(name, encoding="utf-8")
    index = tmp_path / "index.xlsx"
    index_folder(tmp_path / "one", index, Asked())
    with pytest.raises(Told, match="already there"):
        index_folder(tmp_path / "two", index, Asked())
    assert index_folder(tmp_path / "two", index, Asked(force=True)).index == index


@pytest.mark.parametrize("command", ["check", "analyse"])
def test_an_empty_folder_gets_one_sentence(tmp_path: Path, command: str) -> None:
    done = run(command, tmp_path)
    assert 2 == done.exit_code
    assert "holds no spreadsheet" in done.output
    assert [] == list(tmp_path.iterdir())


def in_one_process(work: Callable[[Job], Line], jobs: list[Job], *_: object) -> Iterator[tuple[Job, Line]]:
    yield from ((job, work(job)) for job in jobs)


def write_farm(path: Path, flock: str, ewes: int) -> None:
    names: list[Row] = [{"row_key": "flock", "value": flock}, {"row_key": "year", "value": 2026}]
    listed: list[Row] = [{"ewe": f"{number:04}", "scanned": 2} for number in range(1, ewes + 1)]
    path.unlink(missing_ok=True)
    build(path, Plan(f"Lambing season 2026, {flock}", {**lay_ready(listed), "season": names}))


def typed_into(path: Path) -> bytes:
    """The workbook as somebody saved it with a word of their own in it."""
    book = load_workbook(path)
    book.worksheets[0]["Z9"] = "as the meeting decided"
    book.save(path)
    return path.read_bytes()


@pytest.fixture(scope="module")
def weeks(tmp_path_factory: pytest.TempPathFactory, few_spare_rows: None) -> Path:
    """Three farms as they came last week, with the summaries written then; since then two have sent another file."""
    farms = tmp_path_factory.mktemp("weeks") / "farms"
    farms.mkdir()
    for name in ("as it was", "changed", "decided"):
        write_farm(farms / f"{name}.xlsx", name, 2)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(folder_module, "in_parallel", in_one_process)
        assert 0 == run("analyse", farms).exit_code
    for name in ("changed", "decided"):
        write_farm(farms / f"{name}.xlsx", name, 3)
    return farms


@pytest.fixture
def last_week(weeks: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """That folder, to be worked on in one process."""
    monkeypatch.setattr(folder_module, "in_parallel", in_one_process)
    return Path(shutil.copytree(weeks, tmp_path / weeks.name))


def stands(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def links(index: Path) -> list[str]:
    found = (cell.hyperlink for row in load_workbook(index)[FARMS].iter_rows() for cell in row)
    return [unquote(link.target).replace("\\", "/") for link in found if link]


def line_about(index: Path, name: str) -> str:
    return next(str(row) for row in rows(index, FARMS) if row[0] == name)


def test_the_second_week_of_a_folder_needs_no_option_and_loses_no_work(last_week: Path) -> None:
    own, before = typed_into(last_week / "decided-summary.xlsx"), stands(last_week)
    done, index = run("analyse", last_week), last_week / "farms-index.xlsx"
    after = stands(last_week)
    assert 1 == done.exit_code, done.output
    assert before.keys() == after.keys()
    new = {name for name in after if after[name] != before[name]}
    assert {"changed-summary.xlsx", index.name} == new
    assert own == after["decided-summary.xlsx"]
    told = "decided-summary.xlsx was saved by somebody since this program wrote it, and what was written into the summary"
    for said in (done.output, line_about(index, "decided.xlsx")):
        assert told in said and IN_A_FOLDER in said
    assert str(last_week.parent) not in str(rows(index, FARMS))
    assert {"as it was-summary.xlsx", "changed-summary.xlsx"} == {name for name in links(index) if "summary" in name}
    (last_week / "decided-summary.xlsx").rename(last_week / "meeting.xlsx")
    again = run("analyse", last_week)
    assert 0 == again.exit_code, again.output
    assert own == (last_week / "meeting.xlsx").read_bytes()
    assert as_written(last_week / "decided-summary.xlsx")


def test_a_summary_of_last_week_is_known_after_a_check_and_without_the_index(last_week: Path) -> None:
    assert 0 == run("check", last_week).exit_code
    before = stands(last_week)
    assert 0 == run("analyse", last_week).exit_code
    after = stands(last_week)
    assert before.keys() == after.keys()
    assert {"changed-summary.xlsx", "decided-summary.xlsx", "farms-index.xlsx"} == {
        name for name in before if before[name] != after[name]}
    (last_week / "farms-index.xlsx").unlink()
    assert 0 == run("analyse", last_week).exit_code
    assert before.keys() == stands(last_week).keys()


def test_a_summary_of_another_flock_is_kept_beside(last_week: Path) -> None:
    write_farm(last_week / "changed.xlsx", "another", 3)
    old = (last_week / "changed-summary.xlsx").read_bytes()
    assert 0 == run("analyse", last_week).exit_code
    kept = [path for path in last_week.iterdir() if path.name.startswith("changed-summary (before ")]
    assert [old] == [path.read_bytes() for path in kept]
    assert old != (last_week / "changed-summary.xlsx").read_bytes()


def test_marked_copies_of_last_week_are_brought_up_to_date_but_for_those_with_answers(last_week: Path, tmp_path: Path) -> None:
    marked = tmp_path / "marked"
    marked.mkdir()
    assert 0 == run("check", last_week, "--marked", marked).exit_code
    own, before = typed_into(marked / "decided-marked.xlsx"), stands(marked)
    for name in ("changed", "decided"):
        write_farm(last_week / f"{name}.xlsx", name, 4)
    done = run("check", last_week, "--marked", marked)
    after = stands(marked)
    assert (1, own) == (done.exit_code, after["decided-marked.xlsx"])
    assert before.keys() == after.keys()
    assert {"changed-marked.xlsx"} == {name for name in after if after[name] != before[name]}
    assert "decided-marked.xlsx was saved by somebody" in line_about(last_week / "farms-index.xlsx", "decided.xlsx")


def test_marked_copies_go_into_a_folder_of_their_own(tmp_path: Path) -> None:
    farms, marked = tmp_path / "farms", tmp_path / "marked"
    farms.mkdir()
    shutil.copy(FOLDER / MESSY, farms / "a.xlsx")
    refused = run("check", farms, "--marked", marked)
    assert (2, True) == (refused.exit_code, "is no folder" in refused.output)
    marked.mkdir()
    assert 1 == run("check", farms, "--marked", marked).exit_code
    assert Kind.MARKED is look_at(Job(marked / "a-marked.xlsx")).kind
    for name in ("a-marked 2.xlsx", "a-marked (before 2026-08-01 10.00.00).xlsx"):
        (marked / "a-marked.xlsx").rename(marked / name)
        assert Kind.MARKED is look_at(Job(marked / name)).kind
        (marked / name).rename(marked / "a-marked.xlsx")
    assert "../marked/a-marked.xlsx" in links(farms / "farms-index.xlsx")


def test_a_file_that_breaks_the_program_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("out of its mind")

    monkeypatch.setattr("workbook.many.looking.open_cells", broken)
    line = look_at(Job(tmp_path / "a.xlsx"))
    assert (Kind.UNREADABLE, True) == (line.kind, "out of its mind" in line.words)


def _dies(number: int) -> int:
    if number == 1:
        os._exit(1)
    return 10 * number


def test_a_process_that_dies_loses_its_own_file_only() -> None:
    assert {0: 0, 1: -1, 2: 20} == dict(in_parallel(_dies, [0, 1, 2], -1, cores=2))


def _deaf(_: int) -> bool:
    import signal

    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, [])


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes that inherit which signals wait")
def test_ctrl_c_is_for_the_process_that_shares_out_the_work() -> None:
    assert [True, True] == [answer for _, answer in in_parallel(_deaf, [0, 1], False, cores=1)]
    assert not _deaf(0)


def test_a_line_comes_back_from_the_index_as_it_was() -> None:
    assert line_from(SEASON.as_text()) == SEASON
    with pytest.raises((ValueError, TypeError, KeyError)):
        line_from(SEASON.as_text().replace('"ewes":12', '"ewes":"twelve"'))


def test_what_is_no_index_keeps_nothing(farms: Path) -> None:
    for name in ("letter.xlsx", PAPER, "not there.xlsx"):
        assert {} == kept_in(farms / name)


def test_options_of_one_season_are_told(farms: Path) -> None:
    for words in (("check", farms, "--rule", "C101"), ("check", farms, "--format", "csv", "--json", "-"),
                  ("check", farms / CLEAN, "-o", farms / "x.xlsx")):
        assert 2 == run(*words).exit_code


def validator() -> Draft202012Validator:
    return Draft202012Validator({"$ref": "#/$defs/folder", "$defs": schema()["$defs"]})


@pytest.mark.parametrize(("words", "has"), [(("check", "--json", "-"), "check"), (("analyse", "--json", "-"), "analyse"),
                                            pytest.param(("check", "--format", "json"), "check", marks=pytest.mark.long)])
def test_a_folder_as_json(tmp_path: Path, words: tuple[str, ...], has: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(folder_module, "in_parallel", in_one_process)
    folder = tmp_path / "farms"
    folder.mkdir()
    shutil.copy(FOLDER / EMPTY, folder / "a.xlsx")
    (folder / "letter.xlsx").write_text(LETTER, encoding="utf-8")
    done = run(words[0], folder, *words[1:])
    assert 1 == done.exit_code, done.output
    told = json.loads(done.stdout)
    assert [] == [error.message for error in validator().iter_errors(told)]
    season, letter = told["files"]
    assert [f"{folder.as_posix()}/a.xlsx", f"{folder.as_posix()}/letter.xlsx"] == [season["path"], letter["path"]]
    assert {"check", "analyse"} - {has} == {name for name in ("check", "analyse") if season[name] is None}
    assert (None, None, "unreadable", True) == (letter["check"], letter["analyse"], letter["kind"], bool(letter["words"]))
    assert "Written: " in done.stderr
    for force in ((), ("--force",)):
        again = run(words[0], folder, "--json", tmp_path / "all.json", "-o", tmp_path / f"index{len(force)}.xlsx", *force)
        assert 1 == again.exit_code, again.output
    files = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))["files"]
    assert season.keys() == files[0].keys()
    assert {has} == {name for name in ("check", "analyse") for file in files if file[name]}


def test_problems_of_a_folder_as_csv(farms: Path) -> None:
    done = run("check", farms, "--format", "csv", "--only", "errors")
    lines = list(csv.DictReader(done.stdout.splitlines()))
    assert {f"{farms.as_posix()}/{MESSY}"} == {line["file"] for line in lines}
    assert {"error"} == {line["severity"] for line in lines}


def test_figures_have_a_tab(tmp_path: Path, looked: list[str]) -> None:
    (tmp_path / "a.xlsx").write_text("a", encoding="utf-8")
    found = next(row for row in rows(again(tmp_path).index, FIGURES) if row[0] == "a.xlsx")
    assert {91.7, "22 of 24", "few", "3 of 2"} <= set(found)
