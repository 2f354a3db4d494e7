"""Each scanned place and each lamb in its class: which lamb takes which place, and what counts as a scan."""

import pytest
from seasons import season

from template_builder.layout.choices import Born
from template_builder.layout.columns import Row, Value
from workbook.results.litters.movements import Place, movements, scan_of, size_class


def lamb(ewe: str, number: int | None, **cells: Value) -> Row:
    return {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **cells}


@pytest.mark.parametrize(("written", "scan", "called"), [(None, None, "not scanned"), (-1, None, "not scanned"), (0, 0, "0"),
                                                       (1, 1, "1")])
def test_a_number_below_nought_is_no_scan(written: int | None, scan: int | None, called: str) -> None:
    (ewe,) = season(ewes=[{"ewe": "A", "scanned": written}]).flock.ewes.values()
    assert (scan, called) == (scan_of(ewe), size_class(ewe))


def test_places_are_filled_by_number_whatever_the_order_of_the_rows() -> None:
    of = season(ewes=[{"ewe": "A", "scanned": 1}], lambs=[lamb("A", 2), lamb("A", 1)])
    assert {1: Place.BORN_SCANNED, 2: Place.MORE_THAN_SCANNED} == {
        move.lamb.number: move.place for move in movements(of) if move.lamb}


def test_a_lamb_without_a_number_comes_before_those_with_one() -> None:
    of = season(ewes=[{"ewe": "A", "scanned": 1}], lambs=[lamb("A", 1), lamb("A", None, tag="7001")])
    assert {None: Place.BORN_SCANNED, 1: Place.MORE_THAN_SCANNED} == {
        move.lamb.number: move.place for move in movements(of) if move.lamb}
