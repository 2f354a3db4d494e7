"""Ewe decisions: what the records recommend for each ewe, why, and room for the meeting's final word."""

from collections.abc import Mapping, Sequence

from template_builder.files.look import FILL_IN, FINE, LOOK_AGAIN, OPEN, STRICT, STRICTEST, STRONG, TOTAL, WHOLE, WRAPPED, Style
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.choices import Action, Verdict
from template_builder.layout.decided import COMMENT, FINAL, KEY, OWN_WORD, WHY
from template_builder.layout.laying import in_order
from template_builder.layout.summary_tabs import EWE_DECISIONS
from workbook.output.summary.phrases import VERDICT_ORDER, verdict_counts
from workbook.output.summary.places import Places
from workbook.results.advice.decisions import LOOKED_AT, Decision, before_she_goes
from workbook.results.pipeline import Result
from workbook.results.scores.mothering import any_scored
from workbook.season.cells import CellRef
from workbook.season.decided import row_mark

WIDTHS = (7.5, 7.0, 5.5, 8.5, 17.0, 10.0, 10.5, 11.0, 9.0, 9.5, 7.5, 8.0)
SMALL = WRAPPED.with_(size=9)
TINY = WRAPPED.with_(size=8)
VERDICT, PROVISIONAL = "Verdict", "Verdict, so far"
BLANK = FILL_IN.with_(wrap=True, valign="top")
HEADS = (
    Head("Ewe", STRONG), Head("Group", SMALL), Head("Born year", WHOLE.with_(size=9)), Head(VERDICT),
    Head("Reasons", SMALL), Head("Cells", SMALL), Head("Before she goes", TINY), Head("Mothering", SMALL),
    Head("Checked", TINY), Head(COMMENT, BLANK), Head(OWN_WORD, BLANK), Head(WHY, BLANK),
)
LOOKS: Mapping[Verdict, Style] = {
    Verdict.CULL: STRICTEST, Verdict.DRAFT: STRICT, Verdict.WATCH: LOOK_AGAIN, Verdict.UNKNOWN: OPEN, Verdict.KEEP: FINE,
}
VERDICT_AT, REASONS_AT, MOTHERING_AT = 3, 4, 7  # in HEADS
NOTE = ("Recommended from the rules on Policy and what was recorded; the farmer and adviser decide, the vet on health. Fill "
        "in the last three columns at the meeting. Cells names the cells in your own file; right of the printed page each "
        "reason links to its row in this one. Before she goes: medicines as written here and what speaks against her travelling; "
        "the medicine book, the vet and local rules decide. {mothering}Checked: of {looked_at}.")
LITTER_KG = "how many kg her litter was above those of like ewes, and in brackets the same over all her seasons. "
MOTHERING_NOTE = f"Mothering gives which third of ewes like her she is in, then {LITTER_KG}"
LITTER, LITTER_NOTE = "Litter", f"Litter gives {LITTER_KG}"
MINUS, HARD_SPACE = "\N{MINUS SIGN}", "\N{NO-BREAK SPACE}"
NO_FAULT = "no fault found"
UNREADABLE = f"Choose {', '.join(verdict.label for verdict in FINAL)}, or leave it blank."
REASON_WIDTH = 14.0  # columns for the screen, right of the printed page


