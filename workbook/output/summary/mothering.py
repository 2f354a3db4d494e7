"""Mothering: the parts of each ewe's score, where she stands by them among ewes like her, and their sum."""

from collections.abc import Sequence

from template_builder.files.look import ONE_DECIMAL, PRINT_CHARACTERS, STRONG, WHOLE, WRAPPED
from template_builder.files.room import width_for
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import MOTHERING
from workbook.output.summary.phrases import FEW_WORD
from workbook.output.summary.places import Places
from workbook.results.pipeline import Result
from workbook.results.scores.mothering import POOR, POOR_BELOW, MotheringScore, Part
from workbook.results.scores.standing import LOWER
from workbook.results.statistics.proportions import FEW

EWE_WIDTH = 7.0
SCORE_WIDTHS = (8.0, 6.0, 9.0)
CLASS_WIDTHS = (6.5, 16.0)
LITTER_WIDTHS = (6.0, 6.0, 7.0)
SMALL = WRAPPED.with_(size=9)
POINTS = WHOLE.with_(size=9, number_format="+0;-0;0")
ABOVE = POINTS.with_(number_format="+0.0;-0.0;0.0")
UNKNOWN = SMALL.with_(italic=True)
STAND_IN = WRAPPED.with_(align="center", italic=True)
LOW = (POOR, LOWER)
INCOMPLETE, NO_AGE, HARD_SPACE = "not all", "no age", "\N{NO-BREAK SPACE}"
HEADINGS = {  # of the parts, in words short enough for narrow columns
    "acceptance": "lambs taken", "milk": "milk and teats", "full": "full next day", "alive": "lambs kept alive",
    "growth": "litter growth",
}
NOTE = (
    "Each part is shown as points out of the most it can bring, 100 for all five; only what is the ewe's own doing "
    "counts. Points in brackets are the mean of ewes like her: nothing was recorded that is hers to answer for. The word "
    "says in which third of ewes like her, of her age and litter size, her score is; it is poor under {poor:g}, whatever "
    "theirs. With fewer than {few} like her she is held against all ewes. Weights and limits are on Policy. Printed are "
    "the ewes that are poor or in the lower third, lowest first; the others stand below them on the screen."
)
LITTER_NOTE = (
    "Litter weight at weaning is the sum of the weights of the lambs she reared, brought to one age; not all: a lamb of hers was "
    "not weighed; no age: the day one was born is not known. Above like ewes is what her lambs together weigh above like lambs "
    "of this flock, a ewe lamb above ewe lambs: {words}. Over seasons is what to expect of her in a season, from all her seasons "
    "so far; the fewer they are, the nearer it is to zero.")


def write_mothering(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab: one row a ewe, best first, ewes without a score last."""
    scores = sorted(result.mothering.values(), key=_lowest_first)
    parts = scores[0].parts if scores else ()
    after = (*SCORE_WIDTHS, *CLASS_WIDTHS, *LITTER_WIDTHS)
    names = width_for((ewe.name for ewe in result.season.flock.ewes.values()), EWE_WIDTH)
    room = (PRINT_CHARACTERS - names - sum(after)) / max(len(parts), 1)
    widths = [names, *[room] * len(parts), *after]
    tab = Tab(book, MOTHERING, widths, footer, read=True)
    tab.title(MOTHERING, NOTE.format(poor=result.season.policy.weights[POOR_BELOW], few=FEW))
    tab.prose(LITTER_NOTE.format(words=result.rearing.comparison.words or "no litter weighed yet"))
    scored = sum(score.score is not None for score in scores)
    if without := len(scores) - scored:
        tab.prose(f"{without} of {len(scores)} ewes have too little recorded for a score: at the end.")
    heads = [
        Head("Ewe", STRONG), *(Head(f"{HEADINGS[part.id]} (of{HARD_SPACE}{part.most:g})", SMALL) for part in parts),
        Head("Mothering", SMALL), Head("Score of 100", WHOLE.with_(size=9)), Head("Recorded, % of points", WHOLE.with_(size=9)),
        Head("Above like ewes, points", POINTS), Head("Like ewes", SMALL),
        Head("Litter weight, kg", ONE_DECIMAL.with_(size=9)), Head("Above like ewes, kg", ABOVE), Head("Over seasons, kg", ABOVE),
    ]
    rows: list[Sequence[Shown]] = [_row(score, result, places) for score in scores]
    top = tab.table(heads, rows, name="mothering_scores", empty="No ewe has lambed so far.")
    tab.heads_stay(top)
    low = sum(score.word in LOW for score in scores) or scored
    tab.page.print_area((1, 1), ((top if top else tab.row) + low, len(widths)))


def _lowest_first(score: MotheringScore) -> tuple[int, int]:
    """Poor ewes and those of the lower third first; ewes without a score last."""
    return (0 if score.word in LOW else 1 if score.place else 2), -(score.place or 0)


def _row(score: MotheringScore, result: Result, places: Places) -> list[Shown]:
    ewe = result.season.flock.ewes.get(score.ewe)
    value = None if score.score is None else round(score.score)
    return [
        ewe.name if ewe else score.ewe, *(_part(part, places) for part in score.parts), score.word, value, round(score.coverage),
        _above(score), score.of_class, *_litter(score.ewe, result, places),
    ]


def _above(score: MotheringScore) -> Shown:
    return Cell(FEW_WORD, SMALL.with_(align="center")) if score.of_class and score.above_class is None else score.above_class


def _litter(ewe: str, result: Result, places: Places) -> list[Shown]:
    """Her litter weight, that above like ewes, and what her seasons together say; blank where there is none."""
    litter, against, across = (
        result.rearing.litters.get(ewe), result.rearing.against(ewe), result.rearing.across.get(ewe))
    weight: Shown = None
    if litter is not None and litter.cells:
        link = places.first(litter.cells)
        why = NO_AGE if len(litter.rows) == litter.reared else INCOMPLETE
        weight = Cell(why, SMALL, link) if litter.kg is None else Cell(round(litter.kg, 1), ONE_DECIMAL, link)
    above = None if against is None or against.deviation is None else round(against.deviation, 1)
    return [weight, above, None if across is None else round(across.kg, 1)]


def _part(part: Part, places: Places) -> Cell:
    """Points, in brackets where they are the mean of ewes like her; where points were lost, linked to the cells that say so."""
    if not part.recorded:
        return Cell("not recorded", UNKNOWN) if part.points is None else Cell(f"({part.points:.1f})", STAND_IN)
    points = part.points or 0.0
    return Cell(round(points, 1), ONE_DECIMAL.with_(align="center"), places.first(part.cells) if points < part.most else None)
