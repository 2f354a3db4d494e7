"""No output takes the place of an input or of anything but an ordinary file; what --force replaces is kept."""

import os
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result
from damage import flock
from office import changed

from demo_workbooks import CLEAN, DEMO, EMPTY, FOLDER, MESSY, SCAN_LIST
from template_builder.build import Plan, build
from template_builder.files.opening import open_cells
from template_builder.files.targets import check_targets
from template_builder.files.writing import WriteError, writing
from template_builder.files.written import as_written
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import UNREAD_TABS
from workbook.cli import main
from workbook.reading.filled import filled_cells
from workbook.reading.season_file import read_cells

pytestmark = pytest.mark.usefixtures("few_spare_rows")

FIGURES = '{"version": 1, "season": {}}'


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def filled(path: Path) -> int:
    cells = open_cells(path, unread=UNREAD_TABS)
    return filled_cells(read_cells(cells).season, cells)


@pytest.fixture(scope="module")
def as_built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return flock.write(tmp_path_factory.mktemp("targets") / "season.xlsx")


@pytest.fixture
def season(as_built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(as_built, tmp_path / "season.xlsx"))


@pytest.mark.parametrize("words", [
    ("analyse", "IN", "-o", "IN"), ("analyse", "IN", "-o", "NEW", "--json", "IN"), ("check", "IN", "--marked", "IN"),
    ("merge", "IN", "COPY", "-o", "IN"), ("merge", "COPY", "COPY2", "--base", "IN", "-o", "IN"), ("build", "IN", "-o", "IN"),
])
@pytest.mark.parametrize("link", [None, os.symlink, os.link])
def test_an_input_is_never_replaced(season: Path, words: tuple[str, ...], link: object) -> None:
    before, target = season.read_bytes(), season
    if callable(link):
        link(season, target := season.with_name("other.xlsx"))
    copies = {name: season.with_name(f"{name}.xlsx") for name in ("COPY", "COPY2")}
    for copy in copies.values():
        shutil.copy(season, copy)
    *first, last = words
    given = {"IN": season, "NEW": season.with_name("new.xlsx"), **copies}
    done = run(*(given.get(word, word) for word in first), target, "--force")
    assert (2, before) == (done.exit_code, season.read_bytes())
    assert "never changed" in done.output
    assert last == "IN"
    assert not given["NEW"].exists()


@pytest.mark.parametrize("name", ["x.xls", "x.pdf", "x.csv", "x"])
def test_a_workbook_has_the_name_of_one(season: Path, name: str) -> None:
    done = run("analyse", season, "-o", season.with_name(name))
    assert 2 == done.exit_code
    assert "ends in .xlsx" in done.output


def test_all_targets_are_tested_before_any_is_written(season: Path) -> None:
    there, new = season.with_name("there.json"), season.with_name("new.xlsx")
    there.write_text(FIGURES)
    done = run("analyse", season, "-o", new, "--json", there)
    assert (2, False, FIGURES) == (done.exit_code, new.exists(), there.read_text())
    both = run("analyse", season, "-o", season.with_name("x.pdf"), "--json", there)
    assert "x.pdf" in both.output
    assert "there.json" in both.output


def test_two_outputs_are_not_one_file(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="same file"):
        check_targets([tmp_path / "a.xlsx", tmp_path / "a.xlsx"], [], force=True)


def test_only_an_ordinary_file_is_replaced(tmp_path: Path) -> None:
    os.mkfifo(fifo := tmp_path / "pipe.xlsx")
    link = tmp_path / "null.xlsx"
    link.symlink_to("/dev/null")
    for target in (fifo, link):
        with pytest.raises(WriteError, match="not an ordinary file"), writing(target, force=True):
            pass
    assert fifo.is_fifo()
    assert link.is_symlink()


