"""Illnesses told as often as they happened: what lies within the limit of the one before is the same."""

from datetime import date, timedelta

import pytest
from seasons import records

from workbook.results.clinical.episodes import ONE_COURSE, ONE_MASTITIS, Told, episodes

FIRST = date(2026, 4, 1)


def told(*days: int | None) -> list[Told]:
    (row,) = records("ewe_check", [{"ewe": "A"}])
    return [(row, "trouble", None if day is None else FIRST + timedelta(days=day)) for day in days]


@pytest.mark.parametrize("apart", [ONE_MASTITIS, ONE_COURSE])
@pytest.mark.parametrize(("beyond", "found"), [(-1, 1), (0, 1), (1, 2)])
def test_the_limit_counts_from_the_one_before(apart: timedelta, beyond: int, found: int) -> None:
    assert found == len(episodes(told(0, apart.days + beyond), apart))
    assert found == len(episodes(told(0, apart.days, 2 * apart.days + beyond), apart))


@pytest.mark.parametrize(("days", "sizes"), [
    ((), []), ((None,), [1]), ((None, None), [2]), ((None, 0), [2]), ((20, None, 0), [1, 2]), ((20, 0, 30), [1, 2])])
def test_in_order_of_day_and_what_has_no_day_belongs_to_the_last(days: tuple[int | None, ...], sizes: list[int]) -> None:
    assert sizes == [len(one) for one in episodes(told(*days), ONE_MASTITIS)]
