"""Records, live formulas and paper say alike which ewes have lambed."""

from datetime import date, datetime

import pytest
from live_cells import in_rows
from seasons import season

from template_builder.layout.columns import NOT_KNOWN, Kind, Row, Value
from template_builder.layout.laying import lay_ready
from template_builder.layout.sheets.lambing import LAMBED, LAMBING
from template_builder.live_values import live_values
from template_builder.paper.animals import PaperFlock

NIGHT = datetime(2026, 3, 25, 3, 0)
OTHERS = [column.id for column in LAMBING.own_columns if column.id not in (*LAMBED, "ewe", "scanned", "due", "line")]


def some_value(id: str) -> Value:
    """A value that may stand in the column; for a number the least, which is 0 born."""
    column = LAMBING.column(id)
    if column.choices:
        return next(iter(column.choices))
    kinds: dict[Kind, Value] = {Kind.DATE: date(2026, 3, 24), Kind.MOMENT: datetime(2026, 3, 24, 2, 0)}
    return kinds.get(column.kind, "words" if column.least is None else column.least)


def told(written: Row) -> tuple[bool, bool, bool]:
    """Whether a ewe has lambed, by a row of Lambing written in: as records, live formulas and paper have it."""
    rows = lay_ready([{"ewe": "1", "scanned": 2}])
    rows["lambing"] = [{**rows["lambing"][0], **written}]
    live = in_rows(live_values(rows, NIGHT))["ewes"][0]
    return season(**rows).flock.ewes["1"].lambed, live["lambed"] == 1, not PaperFlock.of(rows).to_lamb


@pytest.mark.parametrize("value", ["some value", "?"])
@pytest.mark.parametrize("id", LAMBED)
def test_each_column_by_itself_says_that_she_lambed(id: str, value: str) -> None:
    assert (True, True, True) == told({id: NOT_KNOWN if value == "?" else some_value(id)})


@pytest.mark.parametrize("id", OTHERS)
def test_no_other_column_says_so(id: str) -> None:
    assert (False, False, False) == told({id: some_value(id)})


def test_a_row_laid_ready_says_nothing() -> None:
    assert (False, False, False) == told({})
