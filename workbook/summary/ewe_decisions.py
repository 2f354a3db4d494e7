"""Ewe decisions: what the records recommend for each ewe, why, and room for the meeting's final word."""

from collections.abc import Mapping, Sequence

from template_builder.choices import Action, Verdict
from template_builder.excel import Book
from template_builder.look import FILL_IN, FINE, LOOK_AGAIN, OPEN, STRICT, STRICTEST, STRONG, TOTAL, WHOLE, WRAPPED, Style
from workbook.advice.decisions import Decision
from workbook.cells import CellRef
from workbook.pipeline import Result
from workbook.summary.names import EWE_DECISIONS
from workbook.summary.places import Places
from workbook.summary.tab import Cell, Head, Shown, Tab
from workbook.summary.words import VERDICT_ORDER, verdict_counts

WIDTHS = (8.0, 8.0, 6.0, 9.0, 7.5, 22.0, 10.5, 8.5, 8.5, 8.5, 9.0, 8.5)
SMALL = WRAPPED.with_(size=9)
BLANK = FILL_IN.with_(wrap=True, valign="top")
HEADS = (
    Head("Ewe", STRONG), Head("Group", SMALL), Head("Born year", WHOLE.with_(size=9)), Head("Verdict"),
    Head("Provi- sional", SMALL), Head("Reasons", SMALL), Head("Cells", SMALL), Head("Mother- ing", SMALL),
    Head("Checked", SMALL), Head("Not checked", SMALL), Head("Adviser's comment", BLANK), Head("Final decision", BLANK),
)
LOOKS: Mapping[Verdict, Style] = {
    Verdict.CULL: STRICTEST, Verdict.DRAFT: STRICT, Verdict.WATCH: LOOK_AGAIN, Verdict.UNKNOWN: OPEN, Verdict.KEEP: FINE,
}
FINAL = (Verdict.KEEP, Verdict.WATCH, Verdict.DRAFT, Verdict.CULL)
NOTE = ("Recommended from the rules on Policy and what was recorded; the farmer and adviser decide, the vet on health. Fill "
        "in the two last columns at the meeting. Cells names the cells in your own file and links to the row in this one.")
NO_FAULT = "no fault found"
UNREADABLE = "Choose keep, watch, draft or cull."
REASON_SPANS = ((1, 1), (2, 4), (5, 7), (8, 8), (9, 10), (11, 12))


def write_ewe_decisions(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab: counts, one row a ewe, then every reason with its cells."""
    tab = Tab(book, EWE_DECISIONS, WIDTHS, footer)
    tab.title(EWE_DECISIONS, NOTE)
    counts = verdict_counts(result)
    tab.prose("   ".join(f"{verdict.label}: {number}" for verdict, number in counts.items()), TOTAL.with_(border=""))
    ordered = sorted(result.decisions.values(), key=_order)
    top = tab.table(HEADS, [_row(decision, result, places) for decision in ordered], name="ewe_decisions",
                    empty="No ewe to decide on.")
    tab.heads_stay(top)
    if ordered:
        options = {"validate": "list", "source": [verdict.label for verdict in FINAL], "error_message": UNREADABLE}
        tab.page.validate((top + 1, len(HEADS)), (top + len(ordered), len(HEADS)), options)
    _write_reasons(tab, ordered, places)


def _order(decision: Decision) -> tuple[int, bool, int, str]:
    """By verdict, then by ewe number: numbers as numbers, other names after them."""
    name = decision.name.strip()
    digits = name.isdecimal()
    return VERDICT_ORDER.index(decision.verdict), not digits, int(name) if digits else 0, name.casefold()


def _row(decision: Decision, result: Result, places: Places) -> list[Shown]:
    ewe = result.season.flock.ewes.get(decision.ewe)
    record = ewe.record if ewe else None
    score = result.mothering.get(decision.ewe)
    cells = [place for reason in decision.reasons for place in reason.cells]
    style = LOOKS[decision.verdict]
    return [
        Cell(decision.name, link=places.link(record.at("ewe")) if record else None),
        record.text("group") if record else None, record.whole("born_year") if record else None,
        Cell(decision.verdict.label, style), "yes" if decision.provisional else "", _why(decision),
        Cell(_cells_words(cells), link=places.first(cells)), score.word if score else "", ", ".join(decision.checked),
        ", ".join(decision.not_checked), None, None,
    ]


def _why(decision: Decision) -> str:
    """The reasons that act, then those only noted; what was looked at stands in columns of its own."""
    acting = [reason.text for reason in decision.reasons if reason.action is not Action.NOTE]
    noted = [f"note: {reason.text}" for reason in decision.reasons if reason.action is Action.NOTE]
    if decision.verdict is Verdict.UNKNOWN:
        return Verdict.UNKNOWN.meaning
    return "; ".join(acting + noted) or NO_FAULT


def _cells_words(cells: Sequence[CellRef]) -> str:
    return ", ".join(dict.fromkeys(str(place) for place in cells))


def _write_reasons(tab: Tab, ordered: Sequence[Decision], places: Places) -> None:
    """Every reason on a row of its own, so that each leads to its first cell."""
    tab.section("Every reason", "One row a reason; the cell links to the row in this workbook.")
    titles = ("Ewe", "Rule", "What was found", "Asks for", "Cell", "Further cells")
    tab.spread(titles, REASON_SPANS, None)
    for decision in ordered:
        for reason in decision.reasons:
            first, rest = reason.cells[:1], reason.cells[1:]
            link = places.first(first)
            row: list[Shown] = [
                decision.name, reason.title, reason.text, reason.action.label, Cell(_cells_words(first), link=link),
                _cells_words(rest),
            ]
            tab.spread(row, REASON_SPANS, SMALL)
