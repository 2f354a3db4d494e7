"""Keep, watch, draft or cull: every selection rule with a ewe it decides and one just inside its limit."""

from datetime import date, timedelta
from typing import NamedTuple

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import AS_OF, RULE, season

from template_builder.layout.choices import (
    Action,
    Born,
    Cause,
    CheckOccasion,
    Colostrum,
    Compare,
    ConfirmedBy,
    EweLeft,
    Feet,
    Help,
    LambingTrouble,
    LambLeft,
    Mouth,
    OnOff,
    Presentation,
    Prolapse,
    RearedBy,
    Reason,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Verdict,
    When,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.policy import RULES, SelectionRule
from template_builder.layout.words import shown
from workbook.results.advice.decisions import Decision, before_she_goes, decisions
from workbook.season.season import Season

JUNE, JULY = date(2026, 6, 20), date(2026, 7, 20)
MATED = AS_OF.date() - timedelta(days=161)  # by default she may lamb up to 160 days after
Rows = dict[str, list[Row]]


def decide(rows: Rows, ewe: str = "a", stage: str = "weaned") -> Decision:
    return decisions(season(**rows), stage)[ewe]


def on_ewes(**cells: Value) -> Rows:
    return {"ewes": [{"ewe": "A", **cells}]}


def at_lambing(**cells: Value) -> Rows:
    return {"lambing": [{"ewe": "A", **cells}]}


def at_checks(*checks: Row) -> Rows:
    return {"ewe_check": [{"ewe": "A", "date": JUNE, **cells} for cells in checks]}


def treated(times: int, reason: Reason, apart: int = 20) -> Rows:
    rows: list[Row] = [{"date": JUNE + timedelta(days=apart * at), "given_to": TreatedFor.EWE, "animal": "A", "reason": reason,
                        "withdrawal": 0} for at in range(times)]
    return {"ewes": [{"ewe": "A"}], "treatments": rows}


def with_lamb(earlier: int = 0, before: int = 4, **cells: Value) -> Rows:
    """Her lamb, and in how many of her two earlier lambings there was a fault."""
    history: Row = {"ewe": "A", "lambings_before": before, "past_lambings": 2, "past_faults": earlier}
    return {"ewes": [history], "lambs": [{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, **cells}]}


def had_poor(poor: int, before: int = 4, **cells: Value) -> Rows:
    """Her lamb, and whether her lambing before this one was a poor one."""
    return with_lamb(**cells) | {"ewes": [{"ewe": "A", "lambings_before": before, "past_poor_1": poor, "past_poor_2": 0}]}


def two_lambs(earlier: int, **cells: Value) -> Rows:
    """Two lambs of hers in full milk, one of which these cells speak of."""
    rows = with_lamb(earlier, **cells)
    return {**rows, **at_lambing(sides_in_milk=2), "lambs": [*rows["lambs"], {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE}]}


def history(earlier: int, rows: Rows) -> Rows:
    return {**with_lamb(earlier), **rows}


class Case(NamedTuple):
    """Rows that make a rule act, and rows just inside its limit."""

    acts: Rows
    quiet: Rows


THIN = {"condition": 1.75, "mouth": Mouth.FULL}
NOT_THIN = {"condition": 2.0, "mouth": Mouth.FULL}
SIDE_DRY = {"sides_in_milk": 1}
MATING = {"occasion": CheckOccasion.BEFORE_MATING}

CASES: dict[str, Case] = {
    "vaginal-prolapse": Case(at_lambing(prolapse=Prolapse.VAGINAL), at_lambing(prolapse=Prolapse.NONE)),
    "womb-prolapse": Case(at_lambing(prolapse=Prolapse.WOMB), at_lambing(prolapse=Prolapse.RECTAL)),
    "rectal-prolapse": Case(at_lambing(prolapse=Prolapse.RECTAL), at_lambing(prolapse=Prolapse.NONE)),
    "unnamed-prolapse": Case(at_checks({"trouble": Trouble.PROLAPSE}), at_checks({"trouble": Trouble.LAME})),
    "side-dry-at-lambing": Case(at_lambing(sides_in_milk=1), at_lambing(sides_in_milk=2)),
    "side-dry-later": Case(
        at_lambing(sides_in_milk=1) | at_checks({"sides_in_milk": 1, "lambs_at_foot": 1}),
        at_lambing(sides_in_milk=1) | at_checks({"sides_in_milk": 2, "lambs_at_foot": 1}),
    ),
    "udder-lump-or-hard": Case(at_checks({"udder": Udder.LUMP}), at_checks({"udder": Udder.DAMAGED})),
    "udder-damaged": Case(at_checks({"udder": Udder.DAMAGED}), at_checks({"udder": Udder.SOUND})),
    "mastitis": Case(treated(1, Reason.MASTITIS), treated(1, Reason.LAMBING)),
    "large-teats": Case(at_lambing(teats=Teats.LARGE), at_lambing(teats=Teats.SMALL)),
    "bad-teats": Case(at_lambing(teats=Teats.BLOCKED), at_lambing(teats=Teats.LARGE)),
    "bad-udder-or-teats": Case(
        at_lambing(trouble=LambingTrouble.BAD_UDDER),
        at_lambing(trouble=LambingTrouble.BAD_UDDER) | at_checks({"udder": Udder.SOUND}),
    ),
    "gummer": Case(at_checks({"mouth": Mouth.GUMMER}), at_checks({"mouth": Mouth.BROKEN})),
    "broken-mouth": Case(at_checks({"mouth": Mouth.BROKEN}), at_checks({"mouth": Mouth.WORN})),
    "jaw": Case(at_checks({"mouth": Mouth.UNDERSHOT}), at_checks({"mouth": Mouth.FULL})),
    "lame-twice": Case(treated(2, Reason.LAMENESS), treated(1, Reason.LAMENESS)),
    "lame-again": Case(treated(3, Reason.LAMENESS), treated(2, Reason.LAMENESS)),
    "badly-lame": Case(
        at_checks({"feet": Feet.BADLY_LAME}, {"feet": Feet.BADLY_LAME, "date": JULY}),
        at_checks({"feet": Feet.BADLY_LAME}, {"feet": Feet.LAME, "date": JULY}),
    ),
    "empty": Case(on_ewes(scanned=0, lambings_before=2), on_ewes(scanned=0, lambings_before=1)),
    "empty-young": Case(on_ewes(scanned=0, lambings_before=0), on_ewes(scanned=1, lambings_before=0)),
    "empty-age-unknown": Case(on_ewes(scanned=0), on_ewes(scanned=1)),
    "never-lambed": Case(on_ewes(scanned=2, mated_on=MATED), on_ewes(scanned=2, mated_on=MATED + timedelta(days=1))),
    "aborted": Case(with_lamb(born=Born.MUMMIFIED), with_lamb(born=Born.DEAD_FRESH)),
    "reared-none": Case(with_lamb(left_how=LambLeft.DIED), with_lamb(left_how=LambLeft.SOLD)),
    "poor-again": Case(had_poor(1, left_how=LambLeft.DIED), had_poor(0, left_how=LambLeft.DIED)),
    "reared-none-again": Case(with_lamb(1, left_how=LambLeft.MISSING), with_lamb(2)),
    "refused-lambs": Case(two_lambs(1, taken=Taken.REFUSED), two_lambs(2, taken=Taken.SLOWLY)),
    "lost-her-lambs": Case(
        two_lambs(1, left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.SHEPHERD),
        two_lambs(2, left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.NOBODY),
    ),
    "no-milk": Case(history(1, at_lambing(colostrum=Colostrum.NONE)), history(2, at_lambing(colostrum=Colostrum.LITTLE))),
    "narrow": Case(history(1, at_lambing(why_helped=WhyHelped.NARROW)), history(2, at_lambing(why_helped=WhyHelped.NOT_OPEN))),
    "thin-sound-teeth": Case(at_checks(THIN, {**THIN, "date": JULY}), at_checks(THIN, {**NOT_THIN, "date": JULY})),
    "thin-before-mating": Case(at_checks({"condition": 1.5, **MATING}), at_checks({"condition": 1.75, **MATING})),
}


def test_every_rule_has_a_case() -> None:
    assert {rule.id for rule in RULES} == set(CASES)


def test_every_rule_says_why_and_where_it_comes_from() -> None:
    for rule in RULES:
        assert rule.why.endswith(".") and len(rule.source) > 5, rule.id


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in RULES])
def test_a_rule_decides_and_is_quiet_just_inside_its_limit(rule: SelectionRule) -> None:
    acts, quiet = decide(CASES[rule.id].acts), decide(CASES[rule.id].quiet)
    reason = next(reason for reason in acts.reasons if reason.rule == rule.id)
    assert (rule.action, rule.title) == (reason.action, reason.title)
    met = reason.value >= rule.limit if rule.compare is Compare.AT_LEAST else reason.value <= rule.limit
    assert met and reason.value == acts.evidence[rule.evidence]
    assert reason.text.startswith(rule.title) and reason.text in acts.words
    assert rule.id not in [reason.rule for reason in quiet.reasons]


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in RULES])
def test_every_reason_leads_to_cells_that_hold_something(rule: SelectionRule) -> None:
    records = season(**CASES[rule.id].acts)
    filled = {row.at(column) for rows in records.records.values() for row in rows for column in row.values}
    for reason in decisions(records, "weaned")["a"].reasons:
        assert reason.cells and set(reason.cells) <= filled


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in RULES if rule.when is When.TWO_OF_THREE])
def test_a_rule_of_two_in_three_only_notes_a_first_fault(rule: SelectionRule) -> None:
    rows = CASES[rule.id].acts
    ewe: Row = {**rows["ewes"][0], "past_faults": 0}
    off: list[Row] = [{"row_key": "reared-none", "on": OnOff.OFF}]  # it speaks of the same, and is stricter
    decision = decide({**rows, "ewes": [ewe], "policy": off})
    assert Verdict.KEEP is decision.verdict
    (reason,) = (reason for reason in decision.reasons if reason.rule == rule.id)
    assert (Action.NOTE, True) == (reason.action, "once; not yet two of three" in reason.text)


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in RULES])
def test_a_rule_switched_off_decides_nothing(rule: SelectionRule) -> None:
    decision = decide({**CASES[rule.id].acts, "policy": [{"row_key": rule.id, "on": OnOff.OFF}]})
    assert rule.id not in [reason.rule for reason in decision.reasons]


