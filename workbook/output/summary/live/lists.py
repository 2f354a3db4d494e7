"""Ewes in order of what is decided about them, and how many there are of each: what Meeting and Marks take their lists from."""

from collections.abc import Mapping

from template_builder.layout.choices import Verdict
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, place
from workbook.output.summary.live.ewes import EWE, OUTSIDE

LISTED = "listed"
SPACE = "   "  # between one count and the next
WRONG_CELLS = "cells of Policy cannot be read: what stood there counts."


def listed_sheet(ewes: int, first_column: int = 1) -> LiveSheet:
    """Every ewe by decision, reason and number; beside it every ewe by decision and number."""
    return LiveSheet(LISTED, (
        LiveColumn("key", "SMALL(live_decisions_place,{k})"),
        LiveColumn("name", "INDEX(live_decisions_name,MATCH({key},live_decisions_place,0))"),
        LiveColumn("before", "IF({k}=1,0,SMALL(live_decisions_place,MAX(1,{k}-1)))"),
        LiveColumn("start", f"IF(INT({{key}}/{EWE})=INT({{before}}/{EWE}),0,{{k}})"),
        LiveColumn("mark", "SMALL(live_decisions_mark,{k})"),
        LiveColumn("marked", "INDEX(live_decisions_name,MATCH({mark},live_decisions_mark,0))"),
    ), rows=ewes, first_column=first_column)


def _count(verdict: Verdict, column: str) -> LiveCell:
    return LiveCell(f"{column}_{verdict.name.lower()}", f"COUNTIF(live_decisions_{column}_code,{place(verdict)})")


RECOMMENDED = {verdict: _count(verdict, "verdict") for verdict in Verdict}
FINAL = {verdict: _count(verdict, "final") for verdict in Verdict}
NOT_READ = LiveCell("not_read", f"COUNTIF(live_decisions_final_code,{OUTSIDE})")
MOVED = LiveCell("moved", "SUM(live_decisions_moved)")
RULES_CHANGED = LiveCell("changed_rules", "SUM(live_rules_changed)")
RULES_WRONG = LiveCell("wrong_rules", "SUM(live_rules_wrong)")
COUNTS = (*RECOMMENDED.values(), *FINAL.values(), NOT_READ, MOVED, RULES_CHANGED, RULES_WRONG)


def _counted(words: str, counts: Mapping[Verdict, LiveCell]) -> str:
    return f'"{words}"' + "".join(f'&"{SPACE}{verdict.label} "&{cell.name}' for verdict, cell in counts.items())


def _if_any(cell: LiveCell, one: str, many: str) -> str:
    return f'IF({cell.name}=0,"",IF({cell.name}=1,"{SPACE}1 {one}","{SPACE}"&{cell.name}&" {many}"))'


RECOMMENDED_LINE = LiveCell("recommended_line", _counted("Recommended now:", RECOMMENDED))
FINAL_LINE = LiveCell("final_line", _counted("With what you decided:", FINAL) + "&" + _if_any(
    NOT_READ, "cannot be read: it is marked", "cannot be read: they are marked"))
MOVED_LINE = LiveCell("moved_line", (
    f'IF({MOVED.name}+{RULES_CHANGED.name}+{RULES_WRONG.name}=0,"Nothing has been changed since this was written.",'
    f'"Since this was written:"&{_if_any(MOVED, "ewe stands elsewhere.", "ewes stand elsewhere.")}'
    f'&{_if_any(RULES_CHANGED, "rule is set otherwise.", "rules are set otherwise.")}'
    f'&{_if_any(RULES_WRONG, "cell of Policy cannot be read: what stood there counts.", WRONG_CELLS)})'))
LINES = (RECOMMENDED_LINE, FINAL_LINE, MOVED_LINE)
CELLS = (*COUNTS, *LINES)
