"""Worked cases of the selection meeting: a ewe's records, what the list of the day says, and what is recommended at the end."""

from datetime import date, datetime, timedelta

import pytest
from seasons import RULE, season

from template_builder.layout import alerts
from template_builder.layout.choices import (
    Action,
    Born,
    Cause,
    CheckOccasion,
    Colostrum,
    ConfirmedBy,
    EweLeft,
    Feet,
    Help,
    LambLeft,
    Mouth,
    NextDay,
    Presentation,
    Prolapse,
    RearedBy,
    Reason,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Verdict,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Row, Value
from workbook.results.advice.decisions import Decision, decisions
from workbook.results.advice.problem_ewes import ProblemEwe, problem_ewes
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.scores.mothering import mothering_scores
from workbook.season.season import Season

LAMBED = date(2026, 3, 12)
NEXT_DAY = LAMBED + timedelta(days=1)
JUNE, JULY, AUGUST = date(2026, 6, 20), date(2026, 7, 20), date(2026, 8, 12)
THAT_EVENING = datetime(2026, 3, 12, 20)
MATURE: Row = {"ewe": "A", "lambings_before": 4, "past_lambings": 2, "past_faults": 0}


def decided(records: Season, ewe: str = "a") -> Decision:
    return decisions(records, "weaned")[ewe]


def rules(decision: Decision) -> list[str]:
    return [reason.rule for reason in decision.reasons]


def listed(records: Season, when: datetime = THAT_EVENING) -> list[ProblemEwe]:
    return list(problem_ewes(records, when))


def lamb(number: int = 1, ewe: str = "A", **cells: Value) -> Row:
    return {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **cells}


def lambing(**cells: Value) -> Row:
    return {"ewe": "A", "lambed_on": LAMBED, **cells}


def treated(reason: Reason, times: int) -> list[Row]:
    return [{"date": JUNE + timedelta(days=20 * at), "given_to": TreatedFor.EWE, "animal": "A", "reason": reason, "withdrawal": 0}
            for at in range(times)]


# (a) Hind legs first.


def hind_legs_first(next_day: NextDay | None = None) -> Season:
    return season(
        ewes=[{**MATURE, "scanned": 3, "past_faults": 2}],
        lambing=[lambing(help=Help.HARD, why_helped=WhyHelped.LAY_WRONG, sides_in_milk=2, teats=Teats.LARGE, mothering=5,
                         next_day=next_day)],
        lambs=[lamb(1, taken=Taken.YES), lamb(2, taken=Taken.YES, presentation=Presentation.HIND_LEGS), lamb(3, taken=Taken.YES)],
    )


def test_a_ewe_helped_because_a_lamb_came_hind_legs_first_is_asked_in_season_whether_all_lambs_suck() -> None:
    (problem,) = listed(hind_legs_first())
    assert ("large teats", "large teats, 3 lambs at her side") == (problem.alert, problem.why)
    assert problem.next_step.startswith("Do all lambs suck?")
    assert [] == listed(hind_legs_first(NextDay.ALL_FULL)), "answered by the next day's look"


def test_a_ewe_helped_because_a_lamb_came_hind_legs_first_is_watched_at_the_end_for_her_teats_alone() -> None:
    decision = decided(hind_legs_first(NextDay.ALL_FULL))
    assert (Verdict.WATCH, ["large-teats"]) == (decision.verdict, rules(decision))
    score = mothering_scores(hind_legs_first(NextDay.ALL_FULL))["a"]
    # 25 + 15 + 20 points, and of milk two sides and large teats, three quarters of 25: 78.75 of 85.
    assert (pytest.approx(92.647, abs=1e-3), {"acceptance": 25.0, "full": 15.0, "alive": 20.0}) == (
        score.score, {part.id: part.points for part in score.parts if part.id in ("acceptance", "full", "alive")})


# (b) Vaginal prolapse.


def test_a_vaginal_prolapse_is_cull_and_not_draft_though_her_mouth_alone_would_be_draft() -> None:
    broken: Row = {"ewe": "A", "date": AUGUST, "mouth": Mouth.BROKEN}
    decision = decided(season(ewes=[MATURE], lambing=[lambing(prolapse=Prolapse.VAGINAL)], ewe_check=[broken]))
    assert (Verdict.CULL, ["vaginal-prolapse", "broken-mouth"]) == (decision.verdict, rules(decision))
    assert Action.DRAFT not in [reason.action for reason in decision.reasons]
    assert Verdict.DRAFT is decided(season(ewes=[MATURE], lambing=[lambing(sides_in_milk=2)], ewe_check=[broken])).verdict


def test_womb_prolapse_is_watched_and_the_vet_asked_and_rectal_prolapse_only_noted() -> None:
    womb, rectal = (decided(season(lambing=[lambing(prolapse=kind)])) for kind in (Prolapse.WOMB, Prolapse.RECTAL))
    assert (Verdict.WATCH, Verdict.KEEP) == (womb.verdict, rectal.verdict)
    assert "vet" in RULE["womb-prolapse"].why
    assert rectal.words.startswith("note: Rectal prolapse")


# (c) A side dry.


def test_a_side_dry_at_lambing_only_is_watch() -> None:
    records = season(lambing=[lambing(sides_in_milk=1)])
    assert (Verdict.WATCH, ["side-dry-at-lambing"]) == ((found := decided(records)).verdict, rules(found))


def test_a_side_dry_at_the_next_days_look_and_both_in_milk_at_weaning_is_keep() -> None:
    def at_weaning(sides: int) -> Decision:
        check: Row = {"ewe": "A", "date": JUNE, "occasion": CheckOccasion.WEANING, "sides_in_milk": sides, "lambs_at_foot": 2}
        return decided(season(lambing=[lambing(sides_in_milk=1, sides_next_day=1)], ewe_check=[check]))

    assert (Verdict.KEEP, []) == ((both := at_weaning(2)).verdict, rules(both))
    assert (Verdict.CULL, ["side-dry-later"]) == ((one := at_weaning(1)).verdict, rules(one))


# (d) Lambs refused.


def refused(**history: Value) -> Season:
    return season(ewes=[{"ewe": "A", **history}], lambing=[lambing(sides_in_milk=2)],
                  lambs=[lamb(taken=Taken.REFUSED, reared_by=RearedBy.PET, why_moved=WhyMoved.REFUSED), lamb(2, taken=Taken.YES)])


def test_lambs_refused_at_her_first_lambing_is_keep_with_a_note() -> None:
    decision = decided(refused(lambings_before=0))
    assert (Verdict.KEEP, "note: Refused her lambs, 1 lamb (once; not yet two of three)") == (
        decision.verdict, decision.words.split("; checked")[0])


def test_lambs_refused_in_two_of_her_last_three_is_cull() -> None:
    decision = decided(refused(lambings_before=3, past_lambings=2, past_refused=1, past_faults=1))
    assert (Verdict.CULL, "Refused her lambs, 1 lamb (two of her last three lambings had a fault)") == (
        decision.verdict, decision.words)


# (e), (f), (m) What is not hers.


def test_a_lamb_lost_to_a_predator_is_nothing_against_her() -> None:
    row = lambing(mothering=5, sides_in_milk=2, next_day=NextDay.ALL_FULL)
    records = season(ewes=[{**MATURE, "past_faults": 2}], lambing=[row],
                     lambs=[lamb(1, taken=Taken.YES), lamb(2, left_how=LambLeft.DIED, left_on=JUNE, cause=Cause.PREDATOR)])
    assert (Verdict.KEEP, ()) == (decided(records).verdict, decided(records).reasons)
    assert 100.0 == mothering_scores(records)["a"].score


def test_a_lamb_that_died_after_being_set_on_is_judged_at_the_foster_ewe() -> None:
    moved = lamb(2, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B", why_moved=WhyMoved.SPARE, left_how=LambLeft.DIED,
                 left_on=JUNE, cause=Cause.STARVED, confirmed_by=ConfirmedBy.SHEPHERD)
    records = season(ewes=[{**MATURE, "past_faults": 1}, {**MATURE, "ewe": "B", "past_faults": 1}],
                     lambing=[lambing(), {"ewe": "B", "lambed_on": LAMBED, "sides_in_milk": 2}],
                     lambs=[lamb(1), moved, lamb(1, "B")])
    assert (Verdict.KEEP, []) == ((own := decided(records, "a")).verdict, rules(own))
    assert (Verdict.CULL, ["lost-her-lambs"]) == ((foster := decided(records, "b")).verdict, rules(foster))


def test_a_spare_moved_by_choice_is_neutral() -> None:
    spare = lamb(3, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B", why_moved=WhyMoved.SPARE, sucked=Sucked.TUBED)
    kept = [lamb(1, taken=Taken.YES), lamb(2, taken=Taken.YES)]
    row = lambing(mothering=4, sides_in_milk=2, colostrum=Colostrum.PLENTY, next_day=NextDay.ALL_FULL)
    with_spare, without = (
        season(ewes=[{**MATURE, "past_faults": 2}, {"ewe": "B"}], lambing=[row], lambs=lambs) for lambs in ([*kept, spare], kept))
    assert () == decided(with_spare).reasons
    assert mothering_scores(without)["a"].score == mothering_scores(with_spare)["a"].score


# (g), (h) Nothing to decide, and little to decide by.


def test_a_ewe_that_died_in_june_gets_no_decision() -> None:
    records = season(ewes=[{**MATURE, "left_on": JUNE, "left_how": EweLeft.DIED}], lambing=[lambing(prolapse=Prolapse.VAGINAL)])
    assert {} == decisions(records, "weaned")


def test_nothing_recorded_at_all_is_not_known() -> None:
    decision = decided(season(ewes=[MATURE]))
    assert (Verdict.UNKNOWN, ()) == (decision.verdict, decision.reasons)


def test_with_only_mouth_and_udder_recorded_keep_says_what_was_not_checked() -> None:
    decision = decided(season(ewes=[MATURE], ewe_check=[{"ewe": "A", "date": AUGUST, "mouth": Mouth.FULL, "udder": Udder.SOUND}]))
    assert (Verdict.KEEP, ("udder", "mouth")) == (decision.verdict, decision.checked)
    assert decision.words.startswith("no fault found; checked: udder, mouth; not checked: lambing")


# (i) A litter of six.


def test_a_litter_of_six_alive_is_no_fault_and_more_than_her_milk() -> None:
    records = season(ewes=[{**MATURE, "scanned": 6}], lambing=[lambing(sides_in_milk=2, next_day=NextDay.ALL_FULL, mothering=5)],
                     lambs=[lamb(number, taken=Taken.YES) for number in range(1, 7)])
    assert (Verdict.KEEP, ()) == (decided(records).verdict, decided(records).reasons)
    score = mothering_scores(records)["a"]
    assert (100.0, "all 1 ewe; only 1 mature, litters of 6", None) == (score.score, score.of_class, score.above_class)
    assert "lambed on 12 Mar 2026: 6 alive; 6 with her" in season_in_words(records.flock.ewes["a"])


# (j) Aborted.


def test_an_aborted_ewe_is_isolated_and_the_vet_called_and_she_is_not_culled_for_it() -> None:
    records = season(ewes=[{**MATURE, "scanned": 2, "past_faults": 2}], lambs=[lamb(n, born=Born.ABORTED) for n in (1, 2)])
    (problem,) = listed(records)
    assert ("aborted", alerts.NOW, True) == (problem.alert, problem.urgency, problem.call_vet)
    assert all(word in problem.next_step for word in ("Isolate", "gloves", "vet", "samples", "no lamb"))
    decision = decided(records)
    assert (Verdict.WATCH, ["aborted"]) == (decision.verdict, rules(decision))
    assert all(word in RULE["aborted"].why for word in ("Never a cull", "Isolate", "gloves", "vet", "samples", "no lamb"))


# (k) Empty, and scanned in lamb but never lambed.


def test_an_empty_ewe_lamb_has_one_more_chance_and_a_mature_ewe_is_cull() -> None:
    young, mature = (decided(season(ewes=[{"ewe": "A", "scanned": 0, "lambings_before": before}])) for before in (0, 4))
    assert (Verdict.WATCH, ["empty-young"]) == (young.verdict, rules(young))
    assert "one more chance" in RULE["empty-young"].why
    assert (Verdict.CULL, ["empty"]) == (mature.verdict, rules(mature))


def test_a_ewe_scanned_in_lamb_that_never_lambed_is_watched_once_it_is_too_late() -> None:
    rows: list[Row] = [{**MATURE, "scanned": 2, "mated_on": date(2025, 10, 15)}]  # she may lamb up to 24 March 2026
    late, early = (decided(season(datetime(2026, 3, day), ewes=rows)) for day in (25, 24))
    assert (Verdict.WATCH, ["never-lambed"]) == (late.verdict, rules(late))
    assert (Verdict.KEEP, 0.0) == (early.verdict, early.evidence["never_lambed"])


# (l) Lame.


def test_two_treatments_for_lameness_are_watched_and_three_in_a_season_cull() -> None:
    found = [decided(season(ewes=[MATURE], treatments=treated(Reason.LAMENESS, times))) for times in (1, 2, 3)]
    assert [Verdict.KEEP, Verdict.WATCH, Verdict.CULL] == [one.verdict for one in found]


def test_badly_lame_at_two_looks_running_is_cull_and_at_one_is_not() -> None:
    def seen(*feet: Feet) -> Verdict:
        looks = [{"ewe": "A", "date": day, "feet": one} for day, one in zip((JUNE, JULY), feet, strict=True)]
        return decided(season(ewes=[MATURE], ewe_check=looks)).verdict

    assert (Verdict.CULL, Verdict.KEEP) == (seen(Feet.BADLY_LAME, Feet.BADLY_LAME), seen(Feet.BADLY_LAME, Feet.SOUND))


# (n) Thin.


def test_thin_at_two_handlings_with_sound_teeth_is_watched_and_with_broken_teeth_her_teeth_decide() -> None:
    def thin(mouth: Mouth, looks: int = 2) -> Decision:
        checks = [{"ewe": "A", "date": day, "condition": 1.5, "mouth": mouth} for day in (JUNE, JULY)[:looks]]
        return decided(season(ewes=[MATURE], ewe_check=checks))

    assert (Verdict.WATCH, ["thin-sound-teeth"]) == ((twice := thin(Mouth.FULL)).verdict, rules(twice))
    assert [] == rules(thin(Mouth.FULL, looks=1))
    assert ["broken-mouth"] == rules(thin(Mouth.BROKEN))


def test_condition_1_before_mating_is_watched() -> None:
    check: Row = {"ewe": "A", "date": AUGUST, "occasion": CheckOccasion.BEFORE_MATING, "condition": 1.0, "mouth": Mouth.FULL}
    decision = decided(season(ewes=[MATURE], ewe_check=[check]))
    assert (Verdict.WATCH, "Very thin before mating, condition 1, before mating") == (decision.verdict, decision.words)


# What an adviser would shake his head at.


def test_a_quintuplet_ewe_that_reared_two_is_kept_though_one_is_said_to_have_starved() -> None:
    lambs = [lamb(1), lamb(2), lamb(3, left_how=LambLeft.DIED, left_on=LAMBED, cause=Cause.STARVED,
                                    confirmed_by=ConfirmedBy.NOBODY)]
    lambs += [lamb(number, reared_by=RearedBy.PET, why_moved=WhyMoved.SPARE, moved_on=LAMBED) for number in (4, 5)]
    records = season(ewes=[{**MATURE, "past_faults": 1}], lambing=[lambing(sides_in_milk=2)], lambs=lambs)
    assert (Verdict.KEEP, []) == ((found := decided(records)).verdict, rules(found))


def test_a_two_year_old_empty_ewe_that_lambed_once_as_a_lamb_has_one_more_chance() -> None:
    records = season(season=[{"row_key": "year", "value": 2026}],
                     ewes=[{"ewe": "A", "scanned": 0, "lambings_before": 1, "born_year": 2024}])
    assert (Verdict.WATCH, ["empty-young"]) == ((found := decided(records)).verdict, rules(found))


def test_two_ewes_that_lambed_12_days_early_with_dead_lambs_are_both_told_as_abortions() -> None:
    ewes = [{"ewe": name, "mated_on": LAMBED + timedelta(days=12 - 147 + at), "scanned": 2} for at, name in enumerate("AB")]
    rows = [{"ewe": name, "lambed_on": LAMBED + timedelta(days=at)} for at, name in enumerate("AB")]
    lambs = [lamb(1, "A", born=Born.DEAD_DECAYED), lamb(2, "A", born=Born.DEAD_FRESH), lamb(1, "B", born=Born.MUMMIFIED)]
    records = season(ewes=ewes, lambing=rows, lambs=lambs)
    assert [["aborted"]] * 2 == [rules(decided(records, ewe)) for ewe in "ab"]


# The rest of what the rules say at the meeting.


@pytest.mark.parametrize("udder", [Udder.LUMP, Udder.HARD])
def test_an_udder_lump_or_a_hard_udder_is_cull_before_mating_and_a_sound_one_then_is_keep(udder: Udder) -> None:
    def looked(last: Udder) -> Decision:
        weaning: Row = {"ewe": "A", "date": JULY, "occasion": CheckOccasion.WEANING, "udder": udder}
        mating: Row = {"ewe": "A", "date": AUGUST, "occasion": CheckOccasion.BEFORE_MATING, "udder": last}
        return decided(season(lambing=[lambing()], ewe_check=[weaning, mating]))

    assert (Verdict.CULL, Verdict.KEEP) == (looked(udder).verdict, looked(Udder.SOUND).verdict)


def test_bad_teats_at_all_three_looks_are_cull() -> None:
    checks: list[Row] = [{"ewe": "A", "date": day, "teats": Teats.BLOCKED, "occasion": occasion} for day, occasion in (
        (JULY, CheckOccasion.WEANING), (AUGUST, CheckOccasion.BEFORE_MATING))]
    decision = decided(season(lambing=[lambing(teats=Teats.BLOCKED)], ewe_check=checks))
    assert (Verdict.CULL, ["bad-teats"]) == (decision.verdict, rules(decision))


@pytest.mark.parametrize(
    ("rows", "rule"),
    [
        ({"lambs": [lamb(taken=Taken.REFUSED)]}, "refused-lambs"),
        ({"lambs": [lamb(left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.VET), lamb(2)],
          "lambing": [lambing(sides_in_milk=2)]}, "lost-her-lambs"),
        ({"lambing": [lambing(colostrum=Colostrum.NONE)]}, "no-milk"),
        ({"lambing": [lambing(help=Help.HARD, why_helped=WhyHelped.NARROW)]}, "narrow"),
    ],
)
def test_a_discretionary_fault_needs_two_of_her_last_three_lambings(rows: dict[str, list[Row]], rule: str) -> None:
    once, again = (decided(season(ewes=[{**MATURE, "past_faults": faults}], **rows)) for faults in (0, 1))  # type: ignore[arg-type]
    assert (Verdict.KEEP, [rule]) == (once.verdict, rules(once))
    assert (Verdict.CULL, [rule]) == (again.verdict, rules(again))
    only_the_first = decided(season(ewes=[{**MATURE, "lambings_before": 1, "past_faults": 1}], **rows))  # type: ignore[arg-type]
    assert Verdict.KEEP is only_the_first.verdict


def test_verdicts_stand_in_the_order_cull_draft_watch_keep() -> None:
    faults: dict[Verdict, Row] = {
        Verdict.CULL: {"trouble": Trouble.MASTITIS}, Verdict.DRAFT: {"mouth": Mouth.BROKEN},
        Verdict.WATCH: {"condition": 1.5, "occasion": CheckOccasion.BEFORE_MATING},
    }
    for at, verdict in enumerate(faults):
        together: Row = {key: value for one in list(faults.values())[at:] for key, value in one.items()}
        decision = decided(season(ewe_check=[{"ewe": "A", "date": AUGUST, **together}]))
        assert (verdict, len(faults) - at) == (decision.verdict, len(decision.reasons))
