"""The sheets to print: at full size, headings on every page, rows a pencil fits in, nothing cut, and no part of the records."""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from statistics import median

import pytest
from office import pdf
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from printed_pages import PrintedPage, Word, of_tab, pages

from template_builder.files.look import PRINT_PAGE, PRINT_ROW_HEIGHT
from template_builder.files.strict import LayoutFault
from template_builder.files.writer import new_book
from template_builder.layout.choices import EweLeft, Stage, WeightUnit
from template_builder.layout.columns import LINE, NOT_KNOWN, Row, Start
from template_builder.layout.laying import LAMBS_A_LINE, Order, lay_ready
from template_builder.layout.paper_tabs import (
    COUNTING,
    FEEDING,
    HANDLING,
    LOOK_UP,
    PAPER_TABS,
    PEN_CARDS,
    RUNNING,
    SHED,
    TONIGHT,
    WEEKS,
    WEIGHING,
    is_paper,
)
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.whole import PROGRAM_TABS, column_at
from template_builder.paper import (
    NothingToPrint,
    counting,
    feeding,
    handling,
    look_up,
    one_row,
    pen_cards,
    shed,
    tonight,
    write_paper,
)
from template_builder.paper.animals import PaperFlock, PaperLamb, PaperLook
from template_builder.paper.form import Form
from template_builder.paper.pages import (
    HEADING_HEIGHT,
    NOTES_AT_LEAST,
    PAGE_PIXELS,
    SIDE,
    TITLE_HEIGHT,
    Paper,
    PaperColumn,
    parted,
)

A4_ACROSS = 297 / 25.4 * 72  # points
MARGIN = SIDE * 72  # points
WIDER = (1.05, 1.074)  # printed against the screen: LibreOffice as measured; 11 points at 600 dots an inch, by arithmetic
LEAST_PITCH = 24.5  # points; 9 mm is 25.5, ruled school paper 20 to 23
SHARE_USED = 0.97  # of what the printer can reach across
PER_CHARACTER = 7  # pixels
WARNINGS = {3: "large teats", 10: "refused one lamb, watch the left side, call early"}
LONG = "826001234"  # before the six digits of the ewe
EWES: list[Row] = [
    {"ewe": f"{1000 + number}", "scanned": number % 4, "group": "Mead" if number % 2 else "Brow",
     "due": date(2026, 3, 1) + timedelta(number % 30), "mark": ("blue dot", "green stripe", "red")[number % 3],
     **({"past_warning": WARNINGS[number % 12]} if number % 12 in WARNINGS else {})}
    for number in range(90)
]
GROUPS: list[Row] = [{"group": "Mead"}, {"group": "Brow"}]
LOOKS = (PaperLook("1001", "now", "long labour", "waters seen 3 hours ago", "3 Mar 01:20", "4", "Look inside with clean gloves "
                   "and lubricant; unsure how it lies: call your vet. " * 3, "yes"),)


def rows(order: Order = Order.DUE, before: str = "") -> dict[str, list[Row]]:
    ewes: list[Row] = [{**ewe, "ewe": f"{before}{'00' if before else ''}{ewe['ewe']}"} for ewe in EWES]
    return {"groups": GROUPS, **lay_ready(ewes, order)}


def flock(order: Order = Order.DUE, before: str = "") -> PaperFlock:
    """The flock as built, with lambs to weigh and a ewe to look at, as later in the season."""
    found = PaperFlock.of(rows(order, before))
    lambs = [PaperLamb(f"{before}{number:06}" if before else f"{number}", "red") for number in range(70)]
    return replace(found, lambs=lambs, tonight=LOOKS)


FLOCKS = {"four digits": flock(), "fifteen digits": flock(before=LONG)}


def columns(of: PaperFlock) -> dict[str, Sequence[PaperColumn]]:
    """Everything each sheet has columns for, once."""
    return {
        FEEDING: feeding.one_list(of), WEEKS: feeding.WEEK_COLUMNS,
        TONIGHT: tonight.tonight_columns(of), SHED: shed.shed_form(of, Start.INDOORS).asks,
        RUNNING: shed.running_form(of, Start.INDOORS).asks, LOOK_UP: look_up.one_list(of),
        PEN_CARDS: [PaperColumn(column_at(address).title, 0, (address,)) for address, _ in pen_cards.ASKED],
        HANDLING: handling.handling_columns(of), COUNTING: counting.count_columns(of), WEIGHING: counting.one_list(of),
    }


