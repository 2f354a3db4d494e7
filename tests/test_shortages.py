"""Lambs short at a count: between which counts they went."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.columns import Row
from workbook.results.litters.shortages import shortages

BORN = date(2026, 4, 1)


def counted(*lambs: int) -> list[Row]:
    """Counts of the whole group, a fortnight apart."""
    return [{"date": BORN + timedelta(days=14 * number), "group": "Low", "lambs": one}
            for number, one in enumerate(lambs, start=1)]


@pytest.mark.parametrize(("counts", "went"), [
    ((10, 9, 7), {3: 2, 2: 1}), ((10, 7, 7), {2: 3}), ((10, 10, 7), {3: 3}), ((9, 8, 7), {3: 1, 2: 1, 1: 1}), ((8, 9, 10), {})])
def test_each_lamb_went_after_the_last_count_that_still_held_it(counts: tuple[int, ...], went: dict[int, int]) -> None:
    ewes = [str(number) for number in range(10)]
    of = season(ewes=[{"ewe": ewe, "group": "Low"} for ewe in ewes], counts=counted(*counts),
                lambing=[{"ewe": ewe, "lambed_on": BORN, "born_alive": 1} for ewe in ewes])
    assert [(BORN + timedelta(days=14 * at), number) for at, number in went.items()] == [
        (short.by, short.number) for short in shortages(of)]
