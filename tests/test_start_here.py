"""The first page: one page of paper that tells a helper hired for the night what to do, what to mind and whom to call."""

from pathlib import Path

import pytest
from office import pdf
from openpyxl import load_workbook
from printed_pages import PrintedPage, pages

from template_builder.build import Plan, build
from template_builder.files.writer import new_book
from template_builder.layout.cautions import AT_NIGHT, CAUTIONS, HOW_TO_WRITE, YEAR
from template_builder.layout.whole import START_TAB
from template_builder.start_here import CALL, write_start_here

LEAST_SHARE = 0.8  # of full size: smaller is no reading by head torch
BODY_POINTS = 11.0


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> list[PrintedPage]:
    path = tmp_path_factory.mktemp("start") / "start.xlsx"
    with new_book(path, title="Start") as book:
        write_start_here(book, "Lambing season 2026", "Built from scan-list.csv, as of 12 Jan 2026: 180 ewes.")
    assert [START_TAB] == load_workbook(path).sheetnames
    return pages(pdf(path, path.parent))


def test_it_prints_on_exactly_one_page_in_readable_type(printed: list[PrintedPage]) -> None:
    (page,) = printed
    assert page.height > page.width
    assert page.footer.endswith("Page 1 of 1")
    high = [word.bottom - word.top for word in page.words if word.text in ("gloves", "number.", "lambs")]
    assert LEAST_SHARE * BODY_POINTS <= min(high)


def test_everything_is_on_it(printed: list[PrintedPage]) -> None:
    (page,) = printed
    on_page = set(page.text.split())
    told = [*CAUTIONS, *CALL, *(words for table in (AT_NIGHT, YEAR, HOW_TO_WRITE) for row in table for words in row)]
    assert set() == {word for words in told for word in words.split()} - on_page
    assert page.text.index("Take care") < page.text.index("At night") < page.text.index("Whom to call")


def test_a_sheet_named_alone_is_a_link_to_it(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Season", {}))
    book = load_workbook(tmp_path / "season.xlsx")
    links = {cell.value: cell.hyperlink.location for row in book[START_TAB] for cell in row if cell.hyperlink}
    assert {f"'{name}'!A4" for name in links} == set(links.values())
    assert {"Watch list", "Lambing", "Lambs", "Counts", "Ewe check"} <= set(links) <= set(book.sheetnames)
