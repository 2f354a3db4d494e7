"""The lambing forecast: chances added up exactly, dates of every kind, ewes left out and said, the page and its live cells."""

import random
from collections import Counter
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import reduce
from itertools import permutations
from pathlib import Path

import numpy
import office
import pytest
from examples import examples
from fake_result import result
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook
from scipy import stats
from seasons import season

from template_builder.build import Plan, build
from template_builder.forecast.chances import binomial, number_of
from template_builder.forecast.lambing_days import Days, ExpectedEwe, Spread, days_of
from template_builder.forecast.page import NO_PENS, PERHAPS, YES, Limits
from template_builder.forecast.per_day import HIGH, LOW, Day, Forecast, forecast
from template_builder.forecast.rows import forecast_from
from template_builder.layout.choices import Born, EweLeft
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.settings import SETTING
from template_builder.layout.whole import PROGRESS_TAB
from workbook.output.summary.charts import beside_forecast
from workbook.reading.season_file import read
from workbook.results.litters.spread import forecast_of, forecast_to_come

pytestmark = pytest.mark.usefixtures("few_spare_rows")

SPREAD = Spread(147, 2, 17, 0.7, (1, 2, 3))
EXACT = replace(SPREAD, spread=0)  # every gestation alike
MATED, DUE = date(2025, 10, 20), date(2026, 3, 16)
SEED, SEASONS = 11, 40_000


# Chances of a count


def test_binomial_is_scipys() -> None:
    for ewes, chance in ((1, 0.3), (30, 0.001), (250, 0.5), (3000, 0.02), (3000, 0.999)):
        count = binomial(ewes, chance)
        there = numpy.arange(count.least, count.least + len(count.chances))
        assert pytest.approx(stats.binom.pmf(there, ewes, chance), abs=1e-12) == count.chances


@pytest.mark.parametrize(("ewes", "chance", "least"), [
    (0, 0.5, 0), (-1, 0.5, 0), (5, 0.0, 0), (5, -0.1, 0), (5, 1.0, 5), (5, 1.1, 5),
])
def test_a_chance_of_none_or_of_all_is_one_number(ewes: int, chance: float, least: int) -> None:
    assert (least, (1.0,)) == (binomial(ewes, chance).least, binomial(ewes, chance).chances)


@pytest.mark.parametrize("flock", [((5, 0.1), (7, 0.9), (1, 0.5)), ((60, 0.2), (200, 0.03), (150, 0.01), (3, 0.999)),
                                   ((400, 0.11), (900, 0.02), (2, 1.0), (9, 0.0))])
def test_a_sum_of_unequal_chances_is_scipys(flock: tuple[tuple[int, float], ...]) -> None:
    count = number_of(flock)
    each = [chance for ewes, chance in flock for _ in range(ewes)]
    by_scipy = stats.poisson_binom(each)
    there = numpy.arange(count.least, count.least + len(count.chances))
    assert pytest.approx(by_scipy.pmf(there), abs=1e-10) == count.chances
    pmfs = (stats.binom.pmf(numpy.arange(ewes + 1), ewes, chance) for ewes, chance in flock)
    convolved = reduce(numpy.convolve, pmfs)
    assert pytest.approx(convolved[there], abs=1e-12) == count.chances
    below = numpy.cumsum(convolved)
    for share in (LOW, 0.5, HIGH):
        assert int(numpy.searchsorted(below, share)) == count.quantile(share)


def test_a_sum_of_unequal_chances_is_what_seasons_drawn_give() -> None:
    flock = ((6, 0.15), (3, 0.4), (20, 0.02))
    dice = random.Random(SEED)
    drawn = Counter(sum(dice.random() < chance for ewes, chance in flock for _ in range(ewes)) for _ in range(SEASONS))
    count = number_of(flock)
    for number, chance in enumerate(count.chances, start=count.least):
        assert pytest.approx(drawn[number] / SEASONS, abs=0.01) == chance


@given(st.lists(st.tuples(st.integers(0, 40), st.floats(0, 1)), max_size=8), st.randoms())
def test_a_count_has_the_mean_of_its_chances_in_any_order(flock: list[tuple[int, float]], dice: random.Random) -> None:
    count = number_of(flock)
    assert pytest.approx(1) == sum(count.chances)
    mean = sum(number * chance for number, chance in enumerate(count.chances, start=count.least))
    assert pytest.approx(sum(ewes * chance for ewes, chance in flock), abs=1e-8) == mean
    shuffled = dice.sample(flock, len(flock))
    assert count.quantile(HIGH) == number_of(shuffled).quantile(HIGH)
    assert count.quantile(LOW) <= count.quantile(0.5) <= count.quantile(HIGH)


