"""Normal equations of least squares: what they settle, and what they leave open."""

import pytest

from workbook.results.statistics.equations import clustered, plain, solve


def test_two_unknowns_worked_out_by_hand() -> None:
    answers, inverse = solve([[2.0, 1.0], [1.0, 3.0]], [4.0, 7.0])
    assert [1.0, 2.0] == pytest.approx(answers)
    assert [0.6, -0.2, -0.2, 0.4] == pytest.approx([cell for row in inverse for cell in row])


def test_an_unknown_of_which_nothing_is_recorded_is_not_settled_and_leaves_the_others() -> None:
    assert ([2.0, None], [[0.5, 0.0], [0.0, 0.0]]) == solve([[2.0, 0.0], [0.0, 0.0]], [4.0, 0.0])


def test_an_unknown_that_another_already_settles_is_told_apart() -> None:
    answers, inverse = solve([[2.0, 2.0], [2.0, 2.0]], [4.0, 4.0])
    assert [2.0, None] == answers
    assert [[0.5, 0.0], [0.0, 0.0]] == inverse


def test_records_of_one_cluster_say_nothing_of_how_clusters_differ() -> None:
    inverse, rows, residuals = [[0.5]], [((0, 1.0),), ((0, 1.0),)], [0.5, -0.5]
    assert plain(inverse, residuals, 1) == clustered(inverse, rows, residuals, ["one", "one"], 1)


@pytest.mark.parametrize(("freedom", "variance"), [(0, 0.0), (1, 8 / 9), (2, 4 / 9)])
def test_clusters_are_allowed_for_where_anything_is_left_to_tell_by(freedom: int, variance: float) -> None:
    """By hand: scores 1 and -1, so 2 in the middle; 1/3 x 2 x 1/3, times 2 / 1 clusters and 2 / freedom records."""
    rows = [((0, 1.0),)] * 3
    assert [[variance]] == [pytest.approx(row) for row in clustered([[1 / 3]], rows, [1.0, 0.0, -1.0], ["a", "a", "b"], freedom)]
