"""The key of a shared copy: it fits that copy alone, and one that has lost anything is refused."""

from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet
from seasons import season

from template_builder.files.opening import Cell, Cells
from template_builder.files.told import Told
from workbook.sharing.key import FLOCK, Key, Named, must_be_of, must_fit, read_key
from workbook.sharing.key_page import write_key

ALIAS, OTHER = "Flock 0123abcd", "Flock ffff0000"
NAMES = Named(FLOCK, ALIAS, "Quillfeather"), Named("ewe", "E001", "0412"), Named("group", "Group A", "Bramblewick")
KEY = Key(NAMES, ("tags",))


def copy(title: str) -> Cells:
    return Cells("copy.xlsx", {"Guide": ((1, (Cell(1, title), Cell(2, 7))),)})


@pytest.mark.parametrize(("key", "title", "refused"), [
    (KEY, f"Lambing season 2026, {ALIAS}", ""), (KEY, f"Lambing season 2026, {OTHER}", "is not the key of copy.xlsx"),
    (None, f"Lambing season 2026, {ALIAS}", "copy.xlsx is a shared copy"), (None, "Flock Quillfeather", ""),
    (KEY, "Flock Quillfeather", ""),
])
def test_a_shared_copy_needs_its_own_key(key: Key | None, title: str, refused: str) -> None:
    if refused:
        with pytest.raises(Told, match=refused):
            must_fit(key, copy(title), "key.xlsx")
    else:
        must_fit(key, copy(title), "key.xlsx")


@pytest.mark.parametrize(("name", "refused"), [(None, False), ("quillfeather ", False), ("Home", True)])
def test_a_key_is_of_one_flock(name: str | None, refused: bool) -> None:
    of = season(season=[{"row_key": "flock", "value": name}])
    if refused:
        with pytest.raises(Told, match="key.xlsx is the key of another flock, Quillfeather: season.xlsx is of Home"):
            must_be_of(KEY, "key.xlsx", of)
    else:
        must_be_of(KEY, "key.xlsx", of)


def test_a_key_that_names_no_flock_is_of_any() -> None:
    must_be_of(Key((Named(FLOCK, ALIAS, ""),)), "key.xlsx", season(season=[{"row_key": "flock", "value": "Home"}]))


@pytest.mark.parametrize(("text", "back"), [
    ("E001", "0412"), ("e001", "0412"), ("see E001, E0012 and GroupE001", "see 0412, E0012 and GroupE001"),
    ("Group A", "Bramblewick"),
    (f"season of {ALIAS}", "season of Quillfeather"), ("E002", "E002"), ("", ""),
])
def test_every_alias_goes_back_as_a_whole_word(text: str, back: str) -> None:
    assert back == KEY.back(text)


def test_two_farms_have_different_aliases() -> None:
    assert Key.new("Home").flock.alias != Key.new("Home").flock.alias


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    write_key(tmp_path / "key.xlsx", KEY, force=False, anew=False)
    return tmp_path / "key.xlsx"


def changed(path: Path, change: Callable[[Worksheet], object]) -> Path:
    book = openpyxl.load_workbook(path)
    change(book.worksheets[0])
    book.save(path)
    return path


def _row(sheet: Worksheet, alias: str) -> int:
    return next(cell.row for cell in sheet["B"] if cell.value == alias)


def test_a_key_is_read_as_it_was_written(kept: Path) -> None:
    assert KEY == read_key(kept)


@pytest.mark.parametrize("column", [1, 2])
def test_a_line_without_what_or_alias_says_nothing(kept: Path, column: int) -> None:
    found = read_key(changed(kept, lambda sheet: sheet.cell(_row(sheet, "E001"), column, value="")))
    assert [FLOCK, "group"] == [one.what for one in found.names]


@pytest.mark.parametrize(("alias", "column", "written", "refused"), [
    ("E001", 2, "Group A", "no longer says"), ("E001", 2, "group a", "no longer says"), ("E001", 1, FLOCK, "no longer says"),
    (ALIAS, 1, "ewe", "no longer says"), ("In the copy", 2, "Alias", "has lost its headings"),
])
def test_a_key_that_lost_something_is_refused(kept: Path, alias: str, column: int, written: str, refused: str) -> None:
    with pytest.raises(Told, match=refused):
        read_key(changed(kept, lambda sheet: sheet.cell(_row(sheet, alias), column, value=written)))


def test_another_workbook_is_no_key(kept: Path) -> None:
    with pytest.raises(Told, match="key.xlsx is no key of names"):
        read_key(changed(kept, lambda sheet: setattr(sheet, "title", "Names")))
