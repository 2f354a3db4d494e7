"""Several seasons as one value, against worked examples in print and the predictions of a mixed model."""

import random
from math import sqrt

import pandas as pd
import pytest
import statsmodels.formula.api as smf

from workbook.results.scores.across import weight_of_records


def test_worked_example_of_two_records() -> None:
    # Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd edition, Example 1.2, p. 22: two yields with
    # mean 8000 in a herd of 6000, heritability 0.30, repeatability 0.5: b 0.4, value 800, accuracy 0.632. For a breeding
    # value the weight is heritability / repeatability times the weight for the animal's own next record.
    heritability, share = 0.30, 0.5
    weight = heritability / share * weight_of_records(2, share)
    assert (0.4, 800, 0.632) == (
        pytest.approx(weight), pytest.approx(weight * (8000 - 6000)), pytest.approx(sqrt(weight), abs=5e-4))


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        # Own arithmetic, for 1, 2, 3, 4, 5 and 10 records.
        (0.10, (0.1000, 0.1818, 0.2500, 0.3077, 0.3571, 0.5263)),
        (0.15, (0.1500, 0.2609, 0.3462, 0.4138, 0.4688, 0.6383)),
        (0.20, (0.2000, 0.3333, 0.4286, 0.5000, 0.5556, 0.7143)),
        (0.30, (0.3000, 0.4615, 0.5625, 0.6316, 0.6818, 0.8108)),
        (0.40, (0.4000, 0.5714, 0.6667, 0.7273, 0.7692, 0.8696)),
    ],
)
def test_the_share_to_believe_grows_with_records(share: float, expected: tuple[float, ...]) -> None:
    assert expected == pytest.approx([weight_of_records(number, share) for number in (1, 2, 3, 4, 5, 10)], abs=5e-5)


@pytest.mark.parametrize(("number", "expected"), [(1, 41.2000), (3, 42.7692), (5, 43.7500)])
def test_a_ewe_of_48_kg_in_a_flock_of_40(number: int, expected: float) -> None:
    # Own arithmetic with a repeatability of 0.15.
    assert expected == pytest.approx(40 + weight_of_records(number, 0.15) * (48 - 40), abs=5e-5)


def test_a_cow_of_ratio_106_over_three_calves() -> None:
    # Own arithmetic; repeatability 0.40 is the figure of the American beef guideline, from memory.
    assert 104.0 == pytest.approx(100 + weight_of_records(3, 0.40) * 6)


def test_no_record_says_nothing_and_identical_records_say_all() -> None:
    assert (0.0, 1.0) == (weight_of_records(0, 0.28), weight_of_records(4, 1.0))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_value_of_each_ewe_is_what_a_mixed_model_predicts(seed: int) -> None:
    # Ewes of one to five seasons. With the variances the model found, its prediction for a ewe is the mean of her deviations
    # times n r / (1 + (n - 1) r): best linear unbiased prediction, Henderson 1975.
    dice = random.Random(seed)
    ewes = [[hers + dice.gauss(0, 3.0) for _ in range(dice.randint(1, 5))] for hers in (dice.gauss(0, 2.0) for _ in range(120))]
    data = pd.DataFrame([(ewe, kg) for ewe, seasons in enumerate(ewes) for kg in seasons], columns=["ewe", "kg"])
    model = smf.mixedlm("kg ~ 1", data, groups=data["ewe"]).fit(reml=True)
    between, mean = float(model.cov_re.iloc[0, 0]), float(model.fe_params.iloc[0])
    share = between / (between + model.scale)
    for ewe, seasons in enumerate(ewes):
        expected = float(model.random_effects[ewe].iloc[0])
        above = sum(seasons) / len(seasons) - mean
        assert expected == pytest.approx(weight_of_records(len(seasons), share) * above, abs=1e-6)
