"""The sheets people type into as they come out of the printer: whose row it is on every page, times as times, nothing empty."""

import warnings
from datetime import date, datetime, time
from itertools import pairwise
from pathlib import Path

import pytest
from office import pdf
from openpyxl import load_workbook
from printed_pages import PrintedPage, of_tab, pages

from template_builder.build import Plan, build
from template_builder.entry.on_paper import WIDEST, parted
from template_builder.files.look import (
    BODY,
    HEADING,
    HEADING_HEIGHT,
    MOMENT_FORMAT,
    PRINT_PAGE,
    SHEET_PURPOSE,
    SHEET_TITLE,
    SIZE_BODY,
)
from template_builder.files.room import DIGIT_PIXELS, height_needed, lines_needed
from template_builder.files.writer import new_book
from template_builder.layout.addresses import letters
from template_builder.layout.columns import Kind, Row, Sheet, Start
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW, SET_ON_TAB, SHEET, STATUS_TAB, TONIGHT_TAB
from template_builder.live.blocks import BLOCKS, TOP
from template_builder.live.live_writer import LiveWriter
from template_builder.live.tonight import LISTED
from template_builder.live.write import write_status
from template_builder.live_values import live_values, with_values

EWES: list[Row] = [{"ewe": f"{1000 + number}", "scanned": 2, "due": date(2026, 3, 1)} for number in range(40)]
NIGHT = datetime(2026, 3, 14, 3)
WIDE = ("Ewes", "Lambing", "Lambs")
SMALLEST_TYPE = 7.0  # points from top to bottom of a word; small print of the same sheets is 9 points before it is shrunk


def rows() -> dict[str, list[Row]]:
    laid = lay_ready(EWES, Order.DUE)
    by_day: Row = {
        "lambed_on": date(2026, 3, 12), "waters_seen": time(21, 10), "finished": datetime(2026, 3, 13, 0, 5), "sides_in_milk": 1,
    }
    no_hour: Row = {"lambed_on": NIGHT.date(), "first_helped": datetime.combine(NIGHT, time()), "born_alive": 1, "born_dead": 0,
                    "sides_in_milk": 2}
    first, *others = laid["lambing"]
    checks: list[Row] = [{"ewe": "1000", "date": date(2026, 3, 14), "notes": "looked at"}]
    answers: list[Row] = [{"rule": "C101", "sheet": "Lambs", "answer": "right as written"}]
    return {
        **laid, "answers": answers, "season": [{"row_key": "as_of", "value": NIGHT}], "ewe_check": checks,
        "lambing": [{**first, **no_hour}, *({**row, **by_day, "notes": "written"} for row in others)],
    }


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("entry") / "season.xlsx"
    build(path, with_values(Plan("Our flock", rows()), NIGHT))
    return path


@pytest.fixture(scope="module")
def printed(book: Path) -> list[PrintedPage]:
    return pages(pdf(book, book.parent))


def test_an_hour_nobody_wrote_is_not_shown(printed: list[PrintedPage]) -> None:
    assert [] == [page.footer for page in printed if "00:00" in page.text]
    for tab, day in ((SHEET["lambing"].title, 14), (SET_ON_TAB, 14), (STATUS_TAB, 15)):
        assert any(f"{day} Mar 2026" in page.text for page in of_tab(printed, tab)), tab
    assert any("21:10" in page.text for page in printed)


def test_numbers_side_by_side_keep_their_distance_from_the_edge(book: Path) -> None:
    """Told apart by their ink, by one step that nobody sees: else LibreOffice draws the second without the space beside it."""
    row = load_workbook(book)[SHEET["lambing"].title][FIRST_ROW]
    cells = [cell for cell in row if cell.value is not None and cell.alignment.horizontal == "right"]
    assert [2, 1, 0, 2] == [cell.value for cell in cells]
    assert len(cells) == len({cell.font.color.rgb for cell in cells})
    assert {1} == {cell.alignment.indent for cell in cells}


