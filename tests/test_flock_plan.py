"""The flock of next year: ages, ewes to come in, the steady rate, what one more cull costs."""

from collections.abc import Sequence
from datetime import date
from math import ceil

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from seasons import season

from template_builder.layout.choices import Born, EweLeft, HowRecorded, RearedBy, Sex, Stage, Verdict
from template_builder.layout.columns import Row
from workbook.results.advice.decisions import decisions
from workbook.results.flock.ages_now import OfAge, ages_now
from workbook.results.flock.flock_plan import FlockPlan, flock_plan, swaps
from workbook.results.flock.steady import age_shares, steady

YEAR = 2026
CAUGHLEY = (.845, .975, .965, .950, .926, .895, .850, .786, .691, .561, .370)


def ewes(*ages: int | None, **cells: object) -> list[Row]:
    """Ewes of these ages in years, numbered in order."""
    return [{"ewe": f"{number:03}", "scanned": 2, "born_year": None if age is None else YEAR - age, **cells}
            for number, age in enumerate(ages, start=1)]


def of(ages: Sequence[int | None], final: dict[str, Verdict] | None = None, **more: list[Row]) -> FlockPlan:
    one = season(ewes=ewes(*ages), season=[{"row_key": "year", "value": YEAR}], **more)
    return flock_plan(one, decisions(one, "weaned"), final)


@pytest.mark.parametrize(("survival", "kept", "rate", "shares"), [
    # Worked with the geometric series 1 / (1 + s + s2 ...), own arithmetic to five digits.
    (.95, 5, .22102, (.22102, .20997, .19947, .18950, .18003)),
    (.90, 5, .24419, (.24419, .21977, .19780, .17802, .16022)),
    (.85, 5, .26964, (.26964, .22920, .19482, .16559, .14075)),
    (.85, 6, .24083, (.24083, .20470, .17400, .14790, .12571, .10686)),
])
def test_the_steady_rate_is_one_over_the_years_a_ewe_stays(
    survival: float, kept: int, rate: float, shares: tuple[float, ...],
) -> None:
    found = age_shares((*[survival] * (kept - 1), 0.0))
    assert pytest.approx(rate, abs=5e-6) == found[0]
    assert pytest.approx(shares, abs=5e-6) == found


def test_the_shares_are_the_life_table_of_a_published_flock() -> None:
    """Caughley 1966, Ecology 47:906, Himalayan thar; survival by age: the sum of its l(x) is 7.00591, own sum of the table."""
    found = age_shares((*CAUGHLEY, 0.0))
    assert pytest.approx(1 / 7.00591, abs=1e-6) == found[0]


def test_the_shares_are_the_first_column_of_the_fundamental_matrix() -> None:
    """Caswell 2001, Matrix Population Models, chapter 5: (I - T) inverse, its first column scaled to one."""
    moves = np.diag(CAUGHLEY, k=-1)
    years = np.linalg.inv(np.eye(len(CAUGHLEY) + 1) - moves)[:, 0]
    assert pytest.approx(list(years / years.sum())) == list(age_shares((*CAUGHLEY, 0.0)))


def test_a_flock_that_follows_the_rate_keeps_its_size() -> None:
    """10,000 flocks run on by chance, ewe by ewe: with the steady rate they neither grow nor shrink."""
    chance = np.random.default_rng(7)
    survival, flocks, size = np.array([.95, .9, .9, .85]), 10_000, 200
    shares = np.array(age_shares((*survival, 0.0)))
    ages = np.tile(np.round(shares * size).astype(int), (flocks, 1))
    coming_in = int(ages[0, 0])
    for _ in range(12):
        stay = chance.binomial(ages[:, :-1], survival)
        ages = np.concatenate([np.full((flocks, 1), coming_in), stay], axis=1)
    mean = ages.sum(axis=1).mean()
    assert pytest.approx(coming_in / shares[0], abs=4 * ages.sum(axis=1).std() / flocks**.5) == mean


def test_ewes_are_counted_by_age_and_by_what_becomes_of_them() -> None:
    rows = ewes(2, 2, 3, 3, 3, None)
    rows[1] |= {"left_how": EweLeft.DIED}
    rows[2] |= {"left_how": EweLeft.MISSING}
    rows[3] |= {"left_how": EweLeft.CULLED}
    one = season(ewes=rows, season=[{"row_key": "year", "value": YEAR}])
    found = ages_now(one, decisions(one, "weaned"), {"005": Verdict.CULL})
    told = [(of_age.words, of_age.here, of_age.going, of_age.lost, of_age.left, of_age.staying) for of_age in found]
    assert [("2 years", 1, 0, 1, 0, 1), ("3 years", 1, 1, 1, 1, 0), ("age not known", 1, 0, 0, 0, 1)] == told


