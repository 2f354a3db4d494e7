"""Weights brought to an age, against what is published of the method."""

import pytest

from workbook.results.scores.adjusted import adjusted_weight, window


def test_windows_published_as_adequate() -> None:
    # Boggess and others 1991, J Anim Sci 69:3190 (abstract): adequate at 30 +- 7, 60 +- 7 and 90 +- 28 days.
    assert {30: 7, 60: 7, 90: 28} == {age: window(age) for age in (30, 60, 90)}


def test_an_age_between_takes_the_window_of_the_nearest() -> None:
    # House rule: nothing is published for other ages.
    assert [7, 7, 28, 28] == [window(age) for age in (20, 70, 80, 120)]


@pytest.mark.parametrize(
    ("weight", "birth_weight", "age", "target", "expected"),
    [
        # Inputs printed on a farm's own page (pounds), its answer was cut off; result by own arithmetic.
        (45, 7.5, 66, 60, 41.5909),
        # Own arithmetic: 25.5 kg gained in 84 days is 0.30357 kg a day.
        (30.0, 4.5, 84, 90, 31.8214),
        # Own arithmetic, one lamb at five ages.
        (22.0, 4.0, 56, 50, 20.0714),
        (22.0, 4.0, 56, 56, 22.0),
        (22.0, 4.0, 56, 60, 23.2857),
        (22.0, 4.0, 56, 100, 36.1429),
        (22.0, 4.0, 56, 120, 42.5714),
        # The same straight line at 205 days in calves (beef improvement guideline; own arithmetic, before dam's age).
        (480, 80, 190, 205, 511.579),
    ],
)
def test_straight_line_through_birth_weight(
    weight: float, birth_weight: float, age: float, target: float, expected: float,
) -> None:
    assert expected == pytest.approx(adjusted_weight(weight, birth_weight, age, target), abs=1e-3)


def test_the_choice_of_constant_birth_weight_makes_little_difference() -> None:
    # Boggess and others 1991 report this; here own arithmetic: half a kilogram at birth moves 90 days by 0.04 kg.
    light, heavy = (adjusted_weight(30.0, birth_weight, 84, 90) for birth_weight in (4.0, 4.5))
    assert -0.0357 == pytest.approx(heavy - light, abs=1e-4)
