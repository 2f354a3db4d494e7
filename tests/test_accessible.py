"""A workbook everybody can read: what can be tested of a published checklist, on every workbook the program writes.

After "Making spreadsheets accessible: a checklist of the basics", UK Government Analysis Function, 2021, itself after WCAG
2.2 AA.
Where the way of working needs otherwise, DEVELOPERS.md says so and why.
"""

import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.cell_range import CellRange

from demo_workbooks import CLEAN, EMPTY, FOLDER, HILL_CLEAN, PAPER, SUMMARY

WORKBOOKS = (EMPTY, CLEAN, HILL_CLEAN, SUMMARY, PAPER)
LEAST_CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3, AA
WHITE, BLACK = "FFFFFF", "000000"
SAYS_NOTHING = {"", "here", "click here", "link", "more"}


@pytest.fixture(scope="module", params=[pytest.param(name, marks=[pytest.mark.long] if name in (HILL_CLEAN, EMPTY) else [])
                                        for name in WORKBOOKS])
def path(request: pytest.FixtureRequest) -> Path:
    return FOLDER / str(request.param)


@pytest.fixture(scope="module")
def book(path: Path) -> Any:
    return load_workbook(path)


def seen(book: Any) -> Iterator[Any]:
    return (sheet for sheet in book if sheet.sheet_state == "visible")


def luminance(colour: str) -> float:
    """Relative luminance of RRGGBB, as WCAG 2.2 defines it."""
    parts = [int(colour[at:at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def colour(found: Any, otherwise: str) -> str:
    return found.rgb[2:] if found is not None and isinstance(found.rgb, str) else otherwise


def test_contrast_is_reckoned_as_published() -> None:
    """WCAG's own ends of the scale, and its well-known grey: #767676 on white is 4.54 to 1."""
    assert (21.0, 1.0) == (contrast(BLACK, WHITE), contrast(WHITE, WHITE))
    assert pytest.approx(4.54, abs=0.005) == contrast("767676", WHITE)


def test_title_and_language_are_in_the_files_properties(path: Path) -> None:
    with zipfile.ZipFile(path) as parts:
        title = re.search(r"<dc:title>(.+?)</dc:title>", parts.read("docProps/core.xml").decode())
        language = re.search(r'name="Language"><vt:lpwstr>(.+?)<', parts.read("docProps/custom.xml").decode())
    assert title and title[1].strip() and language and "en-GB" == language[1]


def hidden_columns(sheet: Any) -> set[int]:
    return {number for group in sheet.column_dimensions.values() if group.hidden for number in range(group.min, group.max + 1)}


def test_each_tab_begins_with_what_it_is(book: Any) -> None:
    """In A1, or in the first cell there is to see where the first row or columns are hidden: they hold keys and numbers."""
    for sheet in seen(book):
        row = next(row for row in (1, 2) if not sheet.row_dimensions[row].hidden)
        column = next(column for column in range(1, 20) if column not in hidden_columns(sheet))
        assert str(sheet.cell(row, column).value or "").strip(), sheet.title


def test_tables_have_one_row_of_headings_each_its_own_and_no_cell_over_two(book: Any) -> None:
    for sheet in book:
        for table in sheet.tables.values():
            titles = [column.name.casefold() for column in table.tableColumns]
            assert all(title.strip() for title in titles) and len(titles) == len(set(titles)), table.name
            assert not re.fullmatch(r"Table\d+", table.name)
            within = CellRange(table.ref)
            assert not [str(merged) for merged in sheet.merged_cells.ranges if not within.isdisjoint(merged)], sheet.title


def test_words_stand_out_from_their_ground(book: Any) -> None:
    pale = {}
    for sheet in seen(book):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is not None:
                    ground = colour(cell.fill.fgColor, WHITE) if cell.fill.fill_type == "solid" else WHITE
                    ink = colour(cell.font.color, BLACK)
                    if contrast(ink, ground) < LEAST_CONTRAST:
                        pale[sheet.title, ink, ground] = cell.coordinate
    assert {} == pale


def test_nothing_is_told_by_colour_alone(book: Any) -> None:
    """Whatever marks a cell while one types changes more than a colour: weight, slant, a line through, a pattern or a border."""
    for sheet in seen(book):
        for rules in sheet.conditional_formatting._cf_rules.values():
            for rule in rules:
                look = rule.dxf
                if look is None:
                    continue
                font, fill, border = look.font, look.fill, look.border
                if font is None and fill is None and border is None:
                    assert look.numFmt is not None, (sheet.title, rule.formula)  # a date without an hour, in its colour as before
                    continue
                plainly = font is not None and (font.b or font.i or font.strike)
                patterned = fill is not None and fill.patternType not in (None, "solid")
                framed = border is not None and any(
                    side is not None and side.style for side in (border.left, border.right, border.top, border.bottom))
                assert plainly or patterned or framed, (sheet.title, rule.formula)
                if fill is not None and fill.bgColor is not None and font is not None:
                    assert contrast(colour(font.color, BLACK), colour(fill.bgColor, WHITE)) >= LEAST_CONTRAST, sheet.title


def test_links_say_where_they_lead(book: Any) -> None:
    for sheet in seen(book):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.hyperlink is not None:
                    assert str(cell.value).strip().casefold() not in SAYS_NOTHING, f"{sheet.title}!{cell.coordinate}"


def test_every_chart_has_its_words(path: Path) -> None:
    with zipfile.ZipFile(path) as parts:
        for name in parts.namelist():
            if re.fullmatch(r"xl/drawings/drawing\d+\.xml", name):
                for shape in re.findall(r"<xdr:cNvPr[^>]*>", parts.read(name).decode()):
                    words = re.search(r'descr="([^"]+)"', shape)
                    assert words and len(words[1]) > 20, (name, shape)


def test_the_cursor_waits_at_the_top(book: Any) -> None:
    for sheet in seen(book):
        view = sheet.sheet_view
        top = {"A1", *(pane.activeCell for pane in view.selection if pane.pane in ("topRight", "bottomLeft"))}
        assert view.topLeftCell in (None, "A1") and {pane.activeCell for pane in view.selection} <= top, sheet.title


def test_no_text_runs_out_of_its_cell_unwrapped(book: Any) -> None:
    """Words of two lines and more are wrapped in their cell."""
    for sheet in seen(book):
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and "\n" in cell.value:
                    assert cell.alignment.wrap_text, f"{sheet.title}!{cell.coordinate}"
