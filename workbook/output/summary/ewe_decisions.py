"""Ewe decisions: what the rules recommend for each ewe, why, and room for the meeting's own word. It moves with Policy."""

from collections.abc import Iterator, Mapping, Sequence

from template_builder.files.look import (
    FILL_IN,
    FINE,
    HINT,
    LOOK_AGAIN,
    OPEN,
    PLAIN,
    STRICT,
    STRICTEST,
    STRONG,
    TOTAL,
    WHOLE,
    WRAPPED,
    Style,
)
from template_builder.files.room import width_for
from template_builder.files.tab import Cell, Head, Shown, Tab, padded
from template_builder.files.writer import Book
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Verdict
from template_builder.layout.decided import COMMENT, EWE, FINAL, KEY, OWN_WORD, WHY
from template_builder.layout.laying import in_order
from template_builder.layout.policy import EVIDENCE, SCORE
from template_builder.layout.summary_tabs import EWE_DECISIONS
from template_builder.live.columns import LiveColumn
from workbook.output.summary.live.ewes import (
    beside_columns,
    final_formula,
    going_formula,
    reasons_formula,
    verdict_formula,
    years_columns,
)
from workbook.output.summary.live.lists import LINES
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.live.write import define_block, used_names, write_formulas, write_values
from workbook.output.summary.phrases import VERDICT_ORDER
from workbook.output.summary.places import Places
from workbook.results.advice.decisions import LOOKED_AT, Decision
from workbook.results.pipeline import Result
from workbook.results.scores.mothering import any_scored
from workbook.season.cells import CellRef

SMALL = WRAPPED.with_(size=9)
BLANK = FILL_IN.with_(wrap=True, valign="top", indent=1, align="left")
VERDICT, PROVISIONAL, FINAL_WORD = "Verdict", "Verdict, so far", "Final decision"
MOTHERING, LITTER = "Mothering", "Litter"
SCREEN, WORDS = 20.0, 60.0  # characters of columns for the screen, right of the printed page
ON_SCREEN = PLAIN.with_(size=9)
LOOKS: Mapping[Verdict, Style] = {
    Verdict.CULL: STRICTEST, Verdict.DRAFT: STRICT, Verdict.WATCH: LOOK_AGAIN, Verdict.UNKNOWN: OPEN, Verdict.KEEP: FINE,
}
NOTE = ("By the rules on Policy and what was recorded; change a rule there and this page moves. The farmer and adviser decide, "
        "the vet on health: a decision of your own, with a reason, takes the place of the verdict. Before she goes: medicines as "
        "written here and what speaks against travelling; the medicine book, the vet and local rules decide. {mothering}"
        "Checked: of {looked_at}. On the right: her last three years, the cells of your file that speak against her, and the "
        "number each rule looks at. Sort with the arrows in the headings, never one column alone.")
LITTER_KG = "how far her litter was above or below those of like ewes. "
MOTHERING_NOTE = f"Mothering: the third of ewes like her that she is in, then {LITTER_KG}"
LITTER_NOTE = f"Litter: {LITTER_KG}"
HARD_SPACE = "\N{NO-BREAK SPACE}"
CHOOSE = f"Choose {', '.join(verdict.label for verdict in FINAL)}, or leave it blank."


def in_order_of_verdict(result: Result) -> list[Decision]:
    """Every ewe that is decided on, the strictest verdict first, then by number."""
    return sorted(result.decisions.values(), key=_order)


