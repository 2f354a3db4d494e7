"""The tab "Left": written where there is somebody on it, read back, kept by a merge, and never taken for a person's own."""

import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from validity.lint import lint

from template_builder.build import Plan, build
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.sheets.left import LEFT
from workbook.merging.files import merge_files
from workbook.reading.season_file import read
from workbook.results.pipeline import check

pytestmark = pytest.mark.usefixtures("few_spare_rows")

GONE: list[Row] = [
    {"ewe": "0107", "official_tag": "826012345600107", "born_year": "2021", "season": "2026", "how": "died",
     "left_on": "3 Jan 2026", "why": "=fell"},
    {"ewe": "0104", "season": "2026", "how": "culled by decision", "why": "too thin"},
]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "flock.xlsx"
    build(path, Plan("Flock", {**lay_ready([{"ewe": "0101", "scanned": 0}]), LEFT.id: GONE}))
    return path


def on_left(path: Path) -> list[dict[str, object]]:
    return [dict(row.values) for row in read(path).season.rows(LEFT.id)]


def test_it_reads_back_as_it_was_written(path: Path) -> None:
    assert GONE == on_left(path)
    assert () == read(path).season.own_sheets
    assert [] == list(check(read(path)).problems)


def test_nothing_on_it_is_a_formula_and_the_workbook_is_sound(path: Path) -> None:
    assert [] == [found for found in lint(path) if "Left" in str(found)]
    sheet = load_workbook(path)[LEFT.title]
    assert ["s"] == [cell.data_type for row in sheet.iter_rows() for cell in row if cell.value == "=fell"]


def test_without_anybody_on_it_it_is_not_there(tmp_path: Path) -> None:
    build(tmp_path / "flock.xlsx", Plan("Flock", lay_ready([{"ewe": "0101", "scanned": 1}])))
    assert LEFT.title not in load_workbook(tmp_path / "flock.xlsx").sheetnames


def test_a_merge_keeps_it_once(path: Path, tmp_path: Path) -> None:
    shutil.copy(path, tmp_path / "copy.xlsx")
    merge_files([path, tmp_path / "copy.xlsx"], tmp_path / "merged.xlsx")
    assert GONE == on_left(tmp_path / "merged.xlsx")
    assert () == read(tmp_path / "merged.xlsx").season.own_sheets


def test_a_sheet_of_ones_own_called_left_stays_ones_own(tmp_path: Path) -> None:
    path = tmp_path / "flock.xlsx"
    build(path, Plan("Flock", lay_ready([{"ewe": "0101", "scanned": 1}])))
    book = load_workbook(path)
    book.create_sheet(LEFT.title).append(["what is left to do"])
    book.save(path)
    assert ([], (LEFT.title,)) == (on_left(path), read(path).season.own_sheets)
