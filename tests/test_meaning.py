"""What signs and functions of formulas mean for single values, at the edges that programs share or leave alone."""

from datetime import date

import pytest

from template_builder.live.evaluator.meaning import Fault, close, day_of, floor, text_of


@pytest.mark.parametrize(("number", "words"), [
    (10**15 - 1, "999999999999999"), (10.0**15 - 1, "999999999999999"), (1 - 10**15, "-999999999999999"), (2.5, "2.5"),
    (10**15, "1E+15"), (10.0**15, "1E+15"), (-(10**15), "-1E+15"), (12345678901234567, "1.23456789012346E+16"),
])
def test_a_number_in_words_has_at_most_15_figures(number: float, words: str) -> None:
    """Programs differ on how they write longer ones, so these are not asked of LibreOffice."""
    assert words == text_of(number)


@pytest.mark.parametrize(("one", "other", "alike"), [
    (0.3, 0.1 + 0.2, True), (-0.3, -0.1 - 0.2, True), (1.0, 1 + 2.0**-50, True), (1.0, 1 + 2.0**-47, False), (0, 1e-300, False),
    (1e-300, -1e-300, False), (2.0**53 - 1, 2.0**53 - 2, False), (2.0**53, 2.0**53 + 2, True), (2.0**53 - 1, 2.0**53, True),
])
def test_numbers_are_the_same_but_for_what_fractions_leave(one: float, other: float, alike: bool) -> None:
    """Whole numbers that are exact differ from one another, however large."""
    assert alike == close(one, other) == close(other, one)


@pytest.mark.parametrize(("value", "whole"), [
    (2.9999999999999996, 3), (2.99999, 2), (-1e-16, -1), (-1.9999999999999998, -2), (2.0**41 - 2.0**-11, 2**41),
    (2.0**41 + 1 - 2.0**-11, 2**41), (1000.999, 1000),
])
def test_a_whole_number_lacking_a_rounding_counts_as_whole(value: float, whole: int) -> None:
    assert whole == floor(value)


@pytest.mark.parametrize(("number", "day"), [
    (60, None), (60.99, None), (61, date(1900, 3, 1)), (2_958_465.9, date(9999, 12, 31)),
    (2_958_466, None), (-5, None), (1e300, None),
])
def test_a_number_is_a_date_from_march_1900_to_9999_and_else_an_error(number: float, day: date | None) -> None:
    if day is None:
        with pytest.raises(Fault, match="#VALUE!"):
            day_of(number)
    else:
        assert day == day_of(number)
