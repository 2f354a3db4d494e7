"""Least squares with classes, against a statistics package and against published constants."""

import random
from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.results.statistics.least_squares import Fit, fit

# Íslenskar landbúnaðarrannsóknir 1977, "Sources of variation in weights of lambs", p. 23, Table 10: constants of ewe age for
# weaning weight in kg, from an additive model; 9 stands for nine years and more.
ICELAND = {"2": -1.58, "3": -0.31, "4": 0.44, "5": 0.58, "6": 0.58, "7": 0.37, "8": 0.24, "9": -0.32}


def package(values: Sequence[float], effects: Mapping[str, Sequence[str]]) -> tuple[np.ndarray, dict[tuple[str, str], float]]:
    """Residuals and least-squares means as statsmodels gives them: means are predictions over a balanced grid."""
    data = pd.DataFrame({"kg": values, **effects})
    model = smf.ols("kg ~ " + (" + ".join(f"C({name})" for name in effects) or "1"), data=data).fit()
    classes = [sorted(set(names)) for names in effects.values()]
    grid = pd.MultiIndex.from_product(classes, names=list(effects)).to_frame(index=False)
    grid["kg"] = model.predict(grid)
    means = {(effect, name): kg for effect in effects for name, kg in grid.groupby(effect)["kg"].mean().items()}
    return model.resid.to_numpy(), means


def agrees(found: Fit, values: Sequence[float], effects: Mapping[str, Sequence[str]]) -> None:
    residuals, means = package(values, effects)
    assert residuals == pytest.approx(found.residuals, abs=1e-8)
    if not found.confounded:
        assert means == pytest.approx({key: found.mean + found.constants[key] for key in means}, abs=1e-7)


@pytest.mark.filterwarnings("ignore:The design matrix is rank-deficient")  # small samples confound classes: wanted here
@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(12, 60))
def test_random_records_in_unbalanced_classes_agree_with_statsmodels(seed: int, number: int) -> None:
    dice = random.Random(seed)
    effects = {
        "reared": dice.choices(["1", "2", "3"], (3, 8, 1), k=number), "age": dice.choices("2345", (1, 4, 4, 2), k=number),
        "grp": dice.choices(["hill", "mead"], (1, 5), k=number),
    }
    values = [30 + 12 * int(reared) + dice.gauss(0, 4) for reared in effects["reared"]]
    effects = {name: classes for name, classes in effects.items() if len(set(classes)) > 1}
    agrees(fit(values, effects), values, effects)


def test_published_constants_of_ewe_age_come_back_from_weights_made_with_them() -> None:
    effects: dict[str, list[str]] = {"age": [], "kind": [], "grp": []}
    values = []
    for number, (age, constant) in enumerate(ICELAND.items()):
        for kind, kg in (("single", 4.0), ("twin", -2.5)):
            for group, more in (("hill", -1.0), ("mead", 1.0)):
                for _ in range(1 + (number + len(kind) + len(group)) % 4):  # unbalanced on purpose
                    values.append(38.0 + constant + kg + more)
                    for effect, name in (("age", age), ("kind", kind), ("grp", group)):
                        effects[effect].append(name)
    found = fit(values, effects)
    assert ICELAND == pytest.approx({age: found.constants["age", age] for age in ICELAND}, abs=1e-9)
    assert 0.0 == pytest.approx(sum(found.constants["age", age] for age in ICELAND), abs=1e-9)
    # What brings each age to a dam of five or six years; own arithmetic on the published table.
    added = [found.constants["age", "5"] - found.constants["age", age] for age in ICELAND]
    assert [2.16, 0.89, 0.14, 0.0, 0.0, 0.21, 0.34, 0.90] == pytest.approx(added, abs=1e-9)


def test_published_constants_come_back_through_scatter_within_their_errors() -> None:
    dice = random.Random(1977)
    ages = dice.choices(list(ICELAND), k=4000)
    found = fit([38.0 + ICELAND[age] + dice.gauss(0, 2.0) for age in ages], {"age": ages})
    # With 500 lambs an age and a spread of 2 kg a constant has a standard error of 0.09 kg; four of them allowed.
    assert ICELAND == pytest.approx({age: found.constants["age", age] for age in ICELAND}, abs=0.36)
    assert 2.0 == pytest.approx(found.spread, rel=0.05)


def test_without_effects_the_residuals_are_from_the_mean() -> None:
    found = fit([30.0, 34.0, 38.0], {})
    assert (34.0, (-4.0, 0.0, 4.0), 2, 4.0) == (found.mean, found.residuals, found.freedom, found.spread)


def test_a_class_that_repeats_another_leaves_the_residuals_right() -> None:
    values, sexes = [30.0, 32.0, 25.0, 26.0, 28.0], ["ram", "ram", "ewe", "ewe", "ewe"]
    groups = ["hill" if sex == "ram" else "mead" for sex in sexes]
    found = fit(values, {"sex": sexes, "grp": groups})
    assert 1 == len(found.confounded)
    assert fit(values, {"sex": sexes}).residuals == pytest.approx(found.residuals)
    assert 3 == found.freedom


@pytest.mark.parametrize(("values", "effects"), [([], {}), ([1.0, 2.0], {"age": ["2"]})])
def test_records_without_values_or_classes_are_a_mistake_in_calling(values: list[float], effects: dict[str, list[str]]) -> None:
    with pytest.raises(ValueError, match="each record needs"):
        fit(values, effects)
