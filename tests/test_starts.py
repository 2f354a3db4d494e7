"""Three starts decide which columns are in sight, the others hidden and not deleted; groups are filled in ahead."""

from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Start
from template_builder.layout.paper_tabs import PEN_CARDS, RUNNING, SHED, WEIGHING
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import HEADING_ROW, SET_ON_TAB, SHEET
from workbook.cli import main
from workbook.reading.season_file import read
from workbook.results.pipeline import Result, analyse
from workbook.rules.rule import Severity

pytestmark = pytest.mark.usefixtures("few_spare_rows")

SCAN = "Ewe,Scanned,Heft\n0412,2,Near\n0413,1,Far\n0414,0,Far\n"


def built(folder: Path, start: str, *more: str, scan: str = SCAN) -> Path:
    (folder / "scan.csv").write_text(scan, encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(folder / "scan.csv"), "--start", start, "--ram-in", "2025-11-18", *more])
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
        as_seen = start if sheet.shown(start) else Start.INDOORS  # unhidden, a hidden tab has its columns
        expected = {number for number, column in enumerate(sheet.columns, start=1) if not column.shown(as_seen)}
        seen = sheet.shown(start) and sheet.id != "answers"  # which come into sight once there are any
        assert (expected, "visible" if seen else "hidden") == (hidden, page.sheet_state), sheet.id


LAPTOP = 1280  # pixels across, of which the row numbers take some
ROW_NUMBERS, EDGES, DIGIT = 32, 5, 7  # pixels: of row numbers, of a cell's edges, of a digit in the body type
EVERY_NIGHT = {
    "lambing": ("ewe", "scanned", "due", "lambed_on", "all_well", "born_alive", "born_dead", "pen", "next_day"),
    "lambs": ("ewe", "lamb_no", "sex", "born", "tag", "birth_weight", "sucked", "taken", "belly"),
}


@pytest.mark.parametrize("sheet", EVERY_NIGHT)
def test_what_is_written_every_night_comes_first_and_is_in_sight(tmp_path: Path, sheet: str) -> None:
    shown = [column for column in SHEET[sheet].own_columns if column.shown(Start.INDOORS)]
    assert EVERY_NIGHT[sheet] == tuple(column.id for column in shown[:len(EVERY_NIGHT[sheet])])
    page = load_workbook(built(tmp_path, "indoors"))[SHEET[sheet].title]
    wide = {number: shape.width for shape in page.column_dimensions.values()
            for number in range(shape.min, shape.max + 1) if not shape.hidden}
    places = [number for number, column in enumerate(SHEET[sheet].own_columns, start=1) if column.id in EVERY_NIGHT[sheet]]
    assert LAPTOP >= ROW_NUMBERS + sum(wide[number] * DIGIT + EDGES for number in places)


def test_times_stand_last() -> None:
    last = [column.id for column in SHEET["lambing"].own_columns if column.id != "line"][-3:]
    assert ["waters_seen", "first_helped", "finished"] == last


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


# The simple start: one row and one word for each ewe.


def test_one_sheet_holds_all_that_is_written_at_lambing(tmp_path: Path) -> None:
    columns = [column.title for column in SHEET["lambing"] if column.shown(Start.SIMPLE)]
    assert ["Ewe", "Lambed on", "Born alive", "Born dead", "Trouble", "Pen", "Notes"] == columns
    book = load_workbook(built(tmp_path, "simple"))
    entry = {sheet.title for sheet in SHEETS} | {SET_ON_TAB}
    assert {"Lambs", "Weights", "Treatments", "Answers", SET_ON_TAB} == {
        page.title for page in book if page.title in entry and page.sheet_state == "hidden"}


def test_what_to_do_names_no_sheet_that_is_hidden(tmp_path: Path) -> None:
    page = load_workbook(built(tmp_path, "simple"))["Guide"]
    last = next(row for row in range(1, page.max_row) if page.cell(row, 1).value == "How to write")
    named = {name for row in range(1, last) for name in str(page.cell(row, 4).value or "").split(", ")}
    assert {"Tonight", "Lambing", "Ewe check", "Counts"} <= named and not {"Lambs", "Weights", "Treatments"} & named


