"""Feeding groups: as even as can be, against every division tried; slips of dates; the farm's own word stands."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import combinations, product
from random import Random

import pytest

from template_builder.layout.choices import FeedAs
from template_builder.plan.calendar import TASKS, Due, calendar, first_due
from template_builder.plan.groups import FARTHEST, InLamb, Litter, divide, weeks_of

START = date(2026, 3, 2)  # a Monday


def ewe(scanned: int, day: int | None = 0, feed_as: FeedAs | None = None) -> InLamb:
    return InLamb(scanned, None if day is None else START + timedelta(days=day), feed_as)


def titles(ewes: Sequence[InLamb], most: int) -> list[tuple[str, int]]:
    made = divide(ewes, most)
    return [(part.title, made.of_ewes.count(number)) for number, part in enumerate(made.parts, start=1)]


def squares(sizes: Sequence[int]) -> int:
    return sum(size ** 2 for size in sizes)


def every_division(ewes: Sequence[InLamb], most: int) -> Iterator[list[int]]:
    """The sizes of the groups of every division that may be: neighbours together, or early and late of one litter."""
    weeks = weeks_of(ewes)
    present = sorted({one.litter for one in ewes})
    of_litter = {litter: [week for one, week in zip(ewes, weeks, strict=True) if one.litter is litter] for litter in present}
    if len(present) > most:
        for cuts in combinations(range(1, len(present)), most - 1):
            edges = [0, *cuts, len(present)]
            yield [sum(len(of_litter[litter]) for litter in present[a:b]) for a, b in zip(edges, edges[1:], strict=False)]
        return
    for last in product(*([None, *range(1, max(weeks) + 1)] for _ in present)):
        sizes = []
        for litter, week in zip(present, last, strict=True):
            early = sum(week is None or one <= week for one in of_litter[litter])
            sizes += [early, len(of_litter[litter]) - early]
        if len(parted := [size for size in sizes if size]) <= most:
            yield parted


@pytest.mark.parametrize("seed", range(120))
def test_no_other_division_is_more_even(seed: int) -> None:
    draw = Random(seed)
    ewes = [ewe(draw.choice([1, 1, 2, 2, 2, 3, 4][:draw.randint(1, 7)]), draw.choice([*range(0, 30, 3), None]))
            for _ in range(draw.randint(1, 14))]
    for most in range(1, 7):
        made = divide(ewes, most)
        sizes = [made.of_ewes.count(number) for number in range(1, len(made.parts) + 1)]
        assert 0 not in sizes and len(sizes) <= most
        assert min(map(squares, every_division(ewes, most))) == squares(sizes)


FLOCK = [*[ewe(1, 0)] * 4, *[ewe(2, 0)] * 5, *[ewe(2, 7)] * 4, *[ewe(3, 7)] * 3]


@pytest.mark.parametrize(("most", "found"), [
    (1, [("singles, twins, triplets and more", 16)]),
    (2, [("singles", 4), ("twins, triplets and more", 12)]),
    (3, [("singles", 4), ("twins", 9), ("triplets and more", 3)]),
    (4, [("singles", 4), ("twins, early", 5), ("twins, late", 4), ("triplets and more", 3)]),
    (6, [("singles", 4), ("twins, early", 5), ("twins, late", 4), ("triplets and more", 3)]),
])
def test_as_many_groups_as_the_farm_can_keep(most: int, found: list[tuple[str, int]]) -> None:
    assert found == titles(FLOCK, most)


def test_without_any_due_day_the_scan_alone_parts_them() -> None:
    ewes = [ewe(1, None), ewe(2, None), ewe(2, None)]
    assert [("singles", 1), ("twins", 2)] == titles(ewes, 6)
    assert [] == calendar(ewes, divide(ewes, 6), dict.fromkeys(TASKS, 7))


def test_a_ewe_without_due_day_is_fed_with_the_early_ones() -> None:
    ewes = [*[ewe(2, 0)] * 3, *[ewe(2, 21)] * 3, ewe(2, None)]
    assert 1 == divide(ewes, 2).of_ewes[-1]


def test_the_farms_own_word_stands_whatever_she_was_scanned() -> None:
    for scanned in (1, 2, 3):
        assert Litter.BIG is ewe(scanned, feed_as=FeedAs.BIG_LITTERS).litter
    assert [("twins", 1), ("apart", 1)] == titles([ewe(2), ewe(2, feed_as=FeedAs.APART)], 1)


@pytest.mark.parametrize(("far", "week"), [(FARTHEST - 1, 22), (FARTHEST, 22), (FARTHEST + 1, 0)])
def test_a_due_day_far_from_all_others_is_a_slip(far: int, week: int) -> None:
    assert (1, 1, week) == weeks_of([ewe(1), ewe(1), ewe(1, far)])


@pytest.mark.parametrize(("day", "week"), [(6, 1), (7, 2), (8, 2)])
def test_weeks_are_counted_from_the_first_due_day(day: int, week: int) -> None:
    assert (1, week) == weeks_of([ewe(1), ewe(1, day)])


def test_the_calendar_counts_back_from_the_first_due_day_of_each_group() -> None:
    ewes = [ewe(1, 9), ewe(2, 3), ewe(2, 5)]
    made = divide(ewes, 3)
    assert [date(2026, 3, 11), date(2026, 3, 5)] == first_due(ewes, made)
    days = {"mineral_check": 56, "thin_look": 49, "booster": 35, "housing": 28, "helpers": 7}
    found = calendar(ewes, made, days)
    assert Due(date(2026, 1, 8), "mineral_check", "twins", 2) == found[0]
    assert Due(date(2026, 3, 4), "helpers", "singles", 1) == found[-1]
    assert len(days) * 2 == len(found) and date(2026, 1, 5) == found[0].week
