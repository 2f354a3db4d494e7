"""What the writer refuses, because a spreadsheet program would repair it, cut it off or take it apart in silence."""

from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import load_workbook

from template_builder.files.writer import LayoutFault, Page, new_book
from template_builder.layout.words import CUT_OFF, LONGEST_TEXT

A4, A9 = (4, 1), (9, 1)

MISUSE: dict[str, Callable[[Page], object]] = {
    "heading too long": lambda page: page.table("table_one", A4, A9, ["x" * 256]),
    "heading blank": lambda page: page.table("table_one", A4, (9, 2), ["Ewe", " "]),
    "headings that differ by space": lambda page: page.table("table_one", A4, (9, 2), ["Ram in", "ram  in "]),
    "name like a cell": lambda page: page.book.define("ewe2026", page.title, A4),
    "prompt title too long": lambda page: page.validate(A4, A9, {"validate": "any", "input_title": "x" * 33}),
    "prompt too long": lambda page: page.validate(A4, A9, {"validate": "any", "input_message": "x" * 256}),
    "error too long": lambda page: page.validate(A4, A9, {"validate": "list", "source": ["a"], "error_message": "x" * 226}),
    "check too long": lambda page: page.validate(A4, A9, {"validate": "custom", "value": f"=AND({'A4>0,' * 60}TRUE)"}),
    "list too long": lambda page: page.validate(A4, A9, {"validate": "list", "source": ["x" * 200, "y" * 200]}),
    "list item with a comma": lambda page: page.validate(A4, A9, {"validate": "list", "source": ["dead, fresh", "alive"]}),
    "list item like a formula": lambda page: page.validate(A4, A9, {"validate": "list", "source": ["=yes", "no"]}),
    "footer too long": lambda page: page.print_setup(footer="x" * 256),
    "sheet title twice": lambda page: page.book.page("EWES"),
    "sheet title too long": lambda page: page.book.page("x" * 32),
    "sheet title the program keeps for itself": lambda page: page.book.page("History"),
    "sheet title blank": lambda page: page.book.page(" "),
}


@pytest.mark.parametrize("misuse", MISUSE.values(), ids=MISUSE)
def test_what_would_be_lost_is_refused_and_nothing_is_left_behind(misuse: Callable[[Page], object], tmp_path: Path) -> None:
    with pytest.raises(LayoutFault), new_book(tmp_path / "book.xlsx", title="Misuse") as book:
        misuse(book.page("Ewes"))
    assert [] == list(tmp_path.iterdir())


@pytest.mark.parametrize(("length", "cut"), [(LONGEST_TEXT, False), (LONGEST_TEXT + 1, True)])
def test_a_text_longer_than_a_cell_is_cut_and_says_so(tmp_path: Path, length: int, cut: bool) -> None:
    with new_book(tmp_path / "book.xlsx", title="Long") as book:
        page = book.page("Long")
        page.text(1, 1, "x" * length)
        page.link(2, 1, "Long", "A1", "x" * length)
    found = load_workbook(tmp_path / "book.xlsx")["Long"]
    for row in (1, 2):
        text = str(found.cell(row, 1).value)
        assert (LONGEST_TEXT, cut) == (len(text), text.endswith(CUT_OFF))
