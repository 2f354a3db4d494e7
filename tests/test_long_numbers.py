"""Numbers of fifteen digits typed into the season workbook: each is shown to its last digit where it was typed."""

from datetime import date, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from template_builder.build import Plan, build
from template_builder.files.look import Style
from template_builder.files.room import lines_needed
from template_builder.layout.alerts import END, URGENCIES
from template_builder.layout.choices import Prolapse
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import PLAN_TAB, TONIGHT_TAB
from template_builder.live.blocks import TONIGHT_TOP
from template_builder.live.tonight import TONIGHT, WHOM_END
from template_builder.live_values import live_values, with_values

FLOCK = "826001234"  # the beginning all numbers share
NUMBERS = [f"{FLOCK}{number:06}" for number in (10, 11, 110, 999999)]
NIGHT = datetime(2026, 3, 12, 3)
NAME = Style(bold=True, wrap=True)
PHONE = 48.6  # characters of columns that a window of 400 pixels shows beside the row numbers, edges of columns among them
COLUMN_EDGES = 5 / 7  # in characters, as the file has them
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


def test_plan_shows_both_singles_named_for_a_ewe_with_four(tmp_path: Path) -> None:
    scans = [4, 1, 1, 2]
    ewes: list[Row] = [{**ewe, "scanned": scanned, "due": date(2026, 3, 10 + (scanned == 1)), "mated_on": date(2025, 10, 14)}
                       for ewe, scanned in zip(EWES, scans, strict=True)]
    rows = lay_ready(ewes)
    build(tmp_path / "season.xlsx", with_values(Plan("Long", rows), NIGHT))
    sheet = load_workbook(tmp_path / "season.xlsx", data_only=True)[PLAN_TAB]
    cell = next(cell for row in sheet.iter_rows() for cell in row if str(cell.value).startswith("single "))
    assert f"single {NUMBERS[1]} due 11 Mar, {NUMBERS[2]} due 11 Mar" == cell.value
    assert 1 == lines_needed(cell.value, width_of(sheet, cell.column) - COLUMN_EDGES - EDGE, Style())


def test_tonight_tells_them_apart_by_their_end_on_a_phone(tmp_path: Path) -> None:
    laid = lay_ready(EWES)
    ill: list[Row] = [{**row, "lambed_on": NIGHT.date(), "pen": f"{pen}", "prolapse": Prolapse.WOMB}
                      for pen, row in enumerate(laid["lambing"], start=11)]
    rows = {**laid, "lambing": ill, "season": [{"row_key": "as_of", "value": NIGHT}]}
    build(tmp_path / "season.xlsx", with_values(Plan("Long", rows), NIGHT))
    sheet = load_workbook(tmp_path / "season.xlsx", data_only=True)[TONIGHT_TAB]
    listed = [sheet.cell(row, 1) for row in range(TONIGHT_TOP, TONIGHT_TOP + len(NUMBERS))]
    assert {f"{number[-WHOM_END:]} pen {pen}" for pen, number in enumerate(NUMBERS, start=11)} == {cell.value for cell in listed}
    assert 1 == lines_needed(NUMBERS[-1][-WHOM_END:], width_of(sheet, 1) - COLUMN_EDGES, NAME)
    assert sum(width_of(sheet, column) for column in (1, 2, 3)) <= PHONE


@pytest.mark.parametrize(("ewe", "shown"), [("123456789", "123456789"), ("1234567890", "567890"), ("Long-legged", "Long-legged"),
                                            ("Old number 7", "Old number 7")])
def test_a_number_is_cut_only_where_it_would_not_fit(ewe: str, shown: str) -> None:
    laid = lay_ready([{"ewe": ewe, "scanned": 1, "due": NIGHT.date()}])
    rows = {**laid, "lambing": [{**laid["lambing"][0], "lambed_on": NIGHT.date(), "prolapse": Prolapse.WOMB}]}
    assert shown == live_values(rows, NIGHT)["tonight"]["whom"][0]


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


def test_when_to_look_stands_on_one_line() -> None:
    look = next(column for column in TONIGHT.columns if column.id == "urgency")
    assert [] == [words for words in URGENCIES[:END] if lines_needed(words, look.width, look.style) > 1]
