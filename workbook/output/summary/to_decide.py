"""In the pack: the ewes to decide on, a line each with a box for the final word, and the others by number."""

from collections.abc import Sequence

from template_builder.files.look import BODY, STRONG, WRAPPED, Style
from template_builder.files.tab import Cell, Head, Shown
from template_builder.files.writer import Page
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Verdict
from template_builder.layout.laying import in_order
from template_builder.layout.summary_tabs import EWE_DECISIONS, POLICY
from workbook.output.summary.ewe_decisions import LOOKS, in_order_of_verdict
from workbook.output.summary.live.ewes import EWE_BLOCK
from workbook.output.summary.live.lists import MOVED_LINE
from workbook.output.summary.live.named import (
    ADDED,
    ADDED_LINE,
    LINES,
    MOST_ADDED,
    NUMBERS,
    TO_DECIDE,
    is_long,
    numbers_line,
    page,
)
from workbook.output.summary.pack import COLUMNS, Area, Around, Part, Span
from workbook.output.summary.phrases import VERDICT_ORDER
from workbook.results.advice.decisions import Decision
from workbook.results.advice.her_years import earlier_years
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.pipeline import Result

SMALL = WRAPPED.with_(size=9)
NUMBERS_HIGH = 15.5  # points of a row of numbers alone
NAME = STRONG.with_(valign="top")
SPANS: tuple[Span, ...] = ((1, 1), (2, 2), (3, 5), (6, 11), (12, 12))
LONG_SPANS: tuple[Span, ...] = ((1, 2), (3, 3), (4, 6), (7, 11), (12, 12))
WHY = "Why, the deciding reason first; what is seen to before she goes"
NOTE = (f"The deciding reason stands first. Each ewe keeps her line: verdict and reasons follow what is set on "
        f"{POLICY} and {EWE_DECISIONS}. Write the final word in the box at the meeting and type it there. The "
        "farmer and adviser decide, the vet on health; the medicine book and local rules stand above what is written here.")
ADDED_NOTE = ("Ewes that come to those above as rules and decisions are changed. Blank lines are for those the meeting adds by "
              f"hand; their records are on {EWE_DECISIONS}.")
NOBODY = "By what was recorded no ewe is to cull, to draft or to watch."
KEEP_NOTE = f"Nothing recorded of these ewes decides against them; what was looked at of each is on {EWE_DECISIONS}."
NOT_KNOWN_NOTE = "Nothing was recorded this season of these ewes."


def ewes_to_decide(around: Around) -> Part | None:
    """Ewes to cull, to draft and to watch, strictest first."""
    result = around.result
    if around.live is None:
        return None
    ewes = sorted((one for one in result.decisions.values() if one.verdict in TO_DECIDE), key=_order)
    so_far = any(one.provisional for one in ewes)
    heads = (Head("Ewe", NAME), Head("Verdict, so far" if so_far else "Verdict"), Head(WHY, SMALL),
             Head("Her season", SMALL), Head("Final word"))
    spans = LONG_SPANS if is_long(one.name for one in ewes) else SPANS
    if ewes:
        order = dict(zip((one.ewe for one in in_order_of_verdict(result)), around.live.values(EWE_BLOCK)["order"], strict=True))
        around.live.given(LINES, "ewe", [order[one.ewe] for one in ewes])
    rows = [_line(number, one, around) for number, one in enumerate(ewes, start=1)]
    return Part(NOTE if ewes else NOBODY, heads, spans, rows, long=True, moved=_moved(around))


def _moved(around: Around) -> tuple[str, str]:
    """What has been changed since these lines were written: they follow, each ewe in her own line."""
    return ("", "") if around.live is None else (str(around.live.cell(MOVED_LINE)), f"={MOVED_LINE.name}")


def _order(decision: Decision) -> tuple[object, ...]:
    return VERDICT_ORDER.index(decision.verdict), decision.reasons[0].title, *in_order(decision.name.strip())


