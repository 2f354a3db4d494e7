"""Where a ewe stands: a third each by construction, those alike together, and places in the flock."""

from collections import Counter

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.results.scores.standing import FEW_TO_COMPARE, LOWER, MIDDLE, UPPER, places, third

THIRDS = (UPPER, MIDDLE, LOWER)


def thirds(scores: list[float]) -> list[str]:
    return [third(score, scores) for score in scores]


@pytest.mark.parametrize(("number", "words"), [
    (9, {FEW_TO_COMPARE: 9}), (10, {UPPER: 3, MIDDLE: 4, LOWER: 3}), (11, {UPPER: 4, MIDDLE: 3, LOWER: 4}),
    (12, {UPPER: 4, MIDDLE: 4, LOWER: 4}), (13, {UPPER: 4, MIDDLE: 5, LOWER: 4}),
])
def test_a_third_each(number: int, words: dict[str, int]) -> None:
    assert words == Counter(thirds([float(score) for score in range(number)]))


def test_those_alike_stand_together_where_the_middle_of_them_stands() -> None:
    assert [MIDDLE] * 12 == thirds([80.0] * 12)
    # Of twelve, ten alike at the top: the middle of them is fifth to sixth, in the middle third.
    assert [MIDDLE] * 10 + [LOWER] * 2 == thirds([90.0] * 10 + [80.0, 70.0])
    # Six alike at the top: their middle is third to fourth, in the upper third.
    assert [UPPER] * 6 + [MIDDLE] * 2 + [LOWER] * 4 == thirds([90.0] * 6 + [80.0, 79.0, 78.0, 77.0, 76.0, 75.0])


@pytest.mark.parametrize(("alike", "word"), [(7, UPPER), (8, MIDDLE), (9, MIDDLE)], ids=["inside", "on the cut", "outside"])
def test_the_cut_between_two_thirds(alike: int, word: str) -> None:
    assert word == third(90.0, [90.0] * alike + [float(score) for score in range(12 - alike)])


@settings(max_examples=examples(200), deadline=None)
@given(st.lists(st.integers(0, 100).map(float), min_size=10, max_size=80))
def test_a_third_each_but_for_those_alike(scores: list[float]) -> None:
    """No third is out by more than half of the most ewes alike at each of its ends; a higher score never stands lower."""
    words = dict(zip(scores, thirds(scores), strict=True))
    counted, alike = Counter(thirds(scores)), max(Counter(scores).values())
    assert abs(counted[UPPER] - len(scores) / 3) <= alike / 2
    assert abs(counted[LOWER] - len(scores) / 3) <= alike / 2
    order = [THIRDS.index(words[score]) for score in sorted(words, reverse=True)]
    assert sorted(order) == order


def test_places_are_shared_by_those_alike() -> None:
    best_first = {"a": (0.0, -90.0), "b": (0.0, -95.0), "c": (0.0, -90.0), "d": (1.0, -99.0)}
    assert {"a": 2, "b": 1, "c": 2, "d": 4} == places(best_first)
    assert {} == places({})
