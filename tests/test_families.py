"""Ewes and lambs joined from their rows: what a blank cell stands for, whose a lamb is, and when a ewe has lambed."""

from datetime import date, datetime, time

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    EweLeft,
    Help,
    LambLeft,
    NextDay,
    Presentation,
    Prolapse,
    RearedBy,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Weighed,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from workbook.season.families import Ewe, Flock, Lamb, moment

DAY = date(2026, 3, 16)


def flock(**rows: list[Row]) -> Flock:
    return season(**rows).flock


def lamb(**cells: Value) -> Lamb:
    return flock(lambs=[{"lamb_no": 1, "sex": NOT_KNOWN, **cells}]).lambs[0]


def one(**rows: list[Row]) -> Ewe:
    return flock(**rows).ewes["a"]


@pytest.mark.parametrize(("cells", "came_from", "bearer", "reared_by", "rearer"), [
    ({"ewe": "A"}, CameFrom.BORN_HERE, "a", RearedBy.OWN_EWE, "a"),
    ({}, CameFrom.MOTHER_NOT_KNOWN, None, RearedBy.NO_EWE, None),
    ({"foster_ewe": "B"}, CameFrom.MOTHER_NOT_KNOWN, None, RearedBy.FOSTER_EWE, "b"),
    ({"ewe": "A", "foster_ewe": "B"}, CameFrom.BORN_HERE, "a", RearedBy.FOSTER_EWE, "b"),
    ({"ewe": "A", "foster_ewe": "B", "reared_by": RearedBy.OWN_EWE}, CameFrom.BORN_HERE, "a", RearedBy.OWN_EWE, "a"),
    ({"ewe": "A", "reared_by": RearedBy.PET}, CameFrom.BORN_HERE, "a", RearedBy.PET, None),
    ({"ewe": "A", "reared_by": RearedBy.NO_EWE}, CameFrom.BORN_HERE, "a", RearedBy.NO_EWE, None),
    ({"ewe": "A", "came_from": CameFrom.BOUGHT_IN}, CameFrom.BOUGHT_IN, None, RearedBy.OWN_EWE, "a"),
    ({"ewe": "A", "came_from": CameFrom.MOTHER_NOT_KNOWN}, CameFrom.MOTHER_NOT_KNOWN, None, RearedBy.OWN_EWE, "a"),
])
def test_whose_a_lamb_is(
    cells: Row, came_from: CameFrom, bearer: str | None, reared_by: RearedBy, rearer: str | None,
) -> None:
    found = lamb(**cells)
    assert (came_from, bearer, reared_by, rearer) == (found.came_from, found.bearer, found.reared_by, found.rearer)
    assert (rearer is not None and rearer != bearer) == found.set_on
    assert (came_from is CameFrom.BOUGHT_IN) == found.bought


@pytest.mark.parametrize(("cells", "how"), [
    ({}, None), ({"left_on": DAY}, LambLeft.MISSING), ({"left_on": DAY, "left_how": LambLeft.SOLD}, LambLeft.SOLD),
    ({"left_how": LambLeft.DIED}, LambLeft.DIED), ({"left_on": NOT_KNOWN}, LambLeft.MISSING), ({"left_how": NOT_KNOWN}, None),
])
def test_a_day_of_leaving_alone_is_a_lamb_missing(cells: Row, how: LambLeft | None) -> None:
    assert how is lamb(ewe="A", **cells).left_how


def test_a_lamb_with_born_blank_is_alive_and_one_untouched_is_none() -> None:
    assert Born.ALIVE is lamb(ewe="A").born
    assert Born.DEAD_FRESH is lamb(ewe="A", born=Born.DEAD_FRESH).born
    assert () == flock(lambs=[{"ewe": "A", "lamb_no": 1, "row_key": "x"}]).lambs


@pytest.mark.parametrize(("cells", "name"), [
    ({"ewe": "A", "tag": "7001"}, "A-1"), ({"ewe": "A", "lamb_no": None, "tag": "7001"}, "7001"), ({"tag": "7001"}, "7001"),
    ({"ewe": "A", "lamb_no": None}, "lamb in row 4"), ({}, "lamb in row 4"),
])
def test_what_a_lamb_is_called(cells: Row, name: str) -> None:
    assert name == lamb(**cells).name


@pytest.mark.parametrize(("lambing", "lambed"), [
    ({"lambed_on": DAY}, True), ({"finished": time(3)}, True), ({"born_alive": 1}, True), ({"born_dead": 1}, True),
    ({"all_well": YesNo.YES}, True), ({"next_day": NextDay.ALL_FULL}, True), ({"afterbirth": YesNo.YES}, True),
    ({"waters_seen": time(3)}, False), ({"first_helped": time(3)}, False), ({"notes": "restless"}, False), ({"pen": "3"}, False),
    ({"born_alive": 0}, True),
])
def test_what_says_that_she_has_lambed(lambing: Row, lambed: bool) -> None:
    assert lambed == one(lambing=[{"ewe": "A", **lambing}]).lambed


