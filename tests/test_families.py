"""What is said of a ewe and of a lamb from their records: whether she lambed, when, and how a lamb left."""

from datetime import date, datetime, time

import pytest
from seasons import season

from template_builder.layout.choices import Born, EweLeft, LambLeft, NextDay, Trouble, Weighed, YesNo
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from workbook.season.families import Ewe, Lamb, moment

DAY = date(2026, 3, 16)


def lamb(**cells: Value) -> Lamb:
    return season(lambs=[{"lamb_no": 1, "sex": NOT_KNOWN, **cells}]).flock.lambs[0]


def one(**rows: list[Row]) -> Ewe:
    return season(**rows).flock.ewes["a"]


@pytest.mark.parametrize(("cells", "how"), [
    ({}, None), ({"left_on": DAY}, LambLeft.MISSING), ({"left_on": DAY, "left_how": LambLeft.SOLD}, LambLeft.SOLD),
    ({"left_how": LambLeft.DIED}, LambLeft.DIED), ({"left_on": NOT_KNOWN}, LambLeft.MISSING), ({"left_how": NOT_KNOWN}, None),
])
def test_a_day_of_leaving_alone_is_a_lamb_missing(cells: Row, how: LambLeft | None) -> None:
    assert how is lamb(ewe="A", **cells).left_how


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


@pytest.mark.parametrize(("how", "lost"), [
    (EweLeft.DIED, True), (EweLeft.MISSING, True), (EweLeft.SOLD, False), (EweLeft.CULLED, False), (None, False),
])
def test_a_ewe_that_died_or_is_missing_is_lost(how: EweLeft | None, lost: bool) -> None:
    ewe = one(ewes=[{"ewe": "A", "left_on": DAY, "left_how": how}])
    assert (lost, DAY) == (ewe.lost, ewe.left_on)
    assert not one(ewe_check=[{"ewe": "A"}]).lost


@pytest.mark.parametrize(("how", "lost"), [
    (LambLeft.DIED, True), (LambLeft.MISSING, True), (LambLeft.SOLD, False), (None, False),
])
def test_a_lamb_that_died_or_is_missing_is_lost(how: LambLeft | None, lost: bool) -> None:
    assert lost is lamb(ewe="A", left_how=how).lost


def test_a_lamb_is_as_heavy_as_it_was_found_last_at_an_occasion() -> None:
    taken = ((20.0, Weighed.EARLY), (21.0, Weighed.EARLY), (None, Weighed.EARLY), (32.0, Weighed.WEANING))
    (weighed,) = season(
        lambs=[{"ewe": "A", "lamb_no": 1, "tag": "7001"}],
        weights=[{"animal": "7001", "kg": kg, "occasion": occasion, "date": DAY} for kg, occasion in taken]).flock.lambs
    found = [weighed.weighing(occasion) for occasion in (Weighed.EARLY, Weighed.WEANING, Weighed.OTHER)]
    assert [21.0, 32.0, None] == [row and row["kg"] for row in found]
