"""The sheets to print: at full size, headings on every page, rows a pencil fits in, nothing cut, and no part of the records."""

import re
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from statistics import median

import pytest
from office import pdf
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from printed_pages import PrintedPage, of_tab, pages

from template_builder.build import Plan, build
from template_builder.files.look import PRINT_CHARACTERS, PRINT_PAGE, PRINT_ROW_HEIGHT
from template_builder.files.writer import LayoutFault, new_book
from template_builder.layout.choices import EweLeft, Stage
from template_builder.layout.columns import NOT_KNOWN, Row, Start
from template_builder.layout.laying import LAMBS_A_LINE, Order, lay_ready
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import (
    COUNTS_TAB,
    HANDLING_TAB,
    LOOK_UP_TAB,
    PEN_CARDS_TAB,
    PRINTED_TABS,
    RUNNING_TAB,
    SHED_TAB,
    WEIGHING_TAB,
)
from template_builder.paper import counting, handling, look_up, one_row, pen_cards, shed, write_printed
from template_builder.paper.animals import PaperFlock
from template_builder.paper.pages import HEADING_HEIGHT, TITLE_HEIGHT, Paper, PaperColumn
from workbook.reading.season_file import read

COLUMNS = {
    SHED_TAB: shed.SHED, RUNNING_TAB: shed.RUNNING, LOOK_UP_TAB: look_up.LOOK_UP, PEN_CARDS_TAB: pen_cards.PEN_CARDS,
    HANDLING_TAB: handling.HANDLING, COUNTS_TAB: counting.COUNTS, WEIGHING_TAB: counting.WEIGHING,
}
LEAST_PITCH = 24.5  # points; 9 mm is 25.5, ruled school paper 20 to 23
MARGIN = 0.4 * 72  # points
PADDING = 0.7109375  # characters a spreadsheet adds to the width of a column
WARNINGS = {3: "large teats", 10: "refused one lamb, watch the left side, call early"}
EWES: list[Row] = [
    {"ewe": f"{1000 + number}", "scanned": number % 4, "group": "Mead" if number % 2 else "Brow",
     "due": date(2026, 3, 1) + timedelta(number % 30), "mark": ("blue dot", "green stripe", "red")[number % 3],
     **({"past_warning": WARNINGS[number % 12]} if number % 12 in WARNINGS else {})}
    for number in range(90)
]
GROUPS: list[Row] = [{"group": "Mead"}, {"group": "Brow"}]


def rows(order: Order = Order.DUE) -> dict[str, list[Row]]:
    return {"groups": GROUPS, **lay_ready(EWES, order)}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("paper") / "paper.xlsx"
    with new_book(path, title="Paper") as made:
        write_printed(made, rows(), "Paper & pencil", Start.INDOORS)
    return path


@pytest.fixture(scope="module")
def printed(book: Path) -> list[PrintedPage]:
    return pages(pdf(book, book.parent))


def sheets(path: Path) -> dict[str, Worksheet]:
    found = load_workbook(path)
    return {name: found[name] for name in found.sheetnames if name in PRINTED_TABS}


def widths(sheet: Worksheet) -> Iterator[float]:
    for dimension in sheet.column_dimensions.values():
        yield from [dimension.width - PADDING] * (dimension.max - dimension.min + 1)


# As laid out


def test_every_sheet_to_print_is_there(book: Path) -> None:
    assert list(PRINTED_TABS) == list(sheets(book)) == list(COLUMNS)


@pytest.mark.parametrize("tab", PRINTED_TABS)
def test_a_sheet_is_as_wide_as_a_page_and_not_shrunk(book: Path, tab: str) -> None:
    sheet = sheets(book)[tab]
    assert sum(widths(sheet)) <= PRINT_CHARACTERS + 0.01 * len(COLUMNS[tab])
    assert not sheet.sheet_properties.pageSetUpPr or not sheet.sheet_properties.pageSetUpPr.fitToPage
    assert ("landscape", 9) == (sheet.page_setup.orientation, int(sheet.page_setup.paperSize))
    assert sheet.print_title_rows and sheet.print_title_rows.startswith("$1:")
    assert sheet.protection.sheet


@pytest.mark.parametrize("tab", PRINTED_TABS)
def test_no_row_is_lower_than_a_pencil_needs(book: Path, tab: str) -> None:
    sheet = sheets(book)[tab]
    first = int(str(sheet.print_title_rows).rsplit("$", 1)[1]) + 1
    heights = [sheet.row_dimensions[row].height for row in range(first, sheet.max_row + 1)]
    gaps = {pen_cards._CUT} if tab == PEN_CARDS_TAB else set()
    assert [] == [height for height in heights if height < PRINT_ROW_HEIGHT and height not in gaps]


