"""The group a ewe or lamb runs with on a day, and which litters are known only in the account of their group."""

from datetime import date

import pytest
from seasons import season

from template_builder.layout.choices import Born, CameFrom, HowRecorded, LambLeft, RearedBy, Trouble, Weighed
from template_builder.layout.columns import Row
from workbook.results.clinical.rearing import reared_none
from workbook.results.scores.litter_weight import litter_weights
from workbook.season.groups import Groups, born_on, ewe_with, group_name, lost_after_weaning, on_the_bottle, weaned_on

OUT = date(2026, 4, 1)


@pytest.mark.parametrize(("rows", "counted"), [
    ({}, True),
    ({"lambing": [{"ewe": "1", "lambed_on": OUT}]}, False),
    ({"lambs": [{"ewe": "1", "lamb_no": 1, "born": Born.MUMMIFIED}]}, False),
    ({"ewe_check": [{"ewe": "1", "trouble": Trouble.ABORTED}]}, False),
    ({"ewe_check": [{"ewe": "1", "trouble": Trouble.LAME}]}, True),
])
def test_a_litter_is_known_by_count_only_where_nothing_of_it_is_written(rows: dict[str, list[Row]], counted: bool) -> None:
    for how, name, expected in ((HowRecorded.COUNTS_ONLY, "hill", counted), (HowRecorded.EACH_EWE, "hill", False),
                                (HowRecorded.COUNTS_ONLY, "Low", False), (HowRecorded.COUNTS_ONLY, None, False)):
        of = season(groups=[{"group": "Hill", "how_recorded": how}], ewes=[{"ewe": "1", "group": name}], **rows)
        assert expected == Groups.of(of).counted_with_group(of.flock.ewes["1"])


@pytest.mark.parametrize("how", [None, *HowRecorded])
def test_how_a_group_is_recorded(how: HowRecorded | None) -> None:
    groups = Groups.of(season(groups=[{"group": "Hill", "how_recorded": how}, {"group": "hill", "how_recorded": None}]))
    assert (how is HowRecorded.COUNTS_ONLY, how is HowRecorded.EACH_EWE) == (groups.by_count("HILL"), groups.by_ewe("HILL"))
    assert (False, False) == (groups.by_count("Low"), groups.by_ewe("Low"))
    assert (how is not HowRecorded.COUNTS_ONLY) == bool(groups.in_the_book)


@pytest.mark.parametrize(("out", "to", "on", "expected"), [
    (OUT, "Top", date(2026, 3, 31), "Shed"), (OUT, "Top", OUT, "Top"), (OUT, "Top", date(2026, 4, 2), "Top"),
    (OUT, "Top", None, "Top"), (None, "Top", date(2026, 3, 1), "Top"), (OUT, None, date(2026, 4, 2), "Shed"),
])
def test_she_runs_with_the_group_she_was_turned_out_to_from_that_day(
    out: date | None, to: str | None, on: date | None, expected: str,
) -> None:
    of = season(ewes=[{"ewe": "1", "group": "Shed"}], lambing=[{"ewe": "1", "turned_out_on": out, "turned_out_to": to}])
    assert expected == group_name(of.flock.ewes["1"], on)
    assert None is group_name(None, on)


@pytest.mark.parametrize(("cells", "with_ewe", "born"), [
    ({"ewe": "1"}, "1", True), ({"ewe": "1", "foster_ewe": "2"}, "2", True),
    ({"ewe": "1", "reared_by": RearedBy.PET}, None, True),
    ({"ewe": "1", "reared_by": RearedBy.NO_EWE}, "1", True), ({}, None, False),
    ({"ewe": "1", "came_from": CameFrom.BOUGHT_IN}, "1", False),
])
def test_the_ewe_a_lamb_runs_with_and_the_day_it_was_born(cells: Row, with_ewe: str | None, born: bool) -> None:
    flock = season(ewes=[{"ewe": "1"}, {"ewe": "2"}], lambing=[{"ewe": "1", "lambed_on": OUT}],
                   lambs=[{"lamb_no": 1, "born": Born.ALIVE, **cells}]).flock
    found = ewe_with(flock, flock.lambs[0])
    assert with_ewe == (found and found.key)
    assert (OUT if born else None) == born_on(flock, flock.lambs[0])


