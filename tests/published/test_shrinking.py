"""Differences drawn in by chance, against the meta-analysis of a statistics package."""

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.meta_analysis import combine_effects

from workbook.results.statistics.least_squares import Estimate
from workbook.results.statistics.shrinking import shrunk, spread_between


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(0.1, 5)), min_size=2, max_size=12))
def test_the_spread_between_is_that_of_a_meta_analysis(means: list[tuple[float, float]]) -> None:
    values, errors = (np.array(side) for side in zip(*means, strict=True))
    theirs = combine_effects(values, errors**2, method_re="chi2").tau2
    assert max(theirs, 0.0) == pytest.approx(spread_between([Estimate(*one) for one in means]), rel=1e-6, abs=1e-9)


def test_drawn_in_differences_are_nearer_the_truth() -> None:
    dice, raw, drawn = random.Random(5), [], []
    for _ in range(300):
        true = [dice.gauss(0, 0.5) for _ in range(8)]
        seen = [Estimate(one + dice.gauss(0, error), error) for one in true for error in [dice.choice((0.4, 1.2))]]
        raw += [(one.value - kg) ** 2 for one, kg in zip(seen, true, strict=True)]
        drawn += [(one - kg) ** 2 for one, kg in zip(shrunk(seen, 0.0), true, strict=True)]
    assert np.mean(drawn) < 0.5 * np.mean(raw)


def test_one_class_or_errors_of_nought_are_not_drawn_in_by_anything() -> None:
    assert ([0.0], 0.0) == (shrunk([Estimate(3.0, 1.0)], 1.0), spread_between([Estimate(3.0, 0.0), Estimate(4.0, 1.0)]))