# Dates of every kind


def _expected(made: Forecast) -> dict[date, float]:
    return {day.date: day.expected for day in made.days}


def test_one_ewe_with_a_mating_date_is_normal_around_her_due_day() -> None:
    made = _expected(forecast([ExpectedEwe(mated_on=MATED, scanned=2)], SPREAD))
    normal = stats.norm(0, 2)
    for off in range(-6, 7):
        assert pytest.approx(normal.cdf(off + 0.5) - normal.cdf(off - 0.5), abs=1e-6) == made[DUE + timedelta(days=off)]


@pytest.mark.parametrize(
    ("ewe", "middle"),
    [
        (ExpectedEwe(mated_on=MATED, ram_in=date(2025, 10, 1), due=date(2026, 5, 1), scanned=1), DUE),
        (ExpectedEwe(due=DUE, scanned=1), DUE),
        # A due day that differs from what the build makes of the ram dates is somebody's own knowledge.
        (ExpectedEwe(due=DUE, ram_in=date(2025, 10, 1), ram_out=date(2025, 11, 20), scanned=1), DUE),
        # One that the build made of the first ram day is no more than that day: one round of 17 days, its ninth the middle.
        (ExpectedEwe(due=DUE, ram_in=MATED, ram_out=MATED + timedelta(days=16), scanned=1), DUE + timedelta(days=8)),
    ],
)
def test_the_best_date_counts(ewe: ExpectedEwe, middle: date) -> None:
    found = days_of(ewe, SPREAD)
    assert found is not None
    assert pytest.approx(middle.toordinal(), abs=1e-6) == found.middle


def test_the_ram_out_cuts_a_round_short() -> None:
    # 7 of the 17 days of the second round: 0.7 + 0.3 x 0.7 x 7/17 of the ewes are in lamb.
    ewe = ExpectedEwe(ram_in=MATED, ram_out=MATED + timedelta(days=23))
    found = days_of(ewe, SPREAD)
    assert found is not None
    assert pytest.approx(0.7 + 0.3 * 0.7 * 7 / 17) == sum(found.chances)
    assert pytest.approx(1) == sum(found.chances) + found.never


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


def test_settings_that_cannot_be_take_their_default() -> None:
    found = Spread.of({"gestation": "soon", "gestation_spread": -3, "cycle": 0, "conception": 7, "pen_days_2": 1.5, "pens": 30})
    assert Spread(147, 2, 1, 0.7, (1, 1.5, 3), 30) == found


@pytest.mark.parametrize(("id", "least", "most"), [
    (id, SETTING[id].least, SETTING[id].most) for id in ("gestation", "gestation_spread", "conception", "pen_days_1")])
def test_a_setting_counts_within_its_limits_and_on_them(id: str, least: float, most: float) -> None:
    field = {"gestation": "gestation", "gestation_spread": "spread", "conception": "conception", "pen_days_1": "pen_days"}[id]
    usual = getattr(Spread.of({}), field)
    found = [getattr(Spread.of({id: value}), field) for value in (least - 0.1, least, most, most + 0.1)]
    inside = [(value, *usual[1:]) if isinstance(usual, tuple) else value for value in (least, most)]
    assert [usual, *inside, usual] == found


@pytest.mark.parametrize(("scanned", "days"), [(None, 2), (0, 1), (1, 1), (2, 2), (3, 3), (4, 3)])
def test_days_in_a_pen_by_lambs_scanned(scanned: int | None, days: float) -> None:
    assert days == SPREAD.pen_days_of(scanned)


@pytest.mark.parametrize(("year", "found"), [(1949, False), (1950, True), (2199, True), (2200, False)])
def test_a_date_that_can_only_be_a_slip_is_none(year: int, found: bool) -> None:
    assert found == (days_of(ExpectedEwe(due=date(year, 3, 16), scanned=1), SPREAD) is not None)


@pytest.mark.parametrize(("days", "far"), [(149, 0), (150, 0), (151, 1), (-150, 0), (-151, 1)])
def test_a_ewe_due_more_than_150_days_from_the_others_is_far(days: int, far: int) -> None:
    others = [ExpectedEwe(due=DUE, scanned=1)] * 3
    assert far == forecast([*others, ExpectedEwe(due=DUE + timedelta(days=days), scanned=1)], EXACT).left_out.far


