"""Ewes to the ram: whose lambs may be counted, and which groups say too few."""

import pytest
from seasons import season

from template_builder.layout.choices import EweLeft, HowRecorded
from template_builder.layout.columns import Row
from workbook.results.litters.to_ram import ToRam, to_ram, too_many
from workbook.season.season import Season

GONE = EweLeft.DIED
OF_LOW: list[Row] = [{"ewe": "1", "group": "low ", "left_how": GONE}, {"ewe": "2", "group": "Low", "left_how": GONE}]


def held(of: Season, went: ToRam) -> dict[str, bool]:
    return {ewe.name: went.holds(ewe) for ewe in of.flock.ewes.values()}


@pytest.mark.parametrize("groups", [
    [], [{"group": "Low"}], [{"group": "Low", "ewes_to_ram": 1}], [{"group": "Low", "how_recorded": HowRecorded.COUNTS_ONLY}],
])
def test_without_a_number_to_divide_by_no_ewe_is_left_out_above_the_line(groups: list[Row]) -> None:
    """None states it, or it cannot be so: what was counted is still shown whole."""
    of = season(ewes=[*OF_LOW, {"ewe": "3"}], groups=groups)
    went = to_ram(of)
    assert not went.number and not went.apart
    assert {"1": True, "2": True, "3": True} == held(of, went) and went.holds(None)


def test_beside_a_group_that_does_not_say_only_ewes_of_those_that_do_are_counted() -> None:
    of = season(ewes=[{"ewe": "1", "group": "LOW"}, {"ewe": "2", "group": "Top"}, {"ewe": "3"}],
                groups=[{"group": "Low", "ewes_to_ram": 9}, {"group": "Top"}])
    went = to_ram(of)
    assert 9 == went.number and {"1": True, "2": False, "3": False} == held(of, went) and not went.holds(None)


@pytest.mark.parametrize(("stated", "told"), [(1, True), (2, False), (3, False)])
def test_as_many_as_went_may_have_died(stated: int, told: bool) -> None:
    of = season(ewes=OF_LOW, groups=[{"group": "Low", "ewes_to_ram": stated}])
    assert ["group Low: 1 ewe to the ram, but 2 lambed or died"] * told == [one.words for one in too_many(of)]


@pytest.mark.parametrize(("stated", "told"), [(2, True), (3, False), (4, False)])
def test_ewes_whose_group_is_not_written_count_against_the_whole_flock(stated: int, told: bool) -> None:
    of = season(ewes=[*OF_LOW, {"ewe": "3", "left_how": GONE}], groups=[{"group": "Low", "ewes_to_ram": stated}])
    assert ["the whole flock: 2 ewes to the ram, but 3 lambed or died"] * told == [one.words for one in too_many(of)]


@pytest.mark.parametrize(("left_how", "told"), [(EweLeft.DIED, True), (EweLeft.SOLD, False), (None, False)])
def test_a_ewe_sold_or_still_here_has_not_died(left_how: EweLeft | None, told: bool) -> None:
    of = season(ewes=[{**row, "left_how": left_how} for row in OF_LOW], groups=[{"group": "Low", "ewes_to_ram": 1}])
    assert told == bool([*too_many(of)])