@pytest.mark.parametrize("tab", WIDE)
def test_every_page_says_whose_row_it_is(printed: list[PrintedPage], tab: str) -> None:
    found = of_tab(printed, tab)
    assert len(found) >= 2
    numbers = {str(ewe["ewe"]) for ewe in EWES}
    assert [] == [page.footer for page in found if "Ewe" not in page.text.split() or not numbers & set(page.text.split())]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.id)
def test_the_title_is_whole_on_every_page(printed: list[PrintedPage], sheet: Sheet) -> None:
    found = [page.text for page in of_tab(printed, sheet.title)]
    assert found and all(text.startswith(sheet.title) for text in found)
    assert sheet.purpose in found[0]


@pytest.mark.parametrize("start", Start)
@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.id)
def test_title_and_purpose_fit_over_their_columns(sheet: Sheet, start: Start) -> None:
    as_seen = start if sheet.shown(start) else Start.INDOORS
    widths = [column.characters * column.shown(as_seen) for column in sheet.arranged(day_book=False)]
    over, beside = sum(widths[:sheet.lead]), sum(widths[sheet.lead:])
    assert (1, 1) == (lines_needed(sheet.title, over, SHEET_TITLE.with_(wrap=True)),
                      lines_needed(sheet.purpose, beside, SHEET_PURPOSE.with_(wrap=True)))


def test_headings_stand_whole_in_their_row() -> None:
    high = [(sheet.title, column.title) for sheet in SHEETS for column in sheet.own_columns
            if height_needed([(column.title, column.characters, HEADING)]) > HEADING_HEIGHT]
    assert [] == high


def test_nothing_is_too_wide_for_its_column(printed: list[PrintedPage]) -> None:
    assert [] == [page.footer for page in printed if "##" in page.text]
    page = of_tab(printed, TONIGHT_TAB)[-1]
    assert f"As of {NIGHT:%-d %b %Y %H:%M}" in page.text


def test_a_moment_fits_in_every_column_that_shows_one() -> None:
    entered = [(column.characters, BODY) for sheet in SHEETS for column in sheet if column.kind is Kind.MOMENT]
    live = [(column.width, column.style) for block in BLOCKS for column in block.sheet.columns
            if column.title and column.style.number_format == MOMENT_FORMAT]
    assert entered and live
    longest = len(f"{NIGHT:%d %b %Y %H:%M}")
    assert [] == [width for width, style in (*entered, *live) if width * SIZE_BODY < longest * style.size]


@pytest.mark.parametrize("tab", [sheet.title for sheet in SHEETS if sheet.title not in WIDE])
def test_other_sheets_are_one_page_across(printed: list[PrintedPage], tab: str) -> None:
    headings = [page.text for page in of_tab(printed, tab)]
    sheet = next(sheet for sheet in SHEETS if sheet.title == tab)
    shown = {word for column in sheet if column.shown(Start.INDOORS) for word in column.title.split()}
    assert headings and all(shown <= set(text.split()) for text in headings)