@pytest.mark.parametrize(("wanted", "needed", "over"), [(9, 0, 1), (10, 0, 0), (11, 1, 0)])
def test_who_is_needed_is_what_is_wanted_less_who_stays(wanted: int, needed: int, over: int) -> None:
    one = season(ewes=ewes(*[3] * 10), season=[{"row_key": "target_ewes", "value": wanted}])
    plan = flock_plan(one, decisions(one, "weaned"))
    assert (needed, over) == (plan.needed, plan.over)


def test_without_a_number_wanted_the_flock_stays_as_large_as_it_was() -> None:
    plan = of([2, 3, 3], {"002": Verdict.CULL, "003": Verdict.DRAFT})
    assert (True, 3, 1, 2) == (plan.wanted_as_now, plan.wanted, plan.staying, plan.needed)


def test_somebodys_own_word_counts_before_the_verdict() -> None:
    assert (0, 1) == (of([3]).going, of([3], {"001": Verdict.DRAFT}).going)
    assert 0 == of([3], {"001": Verdict.WATCH}).going


@pytest.mark.parametrize(("stated", "more"), [(None, 0), (0, 0), (1, 0), (2, 0), (3, 1)])
def test_of_a_group_by_counts_those_with_a_row_of_their_own_are_not_counted_twice(stated: int | None, more: int) -> None:
    heft: Row = {"group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": stated}
    one = season(ewes=ewes(3, 4, group="heft"), groups=[heft], season=[{"row_key": "year", "value": YEAR}])
    assert more == flock_plan(one, decisions(one, "weaned"), None).by_count


def test_ewes_known_by_counts_only_stay() -> None:
    groups: list[Row] = [{"group": "Top", "ewes_to_ram": 40, "how_recorded": HowRecorded.COUNTS_ONLY},
                         {"group": "Low", "ewes_to_ram": 30, "how_recorded": HowRecorded.EACH_EWE}]
    plan = of([2, 3], groups=groups)
    assert (40, 42, 42) == (plan.by_count, plan.staying, plan.wanted)


@given(st.integers(0, 500))
def test_a_fifth_more_ewe_lambs_are_picked_than_are_needed(needed: int) -> None:
    plan = FlockPlan((), 0, needed, False, None, ())
    assert ceil(round(needed * 1.2, 6)) == plan.to_pick


def aged(age: int, to_the_ram: int, lambs: float, going: int = 0) -> OfAge:
    return OfAge(age, to_the_ram, going, 0, 0, lambs)


@pytest.mark.parametrize(("number", "told"), [(9, 0), (10, 1), (11, 1)])
def test_an_age_of_fewer_than_ten_says_nothing_of_what_a_cull_costs(number: int, told: int) -> None:
    assert told == len(swaps((aged(2, 20, 20), aged(3, number, 15))))


def test_one_more_cull_costs_what_a_young_ewe_rears_less() -> None:
    (swap,) = swaps((aged(1, 20, 16), aged(5, 10, 17)))
    assert pytest.approx((1.7, .8, -.9)) == (swap.lambs, swap.instead, swap.change)


def test_before_weaning_nobody_says_what_a_cull_costs() -> None:
    one = season(ewes=ewes(*[2] * 12, *[3] * 12), season=[{"row_key": "year", "value": YEAR}])
    assert 1 == len(flock_plan(one, decisions(one, "weaned")).swaps)
    assert () == flock_plan(one, decisions(one, "lambed")).swaps


def test_lambs_short_at_a_count_are_shared_among_those_it_may_be() -> None:
    lambs: list[Row] = [{"ewe": f"{ewe:03}", "lamb_no": 1, "sex": Sex.EWE, "born": Born.ALIVE, "reared_by": RearedBy.OWN_EWE}
                        for ewe in range(1, 11)]
    one = season(ewes=ewes(*[3] * 10), lambs=lambs, season=[{"row_key": "year", "value": YEAR}],
                 counts=[{"date": date(YEAR, 8, 1), "stage": Stage.WEANING, "lambs": 8}])
    (found,) = ages_now(one, decisions(one, "weaned"), {})
    assert pytest.approx(8) == found.lambs


@pytest.mark.parametrize(("middle", "pooled"), [(9, True), (10, False), (11, False)])
def test_small_ages_share_one_survival(middle: int, pooled: bool) -> None:
    found = steady((aged(2, 20, 0, going=2), aged(3, middle, 0, going=3), aged(4, 4, 0)))
    assert found and pooled == found.pooled
    assert pooled == (found.survival[0] == found.survival[1])


@pytest.mark.parametrize("ages", [(), (aged(3, 20, 0),), (aged(2, 20, 0, going=20), aged(3, 20, 0))])
def test_without_two_ages_of_which_any_stay_there_is_no_steady_rate(ages: tuple[OfAge, ...]) -> None:
    assert steady(ages) is None


def test_a_season_without_ewes_has_an_empty_plan() -> None:
    plan = flock_plan(season(), {})
    assert (0, 0, 0, None) == (plan.here, plan.wanted, plan.needed, plan.steady)
