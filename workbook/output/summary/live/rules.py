"""The selection rules as cells: what stands on Policy now, made into numbers once, a rule a row, for every ewe to look at.

Rows of Policy are found by their hidden key, so that they may be sorted. What cannot be read there stands as it was written.
"""

from collections.abc import Mapping, Sequence

from template_builder.layout.choices import Action, Choice, Compare, OnOff, When
from template_builder.layout.policy import EVIDENCE, EVIDENCE_BY_ID, SCORE, YES_OR_NO, SelectionRule
from template_builder.live.columns import LiveColumn, LiveSheet, LiveValue, first_that_holds, place
from workbook.season.season import Policy

KEY_NAME = "policy_key"
LISTS: Mapping[str, type[Choice]] = {"on": OnOff, "compare": Compare, "action": Action, "at_mating": Action, "when": When}
UNREAD, BLANK = -1, 0  # where a cell says nothing that is in its list
# Parts of a ewe whose last look may be the one before mating, and evidence whose own words stand in a reason.
LOOKS = tuple(dict.fromkeys(evidence.checked for evidence in EVIDENCE if evidence.last_look))
TOLD = tuple(evidence.id for evidence in EVIDENCE if evidence.in_words)
NUMBER_OF = {evidence.id: number for number, evidence in enumerate(EVIDENCE, start=1)}


def policy_name(id: str) -> str:
    """The name of the rows of a column of Policy."""
    return f"policy_{id}"


def _said(id: str) -> str:
    """The number of the value in a cell of Policy within its list."""
    cell = f'TRIM(INDEX({policy_name(id)},{{at}})&"")'
    words = [(f'{cell}="{choice.label}"', place(choice)) for choice in LISTS[id]]
    return first_that_holds([("{at}=0", UNREAD), (f'{cell}=""', BLANK), *words], UNREAD)


def _in_force(id: str) -> str:
    return f"IF({{{id}_said}}<1,{{was_{id}}},{{{id}_said}})"


def _barred(id: str) -> str:
    """What is asked for where something speaks against selling her on."""
    return f"IF({{{id}}}={place(Action.DRAFT)},{place(Action.WATCH)},{{{id}}})"


VALUES = ("id", "title", "evidence", "before", "one", "many", "look", "told")
_CHANGEABLE = ("on", "compare", "limit", "action", "at_mating", "when")
_LIMIT = f"INDEX({policy_name('limit')},{{at}})"
_WRONG = "+".join(["({on_said}<1)", "({compare_said}<1)", '({limit_said}="")', "({action_said}<1)", "({at_mating_said}<0)",
                   "({when_said}<1)"])
_CHANGED = ",".join(f"{{{id}}}<>{{was_{id}}}" for id in ("on", "compare", "limit", "action", "when"))

RULES_NOW = "rules"
DECIDES = "INDEX(live_rules_decides,MATCH({key},live_rules_id,0))"  # on Policy: the ewes whom the rule with this key decides


def rules_sheet(rows: int, first_column: int = 1) -> LiveSheet:
    """The block: values of a rule, what stood on Policy, what stands there now, and what is in force."""
    return LiveSheet(RULES_NOW, (
        *(LiveColumn(id, "") for id in VALUES),
        *(LiveColumn(f"was_{id}", "") for id in _CHANGEABLE),
        LiveColumn("at", f"IFERROR(MATCH({{id}},{KEY_NAME},0),0)"),
        *(LiveColumn(f"{id}_said", _said(id)) for id in LISTS),
        LiveColumn("limit_said", f'IF({{at}}=0,"",IF(ISNUMBER({_LIMIT}),{_LIMIT},""))'),
        *(LiveColumn(id, _in_force(id)) for id in ("on", "compare", "action", "when")),
        LiveColumn("limit", 'IF({limit_said}="",{was_limit},{limit_said})'),
        LiveColumn("at_mating", "IF({at_mating_said}<0,{was_at_mating},{at_mating_said})"),
        LiveColumn("mating", f"IF({{at_mating}}={BLANK},{{action}},{{at_mating}})"),
        LiveColumn("action_barred", _barred("action")),
        LiveColumn("mating_barred", _barred("mating")),
        LiveColumn("wrong", f"IF({{at}}=0,1,{_WRONG})"),
        LiveColumn("changed", f"IF(OR({_CHANGED},{{at_mating}}<>{{was_at_mating}}),1,0)"),
        LiveColumn("decides", "COUNTIF(live_decisions_decider,{k})"),
    ), rows=rows, first_column=first_column)


def rule_values(policy: Policy) -> dict[str, Sequence[LiveValue | None]]:
    """The cells of the block that are no formulas, by column."""
    rows = [_values(placed.rule) for placed in policy.rules]
    return {id: [row[id] for row in rows] for id in rows[0]}


def _values(rule: SelectionRule) -> dict[str, LiveValue | None]:
    evidence = EVIDENCE_BY_ID[rule.evidence]
    before, one, many = _measured(evidence.unit)
    return {
        "id": rule.id, "title": rule.title, "evidence": NUMBER_OF[rule.evidence], "before": before, "one": one, "many": many,
        "look": LOOKS.index(evidence.checked) + 1 if evidence.last_look else 0,
        "told": TOLD.index(rule.evidence) + 1 if evidence.in_words else 0,
        **{f"was_{id}": code(id, setting(rule, id)) for id in _CHANGEABLE},
    }


def code(id: str, value: Choice | float | None) -> float:
    """A setting of a rule as the number formulas know it by."""
    return value if isinstance(value, int | float) else BLANK if value is None else place(value)


def setting(rule: SelectionRule, id: str) -> Choice | float | None:
    """What stands in a cell of Policy. What is asked for at the look before mating is blank where it is the same as before.

    So a changed action counts there too; and where no such look says anything of a rule, nothing stands there.
    """
    same = id == "at_mating" and (rule.at_mating is rule.action or not EVIDENCE_BY_ID[rule.evidence].last_look)
    found: Choice | float | None = None if same else getattr(rule, id)
    return found


def _measured(unit: str) -> tuple[str | None, str | None, str | None]:
    """What stands before the number of an evidence in a reason, and behind it for one and for several."""
    if unit == YES_OR_NO:
        return None, None, None
    if unit == SCORE:
        return f", {unit} ", None, None
    return ", ", f" {unit.removesuffix('s')}", f" {unit}"
