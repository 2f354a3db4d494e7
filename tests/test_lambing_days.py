"""On which day a ewe lambs: dates of every kind, rounds of heats, settings, days in a pen."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from scipy import stats

from template_builder.forecast.lambing_days import Days, ExpectedEwe, Spread, days_of
from template_builder.layout.settings import SETTING

SPREAD = Spread(147, 2, 17, 0.7, (1, 2, 3))
EXACT = replace(SPREAD, spread=0)  # every gestation alike
MATED, DUE = date(2025, 10, 20), date(2026, 3, 16)


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


@pytest.mark.parametrize("spread", [0.5, 2, 3.5])
def test_lambings_scatter_about_the_day_as_a_normal_distribution(spread: float) -> None:
    found = days_of(ExpectedEwe(mated_on=MATED, scanned=1), replace(SPREAD, spread=spread))
    normal = stats.norm(DUE.toordinal(), spread)
    assert found is not None
    for day in range(found.first, found.first + len(found.chances)):
        assert pytest.approx(normal.cdf(day + 0.5) - normal.cdf(day - 0.5), abs=1e-6) == found.on(day)