@pytest.fixture(scope="module", params=FLOCKS)
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("paper") / "paper.xlsx"
    write_paper(path, FLOCKS[request.param], "Paper & pencil", Start.INDOORS, date(2026, 3, 3))
    return path


@pytest.fixture(scope="module")
def short(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("short") / "paper.xlsx"
    write_paper(path, FLOCKS["four digits"], "Paper & pencil", Start.INDOORS, date(2026, 3, 3))
    return path


@pytest.fixture(scope="module")
def printed(book: Path) -> list[PrintedPage]:
    return pages(pdf(book, book.parent))


def sheets(path: Path) -> dict[str, Worksheet]:
    found = load_workbook(path)
    return {name: found[name] for name in found.sheetnames}


def written(path: Path, of: PaperFlock, start: Start) -> dict[str, Worksheet]:
    write_paper(path, of, "Paper", start, force=True)
    return sheets(path)


def pixels(sheet: Worksheet) -> int:
    widths = [dimension.width for dimension in sheet.column_dimensions.values() for _ in range(dimension.min, dimension.max + 1)]
    return sum(round(width * PER_CHARACTER) for width in widths)


# As laid out


def test_every_sheet_to_print_is_there(book: Path) -> None:
    assert list(PAPER_TABS) == list(sheets(book)) == list(columns(FLOCKS["four digits"]))


def test_no_tab_has_the_title_of_one_of_a_season_workbook() -> None:
    theirs = (*PROGRAM_TABS, *(sheet.title for sheet in SHEETS))
    assert set() == {tab.casefold() for tab in PAPER_TABS} & {tab.casefold() for tab in theirs}
    assert (True, True, False, False) == (is_paper(PAPER_TABS), is_paper([SHED]), is_paper([]), is_paper([SHED, "Hay"]))


@pytest.mark.parametrize("tab", PAPER_TABS)
def test_a_sheet_fills_the_width_of_a_page_and_is_not_shrunk(book: Path, tab: str) -> None:
    sheet = sheets(book)[tab]
    reach, wide = A4_ACROSS - 2 * MARGIN, pixels(sheet) * 0.75
    assert SHARE_USED * reach <= wide * WIDER[0] and wide * WIDER[1] <= reach
    assert (SIDE, SIDE, True) == (sheet.page_margins.left, sheet.page_margins.right, sheet.print_options.horizontalCentered)
    assert not sheet.sheet_properties.pageSetUpPr or not sheet.sheet_properties.pageSetUpPr.fitToPage
    assert ("landscape", 9) == (sheet.page_setup.orientation, int(sheet.page_setup.paperSize))
    assert sheet.print_title_rows and sheet.print_title_rows.startswith("$1:")
    assert sheet.protection.sheet


@pytest.mark.parametrize("tab", PAPER_TABS)
def test_no_row_is_lower_than_a_pencil_needs(book: Path, tab: str) -> None:
    sheet = sheets(book)[tab]
    first = int(str(sheet.print_title_rows).rsplit("$", 1)[1]) + 1
    heights = [sheet.row_dimensions[row].height for row in range(first, sheet.max_row + 1)]
    gaps = {pen_cards._CUT} if tab == PEN_CARDS else set()
    assert heights
    assert [] == [height for height in heights if height < PRINT_ROW_HEIGHT and height not in gaps]


@pytest.mark.parametrize("more", [-1, 1])
def test_a_sheet_not_as_wide_as_a_page_is_refused(tmp_path: Path, more: int) -> None:
    with pytest.raises(LayoutFault, match="not the width of a page"), new_book(tmp_path / "wide.xlsx", title="Wide") as made:
        Paper(made, "Wide", [PaperColumn("Much", PAGE_PIXELS + more)], note="", footer="")


@pytest.mark.parametrize("digits", FLOCKS)
@pytest.mark.parametrize("start", [Start.INDOORS, Start.OUTDOORS, Start.SIMPLE])
def test_notes_in_the_shed_have_five_centimetres(digits: str, start: Start) -> None:
    of = FLOCKS[digits]
    in_blocks = (shed.shed_form(of, start).columns, shed.running_form(of, start).columns)
    last = [table[-1] for table in (*in_blocks, one_row.shed_columns(of), one_row.running_columns(of))]
    assert {"Notes"} == {column.title for column in last}
    assert NOTES_AT_LEAST <= min(column.pixels for column in last)


# In the words of the screen


def all_columns(unit: WeightUnit = WeightUnit.KG) -> list[PaperColumn]:
    of = PaperFlock(**{**vars(FLOCKS["four digits"]), "unit": unit})
    tables = (*columns(of).values(), one_row.shed_columns(of), one_row.running_columns(of))
    return [column for table in tables for column in table]


@pytest.mark.parametrize("unit", WeightUnit)
def test_headings_are_those_of_the_screen(unit: WeightUnit) -> None:
    asked = [column for column in all_columns(unit) if column.of]
    for column in asked:
        source = column_at(column.of[0])
        boxes = [choice.label for choice in source.choices or ()] if source.id in handling.TICKED else []
        assert column.title in (source.in_unit(unit).title, *boxes)
    assert {unit.label} == {match[1] for column in asked if (match := re.search(r"\((kg|lb)\)", column.title))}


def test_printed_columns_are_those_with_room_on_paper() -> None:
    declared = {sheet.address(column) for sheet in SHEETS for column in sheet if column.printed}
    on_paper = {address for column in all_columns() for address in column.of} - {"lambing.pen"}
    # A pen stands on the look-up list and on cards whether or not it is asked for.
    assert declared - {"lambing.pen"} == on_paper | {*handling.ON_THE_HEAD, *counting.ON_THE_HEAD}


@pytest.mark.parametrize("start", [Start.INDOORS, Start.OUTDOORS])  # a simple start has no rows for lambs
@pytest.mark.parametrize("form", [shed.shed_form, shed.running_form])
def test_what_is_asked_stands_in_the_order_of_the_screen(form: Callable[[PaperFlock, Start], Form], start: Start) -> None:
    asked = [column.of[0] for column in form(FLOCKS["four digits"], start).asks if column.of]
    for sheet in (LAMBING, LAMBS):
        order = [sheet.address(column) for column in sheet.arranged(day_book=form is shed.running_form)]
        places = [order.index(address) for address in asked if address in order]
        assert sorted(places) == places and len(places) > 1
    shown = {LAMBING.address(column) for column in LAMBING if column.printed and column.shown(start)} - {"lambing.notes"}
    assert shown - {f"lambing.{id}" for id in ("scanned", "due")} <= {*asked}


# As printed


@pytest.mark.parametrize("tab", PAPER_TABS)
def test_headings_stand_on_every_page(printed: list[PrintedPage], tab: str) -> None:
    found = of_tab(printed, tab)
    titles = [tab] if tab == PEN_CARDS else [column.title for column in columns(FLOCKS["four digits"])[tab]]
    words = {word for title in titles for word in title.split()}
    assert found
    for page in found:
        turned = words & set("".join(page.text.split())) if tab == HANDLING else set()
        assert set() == words - set(page.text.split()) - turned, page.footer


@pytest.mark.parametrize("tab", PAPER_TABS)
def test_pages_break_only_between_ewes(book: Path, printed: list[PrintedPage], tab: str) -> None:
    assert len(sheets(book)[tab].row_breaks.brk) + 1 == len(of_tab(printed, tab))


def test_pages_are_numbered_and_a4_across_and_say_as_of_when(printed: list[PrintedPage]) -> None:
    ends = [re.search(r"Page (\d+) of (\d+)$", page.footer) for page in printed]
    assert [(number, len(printed)) for number in range(1, len(printed) + 1)] == [
        (int(end[1]), int(end[2])) for end in ends if end
    ]
    assert {(842, 595)} == {(round(page.width), round(page.height)) for page in printed}
    assert all(page.footer.startswith("Paper & pencil, as of 3 Mar 2026") for page in printed)


def test_nothing_is_cut(printed: list[PrintedPage]) -> None:
    assert [] == [word for page in printed for word in page.words if word.right > page.width - MARGIN or word.left < MARGIN - 1]
    assert [] == [page.footer for page in printed if "##" in page.text]


@pytest.mark.parametrize("tab", [tab for tab in PAPER_TABS if tab not in (RUNNING, COUNTING, TONIGHT, WEEKS)])
def test_every_number_is_whole_on_paper(book: Path, printed: list[PrintedPage], tab: str) -> None:
    """A number of fifteen digits is printed in two sizes, as two words side by side."""
    of = FLOCKS["fifteen digits" if any(LONG in page.text for page in printed) else "four digits"]
    to_lamb = [ewe.name for ewe in of.to_lamb]
    names = {WEIGHING: [lamb.name for lamb in of.lambs], **dict.fromkeys((FEEDING, SHED, PEN_CARDS), to_lamb)}
    text = " ".join(page.text for page in of_tab(printed, tab))
    assert [] == [name for name in names.get(tab, of.names) if " ".join(filter(None, parted(name))) not in text
                  and name not in text]


def below(word: Word, head: Word, tab: str) -> bool:
    """Whether a word stands in the column of a heading: words in the middle, as the heading is, or stages."""
    middle = abs(word.left + word.right - head.left - head.right) / 2
    return word.text in {stage.label for stage in Stage} if tab == COUNTING else middle < 8


@pytest.mark.parametrize(("tab", "heading"), [
    (FEEDING, "Scanned"), (WEEKS, "Ewes"),
    (SHED, "no."), (RUNNING, "no."), (LOOK_UP, "Scanned"), (COUNTING, "Stage"), (WEIGHING, "Mark"),
])
def test_rows_are_a_pencils_height_apart(printed: list[PrintedPage], tab: str, heading: str) -> None:
    pitches: list[float] = []
    for page in of_tab(printed, tab):
        head = max((word for word in page.words if word.text == heading), key=lambda word: (word.top, -word.left))
        tops = sorted({word.top for word in page.words if word.top > head.bottom + 8 and below(word, head, tab)})
        pitches += [below - above for above, below in pairwise(tops)]
    assert len(pitches) >= 5
    assert LEAST_PITCH <= min(pitches)
    assert LEAST_PITCH <= median(pitches)


# What they say


def test_each_ewe_has_a_row_for_each_lamb_and_one_more(short: Path) -> None:
    sheet = sheets(short)[SHED]
    names = {row: str(sheet.cell(row, 1).value) for row in range(4, sheet.max_row + 1) if str(sheet.cell(row, 1).value).isdigit()}
    in_lamb = [ewe for ewe in EWES if ewe["scanned"]]
    assert [str(ewe["ewe"]) for ewe in sorted(in_lamb, key=lambda ewe: (ewe["due"], ewe["ewe"]))] == list(names.values())
    blocks = {name: end - start for (start, name), end in zip(names.items(), [*list(names)[1:], sheet.max_row + 1], strict=True)}
    assert {ewe["ewe"]: ewe["scanned"] + 1 for ewe in in_lamb} == blocks  # type: ignore[operator]  # all scanned here


def test_a_row_of_a_simple_start_has_her_warning_and_a_box_where_she_died(tmp_path: Path) -> None:
    page = written(tmp_path / "simple.xlsx", FLOCKS["four digits"], Start.SIMPLE)[SHED]
    beside = [page.cell(row, page.max_column).value for row in range(3, page.max_row + 1)]
    of = FLOCKS["four digits"]
    assert [f"Warning: {ewe.warning} {shed.EWE_DIED}" if ewe.warning else shed.EWE_DIED for ewe in of.to_lamb] == beside


def test_a_long_number_is_one_text_its_end_large(tmp_path: Path) -> None:
    page = written(tmp_path / "long.xlsx", FLOCKS["fifteen digits"], Start.INDOORS)[SHED]
    assert f"{LONG}001030" in {cell.value for cell in page["A"]}


@pytest.mark.parametrize(("name", "parts"), [
    ("12345678", ("", "12345678")), ("123456789", ("123", "456789")), ("826001234567890", ("826001234", "567890")),
    ("826001234567890-2", ("826001234", "567890-2")), ("UK 0123456 00412", ("UK 012345", "6 00412")),
    ("Blackface 12", ("", "Blackface 12")), ("Old Bessie", ("", "Old Bessie")), ("", ("", "")),
])
def test_only_long_numbers_are_written_in_two_sizes(name: str, parts: tuple[str, str]) -> None:
    assert parts == parted(name)


def test_warnings_and_boxes_are_on_the_paper(short: Path) -> None:
    def text(tab: str) -> str:
        return " ".join(str(value) for row in sheets(short)[tab].iter_rows(values_only=True) for value in row if value)

    warned = sum("past_warning" in ewe and bool(ewe["scanned"]) for ewe in EWES)
    assert warned == text(SHED).count("Warning:") > 0
    assert sum(bool(ewe["scanned"]) for ewe in EWES) == text(SHED).count("ewe died")
    assert all(warning in text(LOOK_UP) for warning in WARNINGS.values())
    assert "call the vet" in text(SHED) and "keep away" in text(SHED)
    assert all(word in text(TONIGHT) for look in LOOKS for word in look)


def test_earlier_lambings_warn_where_no_words_do() -> None:
    ewes: list[Row] = [
        {"ewe": "1", "past_refused": 1, "past_lost": 0}, {"ewe": "2", "past_refused": 1, "past_warning": "large teats"},
        {"ewe": "3", "past_refused": 1, "past_lost": 2, "past_faults": 2}, {"ewe": "4", "past_faults": 1}, {"ewe": "5"},
        {"ewe": "6", "past_refused": NOT_KNOWN, "past_faults": 0},
    ]
    assert ["refused lambs before", "large teats", "refused lambs before, lost lambs before", "a fault before", "", ""] == [
        ewe.warning for ewe in PaperFlock.of(lay_ready(ewes)).ewes
    ]


@pytest.mark.parametrize(("groups", "printed_on"), [(1, 1), (3, 1), (4, 2)])
def test_spare_lines_for_counts_fill_the_last_page(tmp_path: Path, groups: int, printed_on: int) -> None:
    to_count = [(f"Group {number}", stage) for stage in Stage for number in range(groups)]
    page = written(tmp_path / "counts.xlsx", PaperFlock(groups=("Group 0",), counts=to_count), Start.OUTDOORS)[COUNTING]
    lines = int((PRINT_PAGE - TITLE_HEIGHT - HEADING_HEIGHT) // PRINT_ROW_HEIGHT)
    assert (lines * printed_on, printed_on - 1) == (page.max_row - 2, len(page.row_breaks.brk))
    assert counting.SPARE_COUNTS <= page.max_row - 2 - len(to_count)


def test_a_mark_is_handled_together(short: Path) -> None:
    sheet = sheets(short)[HANDLING]
    marks = [sheet.cell(row, 2).value for row in range(4, sheet.max_row + 1)]
    assert len(EWES) == len(marks)
    assert 3 == 1 + sum(above != below for above, below in pairwise(marks))


def test_gone_ewes_and_written_lambings_need_no_paper() -> None:
    laid = lay_ready([{"ewe": "1", "scanned": 2}, {"ewe": "2", "scanned": 1}, {"ewe": "3", "scanned": 0}, {"ewe": "4"}])
    laid["ewes"][0] = {**laid["ewes"][0], "left_how": EweLeft.SOLD}
    laid["lambing"][1] = {**laid["lambing"][1], "lambed_on": date(2026, 3, 4)}
    flock = PaperFlock.of(laid)
    assert (["2", "3", "4"], ["4"]) == ([ewe.name for ewe in flock.ewes], [ewe.name for ewe in flock.to_lamb])


def test_a_day_book_prints_the_lines_of_the_workbook(tmp_path: Path) -> None:
    found = written(tmp_path / "day-book.xlsx", flock(Order.DAY_BOOK), Start.INDOORS)
    assert SHED not in found
    sheet = found[RUNNING]
    first = [sheet.cell(row, 1).value for row in range(4, sheet.max_row + 1, LAMBS_A_LINE)]
    assert [str(row[LINE.id]) for row in rows(Order.DAY_BOOK)["lambing"]] == first


def test_a_flock_by_count_gets_the_sheets_it_can_use(tmp_path: Path) -> None:
    path = tmp_path / "hill.xlsx"
    before = [FEEDING, WEEKS]
    assert [*before, LOOK_UP, HANDLING, COUNTING, WEIGHING] == list(written(path, PaperFlock.of(rows()), Start.OUTDOORS))
    in_lines = PaperFlock.of(rows(Order.DAY_BOOK))
    assert [*before, RUNNING, LOOK_UP, HANDLING, COUNTING, WEIGHING] == list(written(path, in_lines, Start.OUTDOORS))


def test_once_all_have_lambed_nothing_is_printed_for_lambings(tmp_path: Path) -> None:
    of = PaperFlock(FLOCKS["four digits"].ewes, groups=("Mead",))
    assert [LOOK_UP, HANDLING, COUNTING, WEIGHING] == list(written(tmp_path / "lambed.xlsx", of, Start.INDOORS))
    full = PaperFlock(FLOCKS["four digits"].ewes, lines=())
    assert RUNNING not in written(tmp_path / "lambed.xlsx", full, Start.INDOORS)


def test_a_flock_known_by_its_groups_alone_gets_counts_and_weighings(tmp_path: Path) -> None:
    of = PaperFlock.of({"groups": [{"group": "High"}]})
    assert [COUNTING, WEIGHING] == list(written(tmp_path / "paper.xlsx", of, Start.OUTDOORS))


def test_without_ewes_or_groups_it_says_that_nothing_is_to_be_printed(tmp_path: Path) -> None:
    with pytest.raises(NothingToPrint, match="paper.xlsx: there is nothing to print"):
        write_paper(tmp_path / "paper.xlsx", PaperFlock(), "Paper", Start.INDOORS)
    assert [] == list(tmp_path.iterdir())
