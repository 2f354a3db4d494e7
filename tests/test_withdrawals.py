"""Meat withdrawals as written on Treatments: whom each holds for, until which day, and when nobody can tell."""

from datetime import date, timedelta

import pytest
from seasons import AS_OF, season

from template_builder.layout.choices import TreatedFor
from template_builder.layout.columns import NOT_KNOWN, Row
from workbook.season.season import Season
from workbook.season.withdrawals import Withdrawal, runs_to, treated, withdrawal

TODAY = AS_OF.date()
LAST_WEEK = TODAY - timedelta(7)
DOSE: Row = {"date": LAST_WEEK, "withdrawal": 28, "product": "Drench"}


def of(*treatments: Row) -> Season:
    return season(
        ewes=[{"ewe": "A", "group": "Hill", "also_known_as": "77"}, {"ewe": "B"}], groups=[{"group": "Hill"}, {"group": "Top"}],
        lambing=[{"ewe": "A", "turned_out_to": "Top", "turned_out_on": LAST_WEEK}],
        lambs=[{"ewe": "A", "lamb_no": 1, "tag": "7001"}], treatments=[{**DOSE, **row} for row in treatments])


def hers(*treatments: Row) -> Withdrawal:
    found = of(*treatments)
    return withdrawal(found, found.flock.ewes["a"])


@pytest.mark.parametrize(("row", "holds"), [
    ({"given_to": TreatedFor.EWE, "animal": "a "}, True), ({"given_to": TreatedFor.EWE, "animal": "77"}, True),
    ({"given_to": TreatedFor.EWE, "animal": "B"}, False), ({"given_to": TreatedFor.EWE}, False),
    ({"given_to": TreatedFor.ALL_EWES}, True), ({"given_to": TreatedFor.ALL_EWES, "animal": "B"}, True),
    ({"given_to": TreatedFor.ALL_LAMBS}, False), ({"given_to": TreatedFor.LAMB, "animal": "A-1"}, False),
    ({"given_to": TreatedFor.GROUP, "animal": " HILL"}, True), ({"given_to": TreatedFor.GROUP, "animal": "Top"}, True),
    ({"given_to": TreatedFor.GROUP, "animal": "Low"}, False), ({"given_to": TreatedFor.GROUP}, False), ({"animal": "A"}, False),
])
def test_it_holds_for_her_for_all_ewes_and_for_every_group_she_ran_with(row: Row, holds: bool) -> None:
    found = hers(row)
    assert (holds, holds) == (bool(found), found.ends == LAST_WEEK + timedelta(28))
    assert ["Treatments!H4"] * holds == [str(cell) for cell in found.cells]


@pytest.mark.parametrize(("day", "days", "ends"), [
    (TODAY - timedelta(28), 28, TODAY), (TODAY - timedelta(29), 28, None), (TODAY - timedelta(27), 28, TODAY + timedelta(1)),
    (TODAY, 1, TODAY + timedelta(1)), (TODAY, 0, None), (TODAY + timedelta(1), 28, None),
])
def test_it_runs_to_the_day_that_many_days_later(day: date, days: int, ends: date | None) -> None:
    found = hers({"given_to": TreatedFor.ALL_EWES, "date": day, "withdrawal": days})
    assert (ends, False) == (found.ends, found.unknown)


@pytest.mark.parametrize(("cells", "unknown"), [
    ({}, False), ({"withdrawal": None}, True), ({"withdrawal": NOT_KNOWN}, True), ({"date": None}, True),
    ({"withdrawal": 0}, False),
])
def test_without_a_day_or_a_number_of_days_nobody_can_tell(cells: Row, unknown: bool) -> None:
    found = hers({"given_to": TreatedFor.ALL_EWES, **cells})
    assert (unknown, not unknown and "withdrawal" not in cells) == (found.unknown, found.ends is not None)
    assert ["Treatments!H4"] * bool(found) == [str(cell) for cell in found.cells]


def test_the_last_of_several_counts_and_each_is_named_once() -> None:
    long: Row = {"given_to": TreatedFor.EWE, "animal": "A", "withdrawal": 35}
    found = hers({"given_to": TreatedFor.ALL_EWES}, long, {"given_to": TreatedFor.ALL_EWES, "withdrawal": None})
    assert (LAST_WEEK + timedelta(35), True) == (found.ends, found.unknown)
    assert {"Treatments!H4", "Treatments!H5", "Treatments!H6"} == {str(cell) for cell in found.cells} and 3 == len(found.cells)


@pytest.mark.parametrize(("row", "whom"), [
    ({"given_to": TreatedFor.LAMB, "animal": "7001"}, (TreatedFor.LAMB, 4)),
    ({"given_to": TreatedFor.LAMB, "animal": "A-1"}, (TreatedFor.LAMB, 4)),
    ({"given_to": TreatedFor.LAMB, "animal": "7002"}, None),
    ({"given_to": TreatedFor.ALL_LAMBS, "animal": "7001"}, TreatedFor.ALL_LAMBS), ({"animal": "7001"}, None),
])
def test_a_lamb_is_known_by_its_tag_or_its_name(row: Row, whom: object) -> None:
    assert [whom] == list(treated(of(row)))


@pytest.mark.parametrize(("cells", "ends"), [
    ({}, LAST_WEEK + timedelta(28)), ({"date": None}, None), ({"withdrawal": None}, None), ({"withdrawal": 0}, LAST_WEEK),
    ({"date": date.max}, None),
])
def test_the_day_a_row_runs_to(cells: Row, ends: date | None) -> None:
    assert ends == runs_to(of(cells).rows("treatments")[0])


def test_a_treatment_is_told_by_its_product_and_day() -> None:
    ((one,), (other,)) = (treated(of({"given_to": TreatedFor.ALL_EWES, "product": what}))[TreatedFor.ALL_EWES]
                          for what in ("Drench", None))
    assert ("Drench given on 24 Aug 2026", "a treatment given on 24 Aug 2026") == (one.words, other.words)