def test_a_sheet_wider_than_a_page_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LayoutFault, match="wider than a page"), new_book(tmp_path / "wide.xlsx", title="Wide") as made:
        Paper(made, "Wide", [PaperColumn("Much", PRINT_CHARACTERS + 1)], title="Wide", note="", footer="")


def test_printed_columns_are_those_with_room_on_paper() -> None:
    declared = {sheet.address(column) for sheet in SHEETS for column in sheet if column.printed}
    tables = (*COLUMNS.values(), one_row.IN_ONE_ROW, one_row.LINES_IN_ONE_ROW)
    on_paper = {address for columns in tables for column in columns for address in column.of}
    assert declared == on_paper | {*handling.ON_THE_HEAD, *counting.ON_THE_HEAD}


# As printed


@pytest.mark.parametrize("tab", PRINTED_TABS)
def test_headings_stand_on_every_page(printed: list[PrintedPage], tab: str) -> None:
    found = of_tab(printed, tab)
    titles = ["Pen cards"] if tab == PEN_CARDS_TAB else [column.title for column in COLUMNS[tab]]
    words = {word for title in titles for word in title.split()}
    assert found
    for page in found:
        assert set() == words - set(page.text.split()), page.footer


@pytest.mark.parametrize("tab", PRINTED_TABS)
def test_pages_break_only_between_ewes(book: Path, printed: list[PrintedPage], tab: str) -> None:
    assert len(sheets(book)[tab].row_breaks.brk) + 1 == len(of_tab(printed, tab))


def test_pages_are_numbered_and_a4_across(printed: list[PrintedPage]) -> None:
    ends = [re.search(r"Page (\d+) of (\d+)$", page.footer) for page in printed]
    assert [(number, len(printed)) for number in range(1, len(printed) + 1)] == [
        (int(end[1]), int(end[2])) for end in ends if end
    ]
    assert {(842, 595)} == {(round(page.width), round(page.height)) for page in printed}
    assert all(page.footer.startswith("Paper & pencil") for page in printed)


def test_nothing_is_cut(printed: list[PrintedPage]) -> None:
    assert [] == [word for page in printed for word in page.words if word.right > page.width - MARGIN or word.left < MARGIN - 1]


@pytest.mark.parametrize(("tab", "heading"), [
    (SHED_TAB, "No."), (RUNNING_TAB, "No."), (LOOK_UP_TAB, "Ewe"), (HANDLING_TAB, "Ewe"), (COUNTS_TAB, "Stage"),
])
def test_rows_are_a_pencils_height_apart(printed: list[PrintedPage], tab: str, heading: str) -> None:
    pitches: list[float] = []
    for page in of_tab(printed, tab):
        head = next(word for word in page.words if word.text == heading)
        tops = sorted({word.top for word in page.words if abs(word.left - head.left) < 25 and word.top > head.bottom + 8
                       and (word.text.isdigit() or tab == COUNTS_TAB)})
        pitches += [below - above for above, below in pairwise(tops)]
    assert len(pitches) >= 5
    assert LEAST_PITCH <= min(pitches)
    assert LEAST_PITCH <= median(pitches)


# What they say


def test_each_ewe_has_a_row_for_each_lamb_and_one_more(book: Path) -> None:
    sheet = sheets(book)[SHED_TAB]
    names = {row: str(sheet.cell(row, 1).value) for row in range(3, sheet.max_row + 1) if str(sheet.cell(row, 1).value).isdigit()}
    in_lamb = [ewe for ewe in EWES if ewe["scanned"]]
    assert [str(ewe["ewe"]) for ewe in sorted(in_lamb, key=lambda ewe: (ewe["due"], ewe["ewe"]))] == list(names.values())
    blocks = {name: end - start for (start, name), end in zip(names.items(), [*list(names)[1:], sheet.max_row + 1], strict=True)}
    assert {ewe["ewe"]: ewe["scanned"] + 1 for ewe in in_lamb} == blocks  # type: ignore[operator]  # all scanned here


def test_warnings_and_boxes_are_on_the_paper(printed: list[PrintedPage]) -> None:
    warned = sum("past_warning" in ewe and bool(ewe["scanned"]) for ewe in EWES)
    on_shed = " ".join(page.text for page in of_tab(printed, SHED_TAB))
    assert warned == on_shed.count("Warning:") > 0
    assert sum(bool(ewe["scanned"]) for ewe in EWES) == on_shed.count("ewe died")
    listed = " ".join(page.text for page in of_tab(printed, LOOK_UP_TAB)).split()
    assert {str(ewe["ewe"]) for ewe in EWES} <= set(listed)
    assert {word for warning in WARNINGS.values() for word in warning.split()} <= set(listed)
    assert "call the vet" in on_shed and "keep away" in on_shed


