"""Wilson intervals and shares against printed values."""

from statistics import NormalDist

import pytest

from workbook.results.statistics.proportions import wilson

Z99 = NormalDist().inv_cdf(0.995)
Z95_ONE_SIDED = NormalDist().inv_cdf(0.95)


@pytest.mark.parametrize(
    ("cases", "total", "low", "high"),
    [(3, 10, 0.1077913, 0.6032219), (0, 10, 0, 0.2775328), (10, 10, 0.7224672, 1)],
)
def test_r_prop_test(cases: int, total: int, low: float, high: float) -> None:
    # R's prop.test without continuity correction, as printed in scipy's own unit tests.
    share = wilson(cases, total)
    assert (low, high) == pytest.approx((share.low, share.high), abs=1e-6)


def test_r_prop_test_99_per_cent() -> None:
    # Same source.
    share = wilson(3, 10, z=Z99)
    assert pytest.approx((0.07956632, 0.6799753), abs=1e-6) == (share.low, share.high)


def test_r_prop_test_one_sided() -> None:
    # Same source: 95 % upper limit alone.
    assert pytest.approx(0.212942, abs=1e-6) == wilson(0, 10, z=Z95_ONE_SIDED).high


@pytest.mark.parametrize(
    ("cases", "total", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_newcombe(cases: int, total: int, low: float, high: float) -> None:
    # Newcombe 1998, Statistics in Medicine, method 3 (limits from memory).
    share = wilson(cases, total)
    assert (low, high) == pytest.approx((share.low, share.high), abs=5e-5)


def test_fagerland() -> None:
    # Fagerland, Lydersen & Laake, Statistical Analysis of Contingency Tables: 13 of 16, as printed in the
    # tests of the contingencytables package.
    share = wilson(13, 16)
    assert pytest.approx((0.5699, 0.9341), abs=5e-5) == (share.low, share.high)


def test_prolapse_again() -> None:
    # Jackson et al. 2014, New Zealand Veterinary Journal: 6 of 17 ewes kept after a vaginal prolapse had
    # another, printed as 35 %.
    share = wilson(6, 17)
    assert pytest.approx(0.35, abs=0.005) == share.value
    assert not share.few


def test_prolapse_among_tagged_ewes() -> None:
    # Same source: 406 prolapses in 36,695 individually tagged ewes, 1.11 per 100 by division. The paper's
    # headline of 1.05 per 100 has another denominator (all mixed-age ewes): lower, but within the interval.
    share = wilson(406, 36_695)
    assert share.value is not None
    assert share.low is not None
    assert pytest.approx(1.11, abs=0.005) == 100 * share.value
    assert share.low < 0.0105 < share.value
