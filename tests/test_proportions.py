"""Shares, intervals, ratios and likeness within groups: edges, and properties that must always hold."""

from math import isclose

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import assume, given
from hypothesis import strategies as st
from risks import relative_risk
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from workbook.results.statistics.proportions import (
    CONFIDENCE,
    FEW,
    NO_RATIO,
    Proportion,
    Ratio,
    design_effect,
    effect_of_clusters,
    intraclass_correlation,
    odds_ratio,
    widened_wilson,
    wilson,
)


@st.composite
def shares(draw: st.DrawFn, least: int = 1) -> tuple[int, int]:
    """A number of cases and of animals."""
    total = draw(st.integers(least, 5000))
    return draw(st.integers(0, total)), total


@st.composite
def cases_and_others(draw: st.DrawFn) -> tuple[int, int]:
    """A number of cases and of animals, at least one of them a case and one not."""
    total = draw(st.integers(2, 5000))
    return draw(st.integers(1, total - 1)), total


def limits(share: Proportion) -> tuple[float, float]:
    assert share.low is not None
    assert share.high is not None
    return share.low, share.high


def width(share: Proportion) -> float:
    low, high = limits(share)
    return high - low


# --- Wilson interval


@given(shares())
def test_interval_lies_in_0_to_1_and_holds_the_share(counts: tuple[int, int]) -> None:
    share = wilson(*counts)
    low, high = limits(share)
    assert share.value == counts[0] / counts[1]
    assert 0 <= low <= share.value <= high <= 1
    assert low < high


@given(shares(), st.integers(2, 20))
def test_more_animals_give_a_narrower_interval(counts: tuple[int, int], times: int) -> None:
    cases, total = counts
    assert width(wilson(cases * times, total * times)) < width(wilson(cases, total))


@given(shares())
def test_interval_of_survivors_mirrors_that_of_losses(counts: tuple[int, int]) -> None:
    lost, total = counts
    low, high = limits(wilson(lost, total))
    assert (1 - high, 1 - low) == pytest.approx(limits(wilson(total - lost, total)), abs=1e-12)


@given(shares())
def test_interval_agrees_with_scipy_and_statsmodels(counts: tuple[int, int]) -> None:
    ours = limits(wilson(*counts))
    theirs = stats.binomtest(*counts).proportion_ci(CONFIDENCE, method="wilson")
    assert tuple(theirs) == pytest.approx(ours, abs=1e-9)
    assert proportion_confint(*counts, method="wilson") == pytest.approx(ours, abs=1e-9)


@pytest.mark.parametrize("total", [5, 7, 10, 13, 15, 17, 20])  # at most of these rounding would miss 0 or 1
def test_limits_at_none_and_at_all_are_exact(total: int) -> None:
    none, every = wilson(0, total), wilson(total, total)
    expected = (0, 1)
    assert expected == (none.low, every.high)


def test_nothing_counted_has_no_share_and_no_limits() -> None:
    assert Proportion(0, 0, low=None, high=None, value=None) == wilson(0, 0)
    assert Proportion(0, 0, low=None, high=None, value=None) == widened_wilson(0, 0, 2.0)


@pytest.mark.parametrize(("cases", "total"), [(-1, 5), (6, 5), (1, 0), (0, -1), (float("nan"), 5)])
def test_impossible_counts_are_refused(cases: float, total: int) -> None:
    message = f"{cases} out of {total} is not a share"
    with pytest.raises(ValueError, match=message):
        wilson(cases, total)
    with pytest.raises(ValueError, match=message):
        widened_wilson(cases, total, 1.0)


def test_few_ends_at_its_limit() -> None:
    assert wilson(1, FEW - 1).few
    assert not wilson(1, FEW).few
    assert wilson(0, 0).few


# --- Animals in clusters


