"""In the pack: the flock of next year in numbers, the next ewes to go, and the ewe lambs to pick."""

import math
from collections.abc import Sequence
from itertools import zip_longest

from template_builder.files.look import ONE_DECIMAL, STRONG, TOTAL, WHOLE
from template_builder.files.tab import Cell, Head, Shown
from template_builder.layout.summary_tabs import EWE_DECISIONS, FLOCK_PLAN, REPLACEMENTS
from workbook.output.summary.live.flock import GOING, NEEDED, NEXT, OVER, PART_TITLE, PARTS, PICK, STAYING, WANTED_NAME
from workbook.output.summary.live.named import is_long
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.pack import COLUMNS, Around, Part, Span
from workbook.results.flock.replacements import Candidate, Choice

MIDDLE = WHOLE.with_(align="center", bold=True)
POINTS = ONE_DECIMAL.with_(align="center")
ABOVE = ONE_DECIMAL.with_(number_format="+0.0;-0.0;0.0", align="center")
SIXTHS: tuple[Span, ...] = tuple((first, first + 1) for first in range(1, 12, 2))
LAMB_SPANS: tuple[Span, ...] = ((1, 1), (2, 2), (3, 3), (4, 4))  # the first lamb of a line; three stand on it
LONG_LAMB_SPANS: tuple[Span, ...] = ((1, 2), (3, 4), (5, 5), (6, 6))  # with a long name or tag; two stand on a line
MOST_NEXT, MOST_LAMBS = 10, 60  # lines in the pack; the rest stands on the tabs
NEXT_YEAR_NOTE = f"By the decisions on {EWE_DECISIONS}; how many ewes are wanted is written on {FLOCK_PLAN}, which has the ages."
NEXT_NOTE = ("Of those that stay, the ones least worth keeping, should more have to go: points of 100 for age, mothering, "
             f"litters over her seasons, and notes on udder, teats and feet. What the points mean stands on {FLOCK_PLAN}.")
LAMBS_NOTE = ("The best for their like first, those with nothing against them before the others ({mark}): as many as would be "
              f"picked as things stood. Their mothers, what speaks against them and those not to be kept are on {REPLACEMENTS}: "
              "choose yes there.")
AGAINST = "*"  # behind the name of a lamb that something speaks against


def flock_next_year(around: Around) -> Part | None:
    """Who stays, who is wanted, and how many must come in."""
    live, plan = around.live, around.result.plan
    if live is None or not plan.ages:
        return None
    titles = ("Going", "Staying", "Wanted", "To come in", "More than wanted", "Ewe lambs to pick")
    wanted = Cell(plan.wanted, TOTAL.with_(align="center", border=""), formula=f"={WANTED_NAME}")
    cells = [Cell(live.cell(cell), MIDDLE, formula=f"={cell.name}") for cell in (GOING, STAYING, NEEDED, OVER, PICK)]
    return Part(NEXT_YEAR_NOTE, tuple(Head(title, MIDDLE) for title in titles), SIXTHS, [[*cells[:2], wanted, *cells[2:]]])


def next_ewes_to_go(around: Around) -> Part | None:
    """The first of the ewes that stay, by what they are worth keeping for."""
    live = around.live
    if live is None or not live.column(NEXT, "name")[0]:
        return None
    heads = (Head("Ewe", STRONG), Head("Points of 100", POINTS), *(Head(PART_TITLE.format(part=part), POINTS) for part in PARTS))
    return Part(NEXT_NOTE, heads, SIXTHS, [_next(live, number) for number in range(1, MOST_NEXT + 1)], long=True)


def _next(live: LiveDecisions, number: int) -> Sequence[Shown]:
    """A line of the list, as it stands on the hidden sheet; blank where fewer ewes stay."""
    shown = {id: live.column(NEXT, id)[number - 1] for id in ("name", "worth", *PARTS)}
    return [Cell(value, STRONG if id == "name" else POINTS, formula=f"=INDEX(live_{NEXT}_{id},{number})")
            for id, value in shown.items()]


def ewe_lambs_to_pick(around: Around) -> Part | None:
    """The ewe lambs that would be picked, with a box; none before any could be kept."""
    result = around.result
    could = [one for one in result.replacements if one.choice is not Choice.OUT]
    if around.live is None or not could or not result.plan.to_pick:
        return None
    heads = (Head("Ewe lamb", STRONG), Head("Tag"), Head("kg above her like", ABOVE), Head("Keep"))
    shown = [_lamb(one, around) for one in could[:min(result.plan.to_pick, MOST_LAMBS)]]
    first = LONG_LAMB_SPANS if is_long(text for one in could for text in (_named(one), one.lamb.tag or "")) else LAMB_SPANS
    wide = first[-1][1]
    lines = math.ceil(len(shown) * wide / COLUMNS)
    down = [shown[at:at + lines] for at in range(0, len(shown), lines)]
    rows = [[cell for lamb in line for cell in lamb] for line in zip_longest(*down, fillvalue=(None,) * len(heads))]
    spans = tuple((left + at * wide, right + at * wide) for at in range(len(down)) for left, right in first)
    return Part(LAMBS_NOTE.format(mark=AGAINST), heads * len(down), spans, rows, long=True)


def _named(one: Candidate) -> str:
    return one.lamb.name + f" {AGAINST}" * bool(one.against)


def _lamb(one: Candidate, around: Around) -> Sequence[Shown]:
    return (Cell(_named(one), link=around.places.link(one.lamb.record.at("ewe"))), one.lamb.tag,
            None if one.kg is None else round(one.kg, 1), None)
