"""Ewes lambing and pens a day: added up exactly, brought up to date, ewes left out and said, in what words."""

import random
from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations

import numpy
import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from template_builder.forecast.lambing_days import ExpectedEwe, Spread, days_of
from template_builder.forecast.per_day import Forecast, forecast
from template_builder.layout.words import shown

SPREAD = Spread(147, 2, 17, 0.7, (1, 2, 3))
EXACT = replace(SPREAD, spread=0)  # every gestation alike
MATED, DUE = date(2025, 10, 20), date(2026, 3, 16)
SEED = 11


def _expected(made: Forecast) -> dict[date, float]:
    return {day.date: day.expected for day in made.days}


def test_one_ewe_with_a_mating_date_is_normal_around_her_due_day() -> None:
    made = _expected(forecast([ExpectedEwe(mated_on=MATED, scanned=2)], SPREAD))
    normal = stats.norm(0, 2)
    for off in range(-6, 7):
        assert pytest.approx(normal.cdf(off + 0.5) - normal.cdf(off - 0.5), abs=1e-6) == made[DUE + timedelta(days=off)]


@pytest.mark.parametrize(
    "ewe",
    [
        ExpectedEwe(scanned=2), ExpectedEwe(ram_out=MATED, scanned=2), ExpectedEwe(due=date(9999, 12, 31), scanned=2),
        ExpectedEwe(mated_on=date(1, 1, 1)), ExpectedEwe(ram_in=MATED, ram_out=MATED - timedelta(days=1)),
    ],
)
def test_a_ewe_without_a_usable_date_is_counted_and_said(ewe: ExpectedEwe) -> None:
    made = forecast([ewe, ExpectedEwe(due=DUE, scanned=1)], SPREAD)
    assert (1, 1) == (made.unplaced, made.ewes)
    assert "1 ewe without any date to go by" in " ".join(made.words)
    assert () == forecast([ewe], SPREAD).days


def test_empty_ewes_and_dates_far_from_all_others_are_left_out_and_said() -> None:
    slip = ExpectedEwe(due=date(2062, 3, 16), scanned=2)
    made = forecast([ExpectedEwe(due=DUE, scanned=0), slip, *[ExpectedEwe(due=DUE, scanned=1)] * 3], SPREAD)
    assert (1, 1, 3) == (made.left_out.empty, made.left_out.far, made.ewes)
    assert {2026} == {day.date.year for day in made.days}
    assert "1 ewe due months away from all others" in " ".join(made.words)


def test_no_scatter_at_all_is_one_day() -> None:
    made = forecast([ExpectedEwe(mated_on=MATED, scanned=1)] * 5, Spread(147, 0, 17, 0.7, (1, 2, 3)))
    assert [(DUE, 5.0, 5, 5, 5.0, 5)] == [(d.date, d.expected, d.low, d.high, d.pens, d.pens_high) for d in made.days]


@pytest.mark.parametrize(("days", "far"), [(149, 0), (150, 0), (151, 1), (-150, 0), (-151, 1)])
def test_a_ewe_due_more_than_150_days_from_the_others_is_far(days: int, far: int) -> None:
    others = [ExpectedEwe(due=DUE, scanned=1)] * 3
    assert far == forecast([*others, ExpectedEwe(due=DUE + timedelta(days=days), scanned=1)], EXACT).left_out.far


@pytest.mark.parametrize(("stay", "pens"), [(0, [0]), (0.5, [0.5]), (1, [1]), (1.5, [1, 0.5]), (2, [1, 1])])
def test_days_end_with_the_last_pen(stay: float, pens: list[float]) -> None:
    made = forecast([ExpectedEwe(mated_on=MATED, scanned=1)], replace(EXACT, pen_days=(stay, 1, 1)))
    assert [(DUE + timedelta(days=number), pen) for number, pen in enumerate(pens)] == [(day.date, day.pens) for day in made.days]


@pytest.mark.parametrize(("pens", "said"), [(4, "You have 4: 1 short."), (5, "You have 5: enough."), (6, "You have 6: enough.")])
def test_pens_are_short_from_one_too_few_on(pens: int, said: str) -> None:
    made = forecast([ExpectedEwe(mated_on=MATED, scanned=1)] * 5, replace(EXACT, pens=pens))
    assert said in " ".join(made.words)


@pytest.mark.parametrize(("scanned", "left_out"), [(-1, 0), (0, 1), (1, 0)])
def test_only_a_scan_of_nought_is_empty(scanned: int, left_out: int) -> None:
    made = forecast([ExpectedEwe(due=DUE, scanned=scanned)], EXACT)
    assert (left_out, int(scanned < 0)) == (made.left_out.empty, made.unscanned)


@pytest.mark.parametrize(("lambed", "placed"), [(-1, DUE - timedelta(days=1)), (0, DUE), (1, DUE + timedelta(days=2))])
def test_a_lambing_counts_on_its_day_up_to_today(lambed: int, placed: date) -> None:
    ewe = ExpectedEwe(due=DUE + timedelta(days=2), scanned=1, lambed_on=DUE + timedelta(days=lambed))
    made = forecast([ewe], EXACT, DUE)
    assert [placed] == [day.date for day in made.days if day.expected]


