"""A count of lambs held against the book: which lambs the book expects there on that day."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import Born, CameFrom, RearedBy, Stage
from template_builder.layout.columns import Row
from workbook.results.litters.counts import assertions

LAMBED, COUNTED = date(2026, 4, 1), date(2026, 4, 20)


def expected(lamb: Row) -> int:
    """How many lambs the book expects of a ewe's single own lamb and this one."""
    own: Row = {"ewe": "1", "lamb_no": 1, "born": Born.ALIVE}
    of = season(ewes=[{"ewe": "1"}, {"ewe": "2"}], lambing=[{"ewe": "1", "lambed_on": LAMBED}],
                lambs=[own, {"born": Born.ALIVE, **lamb}], counts=[{"date": COUNTED, "stage": Stage.MARKING, "lambs": 2}])
    (counted,) = assertions(of)
    return counted.check.expected


@pytest.mark.parametrize(("days", "there"), [(-1, 2), (0, 2), (1, 1)])
def test_a_lamb_bought_by_itself_is_expected_from_the_day_it_came(days: int, there: int) -> None:
    assert there == expected({"tag": "B1", "came_from": CameFrom.BOUGHT_IN, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "1",
                              "moved_on": COUNTED + timedelta(days=days)})


@pytest.mark.parametrize("days", [-1, 0, 1])
def test_a_lamb_that_came_at_foot_was_here_before_it_was_set_on_to_another(days: int) -> None:
    assert 2 == expected({"ewe": "2", "lamb_no": 1, "came_from": CameFrom.WITH_HER, "reared_by": RearedBy.FOSTER_EWE,
                          "foster_ewe": "1", "moved_on": COUNTED + timedelta(days=days)})


@pytest.mark.parametrize(("days", "there"), [(-1, 2), (0, 2), (1, 1)])
def test_a_lamb_still_under_the_ewe_it_came_with_came_on_the_day_written(days: int, there: int) -> None:
    assert there == expected({"ewe": "2", "lamb_no": 1, "came_from": CameFrom.WITH_HER,
                              "moved_on": COUNTED + timedelta(days=days)})
