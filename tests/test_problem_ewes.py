"""Problem ewes while the season runs: what is on the list at a moment, how urgent, and when it lapses."""

from datetime import date, datetime, time, timedelta

import pytest
import random_rows
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout import alerts
from template_builder.layout.alerts import END, NOW, SOON, TODAY, UNREAD, Alert
from template_builder.layout.choices import (
    Belly,
    Born,
    Colostrum,
    EweLeft,
    Feet,
    Help,
    HowRecorded,
    LambLeft,
    Mouth,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Vigour,
    WhyHelped,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import Row, Value
from workbook.results.advice.lambing_signs import looks_not_recorded
from workbook.results.advice.problem_ewes import ProblemEwe, problem_ewes
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.scores.litter_weight import LitterWeight, litter_weights

NIGHT = date(2026, 3, 12)
NEXT = NIGHT + timedelta(days=1)
NOON = time(12)
ALERTS = [value for value in vars(alerts).values() if isinstance(value, Alert)]


def listed(when: datetime, **rows: list[Row]) -> tuple[ProblemEwe, ...]:
    return problem_ewes(season(**rows), when)


def titles(when: datetime, **rows: list[Row]) -> list[str]:
    return [problem.alert for problem in listed(when, **rows)]


def only(when: datetime, **rows: list[Row]) -> ProblemEwe:
    (problem,) = listed(when, **rows)
    return problem


def at(day: date, hour: int = 12, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute))


def lambing(**cells: Value) -> Row:
    return {"ewe": "A", "lambed_on": NIGHT, **cells}


def lamb(number: int = 1, **cells: Value) -> Row:
    return {"ewe": "A", "lamb_no": number, "born": Born.ALIVE, **cells}


def check(day: date = NIGHT, **cells: Value) -> Row:
    return {"ewe": "A", "date": day, **cells}


def test_every_alert_says_what_to_do_and_gives_no_dose() -> None:
    assert len({alert.title for alert in ALERTS}) == len(ALERTS)
    for alert in ALERTS:
        assert alert.next_step.endswith(".") and UNREAD <= alert.urgency <= END
        assert not any(character.isdigit() for character in alert.next_step), "no amounts"
        assert not alert.call_vet or "vet" in alert.next_step


# Overdue: only after the last day on which she may still lamb.


@pytest.mark.parametrize(
    ("ewe", "last"),
    [
        ({"mated_on": date(2025, 10, 15), "due": date(2026, 3, 1)}, date(2026, 3, 24)),  # mated + 160 days
        ({"group": "Hill", "due": date(2026, 3, 1)}, date(2026, 4, 29)),  # ram out + 160 days
        ({"due": date(2026, 3, 11)}, date(2026, 3, 24)),  # due + 160 - 147 days
    ],
    ids=["mated", "ram out", "due"],
)
def test_overdue_the_day_after_her_last_possible_day(ewe: Row, last: date) -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "scanned": 2, **ewe}], "groups": [{"group": "Hill", "ram_out": date(2025, 11, 20)}],
    }
    assert [] == titles(at(last, 23), **rows)
    problem = only(at(last + timedelta(days=1)), **rows)
    assert ("overdue", SOON) == (problem.alert, problem.urgency)
    assert problem.why.startswith("1 day past her last possible day")


@pytest.mark.parametrize(
    "rows",
    [
        {"ewes": [{"ewe": "A", "scanned": 0, "due": NIGHT}]},
        {"ewes": [{"ewe": "A", "due": NIGHT}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT}], "lambs": [{"ewe": "A", "lamb_no": 1, "born": Born.DEAD_FRESH}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT, "left_how": EweLeft.SOLD}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT, "group": "Hill"}],
         "groups": [{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY}]},
    ],
    ids=["empty", "not scanned", "lambed", "sold", "counts only"],
)
def test_not_overdue(rows: dict[str, list[Row]]) -> None:
    assert [] == titles(at(date(2026, 6, 1)), **rows)