def test_earlier_lambings_warn_where_no_words_do() -> None:
    ewes: list[Row] = [
        {"ewe": "1", "past_refused": 1, "past_lost": 0}, {"ewe": "2", "past_refused": 1, "past_warning": "large teats"},
        {"ewe": "3", "past_refused": 1, "past_lost": 2, "past_faults": 2}, {"ewe": "4", "past_faults": 1}, {"ewe": "5"},
        {"ewe": "6", "past_refused": NOT_KNOWN, "past_faults": 0},
    ]
    assert ["refused lambs before", "large teats", "refused lambs before, lost lambs before", "a fault before", "", ""] == [
        ewe.warning for ewe in PaperFlock.of(lay_ready(ewes)).ewes
    ]


def test_spare_lines_for_counts_fill_the_last_page(book: Path, printed: list[PrintedPage]) -> None:
    room = PRINT_PAGE - TITLE_HEIGHT - HEADING_HEIGHT
    written = sheets(book)[COUNTS_TAB].max_row - 2
    assert written == len(of_tab(printed, COUNTS_TAB)) * int(room // PRINT_ROW_HEIGHT)
    assert counting.SPARE_COUNTS <= written - len(GROUPS) * len(Stage)


def test_a_mark_is_handled_together(book: Path) -> None:
    sheet = sheets(book)[HANDLING_TAB]
    marks = [sheet.cell(row, 2).value for row in range(3, sheet.max_row + 1)]
    assert len(EWES) == len(marks)
    assert 3 == 1 + sum(above != below for above, below in pairwise(marks))


def test_gone_ewes_and_written_lambings_need_no_paper() -> None:
    laid = lay_ready([{"ewe": "1", "scanned": 2}, {"ewe": "2", "scanned": 1}, {"ewe": "3", "scanned": 0}, {"ewe": "4"}])
    laid["ewes"][0] = {**laid["ewes"][0], "left_how": EweLeft.SOLD}
    laid["lambing"][1] = {**laid["lambing"][1], "lambed_on": date(2026, 3, 4)}
    flock = PaperFlock.of(laid)
    assert (["2", "3", "4"], ["4"]) == ([ewe.name for ewe in flock.ewes], [ewe.name for ewe in flock.to_lamb])


def test_a_day_book_prints_the_lines_of_the_workbook(tmp_path: Path) -> None:
    path = tmp_path / "day-book.xlsx"
    laid = rows(Order.DAY_BOOK)
    with new_book(path, title="Day book") as made:
        write_printed(made, laid, "Day book", Start.INDOORS)
    found = sheets(path)
    assert SHED_TAB not in found
    sheet = found[RUNNING_TAB]
    first = [sheet.cell(row, 1).value for row in range(3, sheet.max_row + 1, LAMBS_A_LINE)]
    assert [str(row["line"]) for row in laid["lambing"]] == first


def test_a_flock_by_count_gets_the_sheets_it_can_use(tmp_path: Path) -> None:
    path = tmp_path / "hill.xlsx"
    with new_book(path, title="Hill") as made:
        write_printed(made, rows(), "Hill", Start.OUTDOORS)
    assert [LOOK_UP_TAB, HANDLING_TAB, COUNTS_TAB, WEIGHING_TAB] == list(sheets(path))
    with new_book(path, title="Hill", force=True) as made:
        write_printed(made, rows(Order.DAY_BOOK), "Hill", Start.OUTDOORS)
    assert [RUNNING_TAB, LOOK_UP_TAB, HANDLING_TAB, COUNTS_TAB, WEIGHING_TAB] == list(sheets(path))


def test_the_reader_passes_over_them(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Season", rows()))
    reading = read(tmp_path / "season.xlsx")
    assert set(PRINTED_TABS) <= set(load_workbook(tmp_path / "season.xlsx", read_only=True).sheetnames)
    assert ((), ()) == (reading.problems, reading.season.own_sheets)


def test_a_flock_known_by_its_groups_alone_gets_counts_and_weighings(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Season", {"groups": [{"group": "High"}]}))
    assert [COUNTS_TAB, WEIGHING_TAB] == list(sheets(tmp_path / "season.xlsx"))


def test_without_ewes_or_groups_nothing_is_printed(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Season", {}))
    assert {} == sheets(tmp_path / "season.xlsx")
