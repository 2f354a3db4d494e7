"""Conditions of reading and merging that few files turn on: each case is one in which a single word decides what is read."""

import re
from dataclasses import replace
from datetime import datetime, time
from math import inf
from pathlib import Path

import pytest
from seasons import records

from template_builder.build import Plan, build
from template_builder.files.opening import Cell, Cells, Line, open_cells
from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import Sheet, Start
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import HEADING_ROW, KEY_ROW, META_TAB, SHEET, TITLE_ROW
from template_builder.live.evaluator.grammar import NotInTheLanguage, parse
from workbook.reading import anchors
from workbook.reading.date_columns import DateColumn
from workbook.reading.long_texts import LONGEST_OWN, long_headings
from workbook.reading.rows import as_written
from workbook.reading.season_file import read_cells

LAMBS = SHEET["lambs"]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("small") / "season.xlsx"
    build(path, Plan("Small", lay_ready([{"ewe": "0412", "scanned": 1}]), start=Start.OUTDOORS))
    return path


@pytest.fixture(scope="module")
def cells(small: Path) -> Cells:
    return open_cells(small)


def with_tab(cells: Cells, tab: str, lines: list[Line]) -> Cells:
    return replace(cells, tabs={**cells.tabs, tab: tuple(lines)})


# Values


@pytest.mark.parametrize(("stands", "written"), [
    (datetime(1899, 12, 31), "31 Dec 1899"), (datetime(1900, 1, 1), datetime(1900, 1, 1)),
    (1.5, 1.5), (inf, "inf"), (True, "TRUE"), ("a", "a"), (datetime(2026, 4, 1), datetime(2026, 4, 1)), (time(6), time(6)),
])
def test_what_is_written_again_is_a_value_a_cell_can_hold(stands: object, written: object) -> None:
    assert (written, type(written)) == (as_written(stands), type(as_written(stands)))


def test_a_time_alone_has_no_day() -> None:
    (row,) = records("lambing", [{"lambed_on": time(6, 30)}])
    assert None is row.day("lambed_on")


def test_dates_of_one_order_settle_it_and_of_both_do_not() -> None:
    first, second = {"13/3/2026": 4}, {"3/13/2026": 5}
    assert DateOrder.MDY is DateColumn("Lambs", 1, {DateOrder.MDY: second}).settled
    assert None is DateColumn("Lambs", 1, {DateOrder.DMY: first, DateOrder.MDY: second}).settled
    assert None is DateColumn("Lambs", 1).settled


# Sheets and headings


def test_which_start_a_workbook_was_built_for_is_read(cells: Cells) -> None:
    assert Start.OUTDOORS is read_cells(cells).season.start
    assert Start.INDOORS is read_cells(replace(cells, tabs={tab: lines for tab, lines in cells.tabs.items() if tab != META_TAB})
                                       ).season.start


@pytest.mark.parametrize(("older", "told"), [(False, True), (True, False)])
def test_only_a_sheet_as_old_as_the_workbook_is_missed(
    cells: Cells, older: bool, told: bool, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Sheet, "since", property(lambda sheet: 2 if older and sheet.id == "weights" else 1))
    without = replace(cells, tabs={tab: lines for tab, lines in cells.tabs.items() if tab != SHEET["weights"].title})
    found, problems = anchors.anchor(without, 1)
    assert "weights" not in found and "lambs" in found
    assert told is any(problem.place.sheet == SHEET["weights"].title for problem in problems)


def test_without_headings_a_word_beside_the_title_is_no_record(cells: Cells) -> None:
    mine = (Cell(7, "Top field"), Cell(8, "by the gate"), Cell(9, "ask Zebedee"))
    lines = [(number, (*line, *mine) if number == TITLE_ROW else line)
             for number, line in cells.tabs["Lambs"] if number != HEADING_ROW]
    unnamed = replace(with_tab(cells, "Lambs", lines), names={})
    found, _ = anchors.anchor(unnamed)
    assert (KEY_ROW, TITLE_ROW) == (1, found["lambs"].heading_row)


@pytest.mark.parametrize(("more", "told"), [(0, False), (1, True)])
def test_only_an_own_heading_can_be_too_long(cells: Cells, more: int, told: bool) -> None:
    text = "x" * (LONGEST_OWN + more)
    places = (LAMBS.lead + 3, len(LAMBS.columns) + 4)
    lines = [(number, (*(cell for cell in line if cell.column not in places), *(Cell(place, text) for place in places))
              if number == HEADING_ROW else line) for number, line in cells.tabs["Lambs"]]
    written = with_tab(cells, "Lambs", lines)
    found, _ = anchors.anchor(written)
    assert [places[1]] * told == [problem.place.column for problem in long_headings(written, found["lambs"])]


# Merging


# Formulas


@pytest.mark.parametrize(("formula", "word"), [("(1+2", "''"), ("IF(1=1,2 3", "'3'"), ("(1+2 4)", "'4'"), ("1+)", "')'")])
def test_a_formula_is_refused_by_the_word_that_stands_wrong(formula: str, word: str) -> None:
    with pytest.raises(NotInTheLanguage, match=f"^{re.escape(word)} stands where it cannot"):
        parse(formula)
