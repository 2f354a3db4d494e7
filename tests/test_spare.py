"""What to have ready before lambing: lambs alive, beyond two and in want of colostrum against scipy, a draw, and the workbook."""

from collections import Counter
from datetime import datetime
from random import Random

import numpy
import pytest
from fake_result import result
from scipy import stats
from seasons import season

from template_builder.layout.choices import Born
from template_builder.layout.columns import Row
from template_builder.plan.spare import MOST_IN_LITTER, REARS, Band, Chances, beyond_two, from_store, lambs_alive, ready
from workbook.carrying.as_last import as_last_season

NOW = datetime(2026, 1, 20, 12, 0)
USUAL = Chances(0.95, 0.9, 0.05)
SHARES = (0.0, 0.02, 0.3, 0.5, 0.7, 0.85, 0.9, 0.95, 0.99, 1.0)


def spare_by_scipy(ewes: dict[int, int], alive: float) -> numpy.ndarray:
    """The chance of each number of lambs beyond two, all litters together."""
    found = numpy.array([1.0])
    for litter, number in ewes.items():
        born = stats.binom.pmf(numpy.arange(litter + 1), litter, alive)
        of_one = [born[:REARS + 1].sum(), *born[REARS + 1:]]
        for _ in range(number):
            found = numpy.convolve(found, of_one)
    return found


@pytest.mark.parametrize("alive", SHARES)
@pytest.mark.parametrize("litter", range(1, MOST_IN_LITTER + 1))
def test_lambs_beyond_two_are_those_of_the_binomial(litter: int, alive: float) -> None:
    number = numpy.arange(litter + 1)
    chances = stats.binom.pmf(number, litter, alive)
    beyond = numpy.maximum(number - REARS, 0)
    mean = float((chances * beyond).sum())
    assert pytest.approx((mean, float((chances * (beyond - mean) ** 2).sum()))) == tuple(beyond_two(litter, alive))
    assert pytest.approx(stats.binom.stats(litter, alive)) == lambs_alive(litter, alive)


@pytest.mark.parametrize("alive", SHARES)
@pytest.mark.parametrize("ewes", [{3: 1}, {3: 2}, {3: 7}, {3: 26}, {3: 150}, {4: 3}, {3: 12, 4: 5, 5: 1}, {8: 2}])
def test_the_range_holds_nine_seasons_in_ten_and_is_not_much_wider(ewes: dict[int, int], alive: float) -> None:
    chances = spare_by_scipy(ewes, alive)
    spare = ready(ewes, Chances(0.95, alive, 0.05)).spare
    assert 0.9 <= chances[spare.low:spare.high + 1].sum() + 1e-9
    below = numpy.cumsum(chances)
    narrow = [int(numpy.searchsorted(below, share)) for share in (0.05, 0.95)]
    assert spare.low >= narrow[0] - 2 and spare.high <= narrow[1] + 2


def test_a_whole_season_as_drawn_by_chance() -> None:
    ewes, draw, seasons = {1: 12, 2: 30, 3: 9, 4: 2}, Random(5), 4000
    made, inside = ready(ewes, USUAL), Counter[str]()
    totals = numpy.zeros(3)
    for _ in range(seasons):
        alive = spare = store = 0
        for litter, number in ewes.items():
            for _ in range(number):
                born = sum(draw.random() < USUAL.alive(litter) for _ in range(litter))
                beyond = max(born - REARS, 0)
                alive, spare = alive + born, spare + beyond
                store += beyond + sum(draw.random() < USUAL.from_store for _ in range(born - beyond))
        totals += (alive, store, spare)
        inside.update(id for id, count in zip(made._fields, (alive, store, spare), strict=True)
                      if getattr(made, id).low <= count <= getattr(made, id).high)
    assert pytest.approx([band.expected for band in made], rel=0.02) == list(totals / seasons)
    assert all(0.9 <= inside[id] / seasons <= 0.98 for id in made._fields)


def test_triplets_alone_are_one_binomial() -> None:
    made, all_three = ready({3: 20}, USUAL).spare, stats.binom(20, 0.9 ** 3)
    assert pytest.approx(all_three.mean()) == made.expected
    assert 0.9 <= all_three.cdf(made.high) - all_three.cdf(made.low - 1)


def test_a_scan_beyond_eight_counts_as_eight_and_no_scan_as_nothing() -> None:
    assert ready({8: 1}, USUAL) == ready({12: 1}, USUAL)
    assert (Band(0, 0, 0),) * 3 == tuple(ready({}, USUAL))


def test_every_lamb_alive_is_known_beforehand() -> None:
    made = ready({2: 10, 3: 4}, Chances(1, 1, 0))
    assert (Band(32, 32, 32), Band(4, 4, 4), Band(4, 4, 4)) == tuple(made)
    assert pytest.approx((0.1, 0.1 * 0.9)) == tuple(from_store(1, 0.5, 0.2))


# From one season to the next


def _lambs(ewe: str, *born: Born) -> list[Row]:
    return [{"ewe": ewe, "lamb_no": number, "born": one} for number, one in enumerate(born, start=1)]


@pytest.mark.parametrize(("ewes", "carried"), [(3, None), (4, 75.0)])
def test_the_share_of_big_litters_born_alive_is_carried_where_ten_lambs_speak_for_it(ewes: int, carried: float | None) -> None:
    alive, dead = Born.ALIVE, Born.DEAD_FRESH
    names = [f"{number:02}" for number in range(ewes)]
    lambs = [lamb for number, name in enumerate(names) for lamb in _lambs(name, alive, alive, dead if number else alive)]
    of = season(ewes=[{"ewe": name, "scanned": 3} for name in names], lambs=lambs,
                groups=[{"group": "A", "weaning": datetime(2026, 6, 1)}])
    found = {row["row_key"]: row["value"] for row in as_last_season(result(of))}
    assert carried == found.get("last_big_alive")
