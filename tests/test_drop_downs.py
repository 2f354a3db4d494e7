"""Where drop-downs stand in a file, as several programs write it, and what is said where they are missing."""

from dataclasses import replace

import pytest
from damage import flock

from template_builder.files.lists import list_areas
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import HEADING_ROW, LAYOUT_VERSION, META_TAB
from workbook.reading.out_of_sight import area
from workbook.reading.season_file import read_cells

SHEET = '<worksheet xmlns:x14="a" xmlns:xm="b"><sheetData><row/></sheetData>{}</worksheet>'


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Cells:
    return open_cells(flock.write(tmp_path_factory.mktemp("lists") / "season.xlsx"))


def said(cells: Cells) -> list[str]:
    return [f"{problem.place}: {problem.found.text}" for problem in read_cells(cells).problems
            if problem.rule.slug == "drop-downs-missing"]


def with_lists(cells: Cells, *areas: str) -> Cells:
    return replace(cells, lists={**cells.lists, "Lambs": areas})


def lists_but(cells: Cells, column: str, *others: str) -> Cells:
    """The lists of Lambs, those of one column replaced."""
    kept = [one for one in cells.lists["Lambs"] or () if not one.startswith(column)]
    return with_lists(cells, *kept, *others)


@pytest.mark.parametrize(("expected", "after"), [
    (("D4:D9", "D11"), '<dataValidations><dataValidation type="list" sqref="D4:D9 D11"><formula1>x</formula1></dataValidation>'
                       '</dataValidations>'),
    (("D4",), "<dataValidations count='1'><dataValidation sqref='D4' prompt='a > b' type='list'/></dataValidations>"),
    (("D4:D9",), '<extLst><ext><x14:dataValidations><x14:dataValidation type="list"><x14:formula1><xm:f>L!$A$1</xm:f>'
                 '</x14:formula1><xm:sqref>D4:D9</xm:sqref></x14:dataValidation></x14:dataValidations></ext></extLst>'),
    ((), '<dataValidations><dataValidation type="custom" sqref="D4"/></dataValidations>'),
    ((), ""),
])
def test_lists_are_found_as_programs_write_them(expected: tuple[str, ...], after: str) -> None:
    assert expected == list_areas(SHEET.format(after).encode())


@pytest.mark.parametrize("data", [
    SHEET.format("").encode("utf-16"), b"<worksheet><sheetData/></worksheet>", b"", b"<worksheet><sheetData></sheetData><x>",
    SHEET.format(f'<dataValidation type="list" sqref="{"D4 " * 10_001}"/>').encode(),
    SHEET.format('<a b="\u00e9"/>').encode("latin-1"),
])
def test_what_cannot_be_told_is_not_known(data: bytes) -> None:
    assert list_areas(data) is None


def test_lists_with_a_prefix_are_found() -> None:
    data = b'<x:worksheet><x:sheetData></x:sheetData><x:dataValidation type="list" sqref="D4"/></x:worksheet>'
    assert ("D4",) == list_areas(data)


def test_the_build_gives_a_list_to_every_column_of_choices_and_to_no_other(whole: Cells) -> None:
    for sheet in SHEETS:
        if sheet.id == "season":  # each of its rows is of a kind of its own
            continue
        titles = {cell.column: cell.value for number, row in whole.tabs[sheet.title] if number == HEADING_ROW for cell in row}
        areas = [place for one in whole.lists[sheet.title] or () if (place := area(one))]
        found = {titles[number] for left, _, right, _ in areas for number in range(left, right + 1)}
        assert {column.title for column in sheet if column.choices} == found, sheet.title


def test_nothing_is_said_of_a_workbook_as_built(whole: Cells) -> None:
    assert [] == said(whole)


def test_columns_and_rows_without_drop_downs_are_told_in_one_note(whole: Cells) -> None:
    assert ["Lambs!C3: the drop-downs are gone in Sex"] == said(lists_but(whole, "C"))
    assert ["Lambs!C3: 2 filled rows, the first in row 4, are without drop-downs in Sex"] == said(
        lists_but(whole, "C", "C6:C9", "C8:C300"))
    assert ["Lambs!C3: the drop-downs are gone"] == said(with_lists(whole))
    assert [] == said(lists_but(whole, "C", "C4:C5", "C6", "C7:C300"))


def test_nothing_is_said_where_nobody_can_tell(whole: Cells) -> None:
    wiped = with_lists(whole)
    nameless = replace(wiped, names={name: at for name, at in whole.names.items() if at[0] != "Lambs"})
    older = replace(wiped, tabs={**whole.tabs, META_TAB: ((1, (Cell(1, "layout"), Cell(2, LAYOUT_VERSION - 1))),)})
    for cells in (nameless, older, replace(whole, lists={})):
        assert [] == said(cells)
    assert said(wiped)