def test_the_farms_own_limit_action_and_comparison_count() -> None:
    rows = treated(2, Reason.MASTITIS)
    own: Row = {"row_key": "mastitis", "limit": 2, "action": Action.DRAFT, "when": When.AT_ONCE}
    assert Verdict.CULL is decide({**rows, "policy": [{**own, "action": Action.CULL}]}).verdict
    assert Verdict.KEEP is decide({**treated(1, Reason.MASTITIS), "policy": [own]}).verdict
    assert Verdict.KEEP is decide({**rows, "policy": [{**own, "when": When.TWO_OF_THREE}]}).verdict
    at_most: Row = {"row_key": "mastitis", "limit": 2, "compare": Compare.AT_MOST, "when": When.AT_ONCE}
    assert Verdict.CULL is decide({**rows, "policy": [at_most]}).verdict
    assert Verdict.KEEP is decide({**treated(3, Reason.MASTITIS), "policy": [at_most]}).verdict


# Worked cases of the meeting.


def test_vaginal_prolapse_is_cull_and_never_draft() -> None:
    rows = {**at_lambing(prolapse=Prolapse.VAGINAL), **at_checks({"mouth": Mouth.BROKEN})}
    decision = decide(rows)
    assert Verdict.CULL is decision.verdict
    assert Action.DRAFT not in [reason.action for reason in decision.reasons]


