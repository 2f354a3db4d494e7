"""The start "outdoors, by count": its columns are in sight, the others hidden and not deleted, groups filled in ahead."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Start
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import HEADING_ROW
from workbook.cli import main
from workbook.reading.season_file import read


def built(folder: Path, start: str) -> Path:
    (folder / "scan.csv").write_text("Ewe,Scanned,Heft\n0412,2,Near\n0413,1,Far\n0414,0,Far\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(folder / "scan.csv"), "--start", start, "--ram-in", "2025-11-18"])
    assert 0 == done.exit_code, done.output
    return folder / "scan-season.xlsx"


@pytest.mark.parametrize("start", list(Start))
def test_columns_in_sight(tmp_path: Path, start: Start) -> None:
    book = load_workbook(built(tmp_path, start.value))
    for sheet in SHEETS:
        page = book[sheet.title]
        assert [column.title for column in sheet.columns] == [
            page.cell(HEADING_ROW, number).value for number in range(1, len(sheet.columns) + 1)]
        hidden = {
            number for letter, shape in page.column_dimensions.items() if shape.hidden
            for number in range(shape.min or column_index_from_string(letter), (shape.max or 0) + 1)
        }
        expected = {number for number, column in enumerate(sheet.columns, start=1) if not column.shown(start)}
        assert expected == hidden, sheet.id


def test_tallies_are_in_sight_outdoors_only() -> None:
    groups = next(sheet for sheet in SHEETS if sheet.id == "groups")
    tallies = [column for column in groups if column.id.startswith("tally_")]
    assert 6 == len(tallies)
    assert all(column.shown(Start.OUTDOORS) and not column.shown(Start.INDOORS) for column in tallies)


def test_groups_say_how_they_are_recorded(tmp_path: Path) -> None:
    outdoors = read(built(tmp_path, "outdoors")).season
    assert {(Kept.OUTDOORS, HowRecorded.EACH_EWE)} == {(row["kept"], row["how_recorded"]) for row in outdoors.rows("groups")}
    assert 2 == len(outdoors.rows("lambing"))
    assert () == outdoors.rows("lambs")


def test_indoors_each_lamb_has_its_row(tmp_path: Path) -> None:
    indoors = read(built(tmp_path, "indoors")).season
    assert {(Kept.INDOORS, HowRecorded.EACH_LAMB)} == {(row["kept"], row["how_recorded"]) for row in indoors.rows("groups")}
    assert 3 == len(indoors.rows("lambs"))
