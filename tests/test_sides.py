"""A dry side is one fact: hints, formulas, signs, evidence and the season in words all say the same of a number of sides."""

from datetime import date, datetime

import pytest
from live_cells import in_rows
from seasons import season
from test_evaluator import rows as worked_out

from template_builder.entry.marks import HINTS
from template_builder.layout import alerts
from template_builder.layout.choices import Born, CheckOccasion, Colostrum
from template_builder.layout.columns import NOT_KNOWN, Value
from template_builder.layout.sides import A_SIDE_DRY, BOTH_DRY, BOTH_IN_MILK, BOTH_SIDES, Sides, dry_sides
from template_builder.live.ewe_alerts import raised_id
from template_builder.live_values import live_values
from workbook.results.advice.evidence import evidence
from workbook.results.advice.problem_ewes import problem_ewes
from workbook.results.advice.season_in_words import season_in_words
from workbook.rules.checks.lambing import plenty_without_milk
from workbook.rules.checks.looks import dry_with_lambs

NOON = datetime(2026, 3, 25, 12)
# What is written -> whether a side is dry, whether both are.
WRITTEN: dict[Value, tuple[bool, bool]] = {
    0: (True, True), 1: (True, False), 2: (False, False), None: (False, False), NOT_KNOWN: (False, False),
}


@pytest.mark.parametrize("sides", [-1, 0, 1, 2, 3, 1.5, 0.0, None])
@pytest.mark.parametrize("said", [A_SIDE_DRY, BOTH_DRY, BOTH_IN_MILK])
def test_the_formula_says_what_python_says(said: Sides, sides: float | None) -> None:
    formula = f"IF({said.formula('{seen}')},1,0)"
    seen = 'IF(INDEX(it_typed,{k})="","",INDEX(it_typed,{k}))'
    (found,) = worked_out({"seen": seen, "said": formula}, (sides,))["said"]
    assert said.said_by(sides) == bool(found)


def test_words_say_nothing_of_her_sides() -> None:
    for said in (A_SIDE_DRY, BOTH_DRY, BOTH_IN_MILK):
        assert (0,) == worked_out({"said": f"IF({said.formula('INDEX(it_typed,{k})')},1,0)"}, ("left only",))["said"]


def test_the_marks_while_typing_are_made_from_it() -> None:
    marks = {hint.marks: hint.when for hint in HINTS["lambing"]}
    assert A_SIDE_DRY.formula("{sides_in_milk}") == marks[("sides_in_milk",)]
    assert A_SIDE_DRY.formula("{sides_next_day}") == marks[("sides_next_day",)]


@pytest.mark.parametrize("column", ["sides_in_milk", "sides_next_day"])
@pytest.mark.parametrize("written", WRITTEN)
def test_all_say_the_same_of_lambing(column: str, written: Value) -> None:
    dry, _ = WRITTEN[written]
    lambing = {"ewe": "1", "lambed_on": date(2026, 3, 24), **({} if written is None else {column: written})}
    sheets = {"ewes": [{"ewe": "1", "scanned": 1}], "lambing": [lambing], "lambs": [{"ewe": "1", "born": Born.ALIVE}]}
    found = season(NOON, **sheets)
    (ewe,) = found.flock.ewes.values()
    counted = evidence(found, ewe)["dry_at_lambing"].value or 0
    live = in_rows(live_values(sheets, NOON))
    assert (dry,) * 4 == (
        counted > 0, any(problem.alert == alerts.SIDE_DRY.title for problem in problem_ewes(found, NOON)),
        live["ewes"][0][raised_id(alerts.SIDE_DRY)] != 0, "sides in milk" in season_in_words(ewe),
    )
    assert (written == BOTH_SIDES) == (live["ewes"][0]["room"] == 1)


@pytest.mark.parametrize("written", WRITTEN)
def test_all_say_the_same_of_a_later_look(written: Value) -> None:
    dry, both = WRITTEN[written]
    look = {"ewe": "1", "date": date(2026, 3, 25), "occasion": CheckOccasion.WEANING, "lambs_at_foot": 1}
    sheets = {"ewes": [{"ewe": "1", "scanned": 1}], "lambing": [{"ewe": "1", "lambed_on": date(2026, 3, 20), "pen": "1"}],
              "lambs": [{"ewe": "1", "born": Born.ALIVE}],
              "ewe_check": [look if written is None else {**look, "sides_in_milk": written}]}
    found = season(NOON, **sheets)
    (ewe,) = found.flock.ewes.values()
    assert (dry,) * 3 == (
        (evidence(found, ewe)["dry_later"].value or 0) > 0,
        any(problem.alert == alerts.SIDE_DRY.title for problem in problem_ewes(found, NOON)),
        in_rows(live_values(sheets, NOON))["ewes"][0][raised_id(alerts.SIDE_DRY)] != 0,
    )
    assert both == bool(list(dry_with_lambs(found)))


@pytest.mark.parametrize("written", WRITTEN)
def test_plenty_of_colostrum_and_both_sides_dry(written: Value) -> None:
    lambing = {"ewe": "1", "colostrum": Colostrum.PLENTY, **({} if written is None else {"sides_in_milk": written})}
    assert WRITTEN[written][1] == bool(list(plenty_without_milk(season(NOON, ewes=[{"ewe": "1"}], lambing=[lambing]))))


def test_how_many_sides_are_dry() -> None:
    assert [2, 1, 0, 0] == [dry_sides(sides) for sides in (0, 1, 2, 3)]