BARRED: dict[str, tuple[Rows, str]] = {
    "rectal prolapse": (at_lambing(prolapse=Prolapse.RECTAL), "prolapse"),
    "mastitis the farm only notes": (
        treated(1, Reason.MASTITIS) | {"policy": [{"row_key": "mastitis", "action": Action.NOTE}]}, "mastitis"),
    "aborted": (with_lamb(born=Born.ABORTED), "abortion"),
    "blocked teats": (at_lambing(teats=Teats.BLOCKED), "teats"),
    "a side dry": (at_lambing(sides_in_milk=1), "a side dry"),
    "refused": (two_lambs(0, taken=Taken.REFUSED), "refused lambs"),
    "no milk": (at_lambing(colostrum=Colostrum.NONE), "no milk"),
    "never lambed": (on_ewes(scanned=2, mated_on=MATED), "never lambed"),
    "lame twice": (treated(2, Reason.LAMENESS), "feet"),
    "reared none": (with_lamb(left_how=LambLeft.DIED), "reared none"),
    "lost a lamb of hers": (
        two_lambs(0, left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.SHEPHERD), "lost lambs"),
    "narrow": (at_lambing(why_helped=WhyHelped.NARROW), "narrow"),
}


@pytest.mark.parametrize("why", BARRED)
def test_a_ewe_with_anything_else_against_her_is_never_offered_for_breeding_elsewhere(why: str) -> None:
    rows, word = BARRED[why]
    decision = decide({**rows, **at_checks({"mouth": Mouth.BROKEN})})
    assert Verdict.WATCH is decision.verdict
    assert f"Broken mouth (not for sale for breeding: {word})" in decision.words


def test_a_badly_lame_ewe_with_a_bad_jaw_is_not_drafted_for_a_rule_that_asks_for_it() -> None:
    looks = at_checks({"feet": Feet.BADLY_LAME}, {"feet": Feet.BADLY_LAME, "mouth": Mouth.OVERSHOT, "date": JULY})
    decision = decide({**looks, "policy": [{"row_key": "jaw", "action": Action.DRAFT}]})
    assert (Verdict.CULL, [Action.CULL, Action.WATCH]) == (decision.verdict, [reason.action for reason in decision.reasons])
    assert "Over- or undershot (not for sale for breeding: jaw, feet)" in decision.words


