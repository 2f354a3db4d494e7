"""Page one of Meeting answers how we did, where we lost lambs, and which ewes go."""

from collections.abc import Sequence
from itertools import zip_longest
from typing import NamedTuple

from template_builder.files.bars import bar_chart, bar_words
from template_builder.files.look import MIST, PLAIN, PRINT_PAGE, PROSE, QUIET, SECTION, SIZE_SMALL, WHOLE
from template_builder.files.room import FREE_ROW, LINE_HEIGHT, letters_in, lines_needed
from template_builder.files.tab import Cell, Tab
from template_builder.files.writer import Book
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Verdict
from template_builder.layout.laying import in_order
from template_builder.layout.words import sentence, shown, so_many
from workbook.output.summary.alarms import write_alarms
from workbook.output.summary.gaps import references
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.live.which import GOING, MOST_LINES, MOST_NAMED
from workbook.output.summary.live.which import WHICH as WHICH_BLOCK
from workbook.output.summary.live.which import line as line_of
from workbook.output.summary.pack import COLUMNS
from workbook.output.summary.phrases import FEW_WORD, missing_words, stage_words
from workbook.results.litters.figures import NOTHING, Figure
from workbook.results.litters.gaps import TARGET
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.known import enough
from workbook.results.litters.lines import ALL, LINE
from workbook.results.litters.losses import TOTAL
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW

TILES = ((1, 3), (4, 6), (7, 9), (10, 12))
HALVES = ((1, 6), (7, 12))
LEFT = ((1, 4), (5, 5))  # a stage and its lambs, where there are too few for a picture
WHICH = ((7, 9), (10, 12))  # a decision with its number, or a reason and the ewes
NUMBERS = COLUMNS + 2  # right of the printed page: what the picture is drawn from
CHART_WIDTH, CHART_HEIGHT = 480, 310  # pixels: half a printed page wide
PIXELS_A_POINT = 4 / 3
SPARE_POINTS = 16.0  # left free below the picture: a program may print the rows above it a little higher
CHART_ROWS = 16  # rows that the picture covers at the least

SMALL = PROSE.with_(size=SIZE_SMALL, colour=QUIET)
BIG = PLAIN.with_(size=20, bold=True)
NOTE = PROSE.with_(size=10)
EWES = NOTE.with_(bold=True)
DECISION = NOTE.with_(bold=True, fill=MIST)
HEADED = PLAIN.with_(bold=True)
LINE_HIGH = 14.0  # points: a page holds thirty reasons
SPARE_LINES = 4  # for reasons that come up as rules are changed
AND_MORE = "  and 999 more"
NAMED = (MOST_NAMED, 20, 12, 8, 4, 2, 1)  # ewes of one reason in a line, fewer where not all reasons fit otherwise
BETWEEN = 2  # characters from one number to the next

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


def write_page_one(book: Book, tab: Tab, result: Result, live: LiveDecisions | None) -> None:
    """Write the first printed page, and right of it, out of sight, the numbers of the picture."""
    name = result.season.title or "This season"
    tab.title(f"{name}: how the season went", _subtitle(result))
    write_alarms(tab, result)
    _write_tiles(tab, tiles(result))
    tab.free()
    tab.spread(("Where lambs were lost", "Which ewes go"), HALVES, SECTION)
    corner, room = tab.row, PRINT_PAGE - tab.used
    lost = lost_by_stage(result)
    drawn = sum(lambs for _, lambs in lost) >= FEW
    which = _which(tab, result, live) if live else [_nothing(result)]
    for left, right in zip_longest([] if drawn else _listed(lost), which):
        _write_beside(tab, left, right)
    if live:
        _headed(tab, corner, tab.row - 1)
    if drawn:
        draw(book, tab, corner, lost, room, by=split_by(result))
        while tab.row < corner + CHART_ROWS and tab.fits(FREE_ROW):
            tab.free()


def _subtitle(result: Result) -> str:
    missing = [] if result.by_counts_alone else missing_words(result)[:1]  # the stage says of such a flock what is not known
    return " ".join([f"As of {shown(result.season.as_of.date())}.", stage_words(result), *map(sentence, missing)])


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
    if figure.few or not enough(figure):
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
    return f": {so_many(round(gap.lambs), 'lamb')} {'too many' if figure.id == 'total_loss_pct' else 'short'}"


