"""Only what is hers counts: every cause and every reason for moving a lamb, and whose it is."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    Cause,
    ConfirmedBy,
    LambLeft,
    RearedBy,
    Sucked,
    Taken,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Row, Value
from workbook.results.advice.evidence import evidence
from workbook.results.clinical import hers
from workbook.season.season import Season

DIED = date(2026, 3, 5)

NEUTRAL_CAUSES = [
    Cause.HARD_BIRTH, Cause.SCOUR, Cause.JOINT_ILL, Cause.PNEUMONIA, Cause.OTHER_INFECTION, Cause.ACCIDENT, Cause.PREDATOR,
    Cause.DEFORMED, Cause.OTHER, Cause.NOT_KNOWN,
]
NEUTRAL_MOVES = [WhyMoved.SPARE, WhyMoved.EWE_DIED, WhyMoved.OTHER]
AGAINST_HER = ("refused", "lost_hers", "no_milk", "mastitis", "narrow")


def against(records: Season, ewe: str = "a") -> dict[str, float]:
    """What counts against a ewe for her lambs."""
    seen = evidence(records, records.flock.ewes[ewe])
    return {id: value for id in AGAINST_HER if (value := seen[id].value)}


def lamb(**cells: Value) -> Row:
    return {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, **cells}


def dead(cause: Cause | None, **cells: Value) -> Row:
    return lamb(left_how=LambLeft.DIED, left_on=DIED, cause=cause, confirmed_by=ConfirmedBy.SHEPHERD, **cells)


IN_MILK: list[Row] = [{"ewe": "A", "sides_in_milk": 2}, {"ewe": "B", "sides_in_milk": 2}]


def test_the_table_judges_every_value_once() -> None:
    assert set(Cause) == set(hers.CAUSES)
    assert set(WhyMoved) == set(hers.MOVES)
    assert set(WhyHelped) == set(hers.WHY_HELPED)
    assert all(judged.why for table in (hers.CAUSES, hers.MOVES, hers.WHY_HELPED) for judged in table.values())


def test_the_table_and_what_follows_from_it_agree() -> None:
    moves = {move for move in WhyMoved if against(season(lambs=[lamb(why_moved=move, reared_by=RearedBy.PET)]))}
    assert moves == {move for move, judged in hers.MOVES.items() if judged.hers}


@pytest.mark.parametrize("cause", NEUTRAL_CAUSES)
def test_a_death_of_this_cause_is_not_hers(cause: Cause) -> None:
    assert {} == against(season(lambing=IN_MILK, lambs=[dead(cause)]))


def test_a_death_without_a_cause_is_not_hers() -> None:
    assert {} == against(season(lambing=IN_MILK, lambs=[dead(None)]))


def test_a_missing_lamb_is_not_hers() -> None:
    assert {} == against(season(lambs=[lamb(left_how=LambLeft.MISSING, cause=Cause.STARVED)]))


def test_a_lamb_starved_beside_her_is_hers() -> None:
    assert {"lost_hers": 1} == against(season(lambing=IN_MILK, lambs=[dead(Cause.STARVED)]))


def test_a_lamb_starved_on_the_bottle_is_nobodys() -> None:
    assert {} == against(season(lambing=IN_MILK, lambs=[dead(Cause.STARVED, reared_by=RearedBy.PET)]))


def test_a_lamb_that_died_after_being_set_on_is_judged_at_the_foster_ewe() -> None:
    moved = dead(Cause.STARVED, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B", why_moved=WhyMoved.SPARE)
    records = season(lambing=IN_MILK, lambs=[moved])
    assert ({}, {"lost_hers": 1}) == (against(records, "a"), against(records, "b"))


@pytest.mark.parametrize("move", NEUTRAL_MOVES)
def test_a_lamb_moved_for_this_reason_is_not_hers(move: WhyMoved) -> None:
    assert {} == against(season(lambs=[lamb(why_moved=move, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B")]))


@pytest.mark.parametrize(
    ("move", "evidence_id"),
    [(WhyMoved.REFUSED, "refused"), (WhyMoved.NO_MILK, "no_milk"), (WhyMoved.MASTITIS, "mastitis")],
)
def test_moves_that_are_hers_count_once_and_in_their_place(move: WhyMoved, evidence_id: str) -> None:
    records = season(lambs=[lamb(why_moved=move, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B")])
    assert ({evidence_id: 1}, {}) == (against(records, "a"), against(records, "b"))


def test_a_lamb_she_refused_is_hers() -> None:
    assert {"refused": 1} == against(season(lambs=[lamb(taken=Taken.REFUSED)]))


def test_a_lamb_set_on_that_the_foster_ewe_refused_is_nobodys() -> None:
    row = lamb(taken=Taken.REFUSED, why_moved=WhyMoved.SPARE, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B")
    assert ({}, {}) == (against(season(lambs=[row]), "a"), against(season(lambs=[row]), "b"))


def test_a_lamb_set_on_without_a_reason_was_refused_by_its_own_ewe() -> None:
    records = season(lambs=[lamb(taken=Taken.REFUSED, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B")])
    assert ({"refused": 1}, {}) == (against(records, "a"), against(records, "b"))


def test_a_dead_lamb_cannot_be_refused() -> None:
    assert {} == against(season(lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.DEAD_FRESH, "taken": Taken.REFUSED}]))


def test_tubing_is_not_hers() -> None:
    assert {} == against(season(lambs=[lamb(sucked=Sucked.TUBED)]))


@pytest.mark.parametrize("why", [why for why in WhyHelped if why is not WhyHelped.NARROW])
def test_help_for_this_reason_is_not_hers(why: WhyHelped) -> None:
    assert {} == against(season(lambing=[{"ewe": "A", "why_helped": why}]))


def test_help_because_narrow_is_hers() -> None:
    assert {"narrow": 1} == against(season(lambing=[{"ewe": "A", "why_helped": WhyHelped.NARROW}]))


LAMBED = date(2026, 3, 1)


@pytest.mark.parametrize(("moved", "expected"), [(-1, "b"), (0, None), (1, "a"), (None, None)])
def test_a_lamb_is_under_the_ewe_it_was_with_that_day(moved: int | None, expected: str | None) -> None:
    day = LAMBED + timedelta(days=1)
    row = lamb(foster_ewe="B", moved_on=None if moved is None else day + timedelta(days=moved))
    (found,) = season(lambs=[row]).flock.lambs
    assert expected == hers.under(found, day)


def test_a_lamb_never_moved_is_under_its_own_ewe_and_one_on_the_bottle_under_none() -> None:
    own, bottle = season(lambs=[lamb(), lamb(lamb_no=2, reared_by=RearedBy.PET, moved_on=LAMBED)]).flock.lambs
    assert ("a", None) == (hers.under(own, DIED), hers.under(bottle, DIED))


@pytest.mark.parametrize(("row", "refusing"), [
    (lamb(taken=Taken.REFUSED), "a"),
    (lamb(taken=Taken.REFUSED, foster_ewe="B"), None),  # its own ewe refused it, and another took it
    (lamb(taken=Taken.REFUSED, foster_ewe="B", why_moved=WhyMoved.REFUSED), None),
    (lamb(taken=Taken.REFUSED, foster_ewe="B", why_moved=WhyMoved.SPARE), "b"),
    (lamb(taken=Taken.REFUSED, foster_ewe="B", came_from=CameFrom.BOUGHT_IN), "b"),
    (lamb(taken=Taken.REFUSED, reared_by=RearedBy.PET), None),
    (lamb(taken=Taken.SLOWLY), None),
])
def test_who_refuses_the_lamb_at_her_side(row: Row, refusing: str | None) -> None:
    records = season(lambs=[row])
    (found,) = records.flock.lambs
    assert refusing == next((ewe.key for ewe in records.flock.ewes.values() if hers.refuses(ewe, found)), None)
