"""Repeatability against a published example, analysis of variance by hand, and a mixed model of a statistics package."""

import random
from statistics import fmean

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.results.statistics.repeatability import Seasons, repeatability


def by_hand(animals: list[tuple[float, ...]]) -> float:
    """One-way analysis of variance: every record of every animal, whatever their numbers."""
    records = [value for one in animals for value in one]
    k, total, centre = len(animals), len(records), fmean(records)
    between = sum(len(one) * (fmean(one) - centre) ** 2 for one in animals) / (k - 1)
    within = sum((value - fmean(one)) ** 2 for one in animals for value in one) / (total - k)
    n0 = (total - sum(len(one) ** 2 for one in animals) / total) / (k - 1)
    return (between - within) / (between + (n0 - 1) * within)


def flock(seed: int, ewes: int, share: float, earlier: tuple[int, ...]) -> list[tuple[float, ...]]:
    dice, found = random.Random(seed), []
    for _ in range(ewes):
        hers = dice.gauss(0, share**0.5)
        found.append(tuple(5 * (hers + dice.gauss(0, (1 - share) ** 0.5)) for _ in range(1 + dice.choice(earlier))))
    return found


def kept(animals: list[tuple[float, ...]]) -> list[Seasons]:
    """What a workbook keeps of them: this season, and the mean and number of those before."""
    return [Seasons(one[-1], fmean(one[:-1]), len(one) - 1) for one in animals]


def test_the_yardstick_agrees_with_an_example_in_print() -> None:
    # Shrout and Fleiss 1979, six targets and four judges: ICC(1,1) is .17; data and value from memory.
    assert 0.1657 == pytest.approx(by_hand([(9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7)]),
                                   abs=5e-5)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 60))
def test_two_seasons_each_are_the_one_way_analysis_of_variance(seed: int, ewes: int) -> None:
    animals = flock(seed, ewes, 0.3, (1,))
    assert min(max(by_hand(animals), 0.0), 1.0) == pytest.approx(repeatability(kept(animals)), abs=1e-9)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_two_seasons_each_agree_with_a_mixed_model(seed: int) -> None:
    # With as many records of each animal, restricted maximum likelihood and analysis of variance are one answer.
    animals = flock(seed, 150, 0.3, (1,))
    data = pd.DataFrame([(ewe, kg) for ewe, one in enumerate(animals) for kg in one], columns=["ewe", "kg"])
    model = smf.mixedlm("kg ~ 1", data, groups=data["ewe"]).fit(reml=True)
    hers = float(model.cov_re.iloc[0, 0])
    assert hers / (hers + model.scale) == pytest.approx(repeatability(kept(animals)), abs=2e-3)


@pytest.mark.parametrize(("share", "earlier"), [(0.28, (1,)), (0.28, (1, 2, 3, 5)), (0.1, (2, 3)), (0.6, (1, 4))])
def test_where_only_the_mean_of_earlier_seasons_is_kept_the_truth_comes_back(share: float, earlier: tuple[int, ...]) -> None:
    found = [repeatability(kept(flock(seed, 200, share, earlier))) for seed in range(200)]
    assert share == pytest.approx(np.mean(found), abs=0.02)  # type: ignore[arg-type]  # none of them is None


def test_one_animal_and_animals_all_alike_say_nothing() -> None:
    assert (None, None) == (repeatability([Seasons(1.0, 1.0, 1)]), repeatability([Seasons(1.0, 1.0, 1)] * 3))