def printed_columns(result: Result) -> tuple[LiveColumn, ...]:
    """The columns of the printed page; where no ewe has a score or a litter, the others have the room of that column."""
    provisional = any(decision.provisional for decision in result.decisions.values())
    mothers = _mothers(result)
    title = MOTHERING if any_scored(result.mothering.values()) else LITTER
    mothering = () if mothers is None else (LiveColumn("mothering", "", title, width=15.0, style=SMALL),)
    names = width_for((one.name for one in result.decisions.values()), 7.5)
    return (
        LiveColumn("name", "", EWE, width=names, style=STRONG), LiveColumn("group", "", "Group", width=6.0, style=SMALL),
        LiveColumn("born", "", "Born year", width=5.5, style=WHOLE.with_(size=9)),
        LiveColumn("verdict", verdict_formula(), PROVISIONAL if provisional else VERDICT, width=7.5, style=WRAPPED),
        LiveColumn("reasons", reasons_formula(), "Reasons", width=18.5 if mothering else 26.0, style=SMALL),
        LiveColumn("going", going_formula(), "Before she goes", width=10.5, style=SMALL), *mothering,
        LiveColumn("checked", "", "Checked", width=8.5 if mothering else 16.0, style=SMALL),
        LiveColumn("comment", "", COMMENT, width=8.5, style=BLANK),
        LiveColumn("word", "", OWN_WORD, width=7.5, style=BLANK), LiveColumn("why", "", WHY, width=8.0, style=BLANK),
        LiveColumn("row_key", "", KEY, width=0.0, style=PLAIN),
        LiveColumn("final", final_formula(), FINAL_WORD, width=7.5, style=WRAPPED),
    )


def write_ewe_decisions(book: Book, result: Result, live: LiveDecisions, places: Places, footer: str) -> None:
    """Write the tab: counts, then one row a ewe; right of the printed columns what each rule looks at."""
    ordered, printed, mothers = in_order_of_verdict(result), printed_columns(result), _mothers(result)
    tab = Tab(book, EWE_DECISIONS, [column.width for column in printed], footer, read=True)
    note = "" if mothers is None else MOTHERING_NOTE if any_scored(result.mothering.values()) else LITTER_NOTE
    tab.title(EWE_DECISIONS, NOTE.format(looked_at=", ".join(LOOKED_AT), mothering=note))
    for cell in LINES:
        tab.prose(str(live.cell(cell)), TOTAL.with_(border=""), formula=f"={cell.name}")
    sheet = live.sheets["decisions"]
    heads = [Head(column.title or column.id, column.style) for column in sheet.columns]
    beside = beside_columns()
    heads[len(printed):len(printed) + len(beside)] = [Head(column.title, SMALL) for column in beside]
    rows = _rows(ordered, printed, result, live, places, mothers)
    top = tab.table(heads, list(rows), name="ewe_decisions")
    _widths(tab, printed, len(heads))
    _live_cells(book, tab, live, top + 1)
    _inputs(tab, printed, top + 1, len(ordered))
    tab.heads_stay(top)
    tab.page.print_area((1, 1), (tab.row - 1, len(printed)))


def _rows(
    ordered: Sequence[Decision], printed: Sequence[LiveColumn], result: Result, live: LiveDecisions, places: Places,
    mothers: Mapping[str, str] | None,
) -> Iterator[list[Shown]]:
    """The values of each row: the printed columns, formulas only by the height they need, and the evidence."""
    formulas = {column.id: live.column("decisions", column.id) for column in printed if column.formula}
    for at, decision in enumerate(ordered):
        values = _values(decision, result, places, mothers)
        values |= {id: Cell(cells[at], elsewhere=True) for id, cells in formulas.items()}
        yield [*(values.get(column.id) for column in printed), *_years(decision, result),
               Cell(_cells_words(_told_by(decision)), ON_SCREEN), *_evidence(decision, places)]


def _values(
    decision: Decision, result: Result, places: Places, mothers: Mapping[str, str] | None,
) -> dict[str, Shown]:
    ewe = result.season.flock.ewes.get(decision.ewe)
    record = ewe.record if ewe else None
    return {
        "name": Cell(decision.name, link=places.link(record.at("ewe")) if record else None),
        "group": record.text("group") if record else None, "born": record.whole("born_year") if record else None,
        "checked": _looked_at(decision), "mothering": (mothers or {}).get(decision.ewe),
    }


def _years(decision: Decision, result: Result) -> Iterator[Shown]:
    """Her last three years, each in its own cell on one line."""
    lines = result.years.get(decision.ewe, ())
    yield from (Cell(line, ON_SCREEN) for line in lines)
    yield from [None] * (len(years_columns()) - len(lines))