def test_a_replaced_workbook_is_kept_each_time(tmp_path: Path) -> None:
    target = tmp_path / "a.xlsx"
    first, second, third = (FOLDER / name for name in (EMPTY, CLEAN, MESSY))
    for source in (first, second, third):
        with writing(target, force=True) as temporary:
            shutil.copy(source, temporary)
    assert third.read_bytes() == target.read_bytes()
    assert {first.read_bytes(), second.read_bytes()} == {path.read_bytes() for path in tmp_path.glob("a (before *).xlsx")}


def test_a_name_too_long_to_be_kept_under_is_told(tmp_path: Path) -> None:
    target = Path(shutil.copy(FOLDER / EMPTY, tmp_path / f"{'s' * 245}.xlsx"))
    with pytest.raises(WriteError, match="Choose a shorter name") as raised, writing(target, force=True) as temporary:
        shutil.copy(FOLDER / CLEAN, temporary)
    assert "The file that was there is unchanged." in str(raised.value)
    assert [target.name] == [path.name for path in tmp_path.iterdir()]


def typed(path: Path, sheet: str = "Lambs", cell: str = "K9", value: object = "typed") -> Path:
    """A person typed into the file and saved it."""
    book = openpyxl.load_workbook(path)
    book[sheet][cell] = value
    book.save(path)
    return path


def built(folder: Path) -> Path:
    """A season workbook of a small scan list, as built."""
    (folder / "scan.csv").write_text("Tag,Scan\n0412,2\n0415,1\n", encoding="utf-8")
    assert 0 == run("build", folder / "scan.csv").exit_code
    return folder / "scan-season.xlsx"


def refused(target: Path, *words: object) -> str:
    """What a command says that may not replace the target, not even with --force."""
    before, names = target.read_bytes(), sorted(target.parent.iterdir())
    for force in ((), ("--force",)):
        done = run(*words, *force)
        assert (2, before, names) == (done.exit_code, target.read_bytes(), sorted(target.parent.iterdir()))
        assert "is never replaced, not even with --force. Choose another name with -o." in done.output
        assert [] == [line for line in done.output.splitlines() if str(target) in line and "add --force" in line]
    return done.output


def test_build_writes_season_and_paper_or_neither(tmp_path: Path) -> None:
    season, paper = built(tmp_path), tmp_path / "scan-paper.xlsx"
    before = season.read_bytes()
    typed(paper, "Count sheet", "E4", 12)
    told = refused(paper, "build", tmp_path / "scan.csv")
    assert f"{paper} is another file, or one saved by somebody since" in told
    assert before == season.read_bytes()


def test_paper_is_written_again_and_what_was_there_kept(tmp_path: Path) -> None:
    season, paper = built(tmp_path), tmp_path / "scan-paper.xlsx"
    before, source = paper.read_bytes(), season.read_bytes()
    done = run("paper", season)
    assert (2, before) == (done.exit_code, paper.read_bytes())
    assert "add --force" in done.output
    assert 0 == run("paper", season, "--force", "--as-of", "2026-03-02").exit_code
    assert [before] == [path.read_bytes() for path in tmp_path.glob("scan-paper (before *).xlsx")]
    assert before != paper.read_bytes() and source == season.read_bytes()
    assert 2 == run("paper", season, "-o", season, "--force").exit_code
    assert source == season.read_bytes()


@pytest.mark.parametrize(("season", "paper"), [
    ("flock-season.xlsx", "flock-paper.xlsx"), ("flock.xlsx", "flock-paper.xlsx"), ("-season.xlsx", "-season-paper.xlsx"),
    ("season.xlsx", "season-paper.xlsx"),
])
def test_paper_stands_beside_its_season(tmp_path: Path, season: str, paper: str) -> None:
    built(tmp_path).rename(tmp_path / season)
    assert 0 == run("paper", tmp_path / season).exit_code
    assert (tmp_path / paper).exists()


