"""How a flock's lambings spread, and due dates: closed form, convolution and simulation held against each other.

The model: ewes come in heat evenly over one round of heats of L days, a share p of them holds, the rest comes again. Days
between heats (16 to 17) and the length of heat: Merck Veterinary Manual. Gestation: 147 days as in 1,291 gestations of hair
sheep (singles 149.8, twins 147.4, triplets 146.7). The share of 0.7 and the SD of 2 days are from memory. The values of the
closed form are our own arithmetic: no published table of this model was found.
"""

import random
from datetime import date, timedelta
from math import sqrt

import pytest

from template_builder.forecast.lambing_days import ExpectedEwe, Spread
from template_builder.forecast.per_day import Forecast, forecast
from template_builder.scan.season_rows import due_date

RAMS_IN = date(2025, 10, 1)
EWES, SHARE, ROUNDS, ROUND_DAYS, GESTATION, SD = 100, 0.7, 2, 17, 147, 2
SEED, DRAWS = 20260301, 200_000


def _forecast(stay: float = 1, rounds: int = ROUNDS, scanned: int | None = None) -> Forecast:
    ewe = ExpectedEwe(ram_in=RAMS_IN, ram_out=RAMS_IN + timedelta(days=rounds * ROUND_DAYS - 1), scanned=scanned)
    return forecast([ewe] * EWES, Spread(GESTATION, SD, ROUND_DAYS, SHARE, (stay, stay, stay)))


def _day(day: date) -> int:
    """Days since the rams went in."""
    return (day - RAMS_IN).days


def _moments(made: Forecast) -> tuple[float, float]:
    births = sum(day.expected for day in made.days)
    mean = sum(_day(day.date) * day.expected for day in made.days) / births
    return mean, sqrt(sum((_day(day.date) - mean) ** 2 * day.expected for day in made.days) / births)


@pytest.mark.parametrize(("rounds", "births"), [(1, 70.0), (2, 91.0), (3, 97.3)])
def test_ewes_in_lamb_after_each_round(rounds: int, births: float) -> None:
    # N (1 - (1 - p)^k)
    assert pytest.approx(births, abs=1e-9) == sum(day.expected for day in _forecast(rounds=rounds).days)


def test_mean_and_spread_are_those_of_the_closed_form() -> None:
    again = (1 - SHARE) / (2 - SHARE)  # share of the ewes in lamb that held in the second round
    mean = GESTATION + (ROUND_DAYS - 1) / 2 + ROUND_DAYS * again
    spread = sqrt(SD**2 + (ROUND_DAYS**2 - 1) / 12 + ROUND_DAYS**2 * again * (1 - again) + 1 / 12)
    assert (158.92308, 8.9098) == (pytest.approx(mean, abs=1e-5), pytest.approx(spread, abs=1e-4))
    assert (mean, spread) == pytest.approx(_moments(_forecast()), abs=1e-4)


@pytest.mark.parametrize("rounds", [1, 2, 3])
def test_peak_is_a_round_of_heats_spread_over_its_days(rounds: int) -> None:
    made = _forecast(rounds=rounds)
    assert made.peak is not None
    assert (155, pytest.approx(SHARE * EWES / ROUND_DAYS, abs=1e-3)) == (_day(made.peak.date), made.peak.expected)
    assert pytest.approx(4.1176, abs=1e-4) == made.peak.expected


@pytest.mark.parametrize(("stay", "most", "fullest", "pen_days"), [(1, 4.1176, 155, 91), (2, 8.2350, 156, 182),
                                                                   (3, 12.3522, 156, 273)])
def test_pens_and_pen_days(stay: int, most: float, fullest: int, pen_days: int) -> None:
    # Pen-days are births times days of stay (Little's law), exactly.
    made = _forecast(stay)
    assert made.fullest is not None
    assert (fullest, pytest.approx(most, abs=1e-4)) == (_day(made.fullest.date), made.fullest.pens)
    assert pytest.approx(pen_days, abs=1e-9) == sum(day.pens for day in made.days)


@pytest.mark.parametrize("stay", [0, 0.5, 1.5, 2.25])
def test_part_of_a_day_counts_as_part(stay: float) -> None:
    assert pytest.approx(91 * stay, abs=1e-9) == sum(day.pens for day in _forecast(stay).days)


@pytest.mark.parametrize(("last", "share"), [(163, 0.7085), (167, 0.7873)])
def test_share_of_births_in_the_first_weeks(last: int, share: float) -> None:
    made = _forecast()
    inside = sum(day.expected for day in made.days if GESTATION <= _day(day.date) <= last)
    assert pytest.approx(share, abs=1e-4) == inside / made.expected


def test_a_simulated_flock_lambs_alike() -> None:
    dice = random.Random(SEED)
    born: list[int] = []
    for _ in range(DRAWS):
        for heat in range(ROUNDS):
            if dice.random() < SHARE:
                born.append(heat * ROUND_DAYS + dice.randrange(ROUND_DAYS) + round(dice.gauss(GESTATION, SD)))
                break
    made = _forecast()
    mean, spread = _moments(made)
    drawn_mean = sum(born) / len(born)
    drawn_spread = sqrt(sum((day - drawn_mean) ** 2 for day in born) / len(born))
    assert (0.91, mean, spread) == pytest.approx((len(born) / DRAWS, drawn_mean, drawn_spread), rel=0.005)
    for day in made.days:
        assert pytest.approx(born.count(_day(day.date)) / DRAWS, abs=0.001) == day.expected / EWES, day.date


def test_a_ewe_scanned_in_lamb_is_in_lamb() -> None:
    assert pytest.approx(EWES, abs=1e-9) == sum(day.expected for day in _forecast(scanned=2).days)


@pytest.mark.parametrize(
    ("mated_on", "days", "due"),
    [
        # The first two pairs stand on a farm's page; the others are calendar arithmetic. Mating date + days: some printed
        # tables count the day of mating as the first and are a day earlier (from memory).
        (date(2025, 9, 29), 150, date(2026, 2, 26)),
        (date(2025, 10, 10), 150, date(2026, 3, 9)),
        (date(2025, 1, 1), 147, date(2025, 5, 28)),
        (date(2025, 1, 1), 148, date(2025, 5, 29)),
        (date(2025, 1, 1), 150, date(2025, 5, 31)),
        (date(2025, 8, 1), 147, date(2025, 12, 26)),
        (date(2025, 10, 1), None, date(2026, 2, 25)),
        (date(2025, 11, 5), None, date(2026, 4, 1)),
        (date(2027, 10, 1), 147, date(2028, 2, 25)),
        (date(2027, 10, 15), 147, date(2028, 3, 10)),  # across a 29 February
    ],
)
def test_due_dates(mated_on: date, days: int | None, due: date) -> None:
    assert due == due_date(mated_on, days)
    spread = Spread(days or GESTATION, SD, ROUND_DAYS, SHARE, (1, 2, 3))
    made = forecast([ExpectedEwe(mated_on=mated_on, scanned=1)], spread)
    assert made.peak is not None and due == made.peak.date