# Long labour: two hours by default, lapses once she has lambed or after twelve hours.


@pytest.mark.parametrize(
    ("hour", "expected"),
    [(0, []), (1, ["in labour"]), (2, ["long labour"]), (12, ["long labour"]), (13, ["lambing not recorded"])],
)
def test_labour_is_looked_at_then_long_then_lapses(hour: int, expected: list[str]) -> None:
    rows: dict[str, list[Row]] = {"lambing": [{"ewe": "A", "waters_seen": at(NIGHT, 3), "pen": "7"}]}
    assert expected == titles(at(NIGHT, 3 + hour), **rows)


@pytest.mark.parametrize(("minutes", "expected"), [
    (59, []), (60, ["in labour"]), (61, ["in labour"]), (119, ["in labour"]), (120, ["long labour"]), (121, ["long labour"]),
])
def test_the_first_look_in_labour_is_no_call_for_the_vet(minutes: int, expected: list[str]) -> None:
    found = listed(at(NIGHT, 3) + timedelta(minutes=minutes), lambing=[{"ewe": "A", "waters_seen": at(NIGHT, 3)}])
    assert expected == [problem.alert for problem in found]
    assert ["in labour" not in expected for _ in found] == [problem.call_vet for problem in found]


def test_long_labour_says_where_and_since_when_and_calls_the_vet() -> None:
    problem = only(at(NIGHT, 6), lambing=[{"ewe": "A", "waters_seen": at(NIGHT, 3), "pen": "7"}])
    assert (NOW, True, "7", at(NIGHT, 3), ["Lambing!Y4"]) == (
        problem.urgency, problem.call_vet, problem.pen, problem.since, [str(cell) for cell in problem.cells])


def test_a_bare_time_before_midnight_is_of_the_day_before() -> None:
    problem = only(at(NEXT, 2), lambing=[{"ewe": "A", "waters_seen": time(23, 30)}])
    assert ("long labour", at(NIGHT, 23, 30)) == (problem.alert, problem.since)


@pytest.mark.parametrize("column", ["finished", "lambed_on"])
def test_long_labour_lapses_once_she_has_lambed(column: str) -> None:
    row: Row = {"ewe": "A", "waters_seen": at(NIGHT, 3), column: NIGHT if column == "lambed_on" else at(NIGHT, 6)}
    assert "long labour" not in titles(at(NIGHT, 6), lambing=[row], lambs=[lamb()])


def test_the_farms_own_hours_count() -> None:
    rows: dict[str, list[Row]] = {"lambing": [{"ewe": "A", "waters_seen": at(NIGHT, 3)}]}
    own: list[Row] = [{"row_key": "labour_look", "value": 3.5}, {"row_key": "long_labour", "value": 4}]
    assert [[], ["in labour"], ["long labour"]] == [titles(at(NIGHT, 6, minute), **rows, season=own) for minute in (29, 30)] + [
        titles(at(NIGHT, 7), **rows, season=own)]


# The next day's look.


@pytest.mark.parametrize(("hours", "expected"), [(23, []), (24, ["look due"]), (48, ["look due"]), (49, [])])
def test_the_next_look_is_due_from_24_to_48_hours(hours: int, expected: list[str]) -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(finished=time(4))], "lambs": [lamb()]}
    assert expected == titles(at(NIGHT, 4) + timedelta(hours=hours), **rows)


def test_a_look_not_made_is_on_no_list_but_counted_where_the_flock_writes_them() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(finished=time(4))], "lambs": [lamb()]}
    written: Row = {"ewe": "B", "lambed_on": NIGHT, "next_day": NextDay.ALL_FULL}
    assert [] == titles(at(date(2026, 3, 20)), **rows)
    assert () == looks_not_recorded(season(**rows), at(date(2026, 3, 20)))
    both = season(lambing=[*rows["lambing"], written], lambs=rows["lambs"])
    found = [looks_not_recorded(both, at(NIGHT, 4) + timedelta(hours=48, minutes=minutes)) for minutes in (-1, 0, 1)]
    assert [[], [], ["A"]] == [[ewe.name for ewe in ewes] for ewes in found]


