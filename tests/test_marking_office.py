"""Marks as a spreadsheet program shows them: there while the value stands, gone when it is corrected; and files it saved."""

from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path

import office
import pytest
from everything import EWES, LAMBS, LONG, NOTED, everything
from inventory import OWN_TAB, Book
from test_marking import MESSY, differing, mark, problem

from template_builder.files.look import STRAW
from template_builder.layout.addresses import letters
from workbook.output.alike import lines_of
from workbook.output.marking.copy import write_marked
from workbook.reading.season_file import read
from workbook.results.pipeline import check

pytestmark = pytest.mark.filterwarnings("ignore:.*xtension is not supported:UserWarning")  # openpyxl, of files it is given

# Corrections of cells with every kind of value, as a person types them.
CORRECTED: Mapping[str, str | float] = {
    "A2": "0409", "B2": 2, "B4": 3, "C2": "12 Mar 2026", "C3": LONG.upper()[5:], "C4": "said yes", NOTED: "corrected",
    "D3": 46090.5, "F4": "filled in", "G2": "bold", "G6": "yes",
}
STAYING = {"B3": 1, "A3": "0402"}


class _Grounds(HTMLParser):
    """The cells of each sheet whose ground has the colour of a mark, from a workbook written as a web page."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: dict[str, set[str]] = {}
        self.title, self.row, self.column, self.in_title = "", 0, 0, False
        self.covered: set[tuple[int, int]] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "table":
            self.row, self.covered = 0, set()
        elif tag == "em":
            self.in_title = True
        elif tag == "tr":
            self.row, self.column = self.row + 1, 0
        elif tag == "td":
            self.column += 1
            while (self.row, self.column) in self.covered:
                self.column += 1
            if (given.get("bgcolor") or "").casefold() == STRAW.casefold():
                self.sheets.setdefault(self.title, set()).add(f"{letters(self.column)}{self.row}")
            self._cover(int(given.get("rowspan") or 1), int(given.get("colspan") or 1))

    def _cover(self, rows: int, columns: int) -> None:
        self.covered |= {(self.row + down, self.column + right) for down in range(rows) for right in range(columns)} - {
            (self.row, self.column)}

    def handle_endtag(self, tag: str) -> None:
        self.in_title = self.in_title and tag != "em"

    def handle_data(self, data: str) -> None:
        if self.in_title:
            self.title = data


def shown(path: Path, folder: Path) -> set[str]:
    """The cells of the sheet of ewes that LibreOffice shows as marked."""
    reader = _Grounds()
    reader.feed(office.converted(path, folder, "html").read_text(encoding="utf-8"))
    return reader.sheets.get(EWES, set())


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return everything(tmp_path_factory.mktemp("office") / "all.xlsx")


@pytest.fixture(scope="module")
def marked(book: Path) -> Path:
    return mark(book, [problem(cell) for cell in (*CORRECTED, *STAYING)])


def test_marks_show_until_their_cell_is_corrected(marked: Path, tmp_path: Path) -> None:
    assert {*CORRECTED, *STAYING} == shown(marked, tmp_path)
    steps = [["set", EWES, cell, value] for cell, value in CORRECTED.items()]
    corrected = office.changed(marked, tmp_path / "corrected.xlsx", steps)
    assert set(STAYING) == shown(corrected, tmp_path)


def test_marks_of_a_file_that_was_saved_there_are_known_again(marked: Path, tmp_path: Path) -> None:
    saved = office.converted(marked, tmp_path, "xlsx")
    again = mark(saved, [problem("B3"), problem(NOTED, text="is still wrong")], tmp_path / "again.xlsx")
    assert {(EWES, "B3"), (EWES, NOTED)} == {one[:2] for one in Book(again).marks()}
    assert {} == differing(saved, again)
    notes = {cell: text.strip() for cell, text in Book(again).notes(EWES).items()}
    assert {
        "A3": "limps", "B3": "To correct: is wrong. Put it right.",
        NOTED: "ask the vet\nTo correct: is still wrong. Put it right.",
    } == notes
    assert len(notes) == Book(again).boxes(EWES)
    assert 1 == list(Book(again).sheets).count(OWN_TAB)


@pytest.mark.parametrize("by_way_of", [pytest.param("", marks=pytest.mark.long), "ods"])
def test_files_saved_there_are_marked_and_otherwise_kept(book: Path, tmp_path: Path, by_way_of: str) -> None:
    between = office.converted(book, tmp_path, by_way_of) if by_way_of else book
    saved = office.converted(between, tmp_path, "xlsx")
    cells = [*CORRECTED, *STAYING]
    again = mark(saved, [*(problem(cell) for cell in cells), problem("B2", LAMBS)], tmp_path / "marked.xlsx")
    assert {} == differing(saved, again)
    assert set(cells) == {one.cell for one in Book(again).marks() if one.sheet == EWES}
    assert set(cells) == shown(again, tmp_path)


@pytest.mark.long
def test_an_answer_typed_there_is_read_back(tmp_path: Path) -> None:
    target, answered = tmp_path / "marked.xlsx", tmp_path / "answered.xlsx"
    before = check(read(MESSY))
    write_marked(before, MESSY, target)
    listed = [line.first for line in lines_of(before.problems)]
    row = next(number for number, one in enumerate(listed, start=4) if one.rule.id == "C113")
    office.changed(target, answered, [["set", OWN_TAB, f"I{row}", "Jo: counted again"]])
    gone = {str(one) for one in before.problems} - {
        str(one).replace(answered.name, MESSY.name) for one in check(read(answered)).problems}
    assert {str(listed[row - 4])} == gone