def test_a_season_typed_into_is_never_built_anew(tmp_path: Path) -> None:
    season = built(tmp_path)
    fresh = filled(season)
    told = refused(typed(season), "build", tmp_path / "scan.csv")
    assert f"saved by somebody since this program wrote it, and {fresh + 1} filled cells would be lost" in told


def test_a_season_as_built_is_built_anew_and_kept(tmp_path: Path) -> None:
    season = built(tmp_path)
    before = season.read_bytes()
    assert 2 == run("build", tmp_path / "scan.csv").exit_code
    assert 0 == run("build", tmp_path / "scan.csv", "--force").exit_code
    assert [before] == [path.read_bytes() for path in tmp_path.glob("scan-season (before *).xlsx")]


@pytest.mark.parametrize("by_person", [
    pytest.param(False, id="a copy of a season as built", marks=pytest.mark.long),
    pytest.param(True, id="a copy of a season saved since"),
])
def test_a_marked_copy_carried_on_in_is_never_marked_anew(tmp_path: Path, by_person: bool) -> None:
    season, marked = built(tmp_path), tmp_path / "marked.xlsx"
    if by_person:
        typed(season, "Lambing", "D4", "nonsense")
    words = ("check", season, "--marked", marked)
    assert run(*words).exit_code in (0, 1)
    before = marked.read_bytes()
    assert run(*words, "--force").exit_code in (0, 1)
    assert [before] == [path.read_bytes() for path in tmp_path.glob("marked (before *).xlsx")]
    told = refused(typed(marked, "To correct", "I4", "looked: Ann"), *words)
    assert "filled cells would be lost" in told


def test_an_answer_on_to_correct_and_an_own_column_and_sheet_are_counted(tmp_path: Path) -> None:
    season, marked = typed(built(tmp_path), "Lambing", "D4", "nonsense"), tmp_path / "marked.xlsx"
    run("check", season, "--marked", marked)
    before = filled(marked)
    typed(marked, "To correct", "I4", "looked: Ann")
    assert before + 1 == filled(marked)
    typed(marked, "Lambs", "AZ9", "of my own")
    assert before + 2 == filled(marked)
    book = openpyxl.load_workbook(marked)
    book.create_sheet("Hay")["B2"] = 12
    book.save(marked)
    assert before + 3 == filled(marked)


def test_settings_and_selection_rules_count_where_they_are_not_the_usual(tmp_path: Path) -> None:
    season = tmp_path / "season.xlsx"
    build(season, Plan("Set", lay_ready([{"ewe": "0412", "scanned": 2}])))
    assert 0 == filled(season)
    own: dict[str, list[Row]] = {
        "season": [{"row_key": "gestation", "value": 145}], "policy": [{"row_key": "gummer", "limit": 9}],
    }
    build(season, Plan("Set", own), force=True)
    assert 2 == filled(season)


def test_a_summary_commented_on_is_never_replaced(season: Path) -> None:
    summary = season.with_name("season-summary.xlsx")
    assert run("analyse", season).exit_code in (0, 1)
    assert run("analyse", season, "--force").exit_code in (0, 1)
    assert 1 == len(list(season.parent.glob("season-summary (before *).xlsx")))
    told = refused(typed(summary, "Ewe decisions", "L9", "keep her"), "analyse", season)
    assert "what was written into the summary would be lost" in told


def _foreign(path: Path) -> None:
    book = openpyxl.Workbook()
    book.active["A1"] = "hay bought"  # type: ignore[index]  # a new workbook has a sheet
    book.save(path)


def _text(path: Path) -> None:
    path.write_text("my notes", encoding="utf-8")


@pytest.mark.parametrize("make", [_foreign, _text])
def test_a_file_that_is_not_ours_is_never_replaced(season: Path, make: Callable[[Path], None]) -> None:
    target = season.with_name("mine.xlsx")
    make(target)
    assert "is another file" in refused(target, "analyse", season, "-o", target)
    with pytest.raises(WriteError, match="never replaced"), writing(target, force=True):
        pass


