"""Hidden marks of rows laid ready: beside their rows after a sort that left them behind; a correction is none."""

from datetime import date

import pytest
from seasons import records

from template_builder.layout.laying import lay_ready, row_key
from template_builder.layout.whole import SHEET
from workbook.reading.row_keys import beside_their_rows
from workbook.season.laid_ready import as_laid, left_behind, too_many

LAMBING = SHEET["lambing"]
DUE = date(2026, 3, 16)


def test_each_row_has_its_own_key_after_a_sort_that_left_the_keys_behind() -> None:
    sheet = SHEET["lambing"]
    rows = lay_ready([{"ewe": f"04{number:02d}", "scanned": 1 + number % 2} for number in range(12)])["lambing"]
    keys = [row["row_key"] for row in rows]
    sorted_apart = [{**row, "row_key": key} for row, key in zip(reversed(rows), keys, strict=True)]
    seen, problems = beside_their_rows(sheet, records("lambing", sorted_apart))
    assert list(reversed(keys)) == [row.key for row in seen]
    assert ["R128"] == [problem.rule.id for problem in problems]


@pytest.mark.parametrize(("changed", "marked", "asked"), [(2, 10, False), (3, 10, True), (3, 59, True), (3, 60, False)])
def test_more_rows_than_corrections_of_the_scan(changed: int, marked: int, asked: bool) -> None:
    assert asked is too_many(changed, marked)


ROWS = lay_ready([{"ewe": f"040{number}", "scanned": 2} for number in range(5)])["lambing"]
KEYS = [str(row["row_key"]) for row in ROWS]


@pytest.mark.parametrize(("order", "found"), [
    ((0, 1, 2, 3), {}), ((1, 0, 2, 3), {0: KEYS[1], 1: KEYS[0]}),
    ((1, 2, None, 3), {0: KEYS[1], 1: KEYS[2], 2: None}),  # where the first stood and where the third is now a row not laid ready
    ((0, 1, None, 3), {}),  # a correction
    ((1, 1, 2, 3), {}),  # a number twice: its column was sorted by itself
    ((4, 1, 2, 3), {}),  # its mark stands nowhere
    ((1, 0, None, 3), {0: KEYS[1], 1: KEYS[0]}),  # a correction beside two that changed places keeps its own
    ((1, 2, 2, 3), {0: KEYS[1], 1: None}),  # which of two that are the same belongs there nobody knows
])
def test_whose_mark_stands_elsewhere(order: tuple[int | None, ...], found: dict[int, str | None]) -> None:
    rows = [{**({"ewe": "0499", "scanned": 1} if whose is None else ROWS[whose]), "row_key": key}
            for whose, key in zip(order, KEYS, strict=False)]
    assert found == left_behind(LAMBING, records("lambing", rows))


DUE_SINCE = {"due": DUE}


def test_a_row_that_changed_places_is_known_by_what_it_was_laid_with() -> None:
    rows = [{**ROWS[1], **DUE_SINCE, "row_key": KEYS[0]}, {**ROWS[0], "row_key": KEYS[1]}]
    assert {0: KEYS[1], 1: KEYS[0]} == left_behind(LAMBING, records("lambing", rows))


def test_a_row_that_fits_its_own_mark_stays_whatever_other_it_fits() -> None:
    other = row_key(LAMBING, {**ROWS[0], **DUE_SINCE})
    rows = [{**ROWS[0], **DUE_SINCE}, {**ROWS[1], "row_key": other}]
    assert {} == left_behind(LAMBING, records("lambing", rows))


@pytest.mark.parametrize(("lost", "marked", "by_hand", "found"), [
    (2, 4, 0, True), (3, 5, 0, False), (3, 59, 0, False), (3, 60, 0, True), (3, 59, 9, False), (0, 4, 3, True),
])
def test_marks_are_put_back_while_few_rows_are_like_none_laid(lost: int, marked: int, by_hand: int, found: bool) -> None:
    """Two rows changed places, some are corrected, and some typed by hand are the same as one laid ready."""
    rows = lay_ready([{"ewe": f"1{number:03}", "scanned": 2} for number in range(marked)])["lambing"]
    keys = [str(row["row_key"]) for row in rows]
    corrected = [{**row, "scanned": 5} for row in rows[2:2 + lost]]
    typed = [{**rows[-1], "row_key": None}] * by_hand
    given = [{**rows[1], "row_key": keys[0]}, {**rows[0], "row_key": keys[1]}, *corrected, *rows[2 + lost:], *typed]
    assert ({0: keys[1], 1: keys[0]} if found else {}) == left_behind(LAMBING, records("lambing", given))


def test_marks_of_settings_and_of_sheets_without_marks_are_never_left_behind() -> None:
    settings = records("season", [{"row_key": "year", "value": 2026}, {"row_key": "flock", "value": "Home"}])
    counts = records("counts", [{"lambs": 2}, {"lambs": 3}])
    assert [{}, {}] == [left_behind(SHEET["season"], settings), left_behind(SHEET["counts"], counts)]


@pytest.mark.parametrize(("cells", "fits"), [
    ({}, True), ({"due": None}, False), ({"scanned": 3}, False), ({"notes": "quiet"}, True), ({"row_key": None}, False),
])
def test_a_row_fits_its_mark_while_no_cell_it_was_laid_with_has_changed(cells: dict[str, object], fits: bool) -> None:
    (row,) = lay_ready([{"ewe": "0412", "scanned": 2, "due": DUE}])["lambing"]
    (found,) = records("lambing", [{**row, **cells}])  # type: ignore[dict-item]
    assert fits is as_laid(LAMBING, found)


def test_a_cell_that_was_blank_when_it_was_laid_may_be_filled() -> None:
    (row,) = lay_ready([{"ewe": "0412", "scanned": 2}])["lambing"]
    assert as_laid(LAMBING, records("lambing", [{**row, "due": DUE}])[0])
