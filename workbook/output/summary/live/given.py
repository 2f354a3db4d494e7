"""What the live cells of decisions rest on: evidence, facts and rules as values, and the blocks over them worked out."""

from collections.abc import Mapping, Sequence

from template_builder.layout.decided import CHANGEABLE
from template_builder.layout.laying import in_order
from template_builder.layout.policy import EVIDENCE, EVIDENCE_BY_ID, WEIGHTS
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.evaluator.meaning import CellValue
from workbook.output.summary.live.ewes import evidence_id, ewes_sheet
from workbook.output.summary.live.flock import CELLS as FLOCK_CELLS
from workbook.output.summary.live.flock import FlockNow, ages_sheet, flock_columns, next_sheet, steady_cells
from workbook.output.summary.live.lists import CELLS, listed_sheet
from workbook.output.summary.live.named import LINES, TO_DECIDE, pack_cells, pack_sheets
from workbook.output.summary.live.pen import MARK_NAME, MARKED, across, pen_cells, pen_sheet
from workbook.output.summary.live.rules import KEY_NAME, LOOKS, TOLD, policy_name, rule_values, rules_sheet, setting
from workbook.output.summary.live.values import LiveDecisions, worked_out
from workbook.output.summary.live.which import MOST_LINES, MOST_NAMED, groups_sheet, which_cells, which_sheet
from workbook.results.advice.decisions import Decision, before_she_goes
from workbook.season.decided import row_mark
from workbook.season.season import Policy

FIRST_HIDDEN = 5  # on the hidden tab, right of the words and the cells alone
Values = Mapping[str, Sequence[CellValue]]


def live_decisions(
    decisions: Sequence[Decision], policy: Policy, printed: Sequence[LiveColumn], own_words: Sequence[str | None] = (),
    policy_now: Values | None = None, flock: FlockNow | None = None,
) -> LiveDecisions:
    """The live cells for these ewes, in this order of rows. `policy` is the one they were judged by.

    `own_words` are what somebody typed as the decision on each; `policy_now` what stands in the cells of Policy, by its names;
    with `flock` the plan of next year is worked out too.
    """
    ewes = ewes_sheet(printed, len(decisions), flock_columns() if flock else ())
    rules = rules_sheet(len(policy.rules), FIRST_HIDDEN)
    listed = listed_sheet(len(decisions), _after(rules))
    groups = groups_sheet(_after(listed))
    which = which_sheet(_after(groups))
    given = {
        **_named(ewes, ewe_values(decisions, own_words)), **_named(rules, rule_values(policy)),
        **policy_cells(policy), **(policy_now or {}),
    }
    pen_across = across(decision.name for decision in decisions)
    pen = pen_sheet(len(decisions), pen_across)
    given |= {which.name("room"): [MOST_NAMED] * MOST_LINES, which.name("fewer"): [0] * MOST_LINES}
    given |= {pen.name("line"): range(1, pen.rows + 1), MARK_NAME: [None] * len(MARKED)}
    sheets: tuple[LiveSheet, ...] = (ewes, rules, listed, groups, which, pen)
    cells = (*CELLS, *which_cells(), *pen_cells(pen_across))
    pack = pack_sheets([(decision.name, decision.verdict) for decision in decisions], _after(which))
    order = zip(decisions, given[ewes.name("order")], strict=True)
    given |= {f"live_{LINES}_ewe": [place for decision, place in order if decision.verdict in TO_DECIDE]}
    sheets, cells = (*sheets, *pack), (*cells, *pack_cells(pack))
    if flock:
        ages = ages_sheet(len(flock.plan.ages), _after(pack[-1]))
        given |= {**_named(ewes, flock.of_ewes([decision.ewe for decision in decisions])), **flock.cells()}
        sheets, cells = (*sheets, ages, next_sheet(_after(ages))), (*cells, *FLOCK_CELLS, *steady_cells(flock.plan.ages))
    return worked_out(sheets, cells, given)


def _after(sheet: LiveSheet) -> int:
    """The first free column right of a block."""
    return max(sheet.places.values()) + 2


def _named(sheet: LiveSheet, values: Values) -> Values:
    return {sheet.name(id): cells for id, cells in values.items()}


def ewe_values(decisions: Sequence[Decision], own_words: Sequence[str | None] = ()) -> dict[str, list[CellValue]]:
    """The cells that formulas of a ewe's row rest on, by column."""
    by_number = sorted(range(len(decisions)), key=lambda at: in_order(decisions[at].name.strip()))
    rank = {at: number for number, at in enumerate(by_number, start=1)}
    words = own_words or [None] * len(decisions)
    rows = [{**_ewe(decision), "order": rank[at], "word": words[at]} for at, decision in enumerate(decisions)]
    return {id: [row[id] for row in rows] for id in rows[0]} if rows else {}


def _ewe(decision: Decision) -> dict[str, CellValue]:
    facts, key = decision.facts, row_mark(decision.name)
    return {
        "name": decision.name, "own_name": decision.name, "row_key": key, "own_key": key, "was": place(decision.verdict),
        "before_going": before_she_goes(decision) or None, "recorded": int(facts.recorded), "faults": facts.earlier_faults,
        "bars": ", ".join(facts.bars) or None,
        **{evidence_id(one.id): _number(facts.seen[one.id].value) for one in EVIDENCE},
        **{f"look_{number}": int(_at_mating(decision, part)) for number, part in enumerate(LOOKS, start=1)},
        **{f"told_{number}": facts.seen[id].words or None for number, id in enumerate(TOLD, start=1)},
    }


def _number(value: float | None) -> float | None:
    return value if value is None or not float(value).is_integer() else int(value)


def _at_mating(decision: Decision, part: str) -> bool:
    """Whether the last look at a part of her was the one before mating."""
    return any(one.at_mating for id, one in decision.facts.seen.items() if EVIDENCE_BY_ID[id].checked == part)


def policy_cells(policy: Policy) -> dict[str, list[CellValue]]:
    """What stands on Policy, by the names of its columns: the rules, below them the numbers the scores are made with."""
    rules = [placed.rule for placed in policy.rules]
    cells: dict[str, list[CellValue]] = {KEY_NAME: [*(rule.id for rule in rules), *(weight.id for weight in WEIGHTS)]}
    for id in CHANGEABLE:
        below = [policy.weights[weight.id] if id == "limit" else None for weight in WEIGHTS]
        cells[policy_name(id)] = [*(_cell(setting(rule, id)) for rule in rules), *below]
    return cells


def _cell(value: object) -> CellValue:
    return value if isinstance(value, int | float) or value is None else str(value)