@pytest.mark.parametrize(
    "rows",
    [
        {"lambing": [lambing(next_day=NextDay.ALL_FULL)], "lambs": [lamb()]},
        {"lambing": [lambing(sides_next_day=2)], "lambs": [lamb()]},
        {"lambing": [lambing()], "lambs": [lamb(belly=Belly.FULL)]},
        {"lambing": [lambing()], "lambs": [lamb()], "ewe_check": [check(NEXT, udder=Udder.SOUND)]},
        {"lambing": [lambing()], "lambs": [lamb(left_how=LambLeft.DIED)]},
    ],
    ids=["look", "sides", "belly", "ewe check", "no live lamb"],
)
def test_no_look_is_due_once_one_is_written(rows: dict[str, list[Row]]) -> None:
    assert [] == titles(at(NEXT), **rows)


# Lambs that need a look.


def test_a_lamb_that_has_not_sucked_until_its_belly_is_full() -> None:
    assert "lamb not sucking" in titles(at(NIGHT), lambing=[lambing()], lambs=[lamb(sucked=Sucked.NO)])
    assert [] == titles(at(NIGHT), lambing=[lambing()], lambs=[lamb(sucked=Sucked.NO, belly=Belly.FULL)])


def test_a_hollow_lamb_is_listed_once() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(next_day=NextDay.ONE_HOLLOW)]}
    assert "lamb A-1 hollow next day" == only(at(NEXT), **rows, lambs=[lamb(belly=Belly.HOLLOW)]).why
    assert "next day: one hollow" == only(at(NEXT), **rows, lambs=[lamb()]).why


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


@pytest.mark.parametrize(("later", "expected"), [(1, ["hollow lamb"]), (2, []), (3, [])])
def test_what_the_next_days_look_found_is_answered_by_a_look_of_a_later_day(later: int, expected: list[str]) -> None:
    looked = [check(NIGHT + timedelta(days=later), udder=Udder.SOUND)]
    assert expected == titles(at(NEXT), lambing=[lambing(next_day=NextDay.ONE_HOLLOW)], lambs=[lamb()], ewe_check=looked)


@pytest.mark.parametrize("trouble", [Trouble.MASTITIS, Trouble.SLEEPY, Trouble.PROLAPSE])
def test_an_illness_is_answered_by_a_look_of_a_later_day_unless_it_says_so_again(trouble: Trouble) -> None:
    seen, (alert,) = check(trouble=trouble), titles(at(NIGHT), ewe_check=[check(trouble=trouble)])
    after = {days: check(NIGHT + timedelta(days=days), udder=Udder.SOUND) for days in (0, 1)}
    assert [alert] == titles(at(NEXT), ewe_check=[seen, after[0]])
    assert [] == titles(at(NEXT), ewe_check=[seen, after[1]])
    again = only(at(NEXT), ewe_check=[seen, check(NEXT, trouble=trouble)])
    assert (alert, at(NEXT, 0)) == (again.alert, again.since)


def test_a_prolapse_written_on_lambing_and_seen_again_is_still_one() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(prolapse=Prolapse.VAGINAL)]}
    assert [] == titles(at(NEXT), **rows, ewe_check=[check(NEXT, udder=Udder.SOUND)])
    assert ["prolapse"] == titles(at(NEXT), **rows, ewe_check=[check(NEXT, trouble=Trouble.PROLAPSE)])


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