def lost_by_stage(result: Result) -> tuple[tuple[str, int], ...]:
    """Lambs lost in each stage from scanning to weaning, in order; stages without a loss are left out.

    Together they are the lambs of the total loss; those still to be born are no loss, nor is anything nobody has written of.
    """
    if result.stage == NOTHING:
        return ()
    before = [(LINE[id].title.lower(), result.account.lines.get(id, {}).get(ALL, 0)) for id in BEFORE_BIRTH]
    stages = next((table.classes for table in result.losses if table.id == "stage"), ())
    after = [(item.label, round(item.loss.numerator)) for item in stages if item.label != TOTAL]
    counted = [(counted_label(group, result), group.lost or 0) for group in result.groups if group.by_count]
    return tuple((label, lambs) for label, lambs in (*before, *after, *counted) if lambs)


def counted_label(group: GroupAccount, result: Result) -> str:
    """What a group known by its counts is called among the stages; where there are no stages its name is enough."""
    return group.group if result.by_counts_alone else f"{group.group}, by its counts"


def split_by(result: Result) -> str:
    """What the picture of the losses is split by."""
    if result.by_counts_alone:
        return "by group"
    return "by stage, counted groups apart" if any(group.by_count and group.lost for group in result.groups) else "by stage"


def going(result: Result) -> tuple[tuple[Verdict, tuple[Reason, ...]], ...]:
    """Ewes to cull, to draft and to watch, each by the reason that decides; most ewes first, then in the order of Policy."""
    order = [placed.rule.title for placed in result.season.policy.rules]
    found = []
    for verdict in GOING:
        by_reason: dict[str, list[str]] = {}
        for decision in result.decisions.values():
            if decision.verdict is verdict:
                by_reason.setdefault(decision.reasons[0].title, []).append(decision.name)
        reasons = [Reason(title, tuple(sorted(names, key=in_order))) for title, names in by_reason.items()]
        found.append((verdict, tuple(sorted(reasons, key=lambda reason: (-len(reason.ewes), order.index(reason.title))))))
    return tuple(found)


Line = tuple[tuple[Cell, ...], Sequence[tuple[int, int]]]