def test_a_broken_mouth_is_draft() -> None:
    decision = decide(at_checks({"mouth": Mouth.BROKEN}))
    assert (Verdict.DRAFT, "Broken mouth") == (decision.verdict, decision.words)


def test_a_side_dry_at_lambing_only_is_watch() -> None:
    decision = decide(at_lambing(sides_in_milk=1))
    assert (Verdict.WATCH, "A side dry at lambing, 1 side") == (decision.verdict, decision.words)


LAMBED = date(2026, 3, 1)


@pytest.mark.parametrize(("looks", "verdict", "rule"), [
    ([], Verdict.WATCH, "side-dry-at-lambing"),
    ([(1, 1)], Verdict.WATCH, "side-dry-at-lambing"),
    ([(2, 1)], Verdict.WATCH, "side-dry-at-lambing"),
    ([(3, 1)], Verdict.CULL, "side-dry-later"),
    ([(3, 1), (90, 2)], Verdict.KEEP, None),
    ([(3, 2), (90, 1)], Verdict.CULL, "side-dry-later"),
    ([(1, 2)], Verdict.KEEP, None),
], ids=["at lambing", "next day", "the day after", "later", "in milk at last", "dry at last", "in milk next day"])
def test_the_last_look_at_her_milk_decides_and_the_next_days_is_no_later_one(
    looks: list[tuple[int, int]], verdict: Verdict, rule: str | None,
) -> None:
    checks: list[Row] = [
        {"date": LAMBED + timedelta(days=days), "sides_in_milk": sides, "lambs_at_foot": 1} for days, sides in looks]
    decision = decide({**at_lambing(lambed_on=LAMBED, sides_in_milk=1), **at_checks(*checks)})
    assert (verdict, [rule] if rule else []) == (decision.verdict, [reason.rule for reason in decision.reasons])


def test_a_side_dry_next_day_is_no_later_look() -> None:
    assert Verdict.WATCH is decide(at_lambing(sides_in_milk=1, sides_next_day=1)).verdict
    assert Verdict.KEEP is decide(at_lambing(sides_in_milk=1, sides_next_day=2)).verdict


@pytest.mark.parametrize(("part", "bad", "sound"), [
    ("udder", Udder.LUMP, Udder.SOUND), ("udder", Udder.HARD, Udder.SOUND), ("udder", Udder.DAMAGED, Udder.SOUND),
    ("teats", Teats.BLOCKED, Teats.SOUND), ("teats", Teats.DAMAGED, Teats.SOUND),
])
def test_a_bad_udder_is_watched_until_the_look_before_mating_which_decides(part: str, bad: Value, sound: Value) -> None:
    def verdict(at_weaning: Value, at_mating: Value | None = None, on: date = JULY) -> Verdict:
        checks: list[Row] = [{part: at_weaning, "occasion": CheckOccasion.WEANING}]
        checks += [{part: at_mating, "date": on, **MATING}] if at_mating else []
        return decide({**at_lambing(lambed_on=LAMBED), **at_checks(*checks)}).verdict

    assert [Verdict.WATCH, Verdict.CULL, Verdict.KEEP] == [verdict(bad), verdict(bad, bad), verdict(bad, sound)]
    assert Verdict.CULL is verdict(sound, bad)
    assert Verdict.KEEP is verdict(sound, bad, on=LAMBED - timedelta(days=1)), "last autumn's look stands before this lambing"


def test_the_farms_own_action_at_the_look_before_mating_counts() -> None:
    rows = at_checks({"udder": Udder.LUMP, **MATING})
    assert Verdict.CULL is decide(rows).verdict
    assert Verdict.KEEP is decide({**rows, "policy": [{"row_key": "udder-lump-or-hard", "at_mating": Action.NOTE}]}).verdict


def test_lambs_refused_at_her_first_lambing_are_a_note() -> None:
    decision = decide(two_lambs(0, taken=Taken.REFUSED) | {"ewes": with_lamb(0, before=0)["ewes"]})
    assert (Verdict.KEEP, [Action.NOTE]) == (decision.verdict, [reason.action for reason in decision.reasons])
    assert decision.words.startswith("note: Refused her lambs, 1 lamb (once; not yet two of three); checked: ")


