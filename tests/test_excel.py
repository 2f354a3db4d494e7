"""What the writer refuses, because a spreadsheet program would repair it, cut it off or take it apart in silence."""

from collections.abc import Callable
from pathlib import Path

import pytest

from template_builder.excel import LayoutFault, Page, new_book

A4, A9 = (4, 1), (9, 1)

MISUSE: dict[str, Callable[[Page], object]] = {
    "text too long for a cell": lambda page: page.text(1, 1, "x" * 32_768),
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
