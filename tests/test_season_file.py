"""Rows of a season workbook as read: what each cell is taken for, and what is told of it."""

from dataclasses import replace
from datetime import datetime

import pytest
from raw_cells import empty

from template_builder.files.opening import Cell, Cells
from template_builder.layout.columns import NOT_KNOWN, Start
from template_builder.layout.whole import FIRST_ROW, LAYOUT_VERSION, META_TAB, SHEET
from workbook.reading.season_file import Reading, read_cells


def _number(sheet: str, column: str) -> int:
    return 1 + [found.id for found in SHEET[sheet]].index(column)


def _lambs(*rows: dict[str, object]) -> Cells:
    """The workbook as built, with these rows typed on Lambs."""
    book = empty()
    typed = tuple((number, tuple(sorted(Cell(_number("lambs", id), value) for id, value in row.items())))
                  for number, row in enumerate(rows, start=FIRST_ROW))
    return replace(book, tabs={**book.tabs, "Lambs": (*book.tabs["Lambs"], *typed)})


def _setting(key: object, words: object, value: object) -> Reading:
    """One row of Season, in place of those that the build wrote."""
    book = empty()
    cells = {"row_key": key, "setting": words, "value": value}
    row = tuple(sorted(Cell(_number("season", id), found) for id, found in cells.items() if found is not None))
    head = tuple(line for line in book.tabs["Season"] if line[0] < FIRST_ROW)
    return read_cells(replace(book, tabs={**book.tabs, "Season": (*head, (FIRST_ROW, row))}))


@pytest.mark.parametrize(("key", "words", "year"), [
    ("year", "Lambing year", 2027), ("year", "Year of ours", 2027), ("year", None, 2027), (None, "Lambing year", 2027),
    (None, "  LAMBING year", 2027), (2026, "Lambing year", 2027), ("yaer", "Lambing year", 2027), (datetime(2026, 3, 1), 7, None),
    (None, 2027, None),
])
def test_a_setting_is_known_by_its_hidden_key_or_else_by_its_words(key: object, words: object, year: int | None) -> None:
    reading = _setting(key, words, 2027)
    assert year == reading.season.settings.maybe("year")
    assert (["Season!4:4"] if year is None else []) == [
        str(problem.place) for problem in reading.problems if problem.rule.slug == "unknown-setting"]


@pytest.mark.parametrize(("value", "held", "raw"), [
    ("?", NOT_KNOWN, None), (" ? ", NOT_KNOWN, None), ("a few", NOT_KNOWN, "a few"), ("4.5", 4.5, "4.5"),
    (True, NOT_KNOWN, "TRUE"),
])
def test_what_cannot_be_read_is_kept_as_typed_and_a_question_mark_is_not(value: object, held: object, raw: object) -> None:
    (lamb,) = read_cells(_lambs({"ewe": "0412", "lamb_no": 1, "birth_weight": value})).season.rows("lambs")
    assert (held, raw) == (lamb.held("birth_weight"), lamb.raw.get("birth_weight"))


@pytest.mark.parametrize(("cells", "value", "more"), [(1, "4.5", 0), (2, "2 cells", 1), (3, "3 cells", 2)])
def test_a_remark_of_a_column_tells_its_value_or_the_number_of_its_cells(cells: int, value: str, more: int) -> None:
    rows: list[dict[str, object]] = [{"ewe": "0412", "lamb_no": n, "birth_weight": "4.5"} for n in range(1, cells + 1)]
    (remark,) = read_cells(_lambs(*rows)).problems
    assert ("number-as-text", value, more) == (remark.rule.slug, remark.found.value, len(remark.found.also))


def test_a_problem_names_its_row_by_what_the_row_is_about_or_its_number_or_else_its_sheet() -> None:
    book = _lambs({"ewe": "0412", "lamb_no": 1, "birth_weight": "a few"}, {"ewe": "Total", "birth_weight": 4.5})
    book = replace(book, tabs={tab: lines for tab, lines in book.tabs.items() if tab != "Weights"},
                   names={name: cell for name, cell in book.names.items() if cell[0] != "Weights"})
    named = {problem.rule.slug: problem.found.row_name for problem in read_cells(book).problems}
    assert {"not-a-number": "0412-1", "totals-row": "row 5", "sheet-missing": "Weights"} == named


@pytest.mark.parametrize("undated", [False, True])
def test_it_is_told_where_a_file_shows_no_number_as_a_date(undated: bool) -> None:
    season = read_cells(replace(empty(), undated=undated)).season
    assert undated is any("dates stand as bare numbers" in note for note in season.left_alone)


@pytest.mark.parametrize(("cells", "told"), [
    ([Cell(_number("lambs", "tag"), None, "=COUNTA(E4:E8)"), Cell(_number("lambs", "birth_weight"), 12.5, "=SUM(F4:F8)")],
     "“=COUNTA(E4:E8)” reads as a totals row and was left out"),
    ([Cell(_number("lambs", "tag"), "7001", "=E3"), Cell(_number("lambs", "birth_weight"), 12.5, "=SUM(F4:F8)")], None),
    ([Cell(60, 3, "=SUM(BH4:BH8)")], None),
])
def test_a_row_of_sums_in_our_columns_alone_is_one_of_totals_whether_they_were_worked_out_or_not(
    cells: list[Cell], told: str | None,
) -> None:
    book = empty()
    found = read_cells(replace(book, tabs={**book.tabs, "Lambs": (*book.tabs["Lambs"], (FIRST_ROW, tuple(sorted(cells))))}))
    assert ([told] if told else []) == [one.found.text for one in found.problems if one.rule.slug == "totals-row"]
    assert (not told) is bool(found.season.rows("lambs"))


@pytest.mark.parametrize(("written", "title"), [
    ((Cell(1, "title"), Cell(2, "Home 2026")), "Home 2026"), ((Cell(1, "title"),), "Lambing season"),
    ((Cell(1, "name"), Cell(2, "Home")), "Lambing season"),
])
def test_what_a_workbook_is_called_stands_on_its_hidden_tab(written: tuple[Cell, ...], title: str) -> None:
    book = empty()
    assert title == read_cells(replace(book, tabs={**book.tabs, META_TAB: ((1, written),)})).season.called


@pytest.mark.parametrize(("layout", "version"), [(1, 1), (1.0, 1), ("1", None), (None, None)])
def test_the_layout_is_that_of_the_hidden_tab_where_it_is_a_number(layout: object, version: int | None) -> None:
    book = empty()
    meta = ((1, (Cell(1, "start"), Cell(2, "outdoors"))), (2, (Cell(1, "layout"), Cell(2, layout))))
    season = read_cells(replace(book, tabs={**book.tabs, META_TAB: meta})).season
    assert (version or LAYOUT_VERSION, Start.OUTDOORS) == (season.layout, season.start)