@pytest.mark.parametrize(
    ("earlier", "before", "verdict"),
    [(1, 4, Verdict.CULL), (2, 4, Verdict.CULL), (1, 1, Verdict.KEEP), (2, 2, Verdict.CULL), (2, 1, Verdict.KEEP)],
    ids=["one earlier", "two earlier", "the earlier was her first", "first and second", "only the first can be meant"],
)
def test_two_of_her_last_three_lambings_is_cull_but_the_first_does_not_count(
    earlier: int, before: int, verdict: Verdict,
) -> None:
    assert verdict is decide(with_lamb(earlier, before, taken=Taken.REFUSED)).verdict


def test_a_lambing_with_two_faults_counts_once() -> None:
    rows = {**with_lamb(0, taken=Taken.REFUSED), **at_lambing(colostrum=Colostrum.NONE, why_helped=WhyHelped.NARROW)}
    decision = decide(rows)
    assert (Verdict.KEEP, 3) == (decision.verdict, len(decision.reasons))


def test_earlier_faults_alone_cull_nobody() -> None:
    assert Verdict.KEEP is decide(with_lamb(2, taken=Taken.YES)).verdict


def test_an_earlier_refusal_counts_where_the_column_of_all_faults_is_blank() -> None:
    ewe: Row = {"ewe": "A", "past_lambings": 2, "past_refused": 1}
    decision = decide({**with_lamb(taken=Taken.REFUSED), "ewes": [ewe]})
    assert (Verdict.CULL, 1) == (decision.verdict, decision.facts.earlier_faults)
    assert "Refused her lambs, 1 lamb (two of her last three lambings had a fault)" == decision.words


def test_a_lamb_lost_to_a_predator_is_nothing_against_her() -> None:
    decision = decide(two_lambs(2, left_how=LambLeft.DIED, cause=Cause.PREDATOR))
    assert (Verdict.KEEP, ()) == (decision.verdict, decision.reasons)


@pytest.mark.parametrize("cause", [Cause.PREDATOR, Cause.NOT_KNOWN, None])
def test_a_ewe_that_reared_none_is_watched_whatever_the_cause_and_cull_in_two_of_three(cause: Cause | None) -> None:
    six: list[Row] = [{"ewe": "A", "lamb_no": number, "left_how": LambLeft.DIED, "cause": cause} for number in range(1, 7)]
    once, again, first = (
        decide(with_lamb(earlier, before) | {"lambs": six}) for earlier, before in ((0, 4), (1, 4), (1, 1)))
    assert [Verdict.WATCH, Verdict.CULL, Verdict.WATCH] == [once.verdict, again.verdict, first.verdict]
    assert "Reared none of her lambs: 6 born alive" in once.words


def test_a_ewe_that_reared_one_or_another_ewes_lamb_or_gave_all_by_choice_has_reared() -> None:
    dead: Row = {"ewe": "A", "lamb_no": 1, "left_how": LambLeft.DIED}
    for other in ({"ewe": "A", "lamb_no": 2, "born": Born.ALIVE}, {"ewe": "B", "lamb_no": 1, "foster_ewe": "A"},
                  {"ewe": "A", "lamb_no": 2, "left_how": LambLeft.SOLD}):
        assert Verdict.KEEP is decide({"lambs": [dead, other]}).verdict
    by_choice: Row = {"ewe": "A", "lamb_no": 1, "foster_ewe": "B", "why_moved": WhyMoved.SPARE}
    assert Verdict.KEEP is decide({"lambs": [by_choice]}).verdict


WEANED = date(2026, 7, 1)


@pytest.mark.parametrize(("days", "verdict"), [(-1, Verdict.WATCH), (0, Verdict.WATCH), (1, Verdict.KEEP)])
def test_a_lamb_lost_after_weaning_was_reared(days: int, verdict: Verdict) -> None:
    rows: Rows = {"groups": [{"group": "G", "weaning": WEANED}], "ewes": [{"ewe": "A", "group": "G"}],
                  "lambs": [{"ewe": "A", "lamb_no": 1, "left_how": LambLeft.DIED, "left_on": WEANED + timedelta(days=days)}]}
    assert verdict is decide(rows).verdict


def starved(beside: int, **cells: Value) -> Decision:
    """A lamb of hers that starved on 20 June with so many others at her side, another ewe's among them."""
    dead: Row = {"ewe": "A", "lamb_no": 1, "left_how": LambLeft.DIED, "left_on": JUNE, "cause": Cause.STARVED,
                 "confirmed_by": ConfirmedBy.VET, **cells}
    others: list[Row] = [{"ewe": "B", "lamb_no": number, "foster_ewe": "A"} for number in range(1, beside + 1)]
    return decide(with_lamb(1) | at_lambing(sides_in_milk=2) | {"lambs": [dead, *others]})


@pytest.mark.parametrize(("beside", "verdict"), [(1, Verdict.CULL), (2, Verdict.KEEP), (4, Verdict.KEEP)])
def test_starved_is_hers_only_with_two_lambs_or_fewer_at_her_side(beside: int, verdict: Verdict) -> None:
    assert verdict is starved(beside).verdict


