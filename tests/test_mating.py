"""The days on which a ewe may lamb: from her mating, else from the ram's days with her group, with the settings of Season."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.columns import Row
from workbook.season.mating import LambingDays, group_of, groups, lambing_days, last_possible_day, later
from workbook.season.season import Season

IN, OUT, MATED, DUE = date(2025, 10, 20), date(2025, 11, 24), date(2025, 10, 25), date(2026, 3, 18)
SETTINGS = {"gestation": 147, "gestation_least": 140, "gestation_most": 155}


def one(ewe: Row, group: Row | None = None) -> Season:
    return season(ewes=[{"ewe": "A", "group": "Hill", **ewe}], groups=[{"group": " hill", **group}] if group is not None else [],
                  season=[{"row_key": id, "value": value} for id, value in SETTINGS.items()])


def days_of(of: Season) -> LambingDays | None:
    ewe = of.flock.ewes["a"]
    return lambing_days(of, ewe, group_of(ewe, groups(of)))


@pytest.mark.parametrize(("ewe", "group", "first", "last", "because", "places"), [
    ({"mated_on": MATED}, {"ram_in": IN}, MATED + timedelta(140), MATED + timedelta(155), "mating on 25 Oct 2025", ["Ewes"]),
    ({}, {"ram_in": IN, "ram_out": OUT}, IN + timedelta(140), OUT + timedelta(155), "ram in 20 Oct 2025, out 24 Nov 2025",
     ["Groups", "Groups"]),
    ({}, {"ram_in": IN}, IN + timedelta(140), None, "ram in 20 Oct 2025", ["Groups"]),
    ({}, {"ram_out": OUT}, None, OUT + timedelta(155), "ram out 24 Nov 2025", ["Groups"]),
])
def test_from_her_mating_else_from_the_days_of_the_ram(
    ewe: Row, group: Row, first: date | None, last: date | None, because: str, places: list[str],
) -> None:
    found = days_of(one(ewe, group))
    assert found is not None
    assert (first, last, because, places) == (found.first, found.last, found.because, [place.sheet for place in found.places])


@pytest.mark.parametrize(("first", "last", "day", "inside"), [
    (IN, OUT, IN, True), (IN, OUT, IN - timedelta(1), False), (IN, OUT, OUT, True), (IN, OUT, OUT + timedelta(1), False),
    (None, OUT, date.min, True), (IN, None, date.max, True), (None, None, IN, True),
])
def test_an_end_that_is_not_written_is_open(first: date | None, last: date | None, day: date, inside: bool) -> None:
    assert inside is (day in LambingDays(first, last, "", ()))


@pytest.mark.parametrize(("ewe", "group", "last"), [
    ({"mated_on": MATED, "due": DUE}, {}, MATED + timedelta(155)), ({"due": DUE}, {"ram_out": OUT}, OUT + timedelta(155)),
    ({"due": DUE}, {"ram_in": IN}, DUE + timedelta(155 - 147)), ({"due": DUE}, {}, DUE + timedelta(155 - 147)),
    ({"due": DUE}, None, DUE + timedelta(155 - 147)), ({}, {"ram_in": IN}, None), ({}, None, None),
])
def test_the_last_possible_day_is_from_her_mating_the_ram_or_her_due_day(ewe: Row, group: Row | None, last: date | None) -> None:
    of = one(ewe, group)
    her = of.flock.ewes["a"]
    assert last == last_possible_day(of, her, group_of(her, groups(of)))


def test_a_group_that_stands_twice_is_its_first_row_and_no_day_lies_beyond_the_calendar() -> None:
    of = season(groups=[{"group": "Hill", "ram_in": IN}, {"group": "HILL "}, {"ewes_to_ram": 3}])
    assert {"hill": 4} == {name: row.row for name, row in groups(of).items()}
    assert (date.max, None) == (later(date.max, 0), later(date.max, 1))


def test_a_ewe_that_is_not_on_ewes_or_in_no_group_has_no_days() -> None:
    seen = season(ewes=[{"ewe": "B"}], ewe_check=[{"ewe": "A"}], groups=[{"group": "Hill", "ram_in": IN}])
    assert [None, None] == [group_of(ewe, groups(seen)) for ewe in seen.flock.ewes.values()]
    assert [None, None] == [lambing_days(seen, ewe, None) for ewe in seen.flock.ewes.values()]
