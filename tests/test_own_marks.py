"""Colours, notes and words that people put on cells: they are where they were in the merged workbook, or named as left out."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.worksheet.worksheet import Worksheet
from seasons import season

from template_builder.build import Plan, build
from template_builder.files import look
from template_builder.files.look import Style
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.files.writer import Book, new_book
from template_builder.layout.columns import OWN, Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import HEADING_ROW, SHEET, TITLE_ROW
from workbook.cli import main
from workbook.merging.files import Done
from workbook.merging.own_marks import OwnMark, has_own_looks, own_marks, write_own_marks
from workbook.merging.own_marks import _fill as colour_of
from workbook.merging.own_sheets import own_sheets
from workbook.merging.report import text
from workbook.merging.seasons import merge
from workbook.reading.season_file import read_cells

pytestmark = pytest.mark.usefixtures("few_spare_rows")

YELLOW = "#FFFF00"
FILL = PatternFill("solid", fgColor="FFFFFF00")
LAID = lay_ready([{"ewe": "0412", "scanned": 2}, {"ewe": "0415", "scanned": 1}])
EWES: list[Row] = [{**row, f"{OWN}Paddock": "Top", f"{OWN}Field": "Long"} for row in LAID["ewes"]]
PADDOCK = len(SHEET["ewes"].columns) + 1
SORTED = 6  # the row of the lamb that the second copy has in row 4

Place = tuple[str, int, int]


def _more(hay: str, notes: Mapping[Place, str], colours: Mapping[Place, str], book: Book) -> None:
    """A sheet Hay with one word, and a person's notes and colours."""
    pages = {page.title: page for page in [*book.pages, book.page("Hay")]}
    pages["Hay"].text(1, 1, hay)
    for (tab, row, column), words in colours.items():
        pages[tab].text(row, column, words, Style(fill=YELLOW))
    for (tab, row, column), words in notes.items():
        pages[tab].note(row, column, words)


@pytest.mark.parametrize(("colour", "told"), [
    ("FFFFFF00", YELLOW), ("FF12AB34", "#12AB34"), ("12ab34", "#12AB34"), (f"FF{look.STRICT.fill.removeprefix('#')}", "")])
def test_the_colour_of_a_cell_is_told_where_it_is_none_of_the_programs(colour: str, told: str) -> None:
    cell = openpyxl.Workbook().worksheets[0]["A1"]
    assert "" == colour_of(cell)
    cell.fill = PatternFill("solid", fgColor=colour)
    assert told == colour_of(cell)


def marked(
    folder: Path, notes: Mapping[Place, str] | None = None, colours: Mapping[Place, str] | None = None,
) -> tuple[tuple[OwnMark, ...], list[Path]]:
    """The marks of two copies, and the copies. The first has a lamb more, the second its lambs sorted and all of the marks."""
    paths = [folder / "day.xlsx", folder / "night.xlsx"]
    rows = {**LAID, "ewes": EWES}
    lamb: Row = {"ewe": "0415", "lamb_no": 2, "tag": "7001"}
    build(paths[0], Plan("Home Farm 2026", {**rows, "lambs": [*LAID["lambs"], lamb]}), more=partial(_more, "hay", {}, {}))
    build(paths[1], Plan("Home Farm 2026", {**rows, "lambs": LAID["lambs"][::-1]}),
          more=partial(_more, "straw", notes or {}, colours or {}))
    cells = [open_cells(path) for path in paths]
    seasons = [read_cells(one).season for one in cells]
    return own_marks(paths, cells, merge(seasons), own_sheets(list(zip(cells, seasons, strict=True)))), paths


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> tuple[tuple[OwnMark, ...], list[Path]]:
    """The marks of copies that have notes and colours wherever a person may put them."""
    return marked(tmp_path_factory.mktemp("marked"), NOTES, COLOURS)


NOTES = {
    ("Lambs", 4, 3): "of a sorted row", ("Ewes", HEADING_ROW, 2): "of a heading", ("Hay", 9, 2): "barn",
    ("Ewes", HEADING_ROW, PADDOCK): "of a heading of one's own", ("Ewes", 20, 2): "in a row without a word",
    ("Ewes", 4, PADDOCK + 9): "beside all columns", ("Tonight", 2, 9): "on a sheet of formulas",
}
COLOURS = {("Ewes", 4, PADDOCK): "Top", ("Ewes", 20, 3): "", ("Hay", 7, 2): ""}


def test_a_note_goes_with_its_row_its_column_and_its_sheet_or_nowhere(found: tuple[tuple[OwnMark, ...], list[Path]]) -> None:
    assert {
        "of a sorted row": ("Lambs", SORTED, 3), "of a heading": ("Ewes", HEADING_ROW, 2), "barn": ("Hay (2)", 9, 2),
        "of a heading of one's own": ("Ewes", HEADING_ROW, PADDOCK), "in a row without a word": ("", 0, 0),
        "beside all columns": ("", 0, 0), "on a sheet of formulas": ("Tonight", 2, 9),
    } == {mark.note: (mark.tab, mark.row, mark.column) for mark in found[0] if mark.note}
    assert "night.xlsx Ewes!B20" in {mark.source for mark in found[0]}


def test_a_colour_goes_where_its_row_goes_and_in_a_row_that_goes_nowhere_it_is_nothing(
    found: tuple[tuple[OwnMark, ...], list[Path]],
) -> None:
    expected = [("Ewes", 4, PADDOCK, YELLOW), ("Hay (2)", 7, 2, YELLOW)]
    assert expected == [(one.tab, one.row, one.column, one.fill) for one in found[0] if one.fill]
    assert [False, True] == [*map(has_own_looks, found[1])]


