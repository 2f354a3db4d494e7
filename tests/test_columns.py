"""Live columns as they are declared: where each stands, how formulas write its cells, and what they may not say."""

import pytest

from template_builder.layout.choices import Born
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds, names_in, place
from template_builder.live.evaluator.grammar import NotInTheLanguage

COLUMNS = (LiveColumn("seen", "{k}+1"), LiveColumn("read", "{seen}*2", "Read"), LiveColumn("last", '"{row}"', "Last"))


@pytest.mark.parametrize(("sheet", "places"), [
    (LiveSheet("it", COLUMNS), {"k": 1, "seen": 2, "read": 3, "last": 4}),
    (LiveSheet("it", COLUMNS, first_column=7), {"k": 7, "seen": 8, "read": 9, "last": 10}),
    (LiveSheet("it", COLUMNS, helpers_last=True), {"read": 1, "last": 2, "k": 3, "seen": 4}),
    (LiveSheet("it", (LiveColumn("read", "1", "Read"),), numbered=False), {"read": 1}),
])
def test_the_number_of_a_row_stands_before_its_columns_or_behind_those_read(sheet: LiveSheet, places: dict[str, int]) -> None:
    assert places == sheet.places


def test_how_formulas_write_the_cells_of_their_row() -> None:
    sheet = LiveSheet("it", COLUMNS, first_column=25)
    assert ["=$Y{row}+1", "=$Z{row}*2", '="{row}"'] == [sheet.formula(column) for column in COLUMNS]
    assert ("_it!$AA{row}", "live_it_read") == (sheet.beside("read"), sheet.name("read"))


def test_two_columns_of_one_id_are_a_mistake() -> None:
    for again in ("seen", "k"):
        with pytest.raises(ValueError, match=f"two columns have the same id.*{again}"):
            LiveSheet("it", (*COLUMNS, LiveColumn(again, "1")))


def test_the_first_condition_that_holds_decides() -> None:
    assert "IF(1=2,3,IF(4=4,5,6))" == first_that_holds((("1=2", 3), ("4=4", 5)), 6)
    assert "6" == first_that_holds((), 6)


def test_names_are_found_outside_words_in_quotes() -> None:
    assert {"live_ewes_key", "ewes_due"} == names_in(['SUM(live_ewes_key)&"live_lambs_key"', "INDEX(ewes_due,{k})"])


def test_values_of_a_list_are_numbered_from_one() -> None:
    assert [*range(1, len(Born) + 1)] == [place(born) for born in Born]


def test_an_unknown_function_raises_when_declared() -> None:
    for declare in (LiveColumn, LiveCell):
        with pytest.raises(NotInTheLanguage, match="VLOOKUP"):
            declare("x", "VLOOKUP({k},live_ewes_name,1)")
    assert "TODAY(" == LiveCell("x", '"TODAY("').formula.strip('"')


def test_an_unknown_column_raises_when_declared() -> None:
    with pytest.raises(NotInTheLanguage, match="scaned"):
        LiveSheet("ewes", (LiveColumn("scanned", "1"), LiveColumn("x", "{scaned}+1")), rows_of="ewes")