def test_withdrawals_do_not_close_at_weaning() -> None:
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A", "group": "Hill"}], "groups": [{"group": "Hill", "weaning": NIGHT}],
                                  "ewe_check": [check(NEXT, udder=Udder.SOUND)]}
    assert ["withdrawal running"] == titles(at(NEXT), **rows, treatments=[treatment(date=date(2026, 3, 1), withdrawal=42)])
    assert ["withdrawal not known"] == titles(at(NEXT), **rows, treatments=[treatment()])


def test_what_was_seen_long_ago_is_left_for_the_end() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing()], "lambs": [lamb(belly=Belly.HOLLOW)]}
    assert [NOW, NOW, END] == [only(at(NIGHT, 0) + timedelta(hours=hours), **rows).urgency for hours in (30, 48, 49)]


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


def test_lambs_of_a_ewe_that_died_are_orphans_until_someone_rears_them() -> None:
    ewes: list[Row] = [{"ewe": "A", "left_on": NIGHT, "left_how": EweLeft.DIED}]
    problem = only(at(NEXT), ewes=ewes, lambs=[lamb(1), lamb(2), lamb(3, left_how=LambLeft.DIED)])
    assert ("orphan lambs", NOW, "died; still booked on her: A-1, A-2") == (problem.alert, problem.urgency, problem.why)
    assert [] == titles(at(NEXT), ewes=ewes, lambs=[lamb(1, reared_by=RearedBy.PET)])


@pytest.mark.parametrize(("now", "expected"), [
    (date(2026, 6, 19), ["orphan lambs"]), (date(2026, 6, 20), []), (date(2026, 6, 21), [])])
@pytest.mark.parametrize("left_on", [NIGHT, None])
def test_weaned_lambs_are_no_orphans(left_on: date | None, now: date, expected: list[str]) -> None:
    ewes: list[Row] = [{"ewe": "A", "group": "Hill", "left_on": left_on, "left_how": EweLeft.CULLED}]
    groups: list[Row] = [{"group": "Hill", "weaning": date(2026, 6, 20)}]
    assert expected == titles(at(now), ewes=ewes, lambs=[lamb()], groups=groups)


@pytest.mark.parametrize(("now", "expected"), [(date(2026, 6, 19), 2), (date(2026, 6, 20), 0), (date(2026, 6, 21), 0)])
def test_milk_and_teats_are_no_alert_once_her_lambs_are_weaned(now: date, expected: int) -> None:
    ewes: list[Row] = [{"ewe": "A", "group": "Hill"}]
    groups: list[Row] = [{"group": "Hill", "weaning": date(2026, 6, 20)}]
    look: Row = {"ewe": "A", "date": now, "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}
    assert expected == len(titles(at(now), ewes=ewes, lambing=[lambing()], lambs=[lamb()], groups=groups, ewe_check=[look]))


# The first days: colostrum, small lambs, afterbirth.


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


@pytest.mark.parametrize(("minutes", "expected"), [(-1, []), (0, ["afterbirth not passed"]), (1, ["afterbirth not passed"])])
def test_an_afterbirth_held_a_day_is_for_the_vet(minutes: int, expected: list[str]) -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(finished=time(4), afterbirth=YesNo.NO)]}
    found = listed(at(NEXT, 4) + timedelta(minutes=minutes), **rows)
    assert expected == [problem.alert for problem in found]
    assert all(problem.call_vet and "never pull" in problem.next_step for problem in found)
    assert [] == titles(at(NEXT, 5), lambing=[lambing(finished=time(4), afterbirth=YesNo.YES)])


def test_the_next_days_look_does_not_answer_an_afterbirth_and_a_look_after_that_day_does() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(afterbirth=YesNo.NO, next_day=NextDay.ALL_FULL)]}
    looked = [check(NIGHT + timedelta(days=days), udder=Udder.SOUND) for days in (1, 2)]
    assert ["afterbirth not passed"] == titles(at(NEXT), **rows, ewe_check=looked[:1])
    assert [] == titles(at(NEXT), **rows, ewe_check=looked[1:])


# Feet and condition.


