"""How many of many ewes: the distribution of a count against scipy and against seasons drawn by lot."""

import random
from collections import Counter
from functools import reduce

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from template_builder.forecast.chances import Count, binomial, number_of
from template_builder.forecast.per_day import HIGH, LOW

SEED, SEASONS = 11, 40_000


def test_binomial_is_scipys() -> None:
    for ewes, chance in ((1, 0.3), (30, 0.001), (250, 0.5), (3000, 0.02), (3000, 0.999)):
        count = binomial(ewes, chance)
        there = numpy.arange(count.least, count.least + len(count.chances))
        assert pytest.approx(stats.binom.pmf(there, ewes, chance), abs=1e-12) == count.chances


@pytest.mark.parametrize(("ewes", "chance", "least"), [
    (0, 0.5, 0), (-1, 0.5, 0), (5, 0.0, 0), (5, -0.1, 0), (5, 1.0, 5), (5, 1.1, 5),
])
def test_a_chance_of_none_or_of_all_is_one_number(ewes: int, chance: float, least: int) -> None:
    assert (least, (1.0,)) == (binomial(ewes, chance).least, binomial(ewes, chance).chances)


@pytest.mark.parametrize("flock", [((5, 0.1), (7, 0.9), (1, 0.5)), ((60, 0.2), (200, 0.03), (150, 0.01), (3, 0.999)),
                                   ((400, 0.11), (900, 0.02), (2, 1.0), (9, 0.0))])
def test_a_sum_of_unequal_chances_is_scipys(flock: tuple[tuple[int, float], ...]) -> None:
    count = number_of(flock)
    each = [chance for ewes, chance in flock for _ in range(ewes)]
    by_scipy = stats.poisson_binom(each)
    there = numpy.arange(count.least, count.least + len(count.chances))
    assert pytest.approx(by_scipy.pmf(there), abs=1e-10) == count.chances
    pmfs = (stats.binom.pmf(numpy.arange(ewes + 1), ewes, chance) for ewes, chance in flock)
    convolved = reduce(numpy.convolve, pmfs)
    assert pytest.approx(convolved[there], abs=1e-12) == count.chances
    below = numpy.cumsum(convolved)
    for share in (LOW, 0.5, HIGH):
        assert int(numpy.searchsorted(below, share)) == count.quantile(share)


def test_a_sum_of_unequal_chances_is_what_seasons_drawn_give() -> None:
    flock = ((6, 0.15), (3, 0.4), (20, 0.02))
    dice = random.Random(SEED)
    drawn = Counter(sum(dice.random() < chance for ewes, chance in flock for _ in range(ewes)) for _ in range(SEASONS))
    count = number_of(flock)
    for number, chance in enumerate(count.chances, start=count.least):
        assert pytest.approx(drawn[number] / SEASONS, abs=0.01) == chance


@given(st.lists(st.tuples(st.integers(0, 40), st.floats(0, 1)), max_size=8), st.randoms())
def test_a_count_has_the_mean_of_its_chances_in_any_order(flock: list[tuple[int, float]], dice: random.Random) -> None:
    count = number_of(flock)
    assert pytest.approx(1) == sum(count.chances)
    mean = sum(number * chance for number, chance in enumerate(count.chances, start=count.least))
    assert pytest.approx(sum(ewes * chance for ewes, chance in flock), abs=1e-8) == mean
    shuffled = dice.sample(flock, len(flock))
    assert count.quantile(HIGH) == number_of(shuffled).quantile(HIGH)
    assert count.quantile(LOW) <= count.quantile(0.5) <= count.quantile(HIGH)


def test_a_share_reached_but_for_rounding_is_reached() -> None:
    """Nine tenths added up are a hair less than 0.9."""
    assert (8, 4, 9) == tuple(Count(0, (0.1,) * 10).quantile(share) for share in (0.9, 0.5, 0.91))