@pytest.mark.parametrize("by", [None, *ConfirmedBy])
def test_starved_is_hers_only_where_somebody_made_sure(by: ConfirmedBy | None) -> None:
    assert (Verdict.KEEP if by in (None, ConfirmedBy.NOBODY) else Verdict.CULL) is starved(1, confirmed_by=by).verdict


@pytest.mark.parametrize(("lambing", "hers"), [
    ({"sides_in_milk": 2}, True), ({"sides_in_milk": 1}, False), ({}, False),
    ({"sides_in_milk": 2, "colostrum": Colostrum.NONE}, False),
])
def test_starved_is_hers_only_where_milk_was_known_to_be_there(lambing: Row, hers: bool) -> None:
    lambs: list[Row] = [
        {"ewe": "A", "lamb_no": 1, "left_how": LambLeft.DIED, "cause": Cause.STARVED, "confirmed_by": ConfirmedBy.VET},
        {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE},
    ]
    decision = decide({"lambs": lambs, **at_lambing(**lambing)})
    assert hers == ("lost-her-lambs" in [reason.rule for reason in decision.reasons])


@pytest.mark.parametrize(("moved", "hers"), [(-1, True), (0, True), (1, False), (None, False)])
def test_lambs_not_yet_moved_away_count_as_at_her_side(moved: int | None, hers: bool) -> None:
    dead: Row = {"ewe": "A", "lamb_no": 1, "left_how": LambLeft.DIED, "left_on": JUNE, "cause": Cause.STARVED,
                 "confirmed_by": ConfirmedBy.VET}
    gone: Row = {"ewe": "A", "lamb_no": 3, "reared_by": RearedBy.PET, "why_moved": WhyMoved.SPARE,
                 "moved_on": None if moved is None else JUNE + timedelta(days=moved)}
    decision = decide(at_lambing(sides_in_milk=2) | {"lambs": [dead, {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE}, gone]})
    assert hers == ("lost-her-lambs" in [reason.rule for reason in decision.reasons])


@pytest.mark.parametrize(("apart", "illnesses"), [(13, 1), (14, 1), (15, 4)])
def test_mastitis_written_four_times_within_two_weeks_each_is_one_illness(apart: int, illnesses: int) -> None:
    decision = decide(treated(4, Reason.MASTITIS, apart))
    assert (Verdict.CULL, illnesses) == (decision.verdict, decision.evidence["mastitis"])


@pytest.mark.parametrize(("apart", "verdict"), [(1, Verdict.KEEP), (3, Verdict.KEEP), (4, Verdict.CULL)])
def test_a_course_of_days_is_one_treatment_for_lameness(apart: int, verdict: Verdict) -> None:
    assert verdict is decide(treated(3, Reason.LAMENESS, apart)).verdict


@pytest.mark.parametrize(("cells", "rule"), [
    ({"born_year": 2024, "lambings_before": 1}, "empty-young"),  # two years old, lambed once as a lamb
    ({"born_year": 2023}, "empty"), ({"born_year": 2024}, "empty-young"), ({"born_year": 2022, "lambings_before": 1}, "empty"),
    ({"lambings_before": 1}, "empty-young"), ({"lambings_before": 2}, "empty"),
    ({"born_year": 2024, "lambings_before": 2}, "empty"),
    ({"born_year": 2022, "lambings_before": 0}, "empty-young"), ({}, "empty-age-unknown"), ({"past_lambings": 2}, "empty"),
])
def test_an_empty_ewe_is_cull_from_three_years_or_two_lambings_on(cells: Row, rule: str) -> None:
    decision = decide(on_ewes(scanned=0, **cells) | {"season": [{"row_key": "year", "value": 2026}]})
    assert [rule] == [reason.rule for reason in decision.reasons]


# Before she goes.


@pytest.mark.parametrize("to", [(TreatedFor.EWE, "A"), (TreatedFor.GROUP, "G"), (TreatedFor.ALL_EWES, None)])
@pytest.mark.parametrize(("days", "words"), [
    (42, "withdrawal written here ends on {ends}; check the medicine book"), (0, ""),
    (None, "withdrawal not known: do not send her; check the medicine book"),
])
def test_each_decision_says_until_when_she_may_not_go(to: tuple[TreatedFor, str | None], days: int | None, words: str) -> None:
    given = AS_OF.date() - timedelta(days=10)
    rows: Rows = {"groups": [{"group": "G"}], "ewes": [{"ewe": "A", "group": "G", "scanned": 0, "lambings_before": 3}],
                  "treatments": [{"date": given, "given_to": to[0], "animal": to[1], "withdrawal": days}]}
    assert words.format(ends=shown(given + timedelta(days=42))) == before_she_goes(decide(rows))