@pytest.mark.parametrize(("days", "expected"), [(-1, ["badly lame"]), (0, []), (1, [])])
def test_badly_lame_until_she_is_treated_for_it(days: int, expected: list[str]) -> None:
    given = treatment(date=NIGHT + timedelta(days=days), withdrawal=0)
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A"}], "ewe_check": [check(feet=Feet.BADLY_LAME)]}
    assert ["badly lame"] == titles(at(NIGHT), **rows)
    assert expected == [one for one in titles(at(NEXT), **rows, treatments=[given]) if one == "badly lame"]
    other = {**given, "reason": Reason.VACCINE}
    assert "badly lame" in titles(at(NEXT), **rows, treatments=[other])
    assert [] == titles(at(NIGHT), ewe_check=[check(feet=Feet.LAME)])


@pytest.mark.parametrize(("condition", "expected"), [(1.4, ["very thin"]), (1.5, []), (1.6, [])])
def test_very_thin_by_her_condition_at_the_last_look(condition: float, expected: list[str]) -> None:
    assert expected == titles(at(NIGHT), ewe_check=[check(condition=condition)])
    assert expected == titles(at(NIGHT), lambing=[lambing(condition=condition)])
    assert [] == titles(at(NEXT), ewe_check=[check(condition=condition), check(NEXT, condition=2.5)])


@pytest.mark.parametrize(("days", "expected"), [(-1, ["very thin"]), (0, []), (1, [])])
def test_thin_until_she_is_treated(days: int, expected: list[str]) -> None:
    given = treatment(date=NIGHT + timedelta(days=days), withdrawal=0, reason=Reason.WORMS)
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A"}], "ewe_check": [check(trouble=Trouble.THIN)]}
    assert expected == [one for one in titles(at(NEXT), **rows, treatments=[given]) if one == "very thin"]


# Abortion, seen or suspected: one fact.


ABORTIONS: list[tuple[dict[str, list[Row]], str, str]] = [
    ({"lambs": [lamb(born=Born.ABORTED)]}, "aborted", "1 lamb aborted"),
    ({"lambs": [lamb(1), lamb(2, born=Born.MUMMIFIED)]}, "abortion suspected", "1 lamb mummified"),
    ({"lambs": [lamb(1, born=Born.DEAD_FRESH), lamb(2, born=Born.DEAD_DECAYED)]}, "abortion suspected",
     "litter all dead, one decayed"),
    ({"lambs": [lamb(1), lamb(2, born=Born.DEAD_DECAYED)]}, "", ""),
    ({"lambs": [lamb(1, born=Born.DEAD_FRESH)]}, "", ""),
]


@pytest.mark.parametrize(("rows", "alert", "why"), ABORTIONS)
def test_an_abortion_is_suspected_by_her_lambs(rows: dict[str, list[Row]], alert: str, why: str) -> None:
    found = [problem for problem in listed(at(NIGHT), lambing=[lambing()], **rows) if "abort" in problem.alert]
    assert ([(alert, why, NOW, True)] if alert else []) == [(one.alert, one.why, one.urgency, one.call_vet) for one in found]
    assert all(word in one.next_step for one in found for word in ("gloves", "vet", "samples", "pregnant women", "no lamb"))


@pytest.mark.parametrize(("early", "suspected"), [(7, False), (8, True), (9, True)])
@pytest.mark.parametrize(("cells", "poor"), [({"born": Born.DEAD_FRESH}, True), ({"vigour": Vigour.WEAK}, True), ({}, False)])
def test_lambed_early_with_a_lamb_dead_or_weak(cells: Row, poor: bool, early: int, suspected: bool) -> None:
    mated = NIGHT + timedelta(days=early - 147)
    found = titles(at(NIGHT), ewes=[{"ewe": "A", "mated_on": mated}], lambing=[lambing()], lambs=[lamb(**cells)])
    assert (suspected and poor) == ("abortion suspected" in found)


