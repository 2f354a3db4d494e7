"""Scanned against born: agreement, kappa and the screening figures."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from workbook.results.statistics.agreement import agreement, two_by_two
from workbook.results.statistics.proportions import wilson

Table = dict[tuple[int, int], int]

MOST = 4
COUNTS = range(MOST + 1)

count_pairs = st.tuples(st.integers(0, MOST), st.integers(0, MOST))
tables = st.dictionaries(count_pairs, st.integers(0, 60), max_size=len(COUNTS) ** 2)


def classes_on_each_side(table: Table) -> tuple[int, int]:
    pairs = [pair for pair, ewes in table.items() if ewes]
    return len({scanned for scanned, _ in pairs}), len({born for _, born in pairs})


@given(tables)
def test_kappas_agree_with_scikit_learn_and_statsmodels(table: Table) -> None:
    assume(min(classes_on_each_side(table)) > 1)
    result = agreement(table)
    ewes = [pair for pair, number in table.items() for _ in range(number)]
    scanned, born = zip(*ewes, strict=True)
    square = [[table.get((row, column), 0) for column in COUNTS] for row in COUNTS]

    assert cohen_kappa_score(scanned, born) == pytest.approx(result.kappa, abs=1e-12)
    assert cohens_kappa(square, return_results=False) == pytest.approx(result.kappa, abs=1e-12)
    linear = cohen_kappa_score(scanned, born, labels=list(COUNTS), weights="linear")
    assert linear == pytest.approx(result.weighted_kappa, abs=1e-12)
    assert cohens_kappa(square, wt="linear", return_results=False) == pytest.approx(linear, abs=1e-12)


@given(tables)
def test_kappas_are_none_exactly_when_one_side_has_one_class(table: Table) -> None:
    result = agreement(table)
    undefined = min(classes_on_each_side(table)) < 2
    assert (undefined, undefined) == (result.kappa is None, result.weighted_kappa is None)


@given(tables)
def test_kappas_are_at_most_1_and_1_only_for_full_agreement(table: Table) -> None:
    result = agreement(table)
    full = all(scanned == born for (scanned, born), ewes in table.items() if ewes)
    for kappa in (result.kappa, result.weighted_kappa):
        if kappa is not None:
            assert -1 <= kappa <= 1
            assert full == (kappa == 1)


@given(tables)
def test_scanner_and_shepherd_may_be_swapped(table: Table) -> None:
    turned = {(born, scanned): ewes for (scanned, born), ewes in table.items()}
    assert agreement(table) == agreement(turned)


@given(tables)
def test_order_and_pairs_without_ewes_change_nothing(table: Table) -> None:
    shuffled = dict(reversed(table.items()))
    assert agreement(table) == agreement({(MOST + 1, MOST + 2): 0} | shuffled)


@given(tables)
def test_within_one_holds_the_exact(table: Table) -> None:
    result = agreement(table)
    assert sum(table.values()) == result.n == result.exact.denominator == result.within_one.denominator
    assert result.exact.numerator <= result.within_one.numerator <= result.n


def test_counts_by_hand() -> None:
    # 10 ewes: 6 right, 3 one lamb out, 1 two lambs out.
    result = agreement({(0, 0): 1, (1, 1): 2, (2, 2): 3, (2, 1): 2, (1, 2): 1, (3, 1): 1})
    assert wilson(6, 10) == result.exact
    assert wilson(9, 10) == result.within_one


def test_weights_go_by_lambs_not_by_place_in_the_list() -> None:
    # No ewe was scanned for 2 or 3 or bore them, yet 4 for 1 is three lambs out. By hand: 3 lambs out in 4
    # ewes seen, 30 in 16 by chance, so 1 - (3 / 4) / (30 / 16) = 0.6; by place in the list it would be 0.714.
    result = agreement({(0, 0): 1, (1, 1): 1, (4, 4): 1, (1, 4): 1})
    assert pytest.approx(0.6) == result.weighted_kappa


@pytest.mark.parametrize(
    "table",
    [{}, {(2, 2): 0}, {(2, 2): 30}, {(2, 1): 4, (2, 2): 30}, {(1, 2): 4, (2, 2): 30}],
    ids=["no table", "no ewe", "all alike", "all scanned twins", "all bore twins"],
)
def test_kappa_is_not_defined_for_one_class(table: Table) -> None:
    result = agreement(table)
    assert result.kappa is None
    assert result.weighted_kappa is None


def test_no_ewes_leave_no_shares() -> None:
    assert agreement({}).exact.value is None
    assert agreement({}).within_one.value is None


def test_negative_number_of_ewes_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be negative"):
        agreement({(1, 1): 5, (1, 2): -1})
    with pytest.raises(ValueError, match="cannot be negative"):
        two_by_two(tp=5, fn=1, fp=-1, tn=2)


def test_each_screening_figure_has_its_own_denominator() -> None:
    result = two_by_two(tp=40, fn=3, fp=5, tn=20)
    assert wilson(40, 43) == result.sensitivity
    assert wilson(20, 25) == result.specificity


@given(*[st.integers(0, 200)] * 4)
def test_screening_kappa_agrees_with_statsmodels(tp: int, fn: int, fp: int, tn: int) -> None:
    assume(0 < tp + fn < tp + fn + fp + tn)
    assume(0 < tp + fp < tp + fn + fp + tn)
    expected = cohens_kappa([[tp, fp], [fn, tn]], return_results=False)
    assert expected == pytest.approx(two_by_two(tp, fn, fp, tn).kappa, abs=1e-12)


def test_screening_without_empty_ewes_leaves_specificity_open() -> None:
    result = two_by_two(tp=50, fn=2, fp=0, tn=0)
    assert result.specificity.value is None
    assert result.kappa is None