@pytest.mark.parametrize(("rows", "delivered"), [
    ({}, False), ({"lambing": [{"ewe": "A", "waters_seen": time(3)}]}, False),
    ({"lambing": [{"ewe": "A", "lambed_on": DAY}]}, True),
    ({"lambs": [{"ewe": "A", "born": Born.MUMMIFIED}]}, True), ({"lambs": [{"ewe": "A", "born": Born.ALIVE}]}, True),
    ({"ewe_check": [{"ewe": "A", "trouble": Trouble.ABORTED}]}, True),
    ({"ewe_check": [{"ewe": "A", "trouble": Trouble.MASTITIS}]}, False),
])
def test_what_she_carried_is_out_however_it_came(rows: dict[str, list[Row]], delivered: bool) -> None:
    assert delivered == one(ewes=[{"ewe": "A"}], **rows).delivered


@pytest.mark.parametrize(("born", "lambed", "aborted"), [
    ([Born.ALIVE], True, False), ([Born.DEAD_FRESH], True, False), ([Born.DEAD_DECAYED], True, False),
    ([Born.MUMMIFIED], False, False), ([Born.ABORTED], False, True), ([Born.ABORTED, Born.ALIVE], True, False),
    ([Born.ABORTED, Born.MUMMIFIED], False, True),
])
def test_aborted_is_a_ewe_with_an_aborted_lamb_and_none_born(born: list[Born], lambed: bool, aborted: bool) -> None:
    ewe = one(lambs=[{"ewe": "A", "lamb_no": number, "born": how} for number, how in enumerate(born, start=1)])
    assert (lambed, aborted) == (ewe.lambed, ewe.aborted)


def test_a_look_tells_an_abortion_unless_a_lamb_was_born_and_it_is_no_lambing() -> None:
    look: Row = {"ewe": "A", "date": DAY, "trouble": Trouble.ABORTED}
    seen = one(ewe_check=[look], lambing=[{"ewe": "A", "lambed_on": DAY}])
    assert (True, False) == (seen.aborted, seen.lambed)
    born = one(ewe_check=[look], lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.DEAD_FRESH}])
    assert (False, True) == (born.aborted, born.lambed)
    assert not one(ewe_check=[{**look, "trouble": Trouble.LAME}]).aborted


@pytest.mark.parametrize(("cells", "gone"), [
    ({}, False), ({"left_on": DAY}, True), ({"left_how": EweLeft.SOLD}, True), ({"left_on": NOT_KNOWN}, True),
])
def test_a_ewe_is_gone_once_anything_says_so(cells: Row, gone: bool) -> None:
    assert gone == one(ewes=[{"ewe": "A", **cells}]).gone


@pytest.mark.parametrize(("before", "first"), [(None, False), (0, True), (1, False)])
def test_a_first_lambing_is_known_only_from_a_nought(before: int | None, first: bool) -> None:
    assert first == one(ewes=[{"ewe": "A", "lambings_before": before}]).first_lambing


def test_a_ewe_known_from_elsewhere_has_no_scan_has_not_left_and_may_lamb() -> None:
    ewe = one(ewe_check=[{"ewe": "A", "date": DAY}])
    assert (None, None, None, None, False, False, False) == (
        ewe.record, ewe.scanned, ewe.left_on, ewe.lambed_on, ewe.gone, ewe.first_lambing, ewe.lambed)


def test_the_due_day_on_ewes_stands_before_that_on_lambing() -> None:
    later = date(2026, 4, 1)
    issued: Row = {"ewe": "A", "due": later, "row_key": "x"}
    assert DAY == one(ewes=[{"ewe": "A", "due": DAY}], lambing=[issued]).due
    assert later == one(ewes=[{"ewe": "A"}], lambing=[issued]).due
    assert None is one(ewes=[{"ewe": "A"}]).due


def test_all_well_stands_for_blank_cells_of_the_ewe_and_of_her_live_lambs() -> None:
    rows = [{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}, {"ewe": "A", "lamb_no": 2, "born": Born.DEAD_FRESH},
            {"ewe": "A", "lamb_no": 3, "taken": Taken.SLOWLY}]
    ewe = one(lambing=[{"ewe": "A", "all_well": YesNo.YES, "sides_in_milk": 1}], lambs=rows)
    assert ewe.lambing is not None
    assert [Help.NONE, 1, Teats.SOUND, Prolapse.NONE, YesNo.YES] == [
        ewe.lambing[id] for id in ("help", "sides_in_milk", "teats", "prolapse", "afterbirth")]
    columns = ("helped", "presentation", "sucked", "taken")
    assert [[YesNo.NO, Presentation.NORMAL, Sucked.ALONE, Taken.YES], [None] * 4,
            [YesNo.NO, Presentation.NORMAL, Sucked.ALONE, Taken.SLOWLY]] == [
        [lamb.record[column] for column in columns] for lamb in ewe.lambs]
    plain = one(lambing=[{"ewe": "A", "all_well": YesNo.NO}], lambs=rows)
    assert plain.lambing is not None and None is plain.lambing["help"]