@pytest.mark.parametrize(("left", "said"), [(-1, True), (0, True), (1, False)])
def test_a_withdrawal_is_told_up_to_its_last_day(left: int, said: bool) -> None:
    given = AS_OF.date() - timedelta(days=28 + left)
    rows: Rows = {"ewes": [{"ewe": "A", "scanned": 0}],
                  "treatments": [{"date": given, "given_to": TreatedFor.ALL_EWES, "withdrawal": 28}]}
    assert said == bool(before_she_goes(decide(rows)))


@pytest.mark.parametrize(("rows", "words"), [
    (at_checks({"feet": Feet.LAME}), "lame"), (at_checks({"feet": Feet.BADLY_LAME}), "badly lame"),
    (at_checks({"feet": Feet.LAME}, {"feet": Feet.SOUND, "date": JULY}), ""),
    (at_lambing(prolapse=Prolapse.WOMB), "prolapse"), (at_lambing(prolapse=Prolapse.NONE), ""),
    (at_checks({"condition": 1.25}), "condition 1.25"), (at_checks({"condition": 1.5}), ""),
])
def test_each_decision_says_what_speaks_against_her_travelling(rows: Rows, words: str) -> None:
    assert (f"{words}: may not be fit to travel, ask your vet" if words else "") == before_she_goes(decide(rows))


def test_a_lamb_that_died_after_being_set_on_is_judged_at_the_foster_ewe() -> None:
    rows = two_lambs(1, left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.VET, foster_ewe="B",
                     why_moved=WhyMoved.SPARE)
    rows["ewes"].append({"ewe": "B", "past_lambings": 2, "past_faults": 1})
    rows["lambing"].append({"ewe": "B", "sides_in_milk": 2})
    assert (Verdict.KEEP, Verdict.CULL) == (decide(rows, "a").verdict, decide(rows, "b").verdict)
    assert () == decide(rows, "a").reasons


@pytest.mark.parametrize("cells", [{"left_on": JUNE, "left_how": EweLeft.DIED}, {"left_how": EweLeft.SOLD}, {"left_on": JUNE}])
def test_a_ewe_that_died_or_left_gets_no_decision(cells: Row) -> None:
    rows: Rows = {**at_lambing(prolapse=Prolapse.VAGINAL), "ewes": [{"ewe": "A", "scanned": 2, **cells}, {"ewe": "B"}]}
    assert ["b"] == list(decisions(season(**rows), "weaned"))


@pytest.mark.parametrize("cells", [{}, {"scanned": NOT_KNOWN}, {"due": JUNE, "lambings_before": 3, "past_faults": 2}])
def test_nothing_recorded_this_season_is_not_known(cells: Row) -> None:
    decision = decide({"ewes": [{"ewe": "A", **cells}]})
    assert (Verdict.UNKNOWN, "nothing recorded about her this season") == (decision.verdict, decision.words)


def test_a_lambing_row_laid_ready_is_nothing_recorded() -> None:
    assert Verdict.UNKNOWN is decide(at_lambing(scanned=2, due=JUNE)).verdict


def test_with_only_mouth_and_udder_seen_keep_says_what_was_not_checked() -> None:
    decision = decide(at_checks({"mouth": Mouth.FULL, "udder": Udder.SOUND}))
    assert Verdict.KEEP is decision.verdict
    assert ("udder", "mouth") == decision.checked
    assert decision.words.startswith("no fault found; checked: udder, mouth; not checked: lambing, ")


def test_a_litter_of_six_alive() -> None:
    lambs: list[Row] = [{"ewe": "A", "lamb_no": number, "born": Born.ALIVE, "taken": Taken.YES} for number in range(1, 7)]
    decision = decide({"ewes": [{"ewe": "A", "scanned": 6}], "lambs": lambs, **at_lambing(born_alive=6)})
    assert (Verdict.KEEP, ()) == (decision.verdict, decision.reasons)


def test_aborted_is_watched_with_isolation_and_vet_and_never_culled() -> None:
    decision = decide(with_lamb(2, born=Born.ABORTED))
    assert Verdict.WATCH is decision.verdict
    assert all(word in RULE["aborted"].why for word in ("Never a cull", "Isolate", "vet"))


def test_an_empty_ewe_lamb_has_one_more_chance_a_mature_ewe_has_not() -> None:
    assert Verdict.WATCH is decide(on_ewes(scanned=0, lambings_before=0)).verdict
    assert "one more chance" in RULE["empty-young"].why
    assert Verdict.CULL is decide(on_ewes(scanned=0, lambings_before=4)).verdict
    assert Verdict.CULL is decide(on_ewes(scanned=0, born_year=2020)).verdict