def write_ewe_decisions(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab: counts, then one row a ewe, with links for each reason right of the printed columns."""
    ordered = sorted(result.decisions.values(), key=_order)
    most = max((len(decision.reasons) for decision in ordered), default=0)
    mothers = _mothers(result)
    printed, widths, note = _printed(result, mothers)
    tab = Tab(book, EWE_DECISIONS, widths, footer)
    for column in range(len(printed), len(printed) + most):
        tab.page.width(column + 1, REASON_WIDTH)
    tab.title(EWE_DECISIONS, NOTE.format(looked_at=", ".join(LOOKED_AT), mothering=note))
    counts = verdict_counts(result)
    tab.prose("   ".join(f"{verdict.label}: {number}" for verdict, number in counts.items()), TOTAL.with_(border=""))
    heads = [*printed, *(Head(f"Reason {number} at", SMALL) for number in range(1, most + 1)), Head(KEY, SMALL)]
    tab.page.width(len(heads), REASON_WIDTH, hidden=True)
    top = tab.table(heads, [_row(decision, result, places, most, mothers) for decision in ordered], name="ewe_decisions",
                    empty="No ewe to decide on.")
    tab.heads_stay(top)
    if ordered:
        options = {"validate": "list", "source": [verdict.label for verdict in FINAL], "error_message": UNREADABLE}
        own_word = [head.title for head in printed].index(OWN_WORD) + 1
        tab.page.validate((top + 1, own_word), (top + len(ordered), own_word), options)
        tab.page.print_area((1, 1), (tab.row, len(printed)))


def _printed(result: Result, mothers: Mapping[str, str] | None) -> tuple[list[Head], list[float], str]:
    """The printed columns, their widths, and what is said of mothering; the room of a column left out goes to the reasons."""
    heads, widths = list(HEADS), list(WIDTHS)
    if any(decision.provisional for decision in result.decisions.values()):
        heads[VERDICT_AT] = Head(PROVISIONAL)
    if any_scored(result.mothering.values()):
        return heads, widths, MOTHERING_NOTE
    if mothers is not None:
        heads[MOTHERING_AT] = Head(LITTER, SMALL)
        return heads, widths, LITTER_NOTE
    widths[REASONS_AT] += widths.pop(MOTHERING_AT)
    del heads[MOTHERING_AT]
    return heads, widths, ""


def _order(decision: Decision) -> tuple[object, ...]:
    """By verdict, then by ewe number."""
    return VERDICT_ORDER.index(decision.verdict), *in_order(decision.name.strip())


def _row(
    decision: Decision, result: Result, places: Places, most: int, mothers: Mapping[str, str] | None,
) -> list[Shown]:
    ewe = result.season.flock.ewes.get(decision.ewe)
    record = ewe.record if ewe else None
    cells = [place for reason in decision.reasons for place in reason.cells]
    reasons = [Cell(_cells_words(reason.cells[:1]), SMALL, places.first(reason.cells)) for reason in decision.reasons]
    style = LOOKS[decision.verdict]
    return [
        Cell(decision.name, link=places.link(record.at("ewe")) if record else None),
        record.text("group") if record else None, record.whole("born_year") if record else None,
        Cell(decision.verdict.label, style), _why(decision), _cells_words(cells), _before_she_goes(decision),
        *([] if mothers is None else [mothers[decision.ewe]]),
        _looked_at(decision), None, None, None, *reasons, *[None] * (most - len(reasons)), row_mark(decision.name),
    ]


def _before_she_goes(decision: Decision) -> str:
    """Medicines and fitness to travel, of those the rules would send away."""
    return before_she_goes(decision) if decision.verdict in (Verdict.CULL, Verdict.DRAFT) else ""


def _looked_at(decision: Decision) -> str:
    """What was looked at of her, or what was not where that is shorter to say."""
    checked, not_checked = ", ".join(decision.checked), ", ".join(decision.not_checked)
    if not not_checked:
        return "all"
    if not checked:
        return "nothing"
    return f"all but {not_checked}" if len(checked) > len(not_checked) else checked


def _mothers(result: Result) -> Mapping[str, str] | None:
    """What there is to say of each ewe as a mother: her litter alone where no ewe of the flock has a score, else None."""
    scored = any_scored(result.mothering.values())
    found = {key: _mothering(key, result, scored) for key in result.decisions}
    return found if scored or any(found.values()) else None


def _mothering(ewe: str, result: Result, scored: bool) -> str:
    """Her mothering in a word, her litter's kilograms above like ewes, and in brackets those over several seasons."""
    score, against, across = result.mothering.get(ewe), result.rearing.against(ewe), result.rearing.across.get(ewe)
    said = [score.word] if score and scored else []
    if against is not None and against.deviation is not None:
        said.append(f"{_signed(against.deviation)}{HARD_SPACE}kg")
    if across is not None and across.seasons > 1:
        said.append(f"({_signed(across.kg)})")
    return " ".join(said)


def _signed(kg: float) -> str:
    """With its sign; a true minus, at which no line breaks."""
    return f"{round(kg, 1) + 0.0:+.1f}".replace("-", MINUS)


def _why(decision: Decision) -> str:
    """The reasons that act, then those only noted; what was looked at stands in columns of its own."""
    acting = [reason.text for reason in decision.reasons if reason.action is not Action.NOTE]
    noted = [f"note: {reason.text}" for reason in decision.reasons if reason.action is Action.NOTE]
    if decision.verdict is Verdict.UNKNOWN:
        return Verdict.UNKNOWN.meaning
    return "; ".join(acting + noted) or NO_FAULT


def _cells_words(cells: Sequence[CellRef]) -> str:
    """Cells by sheet: "Lambing!L9, N9; Ewe check!G4"."""
    by_sheet: dict[str, list[str]] = {}
    for place in dict.fromkeys(cells):
        by_sheet.setdefault(place.sheet, []).append(place.cell)
    return "; ".join(f"{sheet}!{', '.join(found)}" for sheet, found in by_sheet.items())