@pytest.mark.parametrize(("today", "overdue"), [(-1, 0), (0, 0), (1, 1)])
def test_a_ewe_is_overdue_the_day_after_her_last(today: int, overdue: int) -> None:
    made = forecast([ExpectedEwe(due=DUE, scanned=1)], EXACT, DUE + timedelta(days=today))
    assert overdue == made.left_out.overdue


def test_a_ewe_not_lambed_by_today_lambs_from_today_on() -> None:
    today = DUE + timedelta(days=1)
    made = forecast([ExpectedEwe(due=DUE, scanned=1)], SPREAD, today)
    assert (today, pytest.approx(1)) == (made.days[0].date, made.expected)
    normal = stats.norm(0, 2)
    tomorrow = (normal.cdf(2.5) - normal.cdf(1.5)) / (1 - normal.cdf(0.5))
    assert pytest.approx(tomorrow, abs=1e-5) == made.days[1].expected


def test_a_ewe_not_scanned_is_the_less_likely_in_lamb_the_longer_she_waits() -> None:
    def waiting(days: int) -> float:
        return forecast([ExpectedEwe(due=DUE)], SPREAD, DUE + timedelta(days=days)).expected

    normal = stats.norm(0, 2)
    left = 0.7 * (1 - normal.cdf(1.5))
    assert pytest.approx(left / (left + 0.3), abs=1e-5) == waiting(2)
    assert 0.7 == pytest.approx(waiting(-20))
    assert 0.7 > waiting(0) > waiting(2) > waiting(4)


def test_ewes_lambed_count_on_their_day_and_stand_in_their_pens() -> None:
    today = DUE
    lambed = ExpectedEwe(due=DUE, scanned=3, lambed_on=DUE - timedelta(days=1))
    made = forecast([lambed, ExpectedEwe(due=DUE, scanned=1, lambed_on=DUE - timedelta(days=4))], SPREAD, today)
    days = {day.date: day for day in made.days}
    assert (1.0, 1, 1) == (days[DUE - timedelta(days=1)].expected, days[DUE - timedelta(days=1)].lambed, days[today].pens)
    assert 0 == days[DUE - timedelta(days=2)].pens
    assert ("No more ewes are expected to lamb.",) == made.words
    assert (0.0, None) == (made.expected, days[today + timedelta(days=1)].lambed)


def test_a_ewe_past_her_last_day_is_left_out_and_said() -> None:
    made = forecast([ExpectedEwe(due=DUE, scanned=1)], SPREAD, DUE + timedelta(days=30))
    assert 1 == made.left_out.overdue
    assert "should have lambed before 15 Apr 2026" in " ".join(made.words)


known_ewes = st.builds(
    ExpectedEwe,
    mated_on=st.none() | st.dates(MATED, MATED + timedelta(days=40)),
    ram_in=st.none() | st.dates(MATED, MATED + timedelta(days=5)),
    ram_out=st.none() | st.dates(MATED + timedelta(days=20), MATED + timedelta(days=60)),
    due=st.none() | st.dates(DUE, DUE + timedelta(days=40)),
    scanned=st.none() | st.integers(0, 5),
    lambed_on=st.none() | st.dates(DUE, DUE + timedelta(days=40)),
)


def test_a_half_ewe_is_rounded_alike_in_any_order() -> None:
    """Four and a half ewes are expected; a sum in another order is 4.500000000000001."""
    due = [date(2026, 3, 23), date(2026, 4, 2)]
    mated = [date(2025, 10, 25), date(2025, 10, 26), date(2025, 11, 6)]
    ewes = [*(ExpectedEwe(due=day) for day in due), *(ExpectedEwe(mated_on=day) for day in mated),
            ExpectedEwe(due=date(2026, 3, 16), scanned=1)]
    assert {"Half of the 4 ewes"} == {forecast(list(order), SPREAD, None).words[1][:18] for order in [*permutations(ewes)][::24]}


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(known_ewes, max_size=25), st.none() | st.dates(DUE, DUE + timedelta(days=70)), st.randoms())
def test_expected_adds_up_to_the_ewes_in_any_order(ewes: list[ExpectedEwe], today: date | None, dice: random.Random) -> None:
    made = forecast(ewes, SPREAD, today)
    left = made.left_out
    assert len(ewes) == made.ewes + left.empty + made.unplaced + left.overdue
    sure, total = made.ewes - made.unscanned, sum(day.expected for day in made.days)
    assert sure - 1e-6 <= total <= made.ewes + 1e-6
    if not made.unscanned:
        assert pytest.approx(made.ewes, abs=1e-6) == total
    for day in made.days:
        assert day.low <= day.high and 0 <= day.share <= 1
        assert day.low - 1 <= day.expected <= day.high + 1  # mean and median of such a count lie within one of each other
    other = forecast(dice.sample(ewes, len(ewes)), SPREAD, today)
    assert made.words == other.words
    assert pytest.approx([day.pens for day in made.days], abs=1e-9) == [day.pens for day in other.days]


