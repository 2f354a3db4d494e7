"""Whether classes differ, and what each is likely to be: against scipy and statsmodels, each by its own way."""

import math
from random import Random

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.stats import betabinom, chi2, chi2_contingency
from statsmodels.stats.multitest import multipletests

from workbook.results.statistics.chance import (
    apart,
    chi_square_tail,
    corrected,
    heterogeneity,
    prior_weight,
    shrunk_shares,
)
from workbook.results.statistics.proportions import design_effect, intraclass_correlation

RAMS = [(12, 60), (4, 45), (9, 80), (2, 31), (20, 70)]
ONES = [1.0] * len(RAMS)


@pytest.mark.parametrize("counts", [RAMS, RAMS[:2], [(1, 12), (2, 12)], [(0, 40), (9, 40), (9, 11)]])
def test_unclustered_heterogeneity_is_the_chi_square_of_scipy(counts: list[tuple[int, int]]) -> None:
    of = chi2_contingency([(x, n - x) for x, n in counts], correction=False)
    found = heterogeneity(counts, [1.0] * len(counts))
    assert found is not None
    assert (pytest.approx(of.statistic), of.dof, pytest.approx(of.pvalue)) == (found.chi_square, found.freedom, found.p)


def test_clustered_heterogeneity_is_that_of_the_effective_numbers() -> None:
    effects = [1.4, 1.0, 2.0, 1.1, 0.5]  # below 1 counts as 1
    of = chi2_contingency([(x / max(1, d), (n - x) / max(1, d)) for (x, n), d in zip(RAMS, effects, strict=True)],
                          correction=False)
    found = heterogeneity(RAMS, effects)
    assert found and pytest.approx(of.pvalue) == found.p


def test_clustered_heterogeneity_is_close_to_that_of_generalised_estimating_equations() -> None:
    """Five rams, 400 litters alike within (likeness 0.3), against the robust Wald and score tests of statsmodels."""
    dice = Random(11)
    litters = []
    for number in range(400):
        ram, share = number % 5, (0.1, 0.1, 0.16, 0.1, 0.24)[number % 5]
        own = dice.betavariate(share * 7 / 3, (1 - share) * 7 / 3)
        litters.append((ram, [float(dice.random() < own) for _ in range(dice.choice((1, 2, 2, 3)))]))
    likeness = intraclass_correlation([lost for _, lost in litters]) or 0
    counts, effects = [], []
    for ram in range(5):
        sizes = [len(lost) for of, lost in litters if of == ram]
        counts.append((int(sum(sum(lost) for of, lost in litters if of == ram)), sum(sizes)))
        effects.append(design_effect(sum(n * n for n in sizes) / sum(sizes), likeness))
    found = heterogeneity(counts, effects)
    lost = np.array([y for _, lost in litters for y in lost])
    rams = np.array([[float(ram == one) for one in range(1, 5)] for ram, lost in litters for _ in lost])
    ewes = np.repeat(np.arange(len(litters)), [len(lost) for _, lost in litters])
    model = sm.GEE(lost, sm.add_constant(rams), groups=ewes, family=sm.families.Binomial(),
                   cov_struct=sm.cov_struct.Exchangeable())
    wald = model.fit().wald_test(np.eye(5)[1:], scalar=True)
    assert found and pytest.approx(float(wald.statistic), rel=0.2) == found.chi_square
    plain = chi2_contingency([(x, n - x) for x, n in counts], correction=False)
    assert plain.statistic > 1.15 * found.chi_square, "litter mates tell less than strangers"


@pytest.mark.parametrize("counts", [[], [(3, 10)], [(0, 20), (0, 30)], [(20, 20), (30, 30)], [(3, 10), (0, 0)]])
def test_nothing_to_test(counts: list[tuple[int, int]]) -> None:
    assert heterogeneity(counts, [1.0] * len(counts)) is None


@given(st.floats(0, 900), st.integers(1, 600))
def test_the_tail_of_chi_square_is_that_of_scipy(value: float, freedom: int) -> None:
    assert pytest.approx(chi2.sf(value, freedom), rel=1e-8, abs=1e-12) == chi_square_tail(value, freedom)


