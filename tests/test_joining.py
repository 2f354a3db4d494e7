"""Records joined by ewe and lamb: what a row means, what a blank cell stands for, and whose a lamb, a weight, a treatment is."""

from datetime import date

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    Help,
    Presentation,
    Prolapse,
    RearedBy,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Weighed,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from workbook.season.families import Ewe, Flock, Lamb

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


def test_a_lamb_with_born_blank_is_alive_and_one_untouched_is_none() -> None:
    assert Born.ALIVE is lamb(ewe="A").born
    assert Born.DEAD_FRESH is lamb(ewe="A", born=Born.DEAD_FRESH).born
    assert () == flock(lambs=[{"ewe": "A", "lamb_no": 1, "row_key": "x"}]).lambs


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
    assert {(CameFrom.BORN_HERE, RearedBy.OWN_EWE, "a", "a")} == {
        (lamb.came_from, lamb.reared_by, lamb.bearer, lamb.rearer) for lamb in unnamed}
    assert 1 == len(one(lambing=[row], lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}]).lambs)


def test_only_the_first_row_of_a_ewe_counts() -> None:
    ewe = one(ewes=[{"ewe": "A", "scanned": 2}, {"ewe": "a ", "scanned": 1}],
              lambing=[{"ewe": "A", "row_key": "x"}, {"ewe": "A", "pen": "3"}, {"ewe": "A", "born_alive": 2}])
    assert (2, 1, 1, 0) == (ewe.scanned, len(ewe.doubles), len(ewe.repeats), len(ewe.lambs))
    assert (4, 5) == (ewe.laid and ewe.laid.row, ewe.lambing and ewe.lambing.row)
    twice: list[Row] = [{"ewe": "A", "all_well": YesNo.YES}, {"ewe": "A", "all_well": YesNo.NO}]
    (lamb,) = one(lambs=[{"ewe": "A", "sex": NOT_KNOWN}], lambing=twice).lambs
    assert Taken.YES is lamb.record["taken"]


def test_ewes_are_all_that_are_named_anywhere_and_a_lamb_without_one_makes_none() -> None:
    found = flock(ewes=[{"ewe": " A1"}], lambing=[{"ewe": "a1"}, {"ewe": "B1"}], ewe_check=[{"ewe": "C1"}],
                  lambs=[{"ewe": "D1", "foster_ewe": "E1"}, {"tag": "7001"}], weights=[{"animal": "F1", "kg": 60}])
    assert {"a1": " A1", "b1": "B1", "c1": "C1", "d1": "d1", "e1": "e1"} == {key: ewe.name for key, ewe in found.ewes.items()}


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


def test_a_ewe_has_the_lambs_she_bore_those_that_came_with_her_and_those_set_on_to_her() -> None:
    found = flock(lambs=[
        {"ewe": "A", "lamb_no": 1, "sex": NOT_KNOWN}, {"ewe": "A", "lamb_no": 2, "foster_ewe": "B"},
        {"ewe": "B", "lamb_no": 1, "came_from": CameFrom.WITH_HER}, {"tag": "7001", "foster_ewe": "B"}, {"tag": "7002"},
    ]).ewes
    families = {key: (ewe.lambs, ewe.brought, ewe.fostered) for key, ewe in found.items()}
    assert {"a": [["A-1", "A-2"], [], []], "b": [[], ["B-1"], ["A-2", "7001"]]} == {
        key: [[lamb.name for lamb in lambs] for lambs in family] for key, family in families.items()}


def test_a_lamb_known_by_count_has_no_weight_of_the_lamb_in_the_row_of_the_same_number() -> None:
    weights = [{"animal": "7001", "kg": kg, "date": day} for kg, day in ((25, None), (22, date(2026, 7, 1)), (9, DAY))]
    found = flock(lambing=[{"ewe": "A", "born_alive": 1}], lambs=[{"ewe": "B", "lamb_no": 1, "tag": "7001"}],
                  weights=weights).lambs
    assert {"B-1": [9, 22, 25], "A, unnamed 1": []} == {lamb.name: [row["kg"] for row in lamb.weights] for lamb in found}