@settings(max_examples=examples(10), deadline=None)
@given(st.lists(known_ewes, min_size=1, max_size=15))
def test_the_band_is_scipys_and_holds_the_median(ewes: list[ExpectedEwe]) -> None:
    likely = [days for ewe in ewes if ewe.scanned != 0 and (days := days_of(ewe, SPREAD))]
    for day in forecast(ewes, SPREAD).days[::5]:
        by_scipy = stats.poisson_binom([days.on(day.date.toordinal()) for days in likely])
        below_low, low, below_high, high = by_scipy.cdf([day.low - 1, day.low, day.high - 1, day.high])
        assert below_low < 0.1 + 1e-9 and 0.1 - 1e-9 <= low
        assert below_high < 0.9 + 1e-9 and 0.9 - 1e-9 <= high
        assert day.low <= by_scipy.median() <= day.high


def test_the_share_lambed_grows_from_none_to_all() -> None:
    ewes = [ExpectedEwe(due=DUE + timedelta(days=number), scanned=2) for number in range(10)] + [ExpectedEwe(due=DUE)]
    days = forecast(ewes, SPREAD).days
    so_far = numpy.cumsum([day.expected for day in days])
    assert pytest.approx(so_far / 10.7) == [day.share for day in days]
    assert pytest.approx(1) == days[-1].share


def test_without_the_day_the_ram_came_out_three_rounds_are_counted() -> None:
    three = forecast([ExpectedEwe(ram_in=MATED, ram_out=MATED + timedelta(days=50))], SPREAD)
    assert three == forecast([ExpectedEwe(ram_in=MATED)], SPREAD)


def test_pens_of_a_flock_of_250_are_what_farms_keep() -> None:
    # One pen for 7 to 10 ewes: common practice, no source. Stays of 1, 2 and 3 days, most ewes lambing in three weeks.
    ram = ExpectedEwe(ram_in=MATED, ram_out=MATED + timedelta(days=33))
    ewes = [replace(ram, scanned=size) for size in (1, 1, 2, 2, 2, 2, 2, 2, 3, 3) for _ in range(25)]
    made = forecast(ewes, SPREAD)
    assert made.fullest is not None
    assert 250 / 10 <= made.fullest.pens_high <= 250 / 7


def test_seasons_drawn_lie_within_the_band_and_find_pens_enough() -> None:
    """Heats spread over 17 days, 70 in 100 holding to each, gestation scattered by 2 days: drawn, not added up."""
    dice, seasons = numpy.random.default_rng(SEED), 3000
    ewes = [ExpectedEwe(ram_in=MATED, ram_out=MATED + timedelta(days=50), scanned=1 + number % 3) for number in range(60)]
    made = forecast(ewes, SPREAD)
    missed = dice.geometric(0.7, (seasons * 3, 60)) - 1
    kept = missed[(missed < 3).all(axis=1)][:seasons]  # in lamb within the three rounds the ram was there
    mated = dice.integers(0, 17, kept.shape) + 17 * kept
    lambed = MATED.toordinal() + mated + numpy.rint(dice.normal(147, 2, kept.shape))
    stays = numpy.array([1 + number % 3 for number in range(60)])
    for day in made.days[5::4]:
        on = day.date.toordinal()
        ewes_that_day = (lambed == on).sum(axis=1)
        in_pens = ((lambed <= on) & (on < lambed + stays)).sum(axis=1)
        assert pytest.approx(day.expected, abs=0.15) == ewes_that_day.mean()
        assert (ewes_that_day <= day.high).mean() >= 0.88 and (ewes_that_day >= day.low).mean() >= 0.88
        assert (in_pens <= day.pens_high).mean() >= 0.88


@pytest.mark.parametrize(("scanned", "conception", "half", "nine"), [(1, 0.7, 5, 9), (None, 0.1, 5, 9), (None, 0.7, 5, 9)])
def test_half_and_nine_in_ten_are_told_by_the_first_day_that_reaches_them(
    scanned: int | None, conception: float, half: int, nine: int,
) -> None:
    """Ten ewes, one a day; nine tenths added up are a hair less than 0.9 and count as reached."""
    ewes = [ExpectedEwe(due=DUE + timedelta(days=number), scanned=scanned) for number in range(1, 11)]
    made = forecast(ewes, replace(EXACT, conception=conception))
    by_half, by_nine = (DUE + timedelta(days=day) for day in (half, nine))
    assert f"by {shown(by_half)}, nine in ten by {shown(by_nine)}." in made.words[1]


@pytest.mark.parametrize(("ewes", "first"), [
    ([], "No forecast: no ewe in lamb has a mating date, ram dates or a due date."),
    ([ExpectedEwe(scanned=2)], "No forecast: no ewe in lamb has a mating date, ram dates or a due date."),
    ([ExpectedEwe(due=DUE, scanned=1, lambed_on=DUE)], "No more ewes are expected to lamb."),
])
def test_a_flock_without_any_date_is_told_from_one_that_has_lambed(ewes: list[ExpectedEwe], first: str) -> None:
    assert first == forecast(ewes, EXACT, DUE + timedelta(days=1)).words[0]
