"""Figures that follow from others: printed flock figures, edges, and what must hold for any losses."""

from collections.abc import Sequence
from itertools import accumulate
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.results.statistics.indicators import StageLoss, stage_losses
from workbook.results.statistics.proportions import wilson


def in_turn(born_alive: int, losses: Sequence[int]) -> list[StageLoss]:
    """Stages through which every animal goes that was not lost before."""
    starts = list(accumulate(losses, lambda alive, lost: alive - lost, initial=born_alive))[:len(losses)]
    return stage_losses(born_alive, starts, losses, [0] * len(losses))


def shares(stage: StageLoss) -> tuple[float, float]:
    start = stage.of_alive_at_start
    return (stage.of_live_born.value or 0, 0.0 if start is None or start.value is None else start.value)


def test_loss_of_live_born_by_weaning() -> None:
    # Griffiths et al. 2019, New Zealand Veterinary Journal: 252 of 1,822 live-born lambs recorded dead by
    # weaning, 13.8 %.
    (by_weaning,) = in_turn(1822, [252])
    assert pytest.approx(0.138, abs=0.0005) == by_weaning.of_live_born.value
    assert by_weaning.of_live_born == by_weaning.of_alive_at_start


def test_shares_of_one_total_add_up_over_stages() -> None:
    # Irish post-mortem study of three flocks (Shiels et al.): 221 + 241 deaths in two years; 46 % at or
    # before birth and 14 % in the first day, 60 % together. Counts by stage worked back from the percentages.
    deaths = 221 + 241
    assert deaths == 462
    at_birth, first_day = in_turn(deaths, [round(0.46 * deaths), round(0.14 * deaths)])
    together = (at_birth.of_live_born.value or 0) + (first_day.of_live_born.value or 0)
    assert pytest.approx(0.60, abs=0.005) == together
    # Of the deaths still to come after birth, the first day takes 14 / 54, which must not be added to 46 %.
    assert pytest.approx(14 / 54, abs=0.005) == shares(first_day)[1]


# --- What must hold


@st.composite
def lambs_and_losses(draw: st.DrawFn) -> tuple[int, list[int]]:
    """Lambs born alive and losses that they can bear, stage by stage."""
    losses = draw(st.lists(st.integers(0, 300), max_size=6))
    return sum(losses) + draw(st.integers(0, 500)), losses


@given(lambs_and_losses())
def test_shares_of_live_born_add_up(season: tuple[int, list[int]]) -> None:
    born_alive, losses = season
    added = sum(shares(stage)[0] for stage in in_turn(born_alive, losses))
    assert (wilson(sum(losses), born_alive).value or 0) == pytest.approx(added)


@given(lambs_and_losses())
def test_survival_multiplies_over_stages(season: tuple[int, list[int]]) -> None:
    born_alive, losses = season
    kept = prod(1 - shares(stage)[1] for stage in in_turn(born_alive, losses))
    assert (wilson(sum(losses), born_alive).value or 0) == pytest.approx(1 - kept, abs=1e-12)


def test_stages_by_hand() -> None:
    assert [
        StageLoss(4, wilson(4, 40), wilson(4, 40), 0.9),
        StageLoss(0, wilson(0, 40), wilson(0, 36), 0.9),
        StageLoss(9, wilson(9, 40), wilson(9, 36), pytest.approx(27 / 40)),
    ] == in_turn(40, [4, 0, 9])


def test_no_lamb_left_leaves_later_shares_open() -> None:
    *_, last = in_turn(3, [3, 0])
    assert wilson(0, 3) == last.of_live_born
    assert (0, None, None) == (last.lost, last.of_alive_at_start and last.of_alive_at_start.value, last.survived)


def test_no_stage_no_loss() -> None:
    assert not in_turn(10, [])


@pytest.mark.parametrize(("born_alive", "losses"), [(10, [6, 5]), (10, [-1]), (10, [3, -1]), (0, [1])])
def test_impossible_losses_are_refused(born_alive: int, losses: list[int]) -> None:
    with pytest.raises(ValueError, match="is not a share"):
        in_turn(born_alive, losses)


def test_the_worked_life_table_of_cutler_and_ederer() -> None:
    # Cutler & Ederer 1958, J. Chronic Dis. 8:699, 126 patients followed to five years (from memory): alive at the start of
    # each year, died, lost to follow-up and withdrawn alive in it; printed survival .60 .54 .50 .44 .44.
    starts, died, lost, withdrawn = (126, 60, 38, 21, 10), (47, 5, 2, 2, 0), (4, 6, 0, 2, 0), (15, 11, 15, 7, 6)
    left = [sum(pair) for pair in zip(lost, withdrawn, strict=True)]
    assert list(starts[1:]) == [start - dead - gone for start, dead, gone in zip(starts, died, left, strict=True)][:4]
    assert [0.60, 0.54, 0.50, 0.44, 0.44] == [
        pytest.approx(stage.survived, abs=0.005) for stage in stage_losses(126, starts, died, left)]
