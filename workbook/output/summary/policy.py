"""Policy: the selection rules in force, to be changed at the meeting: every list of ewes follows."""

from collections.abc import Sequence

from template_builder.files.look import FILL_IN, HINT, STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Choice
from template_builder.layout.decided import CHANGEABLE, KEY, POLICY_TITLES, RULE_TITLE
from template_builder.layout.policy import EVIDENCE_BY_ID, WEIGHTS, Weight
from template_builder.layout.summary_tabs import POLICY
from workbook.output.summary.live.lists import MOVED_LINE
from workbook.output.summary.live.rules import DECIDES, KEY_NAME, LISTS, policy_name, setting
from workbook.output.summary.live.values import LiveDecisions
from workbook.results.pipeline import Result
from workbook.season.season import PolicyRule

SMALL = WRAPPED.with_(size=9)
CHANGED = FILL_IN.with_(wrap=True, valign="top", size=9, indent=1, align="left")
CHANGED_NUMBER = CHANGED.with_(align="center", indent=0, number_format="General")
PLAIN_NUMBER = WRAPPED.with_(align="center", number_format="General")
WIDTHS = (13.5, 6.0, 12.0, 8.0, 5.5, 7.5, 6.5, 7.5, 6.5, 6.0, 19.5, 12.5)
EWES = "Ewes it decides"
HEADS = (
    Head(RULE_TITLE, STRONG.with_(wrap=True, valign="top", size=9)), Head(POLICY_TITLES["on"], CHANGED), Head("Evidence", SMALL),
    Head(POLICY_TITLES["compare"], CHANGED), Head(POLICY_TITLES["limit"], CHANGED_NUMBER),
    Head("Unit", SMALL), Head(POLICY_TITLES["action"], CHANGED), Head(POLICY_TITLES["at_mating"], CHANGED),
    Head(POLICY_TITLES["when"], CHANGED), Head(EWES, PLAIN_NUMBER), Head("Why", SMALL), Head("Source", SMALL),
    Head(KEY, SMALL),
)
PLACE = {head.title: number for number, head in enumerate(HEADS, start=1)}
CHANGED_AT = {id: PLACE[POLICY_TITLES[id]] for id in CHANGEABLE}
NOTE = ("The rules in force. Change one in a framed cell, and Meeting, Ewe decisions and Marks follow at once; next year's "
        "workbook takes them from here. The strictest rule that applies to a ewe is her verdict; \"two of three\" acts only when "
        "two of her last three lambings had any fault of such a rule, and one at her first does not count. {at_mating} is for "
        "what her last look says; a blank there means the same as before. Below the rules are the weights and limits of the "
        "scores: change those on Policy of the season workbook, and run analyse again.")
HIDDEN_WIDTH = 8.0


def write_policy(book: Book, result: Result, live: LiveDecisions | None, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, POLICY, WIDTHS, footer, read=True)
    tab.title(POLICY, NOTE.format(at_mating=POLICY_TITLES["at_mating"]))
    if live:
        tab.prose(str(live.cell(MOVED_LINE)), formula=f"={MOVED_LINE.name}")
    policy = result.season.policy
    decides = live.column("rules", "decides") if live else [None] * len(policy.rules)
    rows = [*(_rule(rule, number) for rule, number in zip(policy.rules, decides, strict=True)),
            *(_weight(weight, policy.weights[weight.id]) for weight in WEIGHTS)]
    tab.page.width(len(HEADS), HIDDEN_WIDTH, hidden=True)
    top = tab.table(HEADS, rows, name="policy_rules")
    tab.heads_stay(top)
    tab.page.print_area((1, 1), (1 if result.by_counts_alone else tab.row - 1, len(WIDTHS)))
    _changes(book, tab, top + 1, top + len(policy.rules))
    if result.by_counts_alone:
        tab.page.raw.hide()  # no ewe to decide on; next year's workbook takes the rules from here, and its title alone prints
    if live:
        formula = "=" + DECIDES.format(key=f"${letters(PLACE[KEY])}{top + 1}")
        tab.page.formulas(top + 1, PLACE[EWES], formula, live.column("rules", "decides"), PLAIN_NUMBER)


def _changes(book: Book, tab: Tab, first: int, last: int) -> None:
    """Lists for what may be changed, a mark on what cannot be read, and the names under which formulas find the columns."""
    for id, column in CHANGED_AT.items():
        area = ((first, column), (last, column))
        cell = f"${letters(column)}{first}"
        if choices := LISTS.get(id):
            tab.page.validate(*area, _list_of(choices))
            read = ",".join(f'TRIM({cell})="{choice.label}"' for choice in choices)
        else:
            tab.page.validate(*area, {"validate": "decimal", "criteria": ">=", "value": 0, "error_message": "Write a number."})
            read = f"ISNUMBER({cell})"
        blank = f',TRIM({cell})=""' if id == "at_mating" else ""
        tab.page.condition(*area, {"type": "formula", "criteria": f"=NOT(OR({read}{blank}))", "format": book.format(HINT)})
        book.define(policy_name(id), POLICY, (first, column), (tab.row - 1, column))
    book.define(KEY_NAME, POLICY, (first, PLACE[KEY]), (tab.row - 1, PLACE[KEY]))


def _list_of(choices: type[Choice]) -> dict[str, object]:
    labels = [choice.label for choice in choices]
    return {"validate": "list", "source": labels, "error_message": f"Choose {' or '.join(labels)}."}


def _rule(row: PolicyRule, decides: object) -> Sequence[Shown]:
    rule, evidence = row.rule, EVIDENCE_BY_ID[row.rule.evidence]
    number = Cell(decides, elsewhere=True) if isinstance(decides, int | float) else None
    at_mating = setting(rule, "at_mating")
    later = at_mating if evidence.last_look else Cell(None, SMALL)
    return [rule.title, rule.on, evidence.title, rule.compare, rule.limit, evidence.unit, rule.action, later, rule.when, number,
            rule.why, rule.source, rule.id]


def _weight(weight: Weight, value: float) -> Sequence[Shown]:
    """A number the scores are made with, in the columns it shares with the rules."""
    plain = {column: Cell(None, SMALL) for column in CHANGED_AT.values()}
    plain[CHANGED_AT["limit"]] = Cell(value, PLAIN_NUMBER.with_(size=9))
    cells: list[Shown] = [weight.title, None, None, None, None, weight.unit, None, None, None, None, weight.why, weight.source,
                          weight.id]
    return [plain.get(column, cell) for column, cell in enumerate(cells, start=1)]
