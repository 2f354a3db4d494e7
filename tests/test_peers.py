"""Ewes are held against those of their age class and litter size, or against all where these are few."""

import pytest

from workbook.results.scores.peers import LitterClass, peers
from workbook.season.ages import AgeClass

TWINS, SINGLES = LitterClass(AgeClass.MATURE, 2), LitterClass(AgeClass.FIRST, 1)


@pytest.mark.parametrize(("number", "words", "held_against"), [
    (9, "all 21 ewes; only 9 first-time, singles", 21), (10, "10 first-time, singles", 10), (11, "11 first-time, singles", 11),
])
def test_a_class_under_ten_is_held_against_all(number: int, words: str, held_against: int) -> None:
    classes = {f"T{i}": TWINS for i in range(12)} | {f"S{i}": SINGLES for i in range(number)}
    found = peers(classes, classes)
    assert words == found["S0"].words
    assert (held_against, "12 mature, twins") == (len(found["S0"].ewes), found["T0"].words)
    assert "S0" in found["S0"].ewes


def test_only_those_asked_about_are_held_against_and_a_ewe_that_is_not_gets_hers_too() -> None:
    classes = {f"T{i}": TWINS for i in range(12)} | {"S": SINGLES}
    among = [f"T{i}" for i in range(1, 12)]
    found = peers(classes, among)
    assert (tuple(among), "11 mature, twins") == found["T0"]
    assert (tuple(among), "all 11 ewes; only 0 first-time, singles") == found["S"]
