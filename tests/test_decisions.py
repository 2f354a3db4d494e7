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
    Colostrum,
    Compare,
    EweLeft,
    Feet,
    Help,
    LambLeft,
    Mouth,
    OnOff,
    Presentation,
    Prolapse,
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
from workbook.results.advice.decisions import Decision, decisions
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


def treated(times: int, reason: Reason) -> Rows:
    row: Row = {"date": JUNE, "given_to": TreatedFor.EWE, "animal": "A", "reason": reason}
    return {"ewes": [{"ewe": "A"}], "treatments": [row] * times}


def with_lamb(earlier: int = 0, before: int = 4, **cells: Value) -> Rows:
    """Her lamb, and in how many of her two earlier lambings there was a fault."""
    history: Row = {"ewe": "A", "lambings_before": before, "past_lambings": 2, "past_faults": earlier}
    return {"ewes": [history], "lambs": [{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, **cells}]}


def history(earlier: int, rows: Rows) -> Rows:
    return {**with_lamb(earlier), **rows}


class Case(NamedTuple):
    """Rows that make a rule act, and rows just inside its limit."""

    acts: Rows
    quiet: Rows


THIN = {"condition": 1.75, "mouth": Mouth.FULL}
NOT_THIN = {"condition": 2.0, "mouth": Mouth.FULL}
SIDE_DRY = {"sides_in_milk": 1}