@pytest.mark.parametrize(("out", "days"), [(-1, 0), (0, 1), (1, 2), (16, 17), (None, 51), (12 * 17 - 2, 203), (12 * 17 + 1, 204)])
def test_days_on_which_the_ram_may_have_mated_her(out: int | None, days: int) -> None:
    ram_out = None if out is None else MATED + timedelta(days=out)
    found = days_of(ExpectedEwe(ram_in=MATED, ram_out=ram_out, scanned=1), EXACT)
    assert days == (len(found.chances) if found else 0)
    assert found is None or MATED.toordinal() + 147 == found.first


@pytest.mark.parametrize(("gestation", "found"), [(146, DUE), (147, DUE + timedelta(days=8)), (148, DUE)])
def test_a_due_day_is_somebodys_own_unless_it_is_the_first_ram_day_and_the_gestation(gestation: int, found: date) -> None:
    ram_in = DUE - timedelta(days=gestation)
    days = days_of(ExpectedEwe(due=DUE, ram_in=ram_in, ram_out=ram_in + timedelta(days=16), scanned=1), EXACT)
    assert days is not None and pytest.approx(found.toordinal()) == days.middle


@pytest.mark.parametrize(("stay", "days"), [(1, [1, 0, 0]), (1.5, [1, 0.5, 0]), (2, [1, 1, 0]), (2.5, [1, 1, 0.5])])
def test_half_days_in_a_pen_count_half(stay: float, days: list[float]) -> None:
    found = Days(DUE.toordinal(), (1.0,))
    assert [0, *days] == [found.in_pen(DUE.toordinal() + day, stay) for day in range(-1, 3)]


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


# Brought up to date


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


# The flock


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


# The season and its workbook


def _rows() -> dict[str, list[Row]]:
    ewes: list[Row] = [
        {"ewe": str(1000 + number), "scanned": number % 4, "due": DUE + timedelta(days=number % 9), "group": "All"}
        for number in range(40)
    ]
    ewes += [{"ewe": "2001", "scanned": 2, "group": "Hill "}, {"ewe": "2002", "scanned": 2, "due": DUE, "left_how": EweLeft.DIED}]
    laid = lay_ready(ewes)
    lambed: Row = {"lambed_on": DUE - timedelta(days=1), "born_alive": 1}
    laid["lambing"] = [{**row, **(lambed if row["ewe"] in ("1001", "1002") else {})} for row in laid["lambing"]]
    return {
        "season": [{"row_key": "year", "value": 2026}, {"row_key": "pens", "value": 4}],
        "groups": [{"group": "hill", "ram_in": MATED, "ram_out": MATED + timedelta(days=20)}], **laid,
    }


def test_the_build_and_the_season_forecast_alike() -> None:
    rows = _rows()
    from_rows, from_season = forecast_from(rows), forecast_of(season(**rows))  # type: ignore[arg-type]  # sheet ids
    assert from_rows.days == from_season.days
    assert (41 - 10, 10) == (from_season.ewes, from_season.left_out.empty)
    assert 2 == sum(day.lambed or 0 for day in from_season.days)
    assert "You have 4: " in " ".join(from_season.words)


def test_the_season_looks_ahead_from_its_moment() -> None:
    rows = {**_rows(), "lambs": [{"ewe": "1003", "lamb_no": 1, "born": Born.ALIVE}]}
    of = season(as_of=datetime(2026, 3, 18, 12, 0), **rows)  # type: ignore[arg-type]  # sheet ids
    made = forecast_to_come(of)
    # Of 31 ewes two lambed on a day written, and one on a day that nobody wrote down.
    assert pytest.approx(28) == made.expected
    assert made.peak is not None and made.peak.date >= date(2026, 3, 18)


