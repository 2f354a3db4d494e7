"""Limits of a funnel plot and how far farms differ, against scipy and numpy; a planted farm is found and few others are."""

import numpy as np
import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.stats.mstats import winsorize
from simulated_farms import PLANTED, as_numbers

from workbook.comparing.funnels import Funnel, funnels
from workbook.comparing.letters import lettered
from workbook.results.statistics.funnel import (
    FAR,
    LEAST_FOR_SPREAD,
    Limits,
    Outside,
    Spread,
    exact_counts,
    limits,
    outside,
    pooled,
    pooled_effect,
    spread,
    winsorised,
)

TAILS = (0.001, 0.025, 0.975, 0.999)


@pytest.mark.parametrize(("effect", "phi", "stretch"), [
    (1.0, None, 1.0), (4.0, None, 2.0), (1.0, 0.9, 1.0), (1.0, 1.0, 1.0), (1.0, 1.21, 1.1), (0.5, 1.21, 1.1), (4.0, 2.25, 3.0)])
def test_limits_stand_further_off_by_litter_mates_and_by_how_far_farms_differ(
    effect: float, phi: float | None, stretch: float,
) -> None:
    assert stretch == pytest.approx(Spread(effect, phi).stretch)


@settings(max_examples=examples(60), deadline=None)
@given(st.integers(1, 3000), st.floats(0.001, 0.999))
def test_limits_are_those_of_the_binomial(animals: int, share: float) -> None:
    """Each count is scipy's quantile, or where a sum falls on the limit to the last digit, one that is as good."""
    for count, tail in zip(exact_counts(animals, share), TAILS, strict=True):
        known = stats.binom.ppf(tail, animals, share)
        near = abs(stats.binom.cdf(min(count, known), animals, share) - tail) < 1e-9
        assert known == count or near


@pytest.mark.parametrize(("animals", "share"), [(10, 0.05), (100, 0.12), (250, 0.15), (1200, 0.03), (20_000, 0.5), (1, 0.2)])
def test_a_farm_like_its_group_is_seldom_outside(animals: int, share: float) -> None:
    low_alarm, low_warn, high_warn, high_alarm = exact_counts(animals, share)
    alike = stats.binom(animals, share)
    assert alike.sf(high_warn) <= 0.025 and alike.cdf(low_warn - 1) <= 0.025
    assert alike.sf(high_alarm) <= 0.001 and alike.cdf(low_alarm - 1) <= 0.001
    assert (low_alarm, low_warn, high_warn, high_alarm) == tuple(stats.binom.ppf(TAILS, animals, share))


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, 1.1])
def test_no_limits_round_none_or_all(share: float) -> None:
    with pytest.raises(ValueError, match="limits round"):
        exact_counts(10, share)


@pytest.mark.parametrize(("lost", "where"), [
    (8, Outside.BELOW_ALARM), (9, Outside.BELOW_WARN), (10, Outside.BELOW_WARN),
    (11, Outside.BELOW_WARN), (12, Outside.INSIDE), (13, Outside.INSIDE),
    (27, Outside.INSIDE), (28, Outside.INSIDE), (29, Outside.ABOVE_WARN),
    (32, Outside.ABOVE_WARN), (33, Outside.ABOVE_WARN), (34, Outside.ABOVE_ALARM),
])
def test_just_inside_on_and_just_outside_each_limit(lost: int, where: Outside) -> None:
    """Of 100 at one in five; one on a limit is inside it."""
    assert [9, 12, 28, 33] == list(stats.binom.ppf(TAILS, 100, 0.2))
    assert where is outside(lost / 100, limits(100, 0.2))


def test_limits_moved_out_stand_so_many_times_as_far() -> None:
    exact, moved = limits(200, 0.3), limits(200, 0.3, 1.5)
    assert [pytest.approx(0.3 + 1.5 * (one - 0.3)) for one in exact] == list(moved)
    assert Limits(0.0, 0.0, 1.0, 1.0) == limits(10, 0.5, 9.0)


@settings(max_examples=examples(60), deadline=None)
@given(st.lists(st.floats(-9, 9), min_size=1, max_size=60))
def test_drawn_in_as_scipy_does(values: list[float]) -> None:
    assert list(np.asarray(winsorize(np.array(values), limits=(0.1, 0.1)))) == winsorised(values)


def test_of_no_farms_none_is_drawn_in() -> None:
    assert [] == winsorised([])


def test_spread_worked_out_again_with_numpy() -> None:
    dice = np.random.default_rng(7)
    of = dice.integers(40, 300, 24)
    lost = dice.binomial(of, dice.beta(6, 34, 24))
    effects = dice.uniform(0.8, 1.6, 24)
    share, effect = lost.sum() / of.sum(), (np.maximum(effects, 1) * of).sum() / of.sum()
    z = (lost - of * share) / np.sqrt(of * share * (1 - share) * effect)
    found = spread(list(zip(lost.tolist(), of.tolist(), strict=True)), effects.tolist())
    assert pytest.approx((np.asarray(winsorize(z, limits=(0.1, 0.1))) ** 2).mean()) == found.phi
    assert pytest.approx(effect) == found.effect
    assert pytest.approx(np.sqrt(effect * max(1, found.phi or 0))) == found.stretch


@pytest.mark.parametrize(("more", "told"), [(-1, False), (0, True), (1, True)])
def test_with_few_farms_spread_is_not_told(more: int, told: bool) -> None:
    farms = LEAST_FOR_SPREAD + more
    assert told == (spread([(5, 50), (20, 60)] + [(10, 80)] * (farms - 2), [1.0] * farms).phi is not None)


def test_chance_alone_never_draws_limits_in() -> None:
    assert 1.0 == Spread(0.7, 0.4).stretch and not Spread(1.0, 1.0).over and Spread(1.0, 1.01).over
    assert 1.0 == pooled_effect([(0, 0)], [3.0]) and 0.25 == pooled([(1, 10), (4, 10)])


@pytest.fixture(scope="module")
def planted() -> dict[str, Funnel]:
    return {funnel.measure.id: funnel for funnel in funnels(lettered(as_numbers()))}


def test_the_planted_farm_is_outside_and_of_the_others_no_more_than_chance_allows(planted: dict[str, Funnel]) -> None:
    """Sixty farms alike but for one; were more outside than here, chance would give so many less often than once in 20."""
    letter = next(farm.letter for farm in lettered(as_numbers()) if farm.flock == PLANTED)
    funnel = planted["loss_live_born_pct"]
    standing = {farm.letter: farm.where for farm in funnel.farms}
    assert Outside.ABOVE_ALARM is standing.pop(letter)
    apart = [where for where in standing.values() if where is not Outside.INSIDE]
    assert 0.05 <= stats.binomtest(len(apart), len(standing), 0.05, alternative="greater").pvalue
    assert not any(where in FAR for where in standing.values())
    assert Outside.INSIDE is next(farm.where for farm in planted["empty_pct"].farms if farm.letter == letter)