def test_marks_are_written_below_those_of_the_merge_and_what_has_no_cell_is_given_back(tmp_path: Path) -> None:
    notes = OwnMark("Hay", 2, 2, "day Hay!B2", note="barn"), OwnMark("Hay", 2, 2, "night Hay!B2", note="loft", fill=YELLOW)
    lost = OwnMark("", 0, 0, "day Ewes!B20", note="whose?"), OwnMark("To correct", 4, 1, "day To correct!A4", fill=YELLOW)
    with new_book(tmp_path / "book.xlsx", title="Merged") as book:
        page = book.page("Hay")
        page.text(2, 2, "40 bales")
        page.note(2, 2, "The copies differ.")
        assert lost == write_own_marks(book, [*notes, *lost])
    sheet = openpyxl.load_workbook(tmp_path / "book.xlsx")["Hay"]
    assert "The copies differ.\nbarn (day Hay!B2)\nloft (night Hay!B2)" == sheet["B2"].comment.text
    assert ("40 bales", {"B2"}) == (sheet["B2"].value, yellow(sheet))


def yellow(sheet: Worksheet) -> set[str]:
    """The cells that a look of the person's own makes yellow."""
    return {str(block.sqref) for block in sheet.conditional_formatting for rule in block.rules
            if rule.dxf and rule.dxf.fill and rule.dxf.fill.bgColor.rgb == "FFFFFF00"}


def test_a_merge_keeps_marks_and_words_and_tells_what_it_left_out(tmp_path: Path) -> None:
    _, (day, night) = marked(tmp_path)
    book = openpyxl.load_workbook(night)  # as another program saves it
    for tab, cell, note in (("Lambs", "C4", "look at her"), ("Hay", "B9", "barn"), ("Ewes", "B20", "whose?")):
        book[tab][cell].comment, book[tab][cell].fill = Comment(note, "AB"), FILL
    book["Lambs"]["H2"] = "call vet Monday"
    book.save(night)
    done = CliRunner().invoke(main, ["merge", str(day), str(night), "-o", str(tmp_path / "all.xlsx")])
    assert 0 == done.exit_code, done.output
    assert "words beside a title, kept: night.xlsx Lambs!H2: call vet Monday" in done.output
    assert "put on cells by you, kept: 2 colours, 2 notes" in done.output
    assert "left out, no cell for it in the merged workbook: night.xlsx Ewes!B20: whose?, filled #FFFF00" in done.output
    assert 1 == done.output.count("left out")
    merged = openpyxl.load_workbook(tmp_path / "all.xlsx")
    lambs, hay = merged["Lambs"], merged["Hay (2)"]
    cell = f"C{SORTED}"
    assert ("call vet Monday", "look at her", {cell}) == (lambs["H2"].value, lambs[cell].comment.text, yellow(lambs))
    assert ("straw", "barn", {"B9"}) == (hay["A1"].value, hay["B9"].comment.text, yellow(hay))


def test_copies_without_colours_or_notes_of_their_own_are_not_opened_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("openpyxl.load_workbook", None)
    found, paths = marked(tmp_path)
    assert ((), [False, False]) == (found, [*map(has_own_looks, paths)])


@pytest.mark.parametrize(("mark", "told"), [
    (OwnMark("", 0, 0, "", note="look"), "look"), (OwnMark("", 0, 0, "", fill="#FFFF00"), "filled #FFFF00"),
    (OwnMark("", 0, 0, "", fill="#FFFF00", note="look"), "look, filled #FFFF00"), (OwnMark("", 0, 0, "", words="hay"), "hay"),
])
def test_a_mark_is_told_with_all_there_is_of_it(mark: OwnMark, told: str) -> None:
    assert told == mark.told


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("small") / "season.xlsx"
    build(path, Plan("Small", lay_ready([{"ewe": "0412", "scanned": 1}])))
    return path


@pytest.mark.parametrize(("row", "column", "kept"), [
    (TITLE_ROW, len(SHEET["lambs"].own_columns) + 40, True),  # beside everything
    (TITLE_ROW, SHEET["lambs"].lead + 2, True),  # over a column of the program's
    (HEADING_ROW, SHEET["lambs"].lead + 2, False),  # a heading written anew
    (TITLE_ROW, 1, False),  # the title itself
])
def test_words_a_person_wrote_are_kept_where_they_are_neither_title_nor_heading(
    small: Path, row: int, column: int, kept: bool,
) -> None:
    cells = open_cells(small)
    lines = [(number, (*(cell for cell in line if cell.column != column), Cell(column, "Top field")) if number == row else line)
             for number, line in cells.tabs["Lambs"]]
    written = Cells(cells.file, {**cells.tabs, "Lambs": tuple(lines)}, cells.names)
    found = own_marks([small], [written], merge([season()]))
    assert kept is ("Top field" in {mark.words for mark in found})


def test_words_that_were_kept_are_told() -> None:
    marks = (OwnMark("Lambs", 2, 50, "day.xlsx Lambs!AX2", words="Top field"), OwnMark("Lambs", 5, 3, "", fill="#FFFF00"))
    told = text(Done(("day.xlsx",), (), {}, (), (), (), marks))
    assert "words beside a title, kept: day.xlsx Lambs!AX2: " in told and "Top field" in told
    assert 1 == told.count("words beside a title") and "1 colour" in told
