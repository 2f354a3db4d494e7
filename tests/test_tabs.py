"""Tabs: their order, what they are for, and none that a flock has no use for."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from template_builder.build import Plan, build
from template_builder.entry.tabs import BY_NUMBER, TABS
from template_builder.files.look import PRINT_PAGE
from template_builder.layout.cautions import AT_NIGHT, YEAR
from template_builder.layout.choices import HowRecorded
from template_builder.layout.columns import Row, Start
from template_builder.layout.examples import EXAMPLES
from template_builder.layout.laying import lay_ready
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.whole import GUIDE_TAB, PLAN_TAB, PROGRESS_TAB, SET_ON_TAB, TONIGHT_TAB, TURNOUT_TAB
from template_builder.live.plan import READY_TOP
from template_builder.live.plan_ready import READY
from template_builder.live.turnout import BY_GROUP_TOP
from workbook.reading.season_file import read

pytestmark = pytest.mark.usefixtures("few_spare_rows")

MOST_TABS = 16
LETTERS, LINE = 1.25, 14  # letters in the width of a digit, at most; points of a line, at least
EWES: list[Row] = [{"ewe": "0412", "scanned": 2, "group": "Hill"}, {"ewe": "0413", "scanned": 1, "group": "Hill"}]
TALLY: list[Row] = [{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 9, "tally_1": 9}]
ANSWERED: list[Row] = [{"rule": "C116", "sheet": "Lambs", "row_name": "0412-1", "value": "7.5", "answer": "large lamb"}]


def built(path: Path, rows: dict[str, list[Row]], start: Start = Start.INDOORS) -> Path:
    build(path, Plan("Tabs", rows, start))
    return path


def in_sight(path: Path) -> list[str]:
    return [page.title for page in load_workbook(path) if page.sheet_state == "visible" and page.title in TABS]


def test_tabs_stand_in_the_order_they_are_used(tmp_path: Path) -> None:
    rows = {**lay_ready(EWES), "groups": [{"group": "Hill"}]}
    path = built(tmp_path / "season.xlsx", rows)
    expected = [tab for tab in TABS if tab not in (TURNOUT_TAB, ANSWERS.title)]
    assert expected == in_sight(path)
    assert len(expected) <= MOST_TABS
    assert {sheet.title for sheet in SHEETS} <= set(TABS)
    assert expected[0] == load_workbook(path).active.title  # type: ignore[union-attr]  # a workbook has an open sheet


def test_tabs_are_coloured_by_what_they_are_for(tmp_path: Path) -> None:
    book = load_workbook(built(tmp_path / "season.xlsx", lay_ready(EWES)))
    worn = {page.title: f"#{page.sheet_properties.tabColor.rgb[2:]}" for page in book if page.title in TABS}
    assert {tab: TABS[tab] for tab in worn} == worn
    assert 3 == len(set(worn.values()))


@pytest.mark.parametrize("start", [Start.OUTDOORS, Start.INDOORS])
def test_a_flock_known_by_a_tally_has_nothing_that_asks_for_ewes(tmp_path: Path, start: Start) -> None:
    path = built(tmp_path / "season.xlsx", {"groups": TALLY}, start)
    assert not set(BY_NUMBER) & set(in_sight(path))
    assert {"Counts", "Groups", "Season", "Guide"} <= set(in_sight(path))
    assert () == read(path).problems  # hidden, not left out


def test_plan_of_a_flock_known_by_a_tally_shows_what_to_have_ready_and_no_list_of_ewes(tmp_path: Path) -> None:
    page = load_workbook(built(tmp_path / "season.xlsx", {"groups": TALLY}))[PLAN_TAB]
    told = {cell.row for row in page.iter_rows(min_col=4) for cell in row if cell.value is not None}
    assert "visible" == page.sheet_state
    assert [1, 2, 3, *range(READY_TOP - 1, READY_TOP + READY.rows)] == sorted(
        row for row in told if not page.row_dimensions[row].hidden)
    listed = load_workbook(built(tmp_path / "ewes.xlsx", {"groups": TALLY, **lay_ready(EWES)}))[PLAN_TAB]
    assert not any(row.hidden for row in listed.row_dimensions.values())


def test_guide_and_turnout_of_a_flock_known_by_a_tally_speak_of_no_tab_it_has_not(tmp_path: Path) -> None:
    path = built(tmp_path / "season.xlsx", {"groups": TALLY}, Start.OUTDOORS)
    book, seen = load_workbook(path), in_sight(path)
    guide, turnout = book[GUIDE_TAB], book[TURNOUT_TAB]
    printed = list(guide.iter_rows(max_row=int(guide.print_area.rsplit("$", 1)[1])))
    named = {name for row in printed if row[0].value in {when for when, *_ in YEAR} for name in str(row[3].value).split(", ")}
    assert named and named <= set(seen)
    assert not {"At night, in this order", *(example.title for example in EXAMPLES)} & {row[0].value for row in printed}
    first = [row[0].value for row in printed].index("Sheet and column") + 1
    assert {"Groups", "Counts", "Treatments"} == {str(row[0].value).partition(":")[0] for row in printed[first:]}
    told = {cell.row for row in turnout.iter_rows(min_col=2) for cell in row if isinstance(cell.value, str)}
    assert [1, BY_GROUP_TOP - 2, BY_GROUP_TOP - 1] == sorted(
        row for row in told if row < BY_GROUP_TOP and not turnout.row_dimensions[row].hidden)


def test_a_tally_with_ram_dates_shows_what_is_coming_and_nothing_that_has_come(tmp_path: Path) -> None:
    dated: Row = {**TALLY[0], "ram_in": date(2025, 10, 20), "ram_out": date(2025, 11, 28)}
    path = built(tmp_path / "season.xlsx", {"groups": [dated]})
    page = load_workbook(path)[PROGRESS_TAB]
    seen = [str(page.cell(row, 1).value) for row in range(1, 60) if not page.row_dimensions[row].hidden]
    assert ("visible", False) == (page.sheet_state, "Ewes on the list" in seen)
    assert any(words.startswith("What is coming") for words in seen)


def test_a_flock_known_by_a_tally_opens_on_guide_and_does_not_show_tonight(tmp_path: Path) -> None:
    book = load_workbook(built(tmp_path / "season.xlsx", {"groups": TALLY}))
    assert "hidden" == book[TONIGHT_TAB].sheet_state
    assert GUIDE_TAB == book.active.title  # type: ignore[union-attr]  # a workbook has an open sheet
    assert [GUIDE_TAB] == [page.title for page in book if page.sheet_view.tabSelected]


@pytest.mark.parametrize("rows", [{}, {"groups": [{"group": "Hill"}]}, {"groups": TALLY, **lay_ready(EWES)}])
def test_without_a_tally_or_with_ewes_too_they_are_in_sight(tmp_path: Path, rows: dict[str, list[Row]]) -> None:
    assert set(BY_NUMBER) <= set(in_sight(built(tmp_path / "season.xlsx", rows)))


def test_answers_come_into_sight_once_there_are_any(tmp_path: Path) -> None:
    assert ANSWERS.title not in in_sight(built(tmp_path / "none.xlsx", lay_ready(EWES)))
    path = built(tmp_path / "some.xlsx", {**lay_ready(EWES), "answers": ANSWERED})
    assert ANSWERS.title == in_sight(path)[-1]
    assert ["C116"] == [row["rule"] for row in read(path).season.rows("answers")]


def test_set_on_goes_where_lambs_have_no_rows(tmp_path: Path) -> None:
    assert SET_ON_TAB not in in_sight(built(tmp_path / "season.xlsx", lay_ready(EWES, each_lamb=False), Start.SIMPLE))


def test_a_row_is_as_high_as_the_longest_text_in_it(tmp_path: Path) -> None:
    """Not every program lets a row grow on opening: the lines of one would stand over the next."""
    told = "down in the far corner of the top field with a lamb at each side, both full and easy to catch " * 2
    ewes: list[Row] = [{**EWES[0], "notes": told}, EWES[1]]
    book = load_workbook(built(tmp_path / "season.xlsx", lay_ready(ewes)))
    for title in ("Season", "Policy", "Ewes"):
        page = book[title]
        sizes = {cell.column_letter: page.column_dimensions[cell.column_letter] for cell in page[3]}
        shown = {letter: size.width * LETTERS for letter, size in sizes.items() if not size.hidden}
        for row in page.iter_rows(min_row=4):
            high = page.row_dimensions[row[0].row].height or page.sheet_format.defaultRowHeight
            lines = {cell.coordinate: len(cell.value) / shown[cell.column_letter] for cell in row
                     if isinstance(cell.value, str) and cell.alignment.wrap_text and cell.column_letter in shown}
            assert [] == [cell for cell, needed in lines.items() if needed > 1 and high < LINE * needed], title


def test_the_guide_prints_one_page_wide(tmp_path: Path) -> None:
    page = load_workbook(built(tmp_path / "season.xlsx", lay_ready(EWES)))[GUIDE_TAB]
    assert page.sheet_properties.pageSetUpPr.fitToPage
    assert (1, 0) == (page.page_setup.fitToWidth or 1, int(page.page_setup.fitToHeight))  # one is what is meant unsaid


def test_the_guide_prints_what_hangs_on_a_wall(tmp_path: Path) -> None:
    """Six pages: what to mind, to do and to write. What is looked up while typing is for the screen."""
    page = load_workbook(built(tmp_path / "season.xlsx", lay_ready(EWES)))[GUIDE_TAB]
    last = int(page.print_area.rsplit("$", 1)[1])
    said = {page.cell(row, 1).value: row for row in range(1, page.max_row + 1)}
    assert said["What stands in each list"] < last < said["What each value of a list means"]
    assert sum(page.row_dimensions[row].height or 15 for row in range(1, last + 1)) <= 6 * PRINT_PAGE
    cells = (cell for row in page.iter_rows(min_row=4) for cell in row if cell.value and cell.border.left.style)
    words = [cell for cell in cells if not cell.font.b]
    assert words and {1} == {cell.alignment.indent for cell in words if cell.alignment.horizontal != "center"}


@pytest.mark.parametrize("start", Start)
def test_what_to_do_at_night_hangs_on_a_wall_on_one_page(start: Start, tmp_path: Path) -> None:
    """With the cautions. LibreOffice keeps a little more of a page for the footer than is counted else."""
    page = load_workbook(built(tmp_path / "season.xlsx", {"groups": [{"group": "Hill"}]}, start))[GUIDE_TAB]
    last = next(row for row in range(1, page.max_row) if str(page.cell(row, 1).value).endswith(f". {AT_NIGHT[-1][0]}"))
    assert sum(page.row_dimensions[row].height or 15 for row in range(1, last + 1)) <= PRINT_PAGE - 20
    next_ = next(row for row in range(1, page.max_row) if page.cell(row, 1).value == "What to do when")
    assert next_ - 2 in {one.id for one in page.row_breaks.brk}, "its heading is not left behind, nor the free row above it"


@pytest.mark.parametrize("start", Start)
@pytest.mark.parametrize("groups", [[{"group": "Hill"}], pytest.param(TALLY, marks=pytest.mark.long)])
def test_lambs_are_matched_one_by_one_indoors_and_sorted_by_groups_elsewhere(
    tmp_path: Path, start: Start, groups: list[Row],
) -> None:
    rows = {**({} if groups is TALLY else lay_ready(EWES)), "groups": groups}
    seen = in_sight(built(tmp_path / "season.xlsx", rows, start))
    assert [TURNOUT_TAB if start is not Start.INDOORS or groups is TALLY else SET_ON_TAB] == [
        tab for tab in seen if tab in (SET_ON_TAB, TURNOUT_TAB)]
    assert len(seen) <= MOST_TABS