def test_the_page_counts_what_is_typed_and_else_recalculates_to_what_was_written(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", _rows()))
    book = load_workbook(tmp_path / "season.xlsx", read_only=True)
    typed = next(row[0].row for row in book["Lambing"].iter_rows(min_row=4) if row[0].value == "1005")
    before = _tab(tmp_path / "season.xlsx")
    day = (DUE - timedelta(days=1) - date(1899, 12, 30)).days + 0.125  # with a time of day, as some people write it
    office.changed(tmp_path / "season.xlsx", tmp_path / "typed.xlsx", [["set", "Lambing", f"D{typed}", day]])
    after = _tab(tmp_path / "typed.xlsx")
    assert [(2, 3)] == [(old[7], new[7]) for old, new in zip(before, after, strict=True) if old != new]


@pytest.mark.long
def test_the_page_knows_the_pens_written_later(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", {**_rows(), "season": []}))
    assert (NO_PENS, NO_PENS) == _pens(tmp_path / "season.xlsx")
    book = load_workbook(tmp_path / "season.xlsx")
    pens, people = (book.defined_names[f"set_{id}"].attr_text.partition("!")[2].replace("$", "") for id in ("pens", "two_people"))
    office.changed(tmp_path / "season.xlsx", tmp_path / "pens.xlsx", [["set", "Season", pens, 6], ["set", "Season", people, 3]])
    short = sum(day.pens_high > 6 for day in forecast_from(_rows()).days)
    assert 0 < short
    assert (6, short) == _pens(tmp_path / "pens.xlsx")
    nights = Counter(Limits(6, 3).people(day) for day in forecast_from(_rows()).days)
    assert min(nights[YES], nights[PERHAPS]) > 0
    assert (nights[YES], nights[PERHAPS]) == _nights(tmp_path / "pens.xlsx")
    assert (0, 0) == _nights(tmp_path / "season.xlsx")


def _nights(path: Path) -> tuple[object, object]:
    """Nights for two people, and those that may be; each is told beside its day too."""
    rows = _tab(path)
    said = Counter(row[8] for row in rows)
    lines = {str(row[0]): row[4] for row in rows}
    likely, more = (next(lines[words] for words in lines if words.startswith(start)) for start in ("Nights", "and perhaps"))
    assert (said[YES], said[PERHAPS]) == (likely, more)
    return likely, more


@pytest.mark.parametrize(("expected", "high", "people"), [
    (9.99, 9, ""), (9.994, 10, PERHAPS), (9.996, 10, YES), (10, 12, YES), (10.01, 14, YES), (8, 11, PERHAPS), (0, 0, ""),
])
def test_a_night_is_for_two_people_from_the_limit_on(expected: float, high: int, people: str) -> None:
    assert people == Limits(None, 10).people(Day(DUE, expected, 0, high, 0, 0, 0))


def test_a_flock_known_by_its_tally_is_forecast_from_its_counts() -> None:
    ram_out = MATED + timedelta(days=40)
    group: Row = {"group": "High", "ram_in": MATED, "ram_out": ram_out, "tally_0": 2, "tally_1": 9, "tally_2": 5}
    ram = ExpectedEwe(ram_in=MATED, ram_out=ram_out)
    ewes = [replace(ram, scanned=scanned) for scanned, number in ((0, 2), (1, 9), (2, 5)) for _ in range(number)]
    assert forecast(ewes, SPREAD) == forecast_from({"groups": [group]})
    listed: Row = {"ewe": "A", "scanned": 1, "due": DUE}
    assert 1 == forecast_from({"groups": [group], "ewes": [listed]}).ewes
    assert () == forecast_from({"groups": [{**group, "ram_in": None}]}).days


def _pens(path: Path) -> tuple[object, object]:
    """Pens there are, and days on which more may be needed."""
    cells = {row[0]: row[4] for row in _tab(path)}
    return cells["Pens you have"], cells["Days on which more may be needed"]


def _tab(path: Path) -> list[tuple[object, ...]]:
    sheet = load_workbook(path, data_only=True, read_only=True)[PROGRESS_TAB]
    rows = list(sheet.iter_rows(max_col=9, values_only=True))
    coming = next((number for number, row in enumerate(rows) if str(row[0]).startswith("What is coming")), 0)
    return rows[coming:]


def test_the_summary_draws_lambings_beside_the_forecast() -> None:
    rows = _rows()
    rows["lambing"][-1] = {**rows["lambing"][-1], "lambed_on": date(2026, 12, 1)}
    of = season(as_of=datetime(2026, 3, 20, 12, 0), **rows)  # type: ignore[arg-type]  # sheet ids
    made = forecast_of(of)
    days, outside = beside_forecast(replace(result(of), forecast=made))
    assert (2, 1) == (sum(lambed or 0 for _, lambed, _ in days), outside)
    assert pytest.approx(made.expected, abs=0.5) == sum(expected or 0 for _, _, expected in days)
    assert all((lambed is None) == (day > date(2026, 3, 20)) for day, lambed, _ in days)
    ends = days[0][0].toordinal(), days[-1][0].toordinal() + 1
    assert list(range(*ends)) == [day.toordinal() for day, _, _ in days]


def test_the_reader_takes_the_page_for_the_programs_own(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", _rows()))
    found = read(tmp_path / "season.xlsx")
    assert ((), ()) == (found.season.own_sheets, found.problems)


def test_without_any_date_progress_shows_what_has_come_alone(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", lay_ready([{"ewe": "1", "scanned": 2}])))
    said = {row[0] for row in _tab(tmp_path / "season.xlsx")}
    assert (True, False) == ("Ewes scanned in lamb" in said, "Pens you have" in said)
