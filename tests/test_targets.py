"""No output takes the place of an input or of anything but an ordinary file; what --force replaces is kept."""

import os
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from demo_workbooks import CLEAN, FOLDER
from template_builder.files.targets import check_targets
from template_builder.files.writing import WriteError, writing
from workbook.cli import main


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(FOLDER / CLEAN, tmp_path / "season.xlsx"))


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
    there.write_text("{}")
    done = run("analyse", season, "-o", new, "--json", there)
    assert (2, False, "{}") == (done.exit_code, new.exists(), there.read_text())
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
        with pytest.raises(WriteError, match="no ordinary file"), writing(target, force=True):
            pass
    assert fifo.is_fifo()
    assert link.is_symlink()


def test_a_replaced_workbook_is_kept_each_time(tmp_path: Path) -> None:
    target = tmp_path / "a.xlsx"
    for words in ("first", "second", "third"):
        with writing(target, force=True) as temporary:
            temporary.write_text(words)
    assert "third" == target.read_text()
    assert {"first", "second"} == {path.read_text() for path in tmp_path.glob("a (before *).xlsx")}
