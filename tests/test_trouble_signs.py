"""Signs of trouble with the ewe herself: illness, abortion, afterbirth, feet, condition, medicines, orphans."""

from datetime import date, datetime, time, timedelta

import pytest
from ewes_tonight import NEXT, NIGHT, at, check, lamb, lambing, listed, only, titles, treatment

from template_builder.layout.alerts import END, NOW, TODAY
from template_builder.layout.choices import (
    Born,
    EweLeft,
    Feet,
    LambLeft,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Trouble,
    Udder,
    Vigour,
    YesNo,
)
from template_builder.layout.columns import Row


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


def test_withdrawals_do_not_close_at_weaning() -> None:
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A", "group": "Hill"}], "groups": [{"group": "Hill", "weaning": NIGHT}],
                                  "ewe_check": [check(NEXT, udder=Udder.SOUND)]}
    assert ["withdrawal running"] == titles(at(NEXT), **rows, treatments=[treatment(date=date(2026, 3, 1), withdrawal=42)])
    assert ["withdrawal not known"] == titles(at(NEXT), **rows, treatments=[treatment()])


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


@pytest.mark.parametrize(("days", "expected"), [(-1, ["badly lame"]), (0, []), (1, [])])
def test_badly_lame_until_she_is_treated_for_it(days: int, expected: list[str]) -> None:
    given = treatment(date=NIGHT + timedelta(days=days), withdrawal=0)
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A"}], "ewe_check": [check(feet=Feet.BADLY_LAME)]}
    assert ["badly lame"] == titles(at(NIGHT), **rows)
    assert expected == [one for one in titles(at(NEXT), **rows, treatments=[given]) if one == "badly lame"]
    other = {**given, "reason": Reason.VACCINE}
    assert "badly lame" in titles(at(NEXT), **rows, treatments=[other])
    assert [] == titles(at(NIGHT), ewe_check=[check(feet=Feet.LAME)])


@pytest.mark.parametrize(("found", "why"), [
    ({"feet": Feet.BADLY_LAME}, "badly lame{}, no treatment for it written since"),
    ({"trouble": Trouble.THIN}, "thin{}, no treatment written since"),
    ({"condition": 1.2}, "condition 1.2{}, no treatment written since"), ({"trouble": Trouble.MASTITIS}, "mastitis{}"),
])
def test_what_a_look_found_is_told_with_its_day(found: Row, why: str) -> None:
    assert why.format(" found on 12 Mar 2026") == only(at(NIGHT), ewe_check=[check(**found)]).why
    assert why.format("") == only(at(NIGHT), ewe_check=[{"ewe": "A", **found}]).why


def test_a_condition_scored_at_lambing_is_told_with_the_day_she_lambed() -> None:
    found = only(at(NIGHT), lambing=[lambing(condition=1.2)])
    assert "condition 1.2 found on 12 Mar 2026, no treatment written since" == found.why


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


def test_a_withdrawal_runs_to_the_end_of_its_last_day() -> None:
    rows: dict[str, list[Row]] = {"ewes": [{"ewe": "A"}], "treatments": [treatment(date=NIGHT, withdrawal=10)]}
    problem = only(at(date(2026, 3, 22), 23), **rows)
    assert ("withdrawal running", "Spray: withdrawal written here ends on 22 Mar 2026") == (problem.alert, problem.why)
    assert [] == titles(at(date(2026, 3, 23)), **rows)


def test_a_withdrawal_not_written_is_not_nought() -> None:
    assert ["withdrawal not known"] == titles(at(NIGHT), ewes=[{"ewe": "A"}], treatments=[treatment(date=NIGHT)])
    assert [] == titles(at(NEXT), ewes=[{"ewe": "A"}], treatments=[treatment(date=NIGHT, withdrawal=0)])