@pytest.mark.parametrize("number", range(1, 10))
def test_the_correction_is_that_of_statsmodels(number: int) -> None:
    dice = Random(number)
    chances = [dice.choice((0.0, 1.0, 0.02, dice.random(), dice.random() / 20)) for _ in range(number)]
    assert pytest.approx(multipletests(chances, method="holm")[1]) == corrected(chances)


def test_one_table_needs_no_correction_and_none_gives_none() -> None:
    assert ([0.04], [0.04, 0.03], []) == (corrected([0.04]), corrected([0.04, 0.015]), corrected([]))


def fitted(counts: list[tuple[int, int]]) -> tuple[float, float]:
    """Share of all, and prior weight by scipy's own likelihood and its own search."""
    x, n = np.array(counts).T
    share = x.sum() / n.sum()
    found = minimize_scalar(
        lambda weight: -betabinom.logpmf(x, n, share * math.exp(weight), (1 - share) * math.exp(weight)).sum(),
        bounds=(math.log(0.5), math.log(1e5)), method="bounded", options={"xatol": 1e-9})
    return float(share), math.exp(found.x)


@pytest.mark.parametrize("counts", [
    RAMS, [(10, 60), (40, 60), (5, 60), (22, 60)], [(1, 40), (0, 12), (14, 50)], [(30, 40), (60, 65), (20, 50)],
])
def test_shrunk_shares_are_those_of_a_beta_binomial_fitted_by_scipy(counts: list[tuple[int, int]]) -> None:
    share, weight = fitted(counts)
    assert pytest.approx(weight, rel=1e-3) == prior_weight(counts, share)
    expected = [(x + share * weight) / (n + weight) for x, n in counts]
    assert pytest.approx(expected, abs=1e-6) == shrunk_shares(counts, [1.0] * len(counts))


def test_classes_that_scatter_no_more_than_chance_all_get_the_share_of_all() -> None:
    counts = [(6, 60), (7, 60), (5, 60), (6, 60)]
    assert fitted(counts)[1] > 10_000
    assert pytest.approx([0.1] * 4) == shrunk_shares(counts, [1.0] * 4)


def test_a_small_class_is_drawn_further_and_litter_mates_draw_further_too() -> None:
    counts = [(5, 10), (50, 100), (10, 100), (12, 100)]
    small, large, *_ = shrunk_shares(counts, [1.0] * 4)
    alike, *_ = shrunk_shares(counts, [3.0, 1.0, 1.0, 1.0])
    assert 0.5 > (large or 0) > (small or 0) > (alike or 0) > 72 / 310 - 0.05


@pytest.mark.parametrize(("counts", "shares"), [
    ([(0, 20), (0, 9)], [0.0, 0.0]), ([(5, 5), (3, 3)], [1.0, 1.0]), ([(2, 20), (0, 0)], [0.1, None]),
    ([(0, 0)], [None]), ([], []),
])
def test_shares_at_the_ends(counts: list[tuple[int, int]], shares: list[float | None]) -> None:
    assert shares == shrunk_shares(counts, [1.0] * len(counts))


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 40)), min_size=1, max_size=8))
def test_a_shrunk_share_lies_between_its_own_and_that_of_all(written: list[tuple[int, int]]) -> None:
    counts = [(min(x, n), n) for x, n in written]
    share = sum(x for x, _ in counts) / sum(n for _, n in counts)
    for (x, n), found in zip(counts, shrunk_shares(counts, [1.0] * len(counts)), strict=True):
        assert found is not None and min(x / n, share) - 1e-9 <= found <= max(x / n, share) + 1e-9


@pytest.mark.parametrize(("a", "b", "far"), [
    ((30, 60), (5, 60), True), ((6, 60), (5, 60), False), ((0, 60), (12, 60), True), ((0, 20), (1, 20), False),
    ((0, 20), (0, 20), False), ((12, 60), (0, 60), True),
])
def test_two_classes_are_apart_also_where_one_lost_none(a: tuple[int, int], b: tuple[int, int], far: bool) -> None:
    assert far == apart(a, b, 1.0, 1.0)