def test_a_later_look_does_not_answer_an_abortion() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(next_day=NextDay.ALL_FULL)], "lambs": [lamb(born=Born.MUMMIFIED)]}
    assert ["abortion suspected"] == titles(at(NEXT), **rows, ewe_check=[check(NEXT, udder=Udder.SOUND)])


def test_a_litter_that_differs_from_the_scan() -> None:
    ewes: list[Row] = [{"ewe": "A", "scanned": 2}]
    assert ["fewer lambs than scanned"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=[lamb()])
    assert ["more lambs than scanned"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=[lamb(n) for n in (1, 2, 3)])
    mummified = [lamb(1), lamb(2, born=Born.MUMMIFIED)]
    assert ["abortion suspected"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=mummified)


# The ewe herself.


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


@pytest.mark.parametrize(
    ("rows", "alert", "urgency"),
    [
        ({"lambing": [{"ewe": "A", "prolapse": Prolapse.VAGINAL}]}, "prolapse", NOW),
        ({"lambing": [lambing(prolapse=Prolapse.WOMB)]}, "womb prolapse", NOW),
        ({"lambing": [lambing(prolapse=Prolapse.RECTAL)]}, "rectal prolapse", TODAY),
        ({"ewe_check": [check(trouble=Trouble.PROLAPSE)]}, "prolapse", NOW),
        ({"ewe_check": [check(trouble=Trouble.MASTITIS)]}, "mastitis", NOW),
        ({"ewe_check": [check(trouble=Trouble.SLEEPY)]}, "sleepy or down", NOW),
        ({"ewe_check": [check(trouble=Trouble.ABORTED)]}, "aborted", NOW),
        ({"lambs": [lamb(born=Born.ABORTED)]}, "aborted", NOW),
    ],
)
def test_illness_calls_the_vet(rows: dict[str, list[Row]], alert: str, urgency: int) -> None:
    problem = only(at(NIGHT, 14), **rows)
    assert (alert, urgency, True) == (problem.alert, problem.urgency, problem.call_vet)
    assert problem.cells


def test_an_aborted_ewe_is_isolated_with_gloves_and_samples() -> None:
    problem = only(at(NIGHT), ewes=[{"ewe": "A", "scanned": 2, "due": date(2026, 1, 1)}],
                   lambs=[lamb(n, born=Born.ABORTED) for n in (1, 2)])
    assert "2 lambs aborted" == problem.why
    assert all(word in problem.next_step for word in ("Isolate", "gloves", "vet", "samples", "pregnant women"))


@pytest.mark.parametrize(("trouble", "days", "urgent"), [
    (Trouble.ABORTED, 21, NOW), (Trouble.MASTITIS, 7, NOW), (Trouble.SLEEPY, 7, NOW), (Trouble.PROLAPSE, 7, NOW),
])
def test_an_illness_fades_so_many_days_after_it_was_last_written(trouble: Trouble, days: int, urgent: int) -> None:
    limit = datetime.combine(NIGHT, time()) + timedelta(days=days)
    seen = [only(limit + timedelta(minutes=minutes), ewe_check=[check(trouble=trouble)]) for minutes in (-1, 0, 1)]
    assert [urgent, urgent, END] == [problem.urgency for problem in seen]


