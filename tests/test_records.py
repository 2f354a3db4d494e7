"""A record answers only for columns its sheet has: a slip of the code is never a blank cell."""

from collections.abc import Callable
from datetime import date, datetime, time

import pytest

from template_builder.layout.choices import Born
from template_builder.layout.columns import NOT_KNOWN, OWN, Value
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.whole import SHEET
from workbook.season.cells import Record, UnknownColumn

GETTERS: list[Callable[[Record, str], object]] = [
    Record.__getitem__, Record.filled, Record.held, Record.written, Record.at, Record.text, Record.whole, Record.number,
    Record.day, Record.clock, lambda record, column: record.choice(column, Born),
]


def lamb(sheet: str = "lambs", **values: Value) -> Record:
    """A row of a sheet that has none but its columns of number and born."""
    return Record(sheet, "season.xlsx", "Lambs", 4, values, {"lamb_no": 2, "born": 5}, frozenset(("ewe", "lamb_no")))


@pytest.mark.parametrize("getter", GETTERS)
def test_an_unknown_column_is_told_by_sheet_and_name(getter: Callable[[Record, str], object]) -> None:
    with pytest.raises(UnknownColumn, match="the sheet lambs has no column burth_weight"):
        getter(lamb(), "burth_weight")


@pytest.mark.parametrize("getter", GETTERS)
def test_every_column_of_the_sheet_may_be_asked_for_and_every_own_one(getter: Callable[[Record, str], object]) -> None:
    for column in (*(column.id for column in SHEET["lambs"]), f"{OWN}My no."):
        getter(lamb(), column)


def test_filled_asks_until_one_is_filled() -> None:
    assert lamb(born=Born.ALIVE).filled("tag", "born")
    with pytest.raises(UnknownColumn):
        lamb().filled("tag", "burn")


def test_rows_of_the_programs_own_lists_have_their_columns() -> None:
    assert [None] * len(TO_CORRECT.own_columns) == [lamb(TO_CORRECT.id)[column.id] for column in TO_CORRECT.own_columns]


def test_own_columns_do_not_make_a_row_touched() -> None:
    own: dict[str, Value] = {f"{OWN}My no.": 7}
    assert not lamb(ewe="0412", lamb_no=1, row_key="k", **own).touched
    assert lamb(ewe="0412", lamb_no=1, row_key="k", born=Born.ALIVE, **own).touched
    assert 7 == lamb(**own)[f"{OWN}My no."]


@pytest.mark.parametrize(("value", "kinds"), [
    ("7001", {"text"}), (2, {"whole", "number"}), (2.5, {"number"}), (date(2026, 4, 1), {"day"}),
    (datetime(2026, 4, 1, 3), {"day", "clock"}), (time(3), {"clock"}), (Born.ALIVE, set()), (NOT_KNOWN, set()),
])
def test_a_value_of_another_kind_is_none(value: Value, kinds: set[str]) -> None:
    record = lamb(notes=value)
    assert kinds == {kind for kind in ("text", "whole", "number", "day", "clock") if getattr(record, kind)("notes") is not None}