def _line(number: int, decision: Decision, around: Around) -> list[Shown]:
    """Verdict, reasons and what is seen to before she goes follow what is decided in the workbook."""
    ewe = around.result.season.flock.ewes[decision.ewe]
    return [
        Cell(decision.name, link=around.places.link(ewe.record.at("ewe")) if ewe.record else None),
        _live(around, LINES, "final", number), _live(around, LINES, "why", number, SMALL),
        _her_season(around, decision), None,
    ]


def _live(around: Around, sheet: str, column: str, number: int, style: Style = WRAPPED) -> Cell:
    assert around.live is not None  # there is a decision
    return Cell(around.live.column(sheet, column)[number - 1], style, formula=page(sheet, column, number))


def _her_season(around: Around, decision: Decision) -> str:
    """This season of hers, and below it the earlier ones, a line each."""
    result = around.result
    ewe = result.season.flock.ewes[decision.ewe]
    now = season_in_words(ewe, result.rearing.litters.get(ewe.key), sound=False, year=result.season.year)
    return "\n".join([now, *earlier_years(ewe)])


def ewes_added(around: Around) -> Part | None:
    """Lines for ewes that come to those above as rules and decisions are changed; blank, they take what is written by hand."""
    if around.live is None:
        return None
    rows = [[_live(around, ADDED, column, number, style) for column, style in (
        ("name", NAME), ("final", WRAPPED), ("why", SMALL))] + [None] for number in range(1, MOST_ADDED + 1)]
    long = _names_long(around.result)
    heads = (Head("Ewe", NAME), Head("Verdict"), Head(WHY, SMALL), Head("Final word"))
    spans = ((1, 2), (3, 3), (4, 11), (12, 12)) if long else ((1, 1), (2, 2), (3, 11), (12, 12))
    return Part(ADDED_NOTE, heads, spans, rows, long=True, moved=(str(around.live.cell(ADDED_LINE)), f"={ADDED_LINE.name}"))


def ewes_to_keep(around: Around) -> Part | None:
    """Ewes that stay, by number in columns."""
    return _numbers(around, Verdict.KEEP, KEEP_NOTE)


def ewes_not_known(around: Around) -> Part | None:
    """Ewes of which nothing was recorded, by number."""
    return _numbers(around, Verdict.UNKNOWN, NOT_KNOWN_NOTE)


def _numbers(around: Around, verdict: Verdict, note: str) -> Part | None:
    """The numbers of the ewes of one decision as it stands in the workbook, with a row for those that come to them."""
    if around.live is None or NUMBERS[verdict] not in around.live.sheets:
        return None
    sheet = around.live.sheets[NUMBERS[verdict]]
    wide = 2 if is_long(one.name for one in around.result.decisions.values() if one.verdict is verdict) else 1
    spans = tuple((first, first + wide - 1) for first in range(1, COLUMNS + 1, wide))
    cells = [_live(around, sheet.id, "name", number, BODY) for number in range(1, sheet.rows + 1)]
    line = numbers_line(verdict, sheet.rows)
    return Part(note, tuple(Head("", BODY) for _ in spans), spans, _in_columns(cells, len(spans)), long=True, height=NUMBERS_HIGH,
                moved=(str(around.live.cell(line)), f"={line.name}"))


def _in_columns(cells: Sequence[Shown], columns: int) -> list[list[Shown]]:
    """Down one column, then down the next."""
    rows = len(cells) // columns
    return [list(cells[at::rows]) for at in range(rows)]


def _names_long(result: Result) -> bool:
    return is_long(one.name for one in result.decisions.values())


def mark_verdicts(page: Page, area: Area) -> None:
    """Each verdict of a list in its look, whatever it comes to be."""
    if not area.rows:
        return
    column = area.spans[1][0]
    first, last = area.rows[0], area.rows[-1]
    for verdict in TO_DECIDE:
        page.condition((first, column), (last, column), {
            "type": "formula", "criteria": f'=${letters(column)}{first}="{verdict.label}"',
            "format": page.book.format(LOOKS[verdict])})
