"""The flock plan as formulas: whatever is set on Policy, typed beside a ewe or wanted, the cells say what Python says."""

from collections.abc import Mapping
from dataclasses import replace

import pytest
from every_rule import every_rule
from test_live_decisions import by_python, clean, setting

from template_builder.layout.choices import Verdict
from workbook.output.summary.ewe_decisions import in_order_of_verdict, printed_columns
from workbook.output.summary.live.flock import (
    GOING,
    MOST_NEXT,
    NEEDED,
    NO_STEADY,
    OVER,
    PARTS,
    PICK,
    STAYING,
    STEADY_LINE,
    FlockNow,
)
from workbook.output.summary.live.given import live_decisions, policy_cells
from workbook.output.summary.live.values import LiveDecisions
from workbook.results.flock.flock_plan import FlockPlan, flock_plan
from workbook.results.flock.steady import lambings
from workbook.results.pipeline import Result

VERDICT = {verdict.label: verdict for verdict in Verdict}


def final_words(result: Result, seed: int) -> Mapping[str, Verdict]:
    """The final decision on each ewe; one that cannot be read neither goes nor is a keep."""
    told = by_python(result, setting(seed, result))
    return {decision.ewe: VERDICT.get(one.final, Verdict.UNKNOWN)
            for decision, one in zip(in_order_of_verdict(result), told, strict=True)}


@pytest.mark.parametrize("seed", range(10))
def test_formulas_and_python_agree_on_who_stays_who_is_needed_and_who_goes_next(seed: int) -> None:
    for result in (clean(), every_rule()):
        for one, wanted in ((4 * seed, 0), (4 * seed + 1, result.plan.wanted), (4 * seed + 2, 3 * result.plan.wanted)):
            given, final = setting(one, result), final_words(result, one)
            live = live_decisions(
                in_order_of_verdict(result), result.season.policy, printed_columns(result), given.own_words,
                policy_cells(given.policy), replace(FlockNow.of(result), wanted=wanted))
            plan = replace(flock_plan(result.season, result.decisions, final), wanted=wanted)
            assert said(plan) == [live.cell(cell) for cell in (GOING, STAYING, NEEDED, OVER, PICK)]
            assert [age.going for age in plan.ages] == live.column("ages", "going")
            assert [age.staying for age in plan.ages] == live.column("ages", "staying")
            assert_steady(live, plan)
            going_next = [ewe for ewe in result.worth if final[ewe.ewe] is Verdict.KEEP][:MOST_NEXT]
            blank = [""] * (MOST_NEXT - len(going_next))
            assert [*(ewe.name for ewe in going_next), *blank] == live.column("next", "name")
            for part in PARTS:
                assert [*(round(getattr(ewe, part), 1) for ewe in going_next), *blank] == live.column("next", part)


def assert_steady(live: LiveDecisions, plan: FlockPlan) -> None:
    """The steady rate of the flock as it is decided, and the sentence that says it."""
    cells = {cell.id: live.cell(cell) for cell in live.cells}
    if lambings(plan.ages) is None:  # whatever is decided
        assert plan.steady is None and STEADY_LINE not in cells
        return
    rate = 0 if plan.steady is None else plan.steady.rate
    assert pytest.approx(rate, rel=1e-12) == cells["steady_rate"]
    said = f"like this one, {int(100 * rate + 0.5)} of 100 ewes" if plan.steady else NO_STEADY
    assert said in str(cells[STEADY_LINE])


def test_the_steady_rate_moves_with_the_decisions_and_is_told_where_nobody_stays() -> None:
    result = clean()
    rates = []
    for words in ((None,) * len(result.decisions), ("cull",) * len(result.decisions), ("keep",) * len(result.decisions)):
        live = live_decisions(in_order_of_verdict(result), result.season.policy, printed_columns(result), words,
                              flock=FlockNow.of(result))
        final = {ewe: VERDICT.get(str(words[0]), one.verdict) for ewe, one in result.decisions.items()}
        assert_steady(live, flock_plan(result.season, result.decisions, final))
        rates.append(float(live.cell(next(cell for cell in live.cells if cell.id == "steady_rate"))))
    assert rates[1] == 0 < rates[2] < rates[0]


def said(plan: FlockPlan) -> list[int]:
    return [plan.going, plan.staying, plan.needed, plan.over, plan.to_pick]


def test_every_ewe_decided_on_stands_in_one_age() -> None:
    for result in (clean(), every_rule()):
        assert len(result.decisions) == sum(age.here for age in result.plan.ages)
        lines = FlockNow.of(result).lines
        assert all(1 <= lines[ewe] <= len(result.plan.ages) for ewe in result.decisions)