def test_a_look_counts_from_its_day_and_one_without_a_day_from_her_lambing() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing()], "lambs": [lamb()]}
    dated = {check.alert: check.since for check in listed(at(NEXT), **rows, ewe_check=[
        {"ewe": "A", "date": NEXT, "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}])}
    undated = {check.alert: check.since for check in listed(at(NEXT), **rows, ewe_check=[
        {"ewe": "A", "teats": Teats.LARGE, "sides_in_milk": 1, "lambs_at_foot": 1}])}
    assert [at(NEXT, 0)] * 2 == [dated["large teats"], dated["a side dry"]]
    assert [at(NIGHT, 0)] * 2 == [undated["large teats"], undated["a side dry"]]


@pytest.mark.parametrize(("cells", "place"), [
    ({"due": date(2026, 3, 1)}, ["Ewes!B4", "Ewes!C4"]), ({"mated_on": date(2025, 10, 1)}, ["Ewes!B4", "Ewes!J4"]),
    ({"mated_on": date(2025, 10, 1), "due": date(2026, 3, 1)}, ["Ewes!B4", "Ewes!J4"]),
])
def test_overdue_points_at_the_scan_and_the_date_it_is_worked_out_from(cells: Row, place: list[str]) -> None:
    problem = only(at(date(2026, 5, 1)), ewes=[{"ewe": "A", "scanned": 1, **cells}])
    assert place == [str(cell) for cell in problem.cells]


def treatment(**cells: Value) -> Row:
    return {"given_to": TreatedFor.EWE, "animal": "A", "reason": Reason.LAMENESS, "product": "Spray", **cells}


def test_a_withdrawal_runs_to_the_end_of_its_last_day() -> None:
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A"}], "treatments": [treatment(date=NIGHT, withdrawal=10)]}
    problem = only(at(date(2026, 3, 22), 23), **rows)
    assert ("withdrawal running", "Spray: withdrawal written here ends on 22 Mar 2026") == (problem.alert, problem.why)
    assert [] == titles(at(date(2026, 3, 23)), **rows)


def test_a_withdrawal_not_written_is_not_nought() -> None:
    assert ["withdrawal not known"] == titles(at(NIGHT), ewes=[{"ewe": "A"}], treatments=[treatment(date=NIGHT)])
    assert [] == titles(at(NEXT), ewes=[{"ewe": "A"}], treatments=[treatment(date=NIGHT, withdrawal=0)])


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


def test_her_season_in_one_line() -> None:
    records = season(
        ewes=[{"ewe": "A", "scanned": 3}],
        lambing=[lambing(help=Help.LIGHT, why_helped=WhyHelped.LAY_WRONG, sides_in_milk=1, teats=Teats.LARGE)],
        lambs=[lamb(1, taken=Taken.YES, birth_weight=4.0), lamb(2, taken=Taken.REFUSED, reared_by=RearedBy.PET,
               why_moved=WhyMoved.REFUSED), lamb(3, born=Born.MUMMIFIED)],
        ewe_check=[check(date(2026, 6, 20), udder=Udder.SOUND)],
    )
    expected = (
        "Scanned 3; lambed on 12 Mar 2026: 2 alive, 1 mummified; help light (lay wrong); 1 of 2 sides in milk at lambing; "
        "large teats; lamb A-2 moved: refused; 1 with her; check 20 Jun 2026: udder sound."
    )
    assert expected == season_in_words(records.flock.ewes["a"], litter_weights(records).get("a"))


@pytest.mark.parametrize(("litter", "words"), [
    (LitterWeight("a", 61.24, 2, "", ()), "reared 2, 61.2 kg at weaning age"), (LitterWeight("a", None, 2, "", ()), "2 with her"),
    (None, "2 with her"),
])
def test_what_she_reared_is_told_in_kg_where_all_of_it_was_weighed(litter: LitterWeight | None, words: str) -> None:
    ewe = season(lambing=[lambing()], lambs=[lamb(1), lamb(2)]).flock.ewes["a"]
    assert f"Lambed on 12 Mar 2026: 2 alive; {words}." == season_in_words(ewe, litter)


@pytest.mark.parametrize(("scanned", "told"), [
    (None, []), (0, []), (1, [alerts.MORE_LAMBS.title]), (2, []), (3, [alerts.MISSING_LAMB.title]),
])
def test_a_litter_is_held_against_a_scan_in_lamb_alone(scanned: int | None, told: list[str]) -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "scanned": scanned}], "lambing": [lambing()],
        "lambs": [lamb(n, taken=Taken.YES) for n in (1, 2)],
    }
    assert told == [title for title in titles(at(NIGHT), **rows) if "scanned" in title]


def test_looks_tell_first_what_was_wrong_and_then_what_was_sound() -> None:
    records = season(ewe_check=[
        check(date(2026, 6, 20), udder=Udder.SOUND, teats=Teats.SOUND, mouth=Mouth.BROKEN, feet=Feet.LAME, trouble=Trouble.LAME),
        check(date(2026, 8, 12), trouble=Trouble.THIN, mouth=Mouth.FULL),
    ])
    expected = "Check 20 Jun 2026: mouth broken, feet lame, udder, teats sound; check 12 Aug 2026: thin, mouth sound."
    assert expected == season_in_words(records.flock.ewes["a"])


def test_looks_in_a_row_that_found_the_same_are_told_together_and_days_of_the_year_above_without_it() -> None:
    looks = [check(date(2026, month, 20), feet=feet) for month, feet in
             ((4, Feet.LAME), (5, Feet.LAME), (6, Feet.SOUND), (7, Feet.LAME), (8, Feet.BADLY_LAME))]
    ewe = season(ewe_check=[*looks, check(date(2025, 12, 1), feet=Feet.LAME)]).flock.ewes["a"]
    assert "Check 1 Dec 2025, 20 Apr, 20 May and 20 Jul: feet lame; check 20 Aug: feet badly lame." == (
        season_in_words(ewe, sound=False, year=2026))


@pytest.mark.parametrize(("cells", "words"), [
    ({"help": Help.HARD}, "; help hard"), ({"why_helped": WhyHelped.SLOW}, "; help given (slow)"), ({"help": Help.NONE}, ""),
    ({"help": Help.HARD, "why_helped": WhyHelped.SLOW}, "; help hard (slow)"), ({"sides_in_milk": 2}, ""),
    ({"sides_in_milk": 1, "sides_next_day": 0}, "; 1 of 2 sides in milk at lambing; 0 of 2 sides in milk next day"),
    ({"teats": Teats.SOUND, "prolapse": Prolapse.NONE}, ""), ({"prolapse": Prolapse.WOMB}, "; womb prolapse"),
])
def test_only_what_is_out_of_the_ordinary_is_told_of_her_lambing(cells: Row, words: str) -> None:
    assert f"Lambed on 12 Mar 2026{words}." == season_in_words(season(lambing=[lambing(**cells)]).flock.ewes["a"])


@pytest.mark.parametrize(("cells", "line"), [
    ({"left_on": NIGHT, "left_how": EweLeft.SOLD}, "Sold on 12 Mar 2026."), ({"left_how": EweLeft.DIED}, "Died."),
    ({"left_on": NIGHT}, "Left on 12 Mar 2026."), ({"scanned": 0}, "Scanned empty."), ({"scanned": 2}, "Scanned 2."),
])
def test_how_her_season_began_and_ended(cells: Row, line: str) -> None:
    assert line == season_in_words(season(ewes=[{"ewe": "A", **cells}]).flock.ewes["a"])


def test_a_ewe_without_records_has_a_line_too() -> None:
    assert "Nothing recorded this season." == season_in_words(season(ewes=[{"ewe": "A"}]).flock.ewes["a"])


@settings(max_examples=examples(80), deadline=None)
@given(random_rows.seasons(most=4), st.datetimes())
def test_whatever_the_cells_hold_each_problem_has_a_place_and_each_ewe_a_line(rows: dict[str, list[Row]], when: datetime) -> None:
    records = season(**rows)  # type: ignore[arg-type]  # rows by sheet id
    for problem in problem_ewes(records, when):
        assert problem.cells and problem.why and problem.urgency in (NOW, TODAY, SOON, END)
    assert all(season_in_words(ewe).endswith(".") for ewe in records.flock.ewes.values())
