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
