"""The demo workbooks as they come out of the printer: no error in sight, every page numbered, headings on each page."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from office import pdf, pdf_text
from validity.parts import Package, areas, place

from demo_workbooks import SUMMARY
from template_builder.layout.columns import ROW_KEY

PRINTED = {"season-clean-summary.xlsx", "season-paper.xlsx"}  # each time; the others before a release
COMMITTED = sorted((Path(__file__).parent.parent / "demo_workbooks").glob("*.xlsx"))
ERRORS = ("###", "#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#N/A", "#NUM!", "#NULL!", "Err:")
_FOOTER = re.compile(r"Page (\d+) of (\d+)\s*$")


class Printed(NamedTuple):
    """The text of one page, and the footer that is its last line."""

    text: str
    footer: str


def printed(path: Path, folder: Path) -> list[Printed]:
    """The pages of a workbook; every page ends in a form feed."""
    texts = pdf_text(pdf(path, folder)).split("\f")[:-1]
    return [Printed(text, (text.rstrip().splitlines() or [""])[-1]) for text in texts]


def numbered_wrongly(pages: list[Printed]) -> list[str]:
    """What is wrong with the footers "Page n of m"."""
    wrong = []
    for number, page in enumerate(pages, start=1):
        found = _FOOTER.search(page.footer)
        if not found or (number, len(pages)) != (int(found[1]), int(found[2])):
            wrong.append(f"page {number} ends: {page.footer.strip()}")
    return wrong


def words_of(text: str) -> set[str]:
    """The words of a text; what a hyphen joins is two, for a line may end there."""
    return set(re.findall(r"\w+", text))


def repeated(path: Path) -> dict[str, set[str]]:
    """By sheet title the words of the headings that are to be repeated on each of its pages, as far as they are printed."""
    package = Package.open(path)
    printed_areas = dict(_targets(package, "_xlnm.Print_Area"))
    found = {}
    for title, rows in _targets(package, "_xlnm.Print_Titles"):
        row = int(rows.rpartition(":")[2])
        (area,) = areas(printed_areas.get(title, "A1:XFD1048576"))
        sheet = next(sheet for sheet in package.sheets if sheet.title == title)
        cells = ((place(reference) or (0, 0), cell) for reference, cell in sheet.cells.items())
        headings = [package.text(cell) for at, cell in cells if at[0] == row and at[1] <= area.right]
        headings = [heading for heading in headings if heading != ROW_KEY.title]  # its column is hidden
        found[title] = {word for heading in headings for word in words_of(heading)}
    return found


def _targets(package: Package, wanted: str) -> Iterator[tuple[str, str]]:
    """Sheet title and range of each of the file format's own names, such as the print area."""
    for name, _, target in package.names:
        if name == wanted:
            title, _, ranges = target.rpartition("!")
            yield title.strip("'"), ranges.replace("$", "")


@pytest.fixture(scope="module", params=[
    pytest.param(path, id=path.name, marks=[] if path.name in PRINTED else [pytest.mark.long]) for path in COMMITTED])
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, list[Printed]]:
    path: Path = request.param
    return path.name, printed(path, tmp_path_factory.mktemp("printed"))


def test_no_error_is_in_sight(book: tuple[str, list[Printed]]) -> None:
    assert [] == [line for page in book[1] for line in page.text.splitlines() if any(error in line for error in ERRORS)]


def test_every_page_is_numbered(book: tuple[str, list[Printed]]) -> None:
    assert book[1]
    assert [] == numbered_wrongly(book[1])


def test_a_page_without_its_number_is_seen() -> None:
    pages = [Printed("", "Ewes   Page 1 of 2"), Printed("", "Ewes   Page 3 of 2"), Printed("", "the last row")]
    assert ["page 1 ends: Ewes   Page 1 of 2", "page 2 ends: Ewes   Page 3 of 2", "page 3 ends: the last row"] == (
        numbered_wrongly(pages))
    assert [] == numbered_wrongly([Printed("", "Ewes   Page 1 of 1")])


def test_headings_stand_on_every_page_of_a_long_table(tmp_path: Path) -> None:
    """Headings wrap in their cells, so their words are looked for, in the sheets of the summary."""
    path = next(path for path in COMMITTED if path.name == SUMMARY)
    pages = printed(path, tmp_path)
    long_tables = {title: words for title, words in repeated(path).items() if words}
    assert long_tables
    for title, words in long_tables.items():
        own = [page for page in pages if f" {title} " in page.footer]
        assert own, title
        lacking = [(page.footer.split()[-3:], words - words_of(page.text)) for page in own]
        assert [] == [one for one in lacking if one[1]], title