def test_a_mature_ewe_helped_because_of_the_lamb_is_watched_for_her_teats_alone() -> None:
    hind_legs: Row = {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE, "taken": Taken.YES, "presentation": Presentation.HIND_LEGS}
    taken: list[Row] = [{"ewe": "A", "lamb_no": number, "born": Born.ALIVE, "taken": Taken.YES} for number in (1, 3)]
    decision = decide({
        "ewes": [{"ewe": "A", "scanned": 3, "lambings_before": 4, "past_lambings": 2, "past_faults": 2}],
        "lambing": [{"ewe": "A", "help": Help.HARD, "why_helped": WhyHelped.LAY_WRONG, "sides_in_milk": 2, "teats": Teats.LARGE}],
        "lambs": [hind_legs, *taken],
    })
    assert (Verdict.WATCH, ["large-teats"]) == (decision.verdict, [reason.rule for reason in decision.reasons])
    assert "Large teats" == decision.words


def test_the_strictest_action_wins_and_every_reason_is_listed() -> None:
    decision = decide(at_checks({"mouth": Mouth.BROKEN, "udder": Udder.HARD, "teats": Teats.LARGE, **MATING}))
    assert Verdict.CULL is decision.verdict
    bars = "not for sale for breeding: udder, teats"
    acting = ["Udder lump or hard, before mating", "Large teats, before mating", f"Broken mouth, before mating ({bars})"]
    assert "; ".join(acting) == decision.words


def test_of_two_rules_about_one_thing_the_stricter_speaks() -> None:
    assert ["lame-again"] == [reason.rule for reason in decide(treated(3, Reason.LAMENESS)).reasons]


def test_the_reason_that_decides_stands_first() -> None:
    decision = decide(at_lambing(prolapse=Prolapse.RECTAL, teats=Teats.LARGE) | at_checks({"mouth": Mouth.GUMMER}))
    assert ["gummer", "large-teats", "rectal-prolapse"] == [reason.rule for reason in decision.reasons]


@pytest.mark.parametrize(
    ("stage", "provisional"), [("before lambing", True), ("so far", True), ("lambed", True), ("weaned", False)],
)
def test_a_decision_before_weaning_is_provisional(stage: str, provisional: bool) -> None:
    assert provisional is decide(on_ewes(scanned=2), stage=stage).provisional


# One changed cell changes only the ewes it speaks of.

NAMES = [f"E{number}" for number in range(6)]
CHANGES: list[tuple[str, str, Value]] = [
    ("lambing", "prolapse", Prolapse.VAGINAL), ("lambing", "sides_in_milk", 0), ("lambing", "teats", Teats.LARGE),
    ("lambs", "taken", Taken.REFUSED), ("lambs", "cause", Cause.STARVED), ("lambs", "born", Born.ABORTED),
    ("ewes", "scanned", None), ("ewes", "left_how", EweLeft.DIED), ("ewe_check", "udder", Udder.LUMP),
]


def six_ewes(change: tuple[int, str, str, Value] | None = None) -> Season:
    """Six ewes with a lamb and a check each; the lamb of each is set on to the next. One cell may be changed."""
    rows: Rows = {
        "ewes": [{"ewe": name, "scanned": 1} for name in NAMES],
        "lambing": [{"ewe": name, "sides_in_milk": 2} for name in NAMES],
        "lambs": [{"ewe": name, "lamb_no": 1, "left_how": LambLeft.DIED, "foster_ewe": foster,
                   "confirmed_by": ConfirmedBy.SHEPHERD}
                  for name, foster in zip(NAMES, NAMES[1:] + NAMES[:1], strict=True)],
        "ewe_check": [{"ewe": name, "date": JUNE} for name in NAMES],
    }
    if change is not None:
        number, sheet, column, value = change
        rows[sheet][number] = {**rows[sheet][number], column: value}
    return season(**rows)


@settings(max_examples=examples(40), deadline=None)
@given(st.integers(0, len(NAMES) - 1), st.sampled_from(CHANGES))
def test_one_changed_cell_changes_only_the_ewes_it_speaks_of(number: int, change: tuple[str, str, Value]) -> None:
    sheet, column, value = change
    before, after = decisions(six_ewes(), "weaned"), decisions(six_ewes((number, sheet, column, value)), "weaned")
    concerned = {NAMES[number].lower()}
    if sheet == "lambs":
        concerned.add(NAMES[(number + 1) % len(NAMES)].lower())
    changed = {key for key in before if before[key] != after.get(key)}
    assert changed and changed <= concerned