def test_printing_ends_with_the_rows_and_columns_there_are(book: Path) -> None:
    """Limits mirrored right of the columns are for the screen, and row keys and what earlier seasons left; whole columns would
    make other programs warn."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        read = load_workbook(book)
    for sheet in SHEETS:
        (table,) = read[sheet.title].tables.values()
        last = table.ref.rpartition(":")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        right = max(number for number, column in enumerate(sheet.own_columns, start=1) if not column.of_past)
        assert f"'{sheet.title}'!$A$1:${letters(right)}${last}" == read[sheet.title].print_area


def test_nothing_is_printed_of_a_hidden_tab(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Simple", lay_ready(EWES[:2]), Start.SIMPLE))
    hidden = [page for page in load_workbook(tmp_path / "season.xlsx") if page.sheet_state != "visible"]
    assert SHEET["lambs"].title in {page.title for page in hidden}
    assert [] == [page.title for page in hidden if page.print_area]


@pytest.mark.parametrize(("tab", "most"), [("Ewes", 2), ("Lambing", 2), ("Lambs", 4)])
def test_whole_rows_of_the_widest_sheets_print_on_two_pages(printed: list[PrintedPage], tab: str, most: int) -> None:
    """Side by side, 40 ewes and their 80 lambs one below the other on one and two."""
    found = of_tab(printed, tab)
    assert 2 <= len(found) <= most
    assert any("Notes" in page.text.split() for page in found)
    assert SMALLEST_TYPE <= min(word.bottom - word.top for page in found for word in page.words)


@pytest.mark.parametrize(("widths", "begun"), [
    ([10, 40, 40, 10], []), ([10, 40, 40, 11], [3]), ([10, 30, 30, 30, 40], [4]), ([10, 30, 0, 30, 60], [5]),
    ([10, 20, 95, 20], [3, 4]), ([10, 45, 45, 45, 45, 30], [4, 6]),
])
def test_pages_side_by_side_are_as_few_as_can_be_and_about_as_wide(widths: list[float], begun: list[int]) -> None:
    assert begun == parted(widths, 1, 100)


@pytest.mark.parametrize("start", Start)
def test_no_column_prints_on_a_page_of_its_own(start: Start) -> None:
    for sheet in (sheet for sheet in SHEETS if sheet.shown(start)):
        widths = [column.characters * column.shown(start) for column in sheet.arranged(day_book=False)]
        begins = [sheet.lead + 1, *parted(widths, sheet.lead, WIDEST / DIGIT_PIXELS), len(widths) + 1]
        pages = [sum(widths[first - 1:end - 1]) for first, end in pairwise(begins)]
        assert min(pages) > max(pages) / 2, sheet.title


def test_pages_begin_with_the_columns_that_part_them(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Outdoors", lay_ready(EWES[:2]), Start.OUTDOORS))
    book = load_workbook(tmp_path / "season.xlsx")
    assert [] == book["Ewes"].col_breaks.brk, "of an outdoors season one page across"
    for page in (book[title] for title in ("Lambing", "Lambs", "Groups")):
        (last,) = (one.id for one in page.col_breaks.brk)
        assert "Notes" not in {cell.value for cell in page[3][:last]}
        assert "Notes" != page.cell(3, last + 1).value


def test_a_time_alone_is_shown_without_a_day(printed: list[PrintedPage]) -> None:
    shown = " ".join(page.text for page in of_tab(printed, "Lambing"))
    assert len(EWES) - 1 == shown.count("21:10")
    assert "13 Mar 2026 00:05" in shown
    assert "1899" not in shown and "1900" not in shown


def test_tonights_list_is_printed_whole_and_can_be_read(printed: list[PrintedPage]) -> None:
    found = of_tab(printed, TONIGHT_TAB)
    listed = [word for page in found for word in page.words if word.text in {str(ewe["ewe"]) for ewe in EWES}]
    assert LISTED == len(listed)
    assert all("Look" in page.text and page.height > page.width for page in found)
    assert 1 == len(found), "a second page would be empty on most nights"
    assert found[0].text.startswith("Call")
    assert SMALLEST_TYPE <= min(word.bottom - word.top for word in found[0].words)


@pytest.mark.parametrize(("ewes", "pages"), [(31, 1), (32, 1), (33, 2), (67, 2), (68, 3)])
def test_the_status_of_ewes_ends_with_the_page_of_the_last_of_them(ewes: int, pages: int, tmp_path: Path) -> None:
    """The rows for ewes still to be written in do not print a page of headings; those of the last page do."""
    values = live_values({"ewes": [{"ewe": f"{number}"} for number in range(ewes)]}, NIGHT)
    rows = len(values["ewes"]["name"])
    with new_book(tmp_path / "status.xlsx", title="Status") as book:
        write_status(LiveWriter(book, {"ewes": FIRST_ROW - 1 + rows}, values, "Status"))
    page = load_workbook(tmp_path / "status.xlsx")[STATUS_TAB]
    breaks = [one.id for one in page.row_breaks.brk]
    last = int(page.print_area.rsplit("$", 1)[1])
    assert (pages - 1, True) == (len(breaks), TOP - 1 + ewes <= last <= TOP - 1 + rows)
    for first, end in pairwise((0, *breaks, last)):
        points = sum(page.row_dimensions[row].height or 15 for row in range(first + 1, end + 1)) + HEADING_HEIGHT * (first > 0)
        assert points * page.page_setup.scale / 100 <= PRINT_PAGE