def _evidence(decision: Decision, places: Places) -> Iterator[Shown]:
    """The number each rule looks at; one that says something links to the row it was read from."""
    for seen in decision.facts.seen.values():
        link = places.first(seen.cells) if seen.value else None
        yield None if seen.value is None else Cell(seen.value, WHOLE.with_(size=9, number_format="General"), link)


def _told_by(decision: Decision) -> list[CellRef]:
    """The cells of what was found: of the reasons first, then of whatever else speaks against her."""
    reasons = [cell for reason in decision.reasons for cell in reason.cells]
    against = [decision.facts.seen[one.id] for one in EVIDENCE if one.unit != SCORE]
    return [*reasons, *(cell for seen in against if seen.value for cell in seen.cells)]


def _widths(tab: Tab, printed: Sequence[LiveColumn], columns: int) -> None:
    """The evidence stands beside the page for the screen; keys and what is worked out on the way are hidden."""
    tab.page.width([column.id for column in printed].index("row_key") + 1, SCREEN, hidden=True)
    beside = beside_columns()
    words = len(beside) - len(EVIDENCE)
    for number in range(len(printed) + 1, columns + 1):
        at = number - len(printed)
        tab.page.width(number, WORDS if at <= words else SCREEN, hidden=at > len(beside))


def _live_cells(book: Book, tab: Tab, live: LiveDecisions, first: int) -> None:
    sheet = live.sheets["decisions"]
    shown = {"name", *(column.id for column in beside_columns())}
    write_values(tab.page, sheet, {id: cells for id, cells in live.values(sheet.id).items() if id not in shown}, first)
    write_formulas(tab.page, live, sheet, first, {column.id: padded(column.style) for column in sheet.columns if column.title})
    define_block(book, sheet, tab.page.title, first, used_names(live))


def _inputs(tab: Tab, printed: Sequence[LiveColumn], first: int, ewes: int) -> None:
    """The list of decisions, and looks that follow the words."""
    place = {column.id: number for number, column in enumerate(printed, start=1)}
    last = first + ewes - 1
    options = {"validate": "list", "source": [verdict.label for verdict in FINAL], "error_message": CHOOSE}
    tab.page.validate((first, place["word"]), (last, place["word"]), options)
    for id in ("verdict", "final"):
        cell = f"${letters(place[id])}{first}"
        for verdict, style in LOOKS.items():
            if style is not FINE:
                tab.page.condition((first, place[id]), (last, place[id]), {
                    "type": "formula", "criteria": f'={cell}="{verdict.label}"', "format": tab.page.book.format(style)})
        words = ",".join(f'{cell}<>"{verdict.label}"' for verdict in Verdict)
        tab.page.condition((first, place[id]), (last, place[id]), {
            "type": "formula", "criteria": f"=AND({words})", "format": tab.page.book.format(HINT)})


def _order(decision: Decision) -> tuple[object, ...]:
    """By verdict, then by ewe number."""
    return VERDICT_ORDER.index(decision.verdict), *in_order(decision.name.strip())


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
    """Her mothering in a word, her litter's kilograms above like ewes."""
    score, against = result.mothering.get(ewe), result.rearing.against(ewe)
    said = [score.word] if score and scored else []
    if against is not None and against.deviation is not None:
        said.append(f"litter {_beside(against.deviation)}")
    return ", ".join(said)


def _beside(kg: float) -> str:
    """Kilograms above or below those of like ewes, in words."""
    near = round(abs(kg), 1)
    return f"{near:.1f}{HARD_SPACE}kg {'above' if kg > 0 else 'below'} like ewes" if near else "as like ewes"


def _cells_words(cells: Sequence[CellRef]) -> str:
    """Cells by sheet: "Lambing!L9, N9; Ewe check!G4"."""
    by_sheet: dict[str, list[str]] = {}
    for place in dict.fromkeys(cells):
        by_sheet.setdefault(place.sheet, []).append(place.cell)
    return "; ".join(f"{sheet}!{', '.join(found)}" for sheet, found in by_sheet.items())
