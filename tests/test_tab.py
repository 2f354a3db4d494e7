"""A tab written downwards: what stands on one printed page, and values shown as what they are."""

from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from template_builder.files.look import DATE_FORMAT, MOMENT_FORMAT, ONE_DECIMAL, PRINT_PAGE, TALLY, TOTAL, WHOLE, WRAPPED, Style
from template_builder.files.tab import Cell, Head, Tab
from template_builder.files.writer import new_book
from template_builder.layout.columns import Value

HEADS = (Head("Ewe"), Head("Lambs"))


def sheet_of(blocks: list[int], folder: Path) -> Any:
    """A sheet with a section for each number, each with a table of so many rows."""
    with new_book(folder / "tab.xlsx", title="", force=True) as book:
        tab = Tab(book, "Page", (20.0, 20.0), "")
        for rows in blocks:
            with tab.kept_together():
                tab.section(f"{rows} rows")
                tab.table(HEADS, [[f"ewe {row}", row] for row in range(rows)])
    return load_workbook(folder / "tab.xlsx")["Page"]


def pages(sheet: Any) -> list[float]:
    """The points of rows on each printed page, by the page breaks of the sheet; a break stands behind its row."""
    breaks = [one.id for one in sheet.row_breaks.brk]
    edges = [0, *breaks, sheet.max_row]
    return [sum(sheet.row_dimensions[row].height or 15 for row in range(start + 1, end + 1))
            for start, end in zip(edges, edges[1:], strict=False)]


def starts(sheet: Any) -> set[str | None]:
    """What the first row with something in it says, on each page but the first."""
    rows = [one.id + 1 for one in sheet.row_breaks.brk]
    return {next(sheet.cell(at, 1).value for at in range(row, row + 2) if sheet.cell(at, 1).value) for row in rows}


def test_what_fits_stays_on_the_page(tmp_path: Path) -> None:
    assert [] == list(sheet_of([5, 5], tmp_path).row_breaks.brk)


def test_a_section_that_does_not_fit_begins_on_the_next_page(tmp_path: Path) -> None:
    sheet = sheet_of([10, 5, 10, 15], tmp_path)
    assert {"10 rows", "15 rows"} == starts(sheet)
    assert 3 == len(pages(sheet))


@pytest.mark.parametrize("blocks", [[60], [3, 60], [20, 60], [20, 60, 3, 60, 22]])
def test_no_page_holds_more_than_a_page(blocks: list[int], tmp_path: Path) -> None:
    found = pages(sheet_of(blocks, tmp_path))
    assert len(found) > 1
    assert all(points <= PRINT_PAGE for points in found)


def test_what_is_longer_than_a_page_leaves_no_page_nearly_empty(tmp_path: Path) -> None:
    """After a short section it goes on on the same page, after a long one it begins on a new one."""
    assert pages(sheet_of([3, 60], tmp_path))[0] > PRINT_PAGE / 2
    assert "60 rows" in starts(sheet_of([20, 60], tmp_path))


@pytest.mark.parametrize(("value", "shown_as"), [
    (time(3, 40), MOMENT_FORMAT), (time(0), MOMENT_FORMAT), (date(2026, 3, 12), DATE_FORMAT),
    (datetime(2026, 3, 12), DATE_FORMAT),
    (datetime(2026, 3, 12, 0, 1), MOMENT_FORMAT),
    (datetime(2026, 3, 12, 3, 40), MOMENT_FORMAT),
])
def test_times_are_shown_as_people_write_them(value: Value, shown_as: str, tmp_path: Path) -> None:
    with new_book(tmp_path / "tab.xlsx", title="") as book:
        Tab(book, "Page", (20.0,), "").table((Head("When"),), [[Cell(value, WRAPPED)]])
    assert shown_as == load_workbook(tmp_path / "tab.xlsx")["Page"]["A2"].number_format


@pytest.mark.parametrize(("style", "align", "shown_as", "indent"), [
    (TALLY, "right", '#,##0_0;-#,##0_0;"-"_0', 0), (ONE_DECIMAL, "right", "0.0_0", 0), (TOTAL, "right", "General", 1),
    (WHOLE, "center", "0", 0),
])
def test_a_number_that_is_read_stands_a_space_from_the_edge_and_does_not_wrap(
    style: Style, align: str, shown_as: str, indent: int, tmp_path: Path,
) -> None:
    """In LibreOffice an indent is left out beside a cell whose number format alone differs."""
    with new_book(tmp_path / "tab.xlsx", title="") as book:
        Tab(book, "Page", (20.0,), "", read=True).table((Head("Lambs"),), [[Cell(4, style)]])
    cell = load_workbook(tmp_path / "tab.xlsx")["Page"]["A2"]
    assert (align, shown_as, indent) == (cell.alignment.horizontal, cell.number_format, cell.alignment.indent)
    assert not cell.alignment.wrap_text