def _which(tab: Tab, result: Result, live: LiveDecisions) -> list[Line]:
    """The lines of the right half: each decision with its number, its reasons below it, and lines for what may come."""
    now = [line for verdict, reasons in going(result) for line in (Reason(verdict.label, ()), *reasons)]
    now += [Reason(Verdict.KEEP.label, ()), *[Reason("", ())] * SPARE_LINES]
    longest = max(map(len, (decision.name for decision in result.decisions.values())))
    most, lines = fitting(tab, now)
    room: list[int] = []
    fewer: list[int] = []
    for line, (_, ewes) in zip(lines, now, strict=False):
        width = _widths(tab, line)[1]
        a_line = max(1, (letters_in(width, EWES) + BETWEEN) // (longest + BETWEEN))
        held = lines_needed(_named(ewes, most), width, EWES) * a_line
        room.append(most if len(ewes) > most else min(MOST_NAMED, max(len(ewes), held)))
        fewer.append(0 if len(ewes) > most else -(-len(AND_MORE) // (longest + BETWEEN)))
    for column, numbers in (("room", room), ("fewer", fewer)):
        live.given(WHICH_BLOCK, column, [*numbers, *[None] * (MOST_LINES - len(room))])
    shown = [live.column(WHICH_BLOCK, column) for column in ("said", "ewes")]
    return [((Cell(said, NOTE, formula=line_of("said", at)), Cell(ewes, EWES, formula=line_of("ewes", at))), WHICH)
            for at, (said, ewes, _) in enumerate(zip(*shown, room, strict=False), start=1)]


def fitting(tab: Tab, reasons: Sequence[Reason]) -> tuple[int, list[Line]]:
    """As many ewes of each reason as leave room for all reasons, and the lines; where not even few do, those that fit."""
    for most in NAMED:
        lines: list[Line] = []
        used = 0.0
        for title, ewes in reasons[:MOST_LINES]:
            line = (Cell(title, NOTE), Cell(_named(ewes, most), EWES)), WHICH
            if not tab.fits(used := used + _height(tab, line)):
                break
            lines.append(line)
        if len(lines) >= len(reasons) - SPARE_LINES:
            break
    return most, lines


def _nothing(result: Result) -> Line:
    why = "Nothing is written yet" if result.stage == NOTHING else "No ewe is recorded by number"
    return (Cell(f"{why}, so there is nothing to decide.", NOTE),), (HALVES[1],)


def _headed(tab: Tab, first: int, last: int) -> None:
    """The decisions stand out among the reasons below them, wherever they come to stand."""
    (left, _), (_, right) = WHICH
    cell = f"${letters(left)}{first}"
    words = [verdict.label for verdict in (*GOING, Verdict.KEEP)]
    begins = ",".join(f'LEFT({cell},{len(word) + 1})="{word} "' for word in words)
    tab.page.condition((first, left), (last, right), {
        "type": "formula", "criteria": f"=OR({begins})", "format": tab.page.book.format(DECISION)})


def _named(ewes: Sequence[str], most: int) -> str:
    more = len(ewes) - most
    return "  ".join(ewes[:most]) + (f"  and {more} more" if more > 0 else "")


def _listed(lost: Sequence[tuple[str, int]]) -> list[Line]:
    """The losses as lines, where they are too few for a picture."""
    if not lost:
        return [((Cell("No loss is written so far.", NOTE),), (HALVES[0],))]
    return [((Cell(label, NOTE), Cell(lambs, WHOLE)), LEFT) for label, lambs in lost]


def _write_beside(tab: Tab, left: Line | None, right: Line | None) -> None:
    halves = [half for half in (left, right) if half]
    tab.spread([cell for half in halves for cell in half[0]], [span for half in halves for span in half[1]], NOTE,
               height=_height(tab, left, right))


def _height(tab: Tab, *halves: Line | None) -> float:
    """A line of one row of text is lower than those of a table, so that a page holds them."""
    worn = [(shown(cell.value), width, NOTE)
            for half in halves if half for cell, width in zip(half[0], _widths(tab, half), strict=True)]
    return max(LINE_HIGH, *(lines_needed(*one) * NOTE.size * LINE_HEIGHT for one in worn))


def _widths(tab: Tab, line: Line) -> list[float]:
    return [sum(tab.widths[first - 1:last]) for first, last in line[1]]


def _write_tiles(tab: Tab, found: Sequence[Tile]) -> None:
    spans = TILES[:len(found)]
    if not found:
        tab.prose("No figures yet.")
        return
    titles = [tile.title for tile in found] + [""] * (len(TILES) - len(found))  # the rule goes over the whole page
    tab.spread([Cell(title, SMALL.with_(rule_above=True, valign="bottom")) for title in titles], TILES, SMALL)
    tab.spread([Cell(tile.value, BIG) for tile in found], spans, BIG, height=30.0)
    tab.spread([Cell(tile.line, SMALL) for tile in found], spans, SMALL)


def draw(book: Book, tab: Tab, corner: int, lost: Sequence[tuple[str, int]], room: float, *, by: str) -> None:
    """The losses as bars, split `by` what their labels name; lower where alarms leave less room.

    The numbers stand in hidden columns right of the printed page.
    """
    total = sum(lambs for _, lambs in lost)
    title = f"Lambs lost, {by} ({total} in all)"
    for column, head in enumerate(("Where", "Lambs"), start=NUMBERS):
        tab.page.text(corner, column, head, HEADED)
    for row, (label, lambs) in enumerate(lost, start=corner + 1):
        tab.page.text(row, NUMBERS, label, PLAIN)
        tab.page.number(row, NUMBERS + 1, lambs, WHOLE)
    for column in (NUMBERS, NUMBERS + 1):
        tab.page.width(column, 26, hidden=True)
    chart = bar_chart(book, title, tab.page, (corner + 1, corner + len(lost)), NUMBERS, unseen=True)
    height = min(CHART_HEIGHT, int((room - SPARE_POINTS) * PIXELS_A_POINT))
    tab.page.place(corner, 1, chart, width=CHART_WIDTH, height=height, words=bar_words(title, lost))
