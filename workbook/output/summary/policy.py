"""Policy: the selection rules and weights in force, with what they rest on."""

from collections.abc import Sequence

from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.choices import OnOff
from template_builder.layout.policy import EVIDENCE_BY_ID, WEIGHTS, Weight
from template_builder.layout.summary_tabs import POLICY
from workbook.results.pipeline import Result
from workbook.season.season import PolicyRule

SMALL = WRAPPED.with_(size=9)
PLAIN_NUMBER = WRAPPED.with_(align="center", number_format="General")
QUIET_RULE = WRAPPED.with_(italic=True)
WIDTHS = (16.0, 6.0, 17.0, 7.5, 6.0, 8.0, 7.5, 7.5, 7.5, 15.0, 13.0)
HEADS = (
    Head("Rule", STRONG.with_(wrap=True, valign="top")), Head("On or off"), Head("Evidence", SMALL), Head("Com- pare", SMALL),
    Head("Limit", PLAIN_NUMBER), Head("Unit", SMALL), Head("Action"),
    Head("At the look before mating", SMALL), Head("When", SMALL), Head("Why", SMALL),
    Head("Source", SMALL),
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
    tab.heads_stay(tab.table(HEADS, rows, name="policy_rules"))


def _rule(row: PolicyRule) -> Sequence[Shown]:
    rule = row.rule
    evidence = EVIDENCE_BY_ID[rule.evidence]
    on = rule.on is OnOff.ON
    return [
        rule.title if on else Cell(rule.title, QUIET_RULE), rule.on, evidence.title, rule.compare, rule.limit, evidence.unit,
        rule.action, rule.at_mating or rule.action, rule.when, rule.why, rule.source,
    ]


def _weight(weight: Weight, value: float) -> Sequence[Shown]:
    """A number the scores are made with, in the columns it shares with the rules."""
    return [weight.title, None, None, None, value, weight.unit, None, None, None, weight.why, weight.source]