def test_json_of_ours_is_replaced_with_force_and_other_json_never(season: Path) -> None:
    new = season.with_name("new.xlsx")
    mine, ours = season.with_name("mine.json"), season.with_name("ours.json")
    mine.write_text('{"version": 1, "flock": []}', encoding="utf-8")
    refused(mine, "analyse", season, "-o", new, "--json", mine)
    ours.write_text(FIGURES, encoding="utf-8")
    assert run("analyse", season, "-o", new, "--json", ours, "--force").exit_code in (0, 1)
    assert FIGURES != ours.read_text(encoding="utf-8")
    assert as_written(ours)


def test_an_empty_file_may_be_replaced(season: Path) -> None:
    (empty := season.with_name("empty.xlsx")).touch()
    assert 2 == run("analyse", season, "-o", empty).exit_code
    assert run("analyse", season, "-o", empty, "--force").exit_code in (0, 1)
    assert as_written(empty)


@pytest.mark.long
def test_saved_in_libreoffice_it_is_no_longer_as_written(season: Path) -> None:
    assert as_written(season)
    assert not as_written(changed(season, season.with_name("saved.xlsx"), [["set", "Lambs", "M9", "typed"]]))


def test_a_copy_marked_anew_is_as_written_while_not_one_byte_of_it_changed(season: Path) -> None:
    marked = season.with_name("marked.xlsx")
    run("check", typed(season), "--marked", marked)
    assert (False, True) == (as_written(season), as_written(marked))
    rewritten = season.with_name("rewritten.xlsx")
    with zipfile.ZipFile(marked) as old, zipfile.ZipFile(rewritten, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
    assert as_written(rewritten)  # packed otherwise, but the same in every part
    for changed_part in ("xl/worksheets/sheet5.xml", "docProps/core.xml"):
        with zipfile.ZipFile(marked) as old, zipfile.ZipFile(rewritten, "w", zipfile.ZIP_DEFLATED) as new:
            for name in old.namelist():
                new.writestr(name, old.read(name) + (b"<!-- -->" if name == changed_part else b""))
        assert not as_written(rewritten)


def test_the_demo_is_copied_beside_what_is_there_or_not_at_all(tmp_path: Path) -> None:
    assert 0 == run("demo", tmp_path).exit_code
    assert 0 == run("demo", tmp_path).exit_code  # the same files: nothing to do
    assert sorted(DEMO) == sorted(path.name for path in tmp_path.iterdir())
    (tmp_path / EMPTY).unlink()
    (tmp_path / SCAN_LIST).write_text("our own list", encoding="utf-8")
    typed(tmp_path / MESSY)
    done = run("demo", tmp_path, "--force")
    assert 2 == done.exit_code
    assert {SCAN_LIST, MESSY} == {name for name in DEMO if str(tmp_path / name) in done.output}
    assert not (tmp_path / EMPTY).exists()
    assert "our own list" == (tmp_path / SCAN_LIST).read_text(encoding="utf-8")


def test_another_workbook_of_ours_by_the_name_of_a_demo_is_kept_beside(tmp_path: Path) -> None:
    shutil.copy(FOLDER / CLEAN, tmp_path / EMPTY)
    assert 2 == run("demo", tmp_path).exit_code
    assert [EMPTY] == [path.name for path in tmp_path.iterdir()]
    assert 0 == run("demo", tmp_path, "--force").exit_code
    (kept,) = tmp_path.glob("season-empty (before *).xlsx")
    assert (FOLDER / CLEAN).read_bytes() == kept.read_bytes()


def test_what_could_not_be_placed_says_what_becomes_of_a_season_filled_in(tmp_path: Path) -> None:
    (tmp_path / "scan.csv").write_text("Tag,Scan\n0412,2\n0413,T\n", encoding="utf-8")
    done = run("build", tmp_path / "scan.csv")
    assert 1 == done.exit_code
    assert "with --force while nobody has saved the workbook since, and with another name (-o) after that" in done.output
