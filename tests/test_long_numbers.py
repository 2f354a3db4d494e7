"""Numbers of fifteen digits typed into the season workbook: each is shown to its last digit where it was typed."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from template_builder.build import Plan, build
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready

FLOCK = "826001234"  # the beginning all numbers share
NUMBERS = [f"{FLOCK}{number:06}" for number in (10, 11, 110, 999999)]
EDGE = 1.0  # characters lost at the edges of a cell
EWES: list[Row] = [{"ewe": number, "scanned": 2, "group": "Hill", "due": date(2026, 3, 10)} for number in NUMBERS]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    path: Path = tmp_path_factory.mktemp("long") / "season.xlsx"
    lambs: list[Row] = [{"ewe": number, "lamb_no": 1, "tag": number, "reared_by": "foster ewe", "foster_ewe": NUMBERS[0]}
                        for number in NUMBERS]
    rows = {**lay_ready(EWES), "lambs": lambs, "groups": [{"group": "Hill"}]}
    build(path, Plan("Long", rows))
    return load_workbook(path, data_only=True)  # formulas as they were worked out


def width_of(sheet: Worksheet, column: int) -> float:
    """The width of a column in characters; the file gives one width for a run of columns."""
    found = [one for one in sheet.column_dimensions.values() if one.min <= column <= one.max]
    return found[0].width if found else sheet.sheet_format.defaultColWidth or 8.43


def in_sight(book: Workbook) -> list[Worksheet]:
    return [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]


def cut_off(sheet: Worksheet) -> list[str]:
    """Cells whose number stands alone in them and is not shown whole: the end would run under the next cell."""
    found = []
    for cell in (cell for row in sheet.iter_rows() for cell in row if str(cell.value) in NUMBERS):
        size = (cell.font.sz or 11) / 11 * (1.05 if cell.font.b else 1)
        if not hidden(sheet, cell.column) and len(str(cell.value)) * size + EDGE > width_of(sheet, cell.column):
            found.append(f"{sheet.title}!{cell.coordinate}")
    return found


def hidden(sheet: Worksheet, column: int) -> bool:
    return any(one.hidden for one in sheet.column_dimensions.values() if one.min <= column <= one.max)


def test_long_numbers_are_shown_to_their_last_digit(book: Workbook) -> None:
    assert {sheet.title: [] for sheet in in_sight(book)} == {sheet.title: cut_off(sheet) for sheet in in_sight(book)}


def test_long_numbers_stand_on_the_tabs_that_name_ewes(book: Workbook) -> None:
    named = {sheet.title for sheet in in_sight(book) for row in sheet.iter_rows() for cell in row if str(cell.value) in NUMBERS}
    assert {"Ewes", "Lambing", "Lambs"} <= named


@pytest.mark.parametrize("tab", ["Ewes", "Lambing", "Lambs"])
def test_a_number_in_a_column_too_narrow_is_found(tab: str, book: Workbook) -> None:
    sheet = book[tab]
    column = next(cell.column for row in sheet.iter_rows() for cell in row if str(cell.value) in NUMBERS)
    dimension = sheet.column_dimensions[get_column_letter(column)]
    kept, dimension.width = dimension.width, 15.0
    assert cut_off(sheet)
    dimension.width = kept
