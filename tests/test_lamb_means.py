"""Adjusted means of lamb weights: which classes have a row, and what a table cannot be told from."""

import pytest
from weighed_lambs import flock, tables

from workbook.results.scores.comparing import Comparison
from workbook.results.scores.lamb_means import _large as large


def test_a_class_has_ten_lambs_before_its_mean_is_told() -> None:
    found: Comparison[int] = Comparison({}, classes={"sex": ("ewe", "ram", "wether")}, numbers={
        ("sex", "ewe"): 9, ("sex", "ram"): 10, ("sex", "wether"): 11})
    assert ["ram", "wether"] == large(found, "sex")


@pytest.mark.parametrize(("few", "expected"), [
    (9, {"T1": 20, "T2": 29}), (10, {"T1": 20, "T2": 20, "T3": 10}), (11, {"T1": 20, "T2": 20, "T3": 11}),
])
def test_no_ram_has_a_row_with_under_ten_lambs(few: int, expected: dict[str, int]) -> None:
    found = tables(flock({"T1": 20, "T2": 20, "T3": few}))["ram"]
    assert sorted(expected.values()) == sorted(one.number for one in found.classes)
    assert all(one.number >= 10 for table in tables(flock({"T1": 20, "T2": 20, "T3": few})).values() for one in table.classes)


def test_many_rams_of_few_lambs_are_one_class_and_lambs_of_no_ram_written_another() -> None:
    found = tables(flock({"T1": 20, "": 12, "a": 4, "b": 4, "c": 4}))["ram"]
    assert {"T1": 20, "not written": 12, "rams of few lambs": 12} == {one.name: one.number for one in found.classes}


def test_where_nothing_is_written_or_all_is_one_class_there_is_no_table() -> None:
    assert ["sex", "breed of ewe"] == list(tables(flock({"": 40})))


def test_rams_that_served_one_breed_each_are_told_with_it() -> None:
    found = tables(flock({"T1": 20, "T2": 20}, breed_by_ram=True))
    assert (("ram",), ("breed of ewe",)) == (found["breed of ewe"].left_out, found["ram"].left_out)
    assert () == tables(flock({"T1": 20, "T2": 20}))["ram"].left_out


def test_differences_stand_against_the_flock_and_are_drawn_in_by_chance() -> None:
    alike, apart = (tables(flock({"T1": 30, "T2": 30, "T3": 30}, heavier=kg))["ram"] for kg in (0.0, 4.0))
    assert {0.0} == {one.shrunk for one in alike.classes}
    best = next(one for one in apart.classes if one.name == "T1")
    assert 4 - 4 / 3 == pytest.approx(best.above, abs=0.2)
    assert 0.8 * best.above < (best.shrunk or 0.0) < best.above
    assert {None} == {one.shrunk for one in tables(flock({"T1": 30}))["sex"].classes}


def test_what_cannot_be_told_at_all_says_from_what_else_and_has_no_rows() -> None:
    """All ewes of one breed are older: the ages are told with breed left out, the breeds cannot be told from the ages."""
    found = tables(flock({"T1": 20, "T2": 20}, age_by_breed=True))
    assert ((), ("ram",)) == (found["breed of ewe"].classes, found["breed of ewe"].left_out)
    assert (2, ("breed of ewe",)) == (len(found["age of ewe"].classes), found["age of ewe"].left_out)
