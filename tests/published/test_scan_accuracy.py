"""Scanning accuracy and kappa against printed values."""

import pytest

from workbook.results.statistics.agreement import Screening, agreement, two_by_two


def values(screening: Screening) -> tuple[float | None, ...]:
    """Sensitivity, specificity, kappa."""
    return screening.sensitivity.value, screening.specificity.value, screening.kappa


def test_in_lamb_or_empty_days_29_to_89() -> None:
    # Taverne et al. 1985, Veterinary Quarterly (authors from memory): 598 tests of ewes that lambed, 126 of
    # ewes that did not; 3 false positive, 5 false negative. Printed 99.2 and 97.6 %.
    screening = two_by_two(tp=598 - 5, fn=5, fp=3, tn=126 - 3)
    assert (0.992, 0.976) == pytest.approx(values(screening)[:2], abs=0.001)
    # More decimals and kappa: own arithmetic on the printed counts.
    expected = (0.99164, 0.97619, 0.96180)
    assert expected == pytest.approx(values(screening), abs=1e-5)


def test_ewe_lambs() -> None:
    # Madel 1983, Veterinary Record 112:11, 181 ewe lambs: counts printed, rates by own arithmetic.
    screening = two_by_two(tp=98, fn=15, fp=21, tn=47)
    expected = (0.86726, 0.69118, 0.56842)
    assert expected == pytest.approx(values(screening), abs=1e-5)


@pytest.mark.parametrize(("right", "ewes", "printed"), [(74, 89, 83.1), (10, 27, 37.0), (74, 94, 78.7)])
def test_counting_lambs(right: int, ewes: int, printed: float) -> None:
    # Taverne et al. 1985 (authors from memory), three groups of ewes: accuracy printed in per cent; the
    # numbers right are the only whole numbers that give it.
    share = agreement({(2, 2): right, (2, 1): ewes - right}).exact
    assert share.value is not None
    assert pytest.approx(printed, abs=0.05) == 100 * share.value


def test_sas_printout() -> None:
    # Printout of SAS PROC FREQ kept in the unit tests of statsmodels.
    result = agreement({(0, 1): 4, (0, 2): 1, (1, 1): 8, (2, 1): 1, (2, 2): 5})
    assert result.n == 19
    assert pytest.approx(0.4842, abs=1e-4) == result.kappa
    assert pytest.approx(0.4701, abs=1e-4) == result.weighted_kappa


def test_bortz_table() -> None:
    # Table of Bortz in the manual of the R package DescTools; value by own arithmetic.
    rows = [[53, 5, 2], [11, 14, 5], [1, 6, 3]]
    table = {(i, j): ewes for i, row in enumerate(rows) for j, ewes in enumerate(row)}
    assert pytest.approx(0.42857, abs=1e-5) == agreement(table).kappa


def test_textbook_table() -> None:
    # A common textbook example (from memory).
    assert pytest.approx(0.40) == two_by_two(tp=20, fn=5, fp=10, tn=15).kappa