@given(shares(), st.floats(1, 50))
def test_widened_interval_is_that_of_the_effective_number(counts: tuple[int, int], effect: float) -> None:
    cases, total = counts
    n = total / effect
    share = widened_wilson(cases, total, effect)
    assert (cases, total, cases / total) == (share.numerator, share.denominator, share.value)
    expected = proportion_confint(cases / total * n, n, method="wilson")
    assert expected == pytest.approx(limits(share), abs=1e-9)
    assert width(share) >= width(wilson(cases, total)) - 1e-12


@given(shares(), st.floats(-2, 1))
def test_interval_is_never_narrowed_by_a_small_design_effect(counts: tuple[int, int], effect: float) -> None:
    assert wilson(*counts) == widened_wilson(*counts, effect)


@pytest.mark.parametrize(("size", "icc", "expected"), [
    (1, 0.3, 1),  # each animal its own cluster
    (7, 0, 1),  # no likeness
    (7, 1, 7),  # full likeness: as many as there are clusters
    (11, 0.1, 2), (3, -0.25, 0.5),
])
def test_design_effect(size: float, icc: float, expected: float) -> None:
    assert expected == pytest.approx(design_effect(size, icc))


# --- Likeness within groups

measures = st.integers(-1000, 1000)
groups_of_measures = st.lists(st.lists(measures, max_size=6), min_size=2, max_size=8)


def test_likeness_of_the_four_judges_example() -> None:
    # Shrout & Fleiss 1979, Psychological Bulletin, six targets and four judges: ICC(1,1) .17 (data and value
    # from memory; four decimals by own arithmetic).
    targets = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    assert pytest.approx(0.1657, abs=5e-5) == intraclass_correlation(targets)


@given(groups_of_measures)
def test_likeness_agrees_with_the_variance_ratio_of_scipy(groups: list[list[int]]) -> None:
    filled = [group for group in groups if group]
    total = sum(map(len, filled))
    assume(len(filled) > 1 and total > len(filled) and any(len(set(group)) > 1 for group in filled))
    usual_size = (total - sum(len(group) ** 2 for group in filled) / total) / (len(filled) - 1)
    ratio = float(stats.f_oneway(*filled).statistic)
    assert (ratio - 1) / (ratio + usual_size - 1) == pytest.approx(intraclass_correlation(groups), abs=1e-9)


@given(groups_of_measures)
def test_likeness_is_at_most_1_and_blind_to_order(groups: list[list[int]]) -> None:
    likeness = intraclass_correlation(groups)
    turned = intraclass_correlation([group[::-1] for group in reversed(groups)])
    if likeness is None:
        assert turned is None
    else:
        assert likeness <= 1 + 1e-12
        assert likeness == pytest.approx(turned)


def test_groups_alike_inside_and_apart_from_each_other_are_fully_alike() -> None:
    assert pytest.approx(1) == intraclass_correlation([[1, 1, 1], [0, 0], [3]])


def test_empty_groups_are_left_out() -> None:
    assert intraclass_correlation([[1, 2], [5, 6, 7]]) == intraclass_correlation([[1, 2], [], [5, 6, 7]])


@pytest.mark.parametrize(
    "groups",
    [[], [[]], [[1, 0, 1]], [[1, 0], []], [[1], [0], [1]], [[0.1] * 3, [0.1] * 49]],
    ids=["no group", "one empty", "one group", "one filled", "no group of two", "all the same"],
)
def test_likeness_is_not_defined(groups: list[list[float]]) -> None:
    assert intraclass_correlation(groups) is None


# --- Risk and odds of one group against another


@given(cases_and_others(), cases_and_others())
def test_relative_risk_agrees_with_scipy(a: tuple[int, int], b: tuple[int, int]) -> None:
    theirs = stats.contingency.relative_risk(*a, *b)
    expected = (theirs.relative_risk, *theirs.confidence_interval(CONFIDENCE))
    assert expected == pytest.approx(relative_risk(*a, *b), rel=1e-9)


