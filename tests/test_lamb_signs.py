"""Signs at the lambs she rears and at her milk: hollow, refused, short of colostrum, small."""

from datetime import date, time, timedelta

import pytest
from ewes_tonight import NEXT, NIGHT, at, check, lamb, lambing, listed, only, titles

from template_builder.layout.alerts import NOW, TODAY
from template_builder.layout.choices import (
    Belly,
    Colostrum,
    Help,
    LambingTrouble,
    LambLeft,
    NextDay,
    RearedBy,
    Sucked,
    Taken,
    Teats,
    Udder,
    Vigour,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Row


def test_a_lamb_that_has_not_sucked_until_its_belly_is_full() -> None:
    assert "lamb not sucking" in titles(at(NIGHT), lambing=[lambing()], lambs=[lamb(sucked=Sucked.NO)])
    assert [] == titles(at(NIGHT), lambing=[lambing()], lambs=[lamb(sucked=Sucked.NO, belly=Belly.FULL)])


def test_a_hollow_lamb_is_listed_once() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(next_day=NextDay.ONE_HOLLOW)]}
    assert "lamb A-1 hollow next day" == only(at(NEXT), **rows, lambs=[lamb(belly=Belly.HOLLOW)]).why
    assert "next day: one hollow" == only(at(NEXT), **rows, lambs=[lamb()]).why


@pytest.mark.parametrize(("later", "expected"), [(1, ["hollow lamb"]), (2, []), (3, [])])
def test_what_the_next_days_look_found_is_answered_by_a_look_of_a_later_day(later: int, expected: list[str]) -> None:
    looked = [check(NIGHT + timedelta(days=later), udder=Udder.SOUND)]
    assert expected == titles(at(NEXT), lambing=[lambing(next_day=NextDay.ONE_HOLLOW)], lambs=[lamb()], ewe_check=looked)


def test_a_lamb_refused_as_long_as_it_is_still_with_her() -> None:
    assert "lamb A-1 refused, still with her" == only(at(NIGHT), lambing=[lambing()], lambs=[lamb(taken=Taken.REFUSED)]).why
    moved = lamb(taken=Taken.REFUSED, reared_by=RearedBy.PET, why_moved=WhyMoved.REFUSED)
    assert [] == titles(at(NIGHT), lambing=[lambing()], lambs=[moved])


def test_a_lamb_set_on_and_refused_is_listed_at_the_foster_ewe() -> None:
    row = lamb(taken=Taken.REFUSED, foster_ewe="B", why_moved=WhyMoved.SPARE)
    assert ("B", "lamb refused") == ((problem := only(at(NIGHT), ewes=[{"ewe": "B"}], lambs=[row])).name, problem.alert)


def test_a_foster_ewe_is_never_told_what_the_mother_did() -> None:
    """The mother would not have it: that is no trouble of the ewe that took it."""
    mother: Row = {"ewe": "A", "lambed_on": NIGHT}
    for why in (WhyMoved.REFUSED, None):
        row = lamb(taken=Taken.REFUSED, foster_ewe="B", reared_by=RearedBy.FOSTER_EWE, why_moved=why)
        assert [] == titles(at(NIGHT), ewes=[{"ewe": "A"}, {"ewe": "B"}], lambing=[mother], lambs=[row])