def test_weaned_is_the_day_of_the_group_she_runs_with() -> None:
    of = season(groups=[{"group": "Hill", "weaning": OUT}, {"group": "Low"}],
                ewes=[{"ewe": str(number), "group": name} for number, name in enumerate(("hill", "Low", "Top", None))])
    assert [OUT, None, None, None] == [weaned_on(Groups.of(of), ewe) for ewe in of.flock.ewes.values()]
    assert None is weaned_on(Groups.of(of), None)


def test_a_ewe_that_is_not_on_ewes_is_in_no_group() -> None:
    of = season(groups=[{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY, "weaning": OUT}], ewe_check=[{"ewe": "1"}])
    ewe = of.flock.ewes["1"]
    assert (None, False, None) == (group_name(ewe), Groups.of(of).counted_with_group(ewe), weaned_on(Groups.of(of), ewe))


@pytest.mark.parametrize(("cells", "day", "with_ewe"), [
    ({"ewe": "1", "foster_ewe": "2", "moved_on": OUT}, date(2026, 3, 31), "1"),
    ({"ewe": "1", "foster_ewe": "2", "moved_on": OUT}, OUT, "2"), ({"ewe": "1", "foster_ewe": "2"}, date(2026, 3, 31), "2"),
    ({"ewe": "1", "reared_by": RearedBy.PET, "moved_on": OUT}, date(2026, 3, 31), "1"),
    ({"ewe": "1", "reared_by": RearedBy.PET, "moved_on": OUT}, OUT, None),
    ({"foster_ewe": "2", "moved_on": OUT}, date(2026, 3, 31), "2"), ({"ewe": "1", "foster_ewe": "2", "moved_on": OUT}, None, "2"),
])
def test_before_it_was_moved_a_lamb_ran_with_its_own_ewe(cells: Row, day: date | None, with_ewe: str | None) -> None:
    flock = season(lambs=[{"lamb_no": 1, "born": Born.ALIVE, **cells}]).flock
    found = ewe_with(flock, flock.lambs[0], day)
    assert with_ewe == (found and found.key)


@pytest.mark.parametrize(("cells", "day", "pet"), [
    ({"ewe": "1", "moved_on": OUT}, date(2026, 3, 31), False), ({"ewe": "1", "moved_on": OUT}, OUT, True),
    ({"ewe": "1", "moved_on": OUT}, date(2026, 4, 2), True), ({"ewe": "1"}, date(2026, 3, 31), True),
    ({"moved_on": OUT}, date(2026, 3, 31), True), ({"ewe": "1", "reared_by": RearedBy.OWN_EWE}, OUT, False),
])
def test_a_lamb_is_on_the_bottle_from_the_day_it_was_moved(cells: Row, day: date, pet: bool) -> None:
    (lamb,) = season(lambs=[{"lamb_no": 1, "born": Born.ALIVE, "reared_by": RearedBy.PET, **cells}]).flock.lambs
    assert pet is on_the_bottle(lamb, day)


@pytest.mark.parametrize(("weaned", "left", "after"), [
    (OUT, date(2026, 3, 31), False), (OUT, OUT, False), (OUT, date(2026, 4, 2), True), (None, OUT, False), (OUT, None, False),
])
def test_a_lamb_is_lost_after_weaning_from_the_day_after(weaned: date | None, left: date | None, after: bool) -> None:
    of = season(groups=[{"group": "Hill", "weaning": weaned}], ewes=[{"ewe": "1", "group": "hill "}],
                lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, "left_on": left}])
    assert after is lost_after_weaning(Groups.of(of), of.flock.ewes["1"], of.flock.lambs[0])


@pytest.mark.parametrize(("left", "after"), [
    ({"left_on": date(2026, 3, 31)}, False), ({"left_on": OUT}, True), ({"left_on": date(2026, 4, 2)}, True), ({}, True),
])
def test_a_lamb_weighed_at_weaning_was_reared_unless_it_was_gone_before(left: Row, after: bool) -> None:
    """The weight of a day after its death is another lamb's, or the day is wrong: nothing rests on it."""
    of = season(ewes=[{"ewe": "1"}], weights=[{"animal": "1-1", "date": OUT, "kg": 30, "occasion": Weighed.WEANING}],
                lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED, **left}])
    ewe, lamb = of.flock.ewes["1"], of.flock.lambs[0]
    assert after is lost_after_weaning(Groups.of(of), ewe, lamb)
    assert after is (lamb.weighing(Weighed.WEANING) is not None)
    assert after is not reared_none(of, ewe)
    assert after is ("1" in litter_weights(of))