def test_counts_on_lambing_make_lambs_only_where_none_has_a_row() -> None:
    row: Row = {"ewe": "A", "born_alive": 2, "born_dead": 1}
    unnamed = one(lambing=[row]).lambs
    assert [Born.ALIVE, Born.ALIVE, Born.DEAD_FRESH] == [lamb.born for lamb in unnamed]
    assert ["A, unnamed 1", "A, unnamed 2", "A, unnamed 3"] == [lamb.name for lamb in unnamed]
    assert [(False, None, None, None, None)] * 3 == [
        (lamb.named, lamb.tag, lamb.left_how, lamb.left_on, lamb.birth_weight) for lamb in unnamed]
    assert 1 == len(one(lambing=[row], lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}]).lambs)


def test_only_the_first_row_of_a_ewe_counts() -> None:
    ewe = one(ewes=[{"ewe": "A", "scanned": 2}, {"ewe": "a ", "scanned": 1}],
              lambing=[{"ewe": "A", "row_key": "x"}, {"ewe": "A", "pen": "3"}, {"ewe": "A", "born_alive": 2}])
    assert (2, 1, 1, 0) == (ewe.scanned, len(ewe.doubles), len(ewe.repeats), len(ewe.lambs))
    assert (4, 5) == (ewe.laid and ewe.laid.row, ewe.lambing and ewe.lambing.row)


def test_looks_are_in_order_of_date_and_those_without_come_last() -> None:
    looks = [{"ewe": "A"}, {"ewe": "A", "date": DAY}, {"ewe": "A", "date": date(2026, 1, 1)}]
    assert [6, 5, 4] == [check.row for check in one(ewe_check=looks).checks]


@pytest.mark.parametrize(("animal", "occasion", "of_lamb", "of_ewe", "lost"), [
    ("A-1", Weighed.EARLY, 1, 0, 0), ("7001", Weighed.WEANING, 1, 0, 0), ("A", Weighed.OTHER, 0, 1, 0), ("X", None, 0, 0, 1),
    ("5", Weighed.EARLY, 1, 0, 0), ("5", None, 1, 0, 0), ("5", Weighed.MATING, 0, 1, 0),  # a lamb's tag and a ewe's number
    ("7001", Weighed.MATING, 0, 0, 1), ("A-2", None, 0, 0, 1), (None, None, 0, 0, 0),
])
def test_whose_a_weight_is(animal: str | None, occasion: Weighed | None, of_lamb: int, of_ewe: int, lost: int) -> None:
    found = flock(
        ewes=[{"ewe": "A"}, {"ewe": "5"}], weights=[{"animal": animal, "kg": 20, "occasion": occasion}],
        lambs=[{"ewe": "A", "lamb_no": 1, "tag": "7001", "born": Born.ALIVE}, {"ewe": "A", "lamb_no": 3, "tag": "5"}])
    lambs, ewes = (sum(len(animal.weights) for animal in animals) for animals in (found.lambs, found.ewes.values()))
    assert (of_lamb, of_ewe, lost) == (lambs, ewes, len(found.unmatched))


@pytest.mark.parametrize(("given_to", "animal", "hers", "lost"), [
    (TreatedFor.EWE, "A", 1, 0), (TreatedFor.LAMB, "A", 0, 0), (TreatedFor.GROUP, "A", 0, 0), (None, "A", 0, 0),
    (TreatedFor.EWE, "X", 0, 1), (TreatedFor.EWE, None, 0, 0),
])
def test_whose_a_treatment_is(given_to: TreatedFor | None, animal: str | None, hers: int, lost: int) -> None:
    found = flock(ewes=[{"ewe": "A"}], treatments=[{"given_to": given_to, "animal": animal, "date": DAY}])
    assert (hers, lost) == (len(found.ewes["a"].treatments), len(found.unmatched))


LAMBED_AT = datetime(2026, 3, 16, 2, 0)


@pytest.mark.parametrize(("written", "lambed_on", "expected"), [
    (time(1, 59), DAY, datetime(2026, 3, 16, 1, 59)), (time(2), DAY, LAMBED_AT), (time(2, 1), DAY, datetime(2026, 3, 15, 2, 1)),
    (time(2, 1), None, None), (datetime(2026, 3, 17, 3), DAY, datetime(2026, 3, 17, 3)), (None, DAY, None),
    (time(2, 1), date.min, datetime.combine(date.min, time(2, 1))),
])
def test_a_time_later_than_the_finish_is_of_the_evening_before(
    written: Value, lambed_on: date | None, expected: datetime | None,
) -> None:
    row = season(lambing=[{"ewe": "A", "waters_seen": written}]).rows("lambing")[0]
    finished = datetime.combine(lambed_on or DAY, time(2))
    assert expected == moment(row, "waters_seen", lambed_on, finished)
