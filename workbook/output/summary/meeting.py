"""Meeting: one page that answers how we did, where we lost lambs, and which ewes go. The workbook opens here."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import NamedTuple

from template_builder.files.look import PLAIN, PROSE, QUIET, SECTION, SIZE_SMALL, WHOLE
from template_builder.files.tab import Cell, Link, Tab, lines_needed
from template_builder.files.writer import Book
from template_builder.layout.choices import Verdict
from template_builder.layout.laying import in_order
from template_builder.layout.summary_tabs import EWE_DECISIONS, MEETING, SUMMARY
from template_builder.layout.words import shown
from workbook.output.summary.alarms import write_alarms
from workbook.output.summary.charts import bar_chart
from workbook.output.summary.gaps import references
from workbook.output.summary.phrases import FEW_WORD, missing_words, stage_words
from workbook.results.litters.figures import NOTHING, Figure
from workbook.results.litters.gaps import TARGET
from workbook.results.litters.known import enough
from workbook.results.litters.lines import ALL, LINE
from workbook.results.litters.losses import TOTAL
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW

COLUMNS = 12
WIDTHS = (111.0 / COLUMNS,) * COLUMNS
TILES = ((1, 3), (4, 6), (7, 9), (10, 12))
HALVES = ((1, 6), (8, 12))
LEFT = ((1, 4), (5, 6))  # a stage and its lambs, where there are too few for a picture
WHICH = ((8, 10), (11, 12))  # a reason, and the ewes
NUMBERS = COLUMNS + 2  # right of the printed page: what the picture is drawn from
CHART_WIDTH, CHART_HEIGHT = 400, 300  # pixels: half a printed page wide
CHART_ROWS = 13  # rows that the picture covers at the least

SMALL = PROSE.with_(size=SIZE_SMALL, colour=QUIET)
BIG = PLAIN.with_(size=20, bold=True)
NOTE = PROSE.with_(size=10)
EWES = NOTE.with_(bold=True)
RULED = NOTE.with_(bold=True, rule_above=True)
HEADED = PLAIN.with_(bold=True)
LINE_HIGH = 15.0  # points: a page holds thirty reasons

GOING = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH)
MOST_NAMED = 30  # ewes of one reason on this page; all are on Ewe decisions

# Lambs lost before they drew breath, by the line of the account.
BEFORE_BIRTH = ("aborted_scanned", "lost_with_ewe", "fewer", "never_lambed", "born_dead")


class Tile(NamedTuple):
    """One figure in large type: what it is, the value, and what it is set against or counted from."""

    title: str
    value: str
    line: str


class Reason(NamedTuple):
    """A reason that decided, with the names of the ewes it decided for."""

    title: str
    ewes: tuple[str, ...]


def write_meeting(book: Book, result: Result, footer: str) -> None:
    """Write the tab: one printed page, and right of it, for the screen, the numbers of the picture."""
    tab = Tab(book, MEETING, WIDTHS, footer)
    name = result.season.title or "This season"
    tab.title(f"{name}: how the season went", _subtitle(result))
    write_alarms(tab, result)
    _write_tiles(tab, tiles(result))
    tab.page.height(tab.row, LINE_HIGH)
    tab.row += 1
    tab.spread(("Where lambs were lost", "Which ewes go"), HALVES, SECTION)
    corner = tab.row
    lost = lost_by_stage(result)
    drawn = sum(lambs for _, lambs in lost) >= FEW
    for left, right in zip_longest([] if drawn else _listed(lost), _which(result)):
        _write_beside(tab, left, right)
    if drawn:
        _draw(book, tab, corner, lost)
    tab.page.print_area((1, 1), (max(tab.row - 1, corner + CHART_ROWS * drawn), COLUMNS))
    tab.page.print_setup(footer=footer, one_page=True)


def _subtitle(result: Result) -> str:
    return " ".join([f"As of {shown(result.season.as_of.date())}.", stage_words(result),
                     *(f"{words[0].upper()}{words[1:]}." for words in missing_words(result)[:1])])


def tiles(result: Result) -> tuple[Tile, ...]:
    """Four figures: reared, lost, scanned and helped. A figure that is not defined is left out."""
    known = {figure.id: figure for figure in result.figures if figure.value is not None}
    wanted = (("reared_pct", "Reared"), ("total_loss_pct", "Lambs lost"), ("scanning_pct_scanned", "Scanned"),
              ("assisted_pct", "Ewes helped"))
    return tuple(_tile(known[id], title, result) for id, title in wanted if id in known)


def _tile(figure: Figure, title: str, result: Result) -> Tile:
    value = "" if figure.value is None else FEW_WORD if figure.few else f"{figure.value:.1f} {figure.unit}"
    counts = f"{figure.numerator:g} of {figure.denominator:g}"
    target, last = references(figure, result.season.settings)
    against = f"target {target:g} %" if target is not None else f"last season {last:g} %" if last is not None else ""
    if against and (figure.few or not enough(figure)):
        against = figure.partly
    elif against:
        against += _gap(figure, result, target is not None)
    if figure.id == "scanning_pct_scanned":
        counts = f"{figure.numerator:g} lambs in {figure.denominator:g} ewes"
    if figure.id == "total_loss_pct":
        value, against = counts, ", ".join(part for part in (value, against) if part)
    return Tile(title, value, against or counts)


def _gap(figure: Figure, result: Result, own: bool) -> str:
    """The lambs that lie between a figure and what it is set against; nothing where it is met."""
    gap = next((gap for gap in result.gaps if gap.id == figure.id and (gap.against == TARGET) is own), None)
    if gap is None or not round(gap.lambs):
        return ": met"
    lambs = f"{round(gap.lambs)} {'lamb' if round(gap.lambs) == 1 else 'lambs'}"
    return f": {lambs} {'too many' if figure.id == 'total_loss_pct' else 'short'}"


def lost_by_stage(result: Result) -> tuple[tuple[str, int], ...]:
    """Lambs lost in each stage from scanning to weaning, in order; stages without a loss are left out.

    Together they are the lambs of the total loss; those still to be born are no loss, nor is anything nobody has written of.
    """
    if result.stage == NOTHING:
        return ()
    before = [(LINE[id].title.lower(), result.account.lines.get(id, {}).get(ALL, 0)) for id in BEFORE_BIRTH]
    stages = next((table.classes for table in result.losses if table.id == "stage"), ())
    after = [(item.label, round(item.loss.numerator)) for item in stages if item.label != TOTAL]
    counted = [(f"{group.group}, by its counts", group.lost or 0) for group in result.groups if group.by_count]
    return tuple((label, lambs) for label, lambs in (*before, *after, *counted) if lambs)


def going(result: Result) -> tuple[tuple[Verdict, tuple[Reason, ...]], ...]:
    """Ewes to cull, to draft and to watch, each by the reason that decides; most ewes first."""
    found = []
    for verdict in GOING:
        by_reason: dict[str, list[str]] = {}
        for decision in result.decisions.values():
            if decision.verdict is verdict:
                by_reason.setdefault(decision.reasons[0].title, []).append(decision.name)
        reasons = [Reason(title, tuple(sorted(names, key=in_order))) for title, names in by_reason.items()]
        reasons.sort(key=lambda reason: (-len(reason.ewes), reason.title))
        found += [(verdict, tuple(reasons))] if reasons else []
    return tuple(found)


Line = tuple[tuple[Cell, ...], Sequence[tuple[int, int]]]


def _which(result: Result) -> Iterator[Line]:
    """The lines of the right half: each verdict with its number, its reasons below it."""
    if not result.decisions:
        why = "Nothing is written yet" if result.stage == NOTHING else "No ewe is recorded by number"
        yield (Cell(f"{why}, so there is nothing to decide.", NOTE),), ((8, 12),)
        return
    for verdict, reasons in going(result):
        number = sum(len(reason.ewes) for reason in reasons)
        yield (Cell(f"{verdict.label} {number}", RULED),), ((8, 12),)
        for reason in reasons:
            yield (Cell(reason.title, NOTE), Cell(_named(reason.ewes), EWES)), WHICH
    rest = sum(decision.verdict is Verdict.KEEP for decision in result.decisions.values())
    yield (Cell(f"keep {rest}: numbers on {EWE_DECISIONS}", NOTE.with_(colour=QUIET), Link(EWE_DECISIONS, "A1")),), ((8, 12),)


def _named(ewes: Sequence[str]) -> str:
    more = len(ewes) - MOST_NAMED
    return "  ".join(ewes[:MOST_NAMED]) + (f"  and {more} more" if more > 0 else "")


def _listed(lost: Sequence[tuple[str, int]]) -> list[Line]:
    """The losses as lines, where they are too few for a picture."""
    if not lost:
        return [((Cell("No loss is written so far.", NOTE),), ((1, 6),))]
    return [((Cell(label, NOTE), Cell(lambs, WHOLE)), LEFT) for label, lambs in lost]


def _write_beside(tab: Tab, left: Line | None, right: Line | None) -> None:
    halves = [half for half in (left, right) if half]
    cells = tuple(cell for half in halves for cell in half[0])
    spans = [span for half in halves for span in half[1]]
    tab.spread(cells, spans, NOTE)
    widths = [sum(WIDTHS[first - 1:last]) for first, last in spans]
    if max(lines_needed(shown(cell.value), width, NOTE) for cell, width in zip(cells, widths, strict=True)) == 1:
        tab.page.height(tab.row - 1, LINE_HIGH)


def _write_tiles(tab: Tab, found: Sequence[Tile]) -> None:
    spans = TILES[:len(found)]
    if not found:
        tab.prose(f"No figures yet: see {SUMMARY}.")
        return
    tab.spread([Cell(tile.title, SMALL.with_(rule_above=True)) for tile in found], spans, SMALL)
    tab.spread([Cell(tile.value, BIG) for tile in found], spans, BIG)
    tab.page.height(tab.row - 1, 30)
    tab.spread([Cell(tile.line, SMALL) for tile in found], spans, SMALL)


def _draw(book: Book, tab: Tab, corner: int, lost: Sequence[tuple[str, int]]) -> None:
    """The losses as bars, from numbers that stand right of the printed page."""
    total = sum(lambs for _, lambs in lost)
    title = f"Lambs lost, by stage ({total} in all)"
    for column, head in enumerate(("Stage", "Lambs"), start=NUMBERS):
        tab.page.text(corner, column, head, HEADED)
    for row, (label, lambs) in enumerate(lost, start=corner + 1):
        tab.page.text(row, NUMBERS, label, PLAIN)
        tab.page.number(row, NUMBERS + 1, lambs, WHOLE)
    tab.page.width(NUMBERS, 26)
    chart = bar_chart(book, title, tab.page, (corner + 1, corner + len(lost)), NUMBERS)
    words = f"{title}: {', '.join(f'{label} {lambs}' for label, lambs in lost)}"
    tab.page.place(corner, 1, chart, width=CHART_WIDTH, height=CHART_HEIGHT, words=words)