CASES: dict[str, Case] = {
    "vaginal-prolapse": Case(at_lambing(prolapse=Prolapse.VAGINAL), at_lambing(prolapse=Prolapse.NONE)),
    "womb-prolapse": Case(at_lambing(prolapse=Prolapse.WOMB), at_lambing(prolapse=Prolapse.RECTAL)),
    "rectal-prolapse": Case(at_lambing(prolapse=Prolapse.RECTAL), at_lambing(prolapse=Prolapse.NONE)),
    "unnamed-prolapse": Case(at_checks({"trouble": Trouble.PROLAPSE}), at_checks({"trouble": Trouble.LAME})),
    "side-dry-at-lambing": Case(at_lambing(sides_in_milk=1), at_lambing(sides_in_milk=2)),
    "side-dry-later": Case(at_lambing(sides_in_milk=1, sides_next_day=1), at_lambing(sides_in_milk=1, sides_next_day=2)),
    "udder-lump-or-hard": Case(at_checks({"udder": Udder.LUMP}), at_checks({"udder": Udder.DAMAGED})),
    "udder-damaged": Case(at_checks({"udder": Udder.DAMAGED}), at_checks({"udder": Udder.SOUND})),
    "mastitis": Case(treated(1, Reason.MASTITIS), treated(1, Reason.LAMBING)),
    "large-teats": Case(at_lambing(teats=Teats.LARGE), at_lambing(teats=Teats.SMALL)),
    "bad-teats": Case(at_lambing(teats=Teats.BLOCKED), at_lambing(teats=Teats.LARGE)),
    "gummer": Case(at_checks({"mouth": Mouth.GUMMER}), at_checks({"mouth": Mouth.BROKEN})),
    "broken-mouth": Case(at_checks({"mouth": Mouth.BROKEN}), at_checks({"mouth": Mouth.WORN})),
    "jaw": Case(at_checks({"mouth": Mouth.UNDERSHOT}), at_checks({"mouth": Mouth.FULL})),
    "lame-again": Case(
        treated(3, Reason.LAMENESS) | {"ewes": [with_lamb(1)["ewes"][0]]},
        treated(2, Reason.LAMENESS) | {"ewes": [with_lamb(2)["ewes"][0]]},
    ),
    "badly-lame": Case(
        at_checks({"feet": Feet.BADLY_LAME}, {"feet": Feet.BADLY_LAME, "date": JULY}),
        at_checks({"feet": Feet.BADLY_LAME}, {"feet": Feet.LAME, "date": JULY}),
    ),
    "empty": Case(on_ewes(scanned=0, lambings_before=1), on_ewes(scanned=1, lambings_before=1)),
    "empty-young": Case(on_ewes(scanned=0, lambings_before=0), on_ewes(scanned=1, lambings_before=0)),
    "empty-age-unknown": Case(on_ewes(scanned=0), on_ewes(scanned=1)),
    "never-lambed": Case(on_ewes(scanned=2, mated_on=MATED), on_ewes(scanned=2, mated_on=MATED + timedelta(days=1))),
    "aborted": Case(with_lamb(born=Born.ABORTED), with_lamb(born=Born.MUMMIFIED)),
    "refused-lambs": Case(with_lamb(1, taken=Taken.REFUSED), with_lamb(2, taken=Taken.SLOWLY)),
    "lost-her-lambs": Case(
        with_lamb(1, left_how=LambLeft.DIED, cause=Cause.STARVED), with_lamb(2, left_how=LambLeft.DIED, cause=Cause.SCOUR),
    ),
    "no-milk": Case(history(1, at_lambing(colostrum=Colostrum.NONE)), history(2, at_lambing(colostrum=Colostrum.LITTLE))),
    "narrow": Case(history(1, at_lambing(why_helped=WhyHelped.NARROW)), history(2, at_lambing(why_helped=WhyHelped.SLOW))),
    "thin-sound-teeth": Case(
        history(1, at_checks(THIN, {**THIN, "date": JULY})), history(2, at_checks(THIN, {**NOT_THIN, "date": JULY})),
    ),
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
    assert reason.value >= rule.limit and reason.value == acts.evidence[rule.evidence]
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
    decision = decide({**rows, "ewes": [ewe]})
    assert (Verdict.KEEP, [Action.NOTE]) == (decision.verdict, [reason.action for reason in decision.reasons])
    assert "once; not yet two of three" in decision.words


@pytest.mark.parametrize("rule", [pytest.param(rule, id=rule.id) for rule in RULES])
def test_a_rule_switched_off_decides_nothing(rule: SelectionRule) -> None:
    decision = decide({**CASES[rule.id].acts, "policy": [{"row_key": rule.id, "on": OnOff.OFF}]})
    assert rule.id not in [reason.rule for reason in decision.reasons]


def test_the_farms_own_limit_action_and_comparison_count() -> None:
    rows = treated(2, Reason.LAMENESS)
    own: Row = {"row_key": "lame-again", "limit": 2, "action": Action.WATCH, "when": When.AT_ONCE}
    assert Verdict.WATCH is decide({**rows, "policy": [own]}).verdict
    assert Verdict.KEEP is decide({**rows, "policy": [{**own, "when": When.TWO_OF_THREE}]}).verdict
    at_most: Row = {"row_key": "lame-again", "limit": 2, "compare": Compare.AT_MOST, "when": When.AT_ONCE}
    assert Verdict.CULL is decide({**rows, "policy": [at_most]}).verdict
    assert Verdict.KEEP is decide({**treated(3, Reason.LAMENESS), "policy": [at_most]}).verdict


# Worked cases of the meeting.


def test_vaginal_prolapse_is_cull_and_never_draft() -> None:
    rows = {**at_lambing(prolapse=Prolapse.VAGINAL), **at_checks({"mouth": Mouth.BROKEN})}
    decision = decide(rows)
    assert Verdict.CULL is decision.verdict
    assert Action.DRAFT not in [reason.action for reason in decision.reasons]


@pytest.mark.parametrize(
    "rows",
    [
        {**at_lambing(prolapse=Prolapse.RECTAL), **at_checks({"mouth": Mouth.BROKEN})},
        {**at_checks({"mouth": Mouth.BROKEN, "trouble": Trouble.MASTITIS}),
         "policy": [{"row_key": "mastitis", "action": Action.NOTE}]},
    ],
    ids=["rectal prolapse", "mastitis that the farm only notes"],
)
def test_a_ewe_not_fit_for_sale_is_watched_where_others_are_drafted(rows: Rows) -> None:
    decision = decide(rows)
    assert Verdict.WATCH is decision.verdict
    assert "Broken mouth (not for sale for breeding: prolapse or mastitis recorded)" in decision.words


def test_a_broken_mouth_is_draft() -> None:
    decision = decide(at_checks({"mouth": Mouth.BROKEN}))
    assert (Verdict.DRAFT, "Broken mouth") == (decision.verdict, decision.words)


def test_a_side_dry_at_lambing_only_is_watch() -> None:
    decision = decide(at_lambing(sides_in_milk=1))
    assert (Verdict.WATCH, "A side dry at lambing, 1 side") == (decision.verdict, decision.words)


def test_a_side_dry_again_next_day_or_at_a_later_check_is_cull() -> None:
    assert Verdict.CULL is decide(at_lambing(sides_in_milk=1, sides_next_day=1)).verdict
    assert Verdict.CULL is decide({**at_lambing(sides_in_milk=1), **at_checks(SIDE_DRY)}).verdict


def test_lambs_refused_at_her_first_lambing_are_a_note() -> None:
    decision = decide(with_lamb(0, before=0, taken=Taken.REFUSED))
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
    assert (Verdict.CULL, 1) == (decision.verdict, decision.earlier_faults)
    assert "Refused her lambs, 1 lamb (two of her last three lambings had a fault)" == decision.words


def test_a_lamb_lost_to_a_predator_is_nothing_against_her() -> None:
    decision = decide(with_lamb(2, left_how=LambLeft.DIED, cause=Cause.PREDATOR))
    assert (Verdict.KEEP, ()) == (decision.verdict, decision.reasons)


def test_a_lamb_that_died_after_being_set_on_is_judged_at_the_foster_ewe() -> None:
    rows = with_lamb(1, left_how=LambLeft.DIED, cause=Cause.STARVED, foster_ewe="B", why_moved=WhyMoved.SPARE)
    rows["ewes"].append({"ewe": "B", "past_lambings": 2, "past_faults": 1})
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
    assert "Large teats, 1 look" == decision.words


def test_the_strictest_action_wins_and_every_reason_is_listed() -> None:
    decision = decide(at_checks({"mouth": Mouth.BROKEN, "udder": Udder.HARD, "teats": Teats.LARGE}))
    assert Verdict.CULL is decision.verdict
    assert "Udder lump or hard, 1 look; Large teats, 1 look; Broken mouth" == decision.words


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
        "lambs": [{"ewe": name, "lamb_no": 1, "left_how": LambLeft.DIED, "foster_ewe": foster}
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