@pytest.mark.parametrize(("now", "expected"), [(date(2026, 6, 19), 2), (date(2026, 6, 20), 0), (date(2026, 6, 21), 0)])
def test_milk_and_teats_are_no_alert_once_her_lambs_are_weaned(now: date, expected: int) -> None:
    ewes: list[Row] = [{"ewe": "A", "group": "Hill"}]
    groups: list[Row] = [{"group": "Hill", "weaning": date(2026, 6, 20)}]
    look: Row = {"ewe": "A", "date": now, "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}
    assert expected == len(titles(at(now), ewes=ewes, lambing=[lambing()], lambs=[lamb()], groups=groups, ewe_check=[look]))


@pytest.mark.parametrize(("colostrum", "cells", "expected"), [
    (Colostrum.NONE, {"vigour": Vigour.WEAK}, True), (Colostrum.LITTLE, {"sucked": Sucked.TUBED}, True),
    (Colostrum.NONE, {"sucked": Sucked.NO}, True), (Colostrum.PLENTY, {"vigour": Vigour.WEAK}, False),
    (Colostrum.NONE, {"sucked": Sucked.ALONE}, False), (Colostrum.NONE, {"vigour": Vigour.SLOW}, False),
    (Colostrum.NONE, {"vigour": Vigour.WEAK, "belly": Belly.FULL}, False),
    (Colostrum.NONE, {"vigour": Vigour.WEAK, "left_how": LambLeft.DIED}, False),
    (Colostrum.NONE, {"vigour": Vigour.WEAK, "reared_by": RearedBy.PET}, False),
    (None, {"vigour": Vigour.WEAK}, False),
])
def test_little_colostrum_and_a_lamb_that_needs_it(colostrum: Colostrum | None, cells: Row, expected: bool) -> None:
    found = titles(at(NIGHT, 6), lambing=[lambing(finished=time(4), colostrum=colostrum)], lambs=[lamb(**cells)])
    assert expected == ("little colostrum" in found)


@pytest.mark.parametrize(("row", "name"), [
    ({"ewe": "A", "lamb_no": 1}, "lamb A-1"), ({"ewe": "A", "tag": "7001"}, "lamb 7001"), ({"ewe": "A"}, "lamb in row 4")])
def test_a_lamb_is_called_lamb_once(row: Row, name: str) -> None:
    hollow: Row = {**row, "belly": Belly.HOLLOW}
    assert f"{name} hollow next day" == only(at(NEXT), lambing=[lambing()], lambs=[hollow]).why


@pytest.mark.parametrize(("colostrum", "told"), [
    (None, ["no milk, 2 lambs at her side"]), (Colostrum.NONE, ["no milk, 2 lambs at her side"]), (Colostrum.PLENTY, [])])
def test_lambs_known_by_number_need_colostrum_where_one_word_says_no_milk(colostrum: Colostrum | None, told: list[str]) -> None:
    row = lambing(finished=time(4), trouble=LambingTrouble.NO_MILK, born_alive=2, colostrum=colostrum)
    assert told == [one.why for one in listed(at(NIGHT, 6), lambing=[row]) if one.alert == "little colostrum"]


def test_little_colostrum_says_which_lamb_and_that_hours_count() -> None:
    row = lambing(finished=time(4), colostrum=Colostrum.NONE)
    (problem,) = listed(at(NIGHT, 6), lambing=[row], lambs=[lamb(1, vigour=Vigour.WEAK), lamb(2, sucked=Sucked.TUBED)])
    assert ("colostrum none; lamb A-1 weak, lamb A-2 tubed", NOW) == (problem.why, problem.urgency)
    assert ["Lambing!O4", "Lambs!L4", "Lambs!G5"] == [str(cell) for cell in problem.cells]
    assert "within two hours; after a day it is too late" in problem.next_step


@pytest.mark.parametrize(("rows", "alert"), [
    ({"lambing": [lambing(finished=time(4), colostrum=Colostrum.NONE)], "lambs": [lamb(vigour=Vigour.WEAK)]}, "little colostrum"),
    ({"lambing": [lambing(finished=time(4))], "lambs": [lamb(n, birth_weight=2.5) for n in (1, 2, 3)]}, "small lambs"),
], ids=["colostrum", "small"])
def test_colostrum_and_small_lambs_lapse_after_two_days(rows: dict[str, list[Row]], alert: str) -> None:
    limit = at(NIGHT, 4) + timedelta(hours=48)
    assert [True, True, False] == [alert in titles(limit + timedelta(minutes=minutes), **rows) for minutes in (-1, 0, 1)]


@pytest.mark.parametrize(("kg", "born", "expected"), [
    (2.9, 3, True), (3.0, 3, False), (3.1, 3, False), (2.9, 2, False), (2.9, 4, True), (None, 3, False),
])
def test_small_lambs_of_a_big_litter(kg: float | None, born: int, expected: bool) -> None:
    lambs = [lamb(number, birth_weight=kg if number == 1 else 4.5) for number in range(1, born + 1)]
    found = listed(at(NIGHT, 6), lambing=[lambing()], lambs=lambs)
    assert ([f"{born} born: lamb A-1 {kg} kg"] if expected else []) == [one.why for one in found if one.alert == "small lambs"]


def test_the_farms_own_small_lamb_counts() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing()], "lambs": [lamb(n, birth_weight=2.5) for n in (1, 2, 3)]}
    assert [] == titles(at(NIGHT, 6), **rows, season=[{"row_key": "small_lamb", "value": 2.5}])


def test_a_side_dry_until_a_later_look_finds_milk() -> None:
    problem = only(at(NIGHT), lambing=[lambing(sides_in_milk=1)])
    assert ("a side dry", TODAY, "1 of 2 sides in milk", ["Lambing!P4"]) == (
        problem.alert, problem.urgency, problem.why, [str(cell) for cell in problem.cells])
    assert [] == titles(at(NEXT), lambing=[lambing(sides_in_milk=1, sides_next_day=2)])
    assert ["a side dry"] == titles(at(NEXT), lambing=[lambing(sides_in_milk=2, sides_next_day=1)])


def test_large_teats_ask_whether_all_lambs_suck() -> None:
    problem = only(at(NIGHT), lambing=[lambing(teats=Teats.LARGE)], lambs=[lamb(n) for n in (1, 2, 3)])
    assert problem.next_step.startswith("Do all lambs suck?")
    assert "large teats, 3 lambs at her side" == problem.why
    assert [] == titles(at(NIGHT), lambing=[lambing(teats=Teats.LARGE)])


def test_a_mature_ewe_helped_because_of_the_lamb_is_listed_for_her_teats_alone() -> None:
    row = lambing(help=Help.HARD, why_helped=WhyHelped.LAY_WRONG, sides_in_milk=2, teats=Teats.LARGE)
    lambs = [lamb(n, taken=Taken.YES) for n in (1, 2, 3)]
    assert ["large teats"] == titles(at(NIGHT), ewes=[{"ewe": "A", "scanned": 3}], lambing=[row], lambs=lambs)


def test_a_look_counts_from_its_day_and_one_without_a_day_from_her_lambing() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing()], "lambs": [lamb()]}
    dated = {check.alert: check.since for check in listed(at(NEXT), **rows, ewe_check=[
        {"ewe": "A", "date": NEXT, "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}])}
    undated = {check.alert: check.since for check in listed(at(NEXT), **rows, ewe_check=[
        {"ewe": "A", "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}])}
    assert [at(NEXT, 0)] * 2 == [dated["large teats"], dated["a side dry"]]
    assert [at(NIGHT, 0)] * 2 == [undated["large teats"], undated["a side dry"]]
