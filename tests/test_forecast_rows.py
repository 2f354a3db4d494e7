"""What the forecast takes from the rows of a season: a ewe, the ram dates of her group, and the day she lambed."""

from datetime import date, datetime

import pytest

from template_builder.forecast.rows import expected_ewes, lambed_each_day
from template_builder.layout.columns import Row, Value

IN, OUT, DAY = date(2026, 10, 20), date(2026, 11, 24), date(2027, 3, 16)


@pytest.mark.parametrize(("written", "group", "ram_in"), [
    ("Low", "low ", IN), ("Low", "Hill", None), ("Low", None, None), ("None", None, None), (None, None, None),
])
def test_a_ewe_has_the_ram_dates_of_her_own_group(written: Value, group: Value, ram_in: date | None) -> None:
    """A group that somebody called "None" is not the group of those without one, and a row of Groups without a name nobody's."""
    groups: list[Row] = [{"group": written, "ram_in": IN, "ram_out": OUT}]
    ewe, = expected_ewes({"groups": groups, "ewes": [{"ewe": "1", "group": group, "scanned": 2}]})
    assert ram_in == ewe.ram_in


@pytest.mark.parametrize("day", [DAY, datetime(2027, 3, 16, 3, 10)])
def test_a_day_with_its_hour_is_that_day(day: date) -> None:
    assert {DAY: 1} == lambed_each_day({"lambing": [{"ewe": "1", "lambed_on": day}, {"ewe": "2", "lambed_on": "?"}]})
