"""What the writer refuses, because a spreadsheet program would repair it, cut it off or take it apart in silence."""

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook

from template_builder.files.look import BODY, SIZE_SMALL
from template_builder.files.strict import LayoutFault
from template_builder.files.writer import LONGEST_FOOTER, Page, footer_code, new_book
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


@pytest.mark.parametrize(("size", "written"), [(SIZE_SMALL - 1, False), (SIZE_SMALL, True), (SIZE_SMALL + 1, True)])
def test_nothing_is_written_in_type_too_small_to_read(size: int, written: bool, tmp_path: Path) -> None:
    """Every cell of every workbook takes its look from here."""
    with new_book(tmp_path / "book.xlsx", title="Small") as book:
        page = book.page("Ewes")
        if written:
            page.text(1, 1, "0412", BODY.with_(size=size))
        else:
            with pytest.raises(LayoutFault, match=f"type of {size} points"):
                page.text(1, 1, "0412", BODY.with_(size=size))


@pytest.mark.parametrize("words", [
    "2026-season.xlsx", "9", "Hill & Dale", "&8&P", "\"Top\" field", "o'clock", "&", "9 & 9", "x" * 300, "&" * 300,
])
def test_a_footer_says_the_words_as_they_are(tmp_path: Path, words: str) -> None:
    """A footer has codes in it: a number behind "&9" would be another size, "&P" a page number."""
    with new_book(tmp_path / "book.xlsx", title="Footer") as book:
        page = book.page("Ewes")
        page.text(1, 1, "Ewe")
        page.print_setup(footer=words)
    with zipfile.ZipFile(tmp_path / "book.xlsx") as package:
        sheet = ElementTree.fromstring(package.read("xl/worksheets/sheet1.xml"))
    code = next(str(element.text) for element in sheet.iter() if element.tag.endswith("oddFooter"))
    size = str(SIZE_SMALL)
    assert code == footer_code(words) and len(code) <= 255
    assert {"L": (size, words[:LONGEST_FOOTER]), "C": (size, "<A>"), "R": (size, "Page <P> of <N>")} == _parts(code)


def _parts(code: str) -> dict[str, tuple[str, str]]:
    """Size and words of each part of a footer, read as the standard says (ECMA-376, part 1, 18.3.1.39)."""
    found: dict[str, tuple[str, str]] = {}
    where, size = "", ""
    for token in re.findall(r"&\d+|&.|[^&]+", code):
        if token in ("&L", "&C", "&R"):
            where, size = token[1], ""
            found[where] = ("", "")
        elif token[0] == "&" and token[1:].isdecimal():
            size = token[1:]
        else:
            words = "&" if token == "&&" else f"<{token[1]}>" if token[0] == "&" else token
            found[where] = (size, (found[where][1] + words).removeprefix(" "))
    return found