@given(cases_and_others(), cases_and_others())
def test_odds_ratio_agrees_with_scipy(a: tuple[int, int], b: tuple[int, int]) -> None:
    table = [[a[0], a[1] - a[0]], [b[0], b[1] - b[0]]]
    theirs = stats.contingency.odds_ratio(table, kind="sample")
    expected = (theirs.statistic, *theirs.confidence_interval(CONFIDENCE))
    assert expected == pytest.approx(odds_ratio(*a, *b), rel=1e-9)


@given(cases_and_others(), cases_and_others())
def test_groups_swapped_turn_the_ratio_over(a: tuple[int, int], b: tuple[int, int]) -> None:
    for ratio in (relative_risk, odds_ratio):
        value, low, high = ratio(*a, *b)
        assert value is not None
        assert low is not None
        assert high is not None
        assert (1 / value, 1 / high, 1 / low) == pytest.approx(ratio(*b, *a))
        assert low < value < high


@given(cases_and_others(), cases_and_others())
def test_odds_ratio_is_further_from_1_than_relative_risk(a: tuple[int, int], b: tuple[int, int]) -> None:
    risk, odds = relative_risk(*a, *b).value, odds_ratio(*a, *b).value
    assert risk is not None
    assert odds is not None
    assert isclose(risk, 1) or (odds > risk > 1) or (odds < risk < 1)


@pytest.mark.parametrize(
    ("counts", "risk", "odds"),
    [
        ((3, 10, 0, 10), NO_RATIO, NO_RATIO),
        ((0, 10, 0, 10), NO_RATIO, NO_RATIO),
        ((0, 0, 3, 10), NO_RATIO, NO_RATIO),
        ((3, 10, 0, 0), NO_RATIO, NO_RATIO),
        ((0, 10, 5, 10), Ratio(0, None, None), Ratio(0, None, None)),
        ((10, 10, 10, 10), Ratio(1, None, None), NO_RATIO),
    ],
    ids=["no case in b", "no case", "no animal in a", "no animal in b", "no case in a", "all cases"],
)
def test_ratio_is_given_only_as_far_as_defined(
    counts: tuple[int, int, int, int], risk: Ratio, odds: Ratio
) -> None:
    assert risk == relative_risk(*counts)
    assert odds == odds_ratio(*counts)


def test_all_cases_on_one_side_leave_one_ratio_defined() -> None:
    assert relative_risk(10, 10, 5, 10).low is not None
    assert Ratio(None, None, None) == odds_ratio(10, 10, 5, 10)
    assert Ratio(0, None, None) == odds_ratio(5, 10, 10, 10)


@pytest.mark.parametrize("counts", [(11, 10, 1, 10), (1, 10, 11, 10), (-1, 10, 1, 10), (1, 10, -1, 10)])
def test_ratio_refuses_impossible_counts(counts: tuple[int, int, int, int]) -> None:
    for ratio in (relative_risk, odds_ratio):
        with pytest.raises(ValueError, match="is not a share"):
            ratio(*counts)


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(1, 4)), min_size=2, max_size=40))
def test_the_effect_of_clusters_is_that_of_a_cluster_robust_variance(written: list[tuple[int, int]]) -> None:
    clusters = [(min(cases, animals), animals) for cases, animals in written]
    lost = np.array([float(at < cases) for cases, animals in clusters for at in range(animals)])
    if not 0 < lost.mean() < 1:
        assert 1.0 == effect_of_clusters(clusters)
        return
    of = np.repeat(np.arange(len(clusters)), [animals for _, animals in clusters])
    robust = sm.OLS(lost, np.ones(len(lost))).fit(cov_type="cluster", cov_kwds={"groups": of}).bse[0] ** 2
    strangers = lost.mean() * (1 - lost.mean()) / len(lost)
    assert pytest.approx(max(1.0, robust / strangers), rel=1e-9) == effect_of_clusters([*clusters, (0, 0)])


@pytest.mark.parametrize("clusters", [[], [(1, 3)], [(0, 2), (0, 3)], [(2, 2), (1, 1)]])
def test_clusters_that_say_nothing_of_likeness(clusters: list[tuple[int, int]]) -> None:
    assert 1.0 == effect_of_clusters(clusters)
