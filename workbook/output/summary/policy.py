"""Policy: the selection rules and weights in force, with what they rest on."""

from collections.abc import Sequence

from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.choices import OnOff
from template_builder.layout.decided import CHANGEABLE, KEY, POLICY_TITLES, RULE_TITLE, as_written
from template_builder.layout.policy import EVIDENCE_BY_ID, WEIGHTS, Weight
from template_builder.layout.summary_tabs import POLICY
from workbook.results.pipeline import Result
from workbook.season.season import PolicyRule

SMALL = WRAPPED.with_(size=9)
PLAIN_NUMBER = WRAPPED.with_(align="center", number_format="General")
QUIET_RULE = WRAPPED.with_(italic=True)
WIDTHS = (16.0, 6.0, 16.5, 8.5, 6.0, 8.0, 7.5, 7.5, 7.5, 14.5, 13.0)
HIDDEN_WIDTH = 8.0
HEADS = (
    Head(RULE_TITLE, STRONG.with_(wrap=True, valign="top")), Head(POLICY_TITLES["on"]), Head("Evidence", SMALL),
    Head(POLICY_TITLES["compare"], SMALL), Head(POLICY_TITLES["limit"], PLAIN_NUMBER), Head("Unit", SMALL),
    Head(POLICY_TITLES["action"]), Head(POLICY_TITLES["at_mating"], SMALL), Head(POLICY_TITLES["when"], SMALL),
    Head("Why", SMALL), Head("Source", SMALL), *(Head(as_written(id), SMALL) for id in CHANGEABLE), Head(KEY, SMALL),
)
NOTE = ("The rules in force for this season. To change one, change it on the Policy sheet of the season workbook. The "
        "strictest rule that applies to a ewe is her verdict; \"two of three\" acts only when two of her last three "
        "lambings had any fault of such a rule, and one at her first does not count. Below the rules are the weights and "
        "limits of the scores.")


def write_policy(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, POLICY, WIDTHS, footer)
    tab.title(POLICY, NOTE)
    policy = result.season.policy
    rows = [*map(_rule, policy.rules), *(_weight(weight, policy.weights[weight.id]) for weight in WEIGHTS)]
    for column in range(len(WIDTHS) + 1, len(HEADS) + 1):
        tab.page.width(column, HIDDEN_WIDTH, hidden=True)
    tab.heads_stay(tab.table(HEADS, rows, name="policy_rules"))
    tab.page.print_area((1, 1), (tab.row - 1, len(WIDTHS)))


def _rule(row: PolicyRule) -> Sequence[Shown]:
    rule = row.rule
    evidence = EVIDENCE_BY_ID[rule.evidence]
    on = rule.on is OnOff.ON
    return [
        rule.title if on else Cell(rule.title, QUIET_RULE), rule.on, evidence.title, rule.compare, rule.limit, evidence.unit,
        rule.action, rule.at_mating, rule.when, rule.why, rule.source, *(getattr(rule, id) for id in CHANGEABLE), rule.id,
    ]


def _weight(weight: Weight, value: float) -> Sequence[Shown]:
    """A number the scores are made with, in the columns it shares with the rules."""
    return [weight.title, None, None, None, value, weight.unit, None, None, None, weight.why, weight.source,
            *[None] * len(CHANGEABLE), weight.id]