@pytest.mark.parametrize(("order", "first", "rows"), [("due", ("Ewe", "0412"), 2), ("daybook", ("Line", "1"), 32)])
def test_the_shed_sheet_asks_what_the_sheet_has(tmp_path: Path, order: str, first: tuple[str, str], rows: int) -> None:
    book = load_workbook(built(tmp_path, "simple", "--order", order).with_name("scan-paper.xlsx"))
    page = book[SHED if order == "due" else RUNNING]
    asked = [cell.value for cell in page[2] if cell.value]
    assert asked[-6:] == ["Lambed on", "Born alive", "Born dead", "Trouble", "Pen", "Notes"]
    assert (first, rows) == ((page.cell(2, 1).value, page.cell(3, 1).value), page.max_row - 2)
    assert (order == "due") == (SHED in book.sheetnames)
    assert not {WEIGHING, PEN_CARDS} & set(book.sheetnames)


def test_a_tally_lists_no_ewes_for_a_simple_start(tmp_path: Path) -> None:
    (tmp_path / "tally.csv").write_text("Group,Ewes,Empty,Singles,Twins\nHigh,100,4,60,36\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(tmp_path / "tally.csv"), "--start", "simple"])
    assert 2 == done.exit_code and "a tally lists no ewes" in done.output
    assert ["tally.csv"] == [path.name for path in tmp_path.iterdir()]


# Ten ewes as scanned and typed: lambs alive and dead, and the word.
TEN = (
    ("01", 2, 2, 0, ""), ("02", 2, 1, 1, "helped"), ("03", 1, 1, 0, "Narrow"), ("04", 2, 2, 0, "bearing"),
    ("05", 3, 3, 0, "no milk"), ("06", 2, 2, 0, "refused"), ("07", 1, 1, 0, "bad bag"), ("08", 2, None, None, "aborted"),
    ("09", 2, 0, 2, "lay wrong"), ("10", 1, 1, 0, "other"),
)


@pytest.fixture(scope="module")
def ten(tmp_path_factory: pytest.TempPathFactory) -> Result:
    """Ten ewes typed on Lambing alone, in the workbook as it was built."""
    folder = tmp_path_factory.mktemp("simple")
    scan = "\n".join(["Ewe,Scanned", *(f"{ewe},{scanned}" for ewe, scanned, *_ in TEN)])
    path = built(folder, "simple", scan=scan)
    book = load_workbook(path)
    page = book["Lambing"]
    places = {page.cell(HEADING_ROW, number).value: number for number in range(1, page.max_column + 1)}
    rows = {page.cell(row, 1).value: row for row in range(HEADING_ROW + 1, page.max_row + 1)}
    for ewe, _, alive, dead, trouble in TEN:
        for title, value in (("Lambed on", date(2026, 4, 16)), ("Born alive", alive), ("Born dead", dead), ("Trouble", trouble)):
            page.cell(rows[ewe], places[title]).value = value or (0 if value == 0 else None)
    book.save(path)
    return analyse(read(path, datetime(2026, 4, 17, 12)))


def test_ten_ewes_in_one_row_each_are_an_account_and_losses(ten: Result) -> None:
    lines = {id: line["all"] for id, line in ten.account.lines.items() if line["all"]}
    # 18 scanned: 16 born of 9 ewes, 2 aborted of one. Of the 16, 13 breathed and 3 did not.
    assert {"scanned": 18, "born_scanned": 16, "aborted_scanned": 2, "born": 16, "born_alive": 13, "born_dead": 3,
            "present": 13, "own_ewe": 13, "known": 18} == lines
    figures = {figure.id: figure for figure in ten.figures}
    assert (3, 16) == (figures["stillbirth_pct"].numerator, figures["stillbirth_pct"].denominator)


def test_ten_ewes_in_one_row_each_are_decisions_and_a_watch_list(ten: Result) -> None:
    why = {decision.name: decision.reasons[0].rule for decision in ten.decisions.values() if decision.reasons}
    assert {"04": "unnamed-prolapse", "06": "refused-lambs", "05": "no-milk", "03": "narrow", "07": "bad-udder-or-teats",
            "08": "aborted"} == why
    assert {("04", "prolapse"), ("05", "little colostrum"), ("06", "lamb refused"), ("08", "aborted")} <= {
        (one.name, one.alert) for one in ten.problem_ewes}
    assert [] == [problem.found.text for problem in ten.problems if problem.rule.severity is Severity.ERROR]
