"""Problem ewes while the season runs: what is on the list at a moment, how urgent, and when it lapses."""

from datetime import date, datetime, timedelta

import pytest
import random_rows
from ewes_tonight import NEXT, NIGHT, at, check, lamb, lambing, listed, only, titles
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout import alerts
from template_builder.layout.alerts import END, NOW, SOON, TODAY, UNREAD, Alert
from template_builder.layout.choices import (
    Belly,
    Born,
    NextDay,
    Prolapse,
    Sucked,
    Taken,
    Teats,
    Trouble,
    Udder,
)
from template_builder.layout.columns import Row
from workbook.results.advice.problem_ewes import problem_ewes
from workbook.results.advice.season_in_words import season_in_words

ALERTS = [value for value in vars(alerts).values() if isinstance(value, Alert)]


def test_every_alert_says_what_to_do_and_gives_no_dose() -> None:
    assert len({alert.title for alert in ALERTS}) == len(ALERTS)
    for alert in ALERTS:
        assert alert.next_step.endswith(".") and UNREAD <= alert.urgency <= END
        assert not any(character.isdigit() for character in alert.next_step), "no amounts"
        assert not alert.call_vet or "vet" in alert.next_step


ANSWERS: list[tuple[dict[str, list[Row]], str]] = [
    ({"lambs": [lamb(sucked=Sucked.NO)]}, "lamb not sucking"), ({"lambs": [lamb(taken=Taken.REFUSED)]}, "lamb refused"),
    ({"ewes": [{"ewe": "A", "scanned": 2}], "lambs": [lamb()]}, "fewer lambs than scanned"),
]


@pytest.mark.parametrize(("rows", "alert"), ANSWERS, ids=[alert for _, alert in ANSWERS])
def test_a_look_on_a_later_day_answers_what_was_so_at_lambing(rows: dict[str, list[Row]], alert: str) -> None:
    on_the_day = {"lambing": [lambing()], "ewe_check": [check(NIGHT, udder=Udder.SOUND)], **rows}
    assert alert in titles(at(NIGHT, 20), **on_the_day)
    assert alert not in titles(at(NEXT), **{**on_the_day, "ewe_check": [check(NEXT, udder=Udder.SOUND)]})
    assert alert not in titles(at(NEXT), **{**on_the_day, "lambing": [lambing(next_day=NextDay.ALL_FULL)]})


WEANING = date(2026, 6, 20)


@pytest.mark.parametrize(("day", "open_still"), [
    (WEANING - timedelta(days=1), True), (WEANING, False), (WEANING + timedelta(days=1), False)])
@pytest.mark.parametrize("rows", [
    {"ewe_check": [check(WEANING - timedelta(days=3), trouble=Trouble.MASTITIS)]},
    {"ewe_check": [{"ewe": "A", "trouble": Trouble.SLEEPY}]},
    {"ewe_check": [check(trouble=Trouble.ABORTED)]}, {"lambs": [lamb(born=Born.MUMMIFIED)], "lambing": [lambing()]},
    {"ewes": [{"ewe": "A", "group": "Hill", "scanned": 1, "due": NIGHT}]},
], ids=["mastitis", "no day", "aborted", "suspected", "overdue"])
def test_what_was_so_before_weaning_closes_at_weaning(rows: dict[str, list[Row]], day: date, open_still: bool) -> None:
    hill: dict[str, list[Row]] = {"ewes": [{"ewe": "A", "group": "Hill"}], "groups": [{"group": "Hill", "weaning": WEANING}]}
    assert open_still == bool(titles(at(day), **{**hill, **rows}))


@pytest.mark.parametrize(("seen", "expected"), [(-1, []), (0, ["mastitis"]), (1, ["mastitis"])])
def test_what_is_seen_at_weaning_or_later_stays_open(seen: int, expected: list[str]) -> None:
    looked = [check(WEANING + timedelta(days=seen), trouble=Trouble.MASTITIS)]
    assert expected == titles(at(WEANING + timedelta(days=2)), ewes=[{"ewe": "A", "group": "Hill"}], ewe_check=looked,
                              groups=[{"group": "Hill", "weaning": WEANING}])


def test_the_group_she_was_turned_out_to_says_when_her_lambs_were_weaned() -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "group": "Hill"}], "ewe_check": [check(trouble=Trouble.MASTITIS)],
        "groups": [{"group": "Hill", "weaning": WEANING}, {"group": "Low", "weaning": date(2026, 9, 1)}]}
    assert [[], ["mastitis"]] == [titles(at(date(2026, 8, 1)), **rows, lambing=[lambing(turned_out_to=group)])
                                  for group in ("Hill", "Low")]


def test_what_was_seen_long_ago_is_left_for_the_end() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing()], "lambs": [lamb(belly=Belly.HOLLOW)]}
    assert [NOW, NOW, END] == [only(at(NIGHT, 0) + timedelta(hours=hours), **rows).urgency for hours in (30, 48, 49)]


def test_the_most_urgent_and_then_the_longest_waiting_come_first() -> None:
    checks: list[Row] = [
        {"ewe": "C", "date": NIGHT, "trouble": Trouble.MASTITIS}, {"ewe": "B", "date": NEXT, "trouble": Trouble.SLEEPY},
        {"ewe": "D", "date": NIGHT, "trouble": Trouble.SLEEPY},
        {"ewe": "E", "date": NIGHT, "sides_in_milk": 1, "lambs_at_foot": 1},
    ]
    assert ["C", "D", "B", "E"] == [problem.name for problem in listed(at(NEXT), ewe_check=checks)]


def test_a_season_without_troubles_has_an_empty_list() -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "scanned": 2, "due": NIGHT}], "lambs": [lamb(n, taken=Taken.YES) for n in (1, 2)],
        "lambing": [lambing(sides_in_milk=2, teats=Teats.SOUND, prolapse=Prolapse.NONE, next_day=NextDay.ALL_FULL)],
    }
    assert () == listed(at(NEXT), **rows) == listed(at(date(2026, 8, 31)), **rows)


@settings(max_examples=examples(80), deadline=None)
@given(random_rows.seasons(most=4), st.datetimes())
def test_whatever_the_cells_hold_each_problem_has_a_place_and_each_ewe_a_line(rows: dict[str, list[Row]], when: datetime) -> None:
    records = season(**rows)  # type: ignore[arg-type]  # rows by sheet id
    for problem in problem_ewes(records, when):
        assert problem.cells and problem.why and problem.urgency in (NOW, TODAY, SOON, END)
    assert all(season_in_words(ewe).endswith(".") for ewe in records.flock.ewes.values())
