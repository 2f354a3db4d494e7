"""Problem ewes: who needs another look, most urgent first, and at the end each ewe with her season in words."""

from collections.abc import Sequence

from template_builder.excel import Book
from template_builder.look import STRONG, WRAPPED
from template_builder.tab import Cell, Head, Shown, Tab
from workbook.advice.problem_ewes import ProblemEwe
from workbook.advice.season_in_words import season_in_words
from workbook.pipeline import Result
from workbook.scores.litter_weight import litter_weights
from workbook.summary.names import PROBLEM_EWES
from workbook.summary.places import Places

WIDTHS = (8.5, 8.0, 18.0, 27.0, 12.5, 7.0, 23.0, 7.0)
SINCE = WRAPPED.with_(size=10, number_format="d mmm hh:mm", align="center")
SMALL = WRAPPED.with_(size=10)
HEADS = (
    Head("Ewe", STRONG), Head("When"), Head("What", SMALL.with_(bold=True)), Head("Why", SMALL), Head("Since", SINCE),
    Head("Pen"), Head("Usual next step", SMALL), Head("Call your vet", STRONG.with_(align="center")),
)
URGENCY = {1: "now", 2: "today", 3: "soon"}
AT_THE_END = 4
ASK = "Ask what became of it."
SEASON_SPANS = ((1, 1), (2, len(WIDTHS)))


def write_problem_ewes(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, PROBLEM_EWES, WIDTHS, footer)
    tab.title(PROBLEM_EWES, "Ewes and lambs that need another look, most urgent first. The ewe links to the row that says so. "
              "The next step is what is usual in the trade; where it says so, or when in doubt, call your vet.")
    ordered = sorted(result.problem_ewes, key=lambda problem: problem.urgency)
    season_rows = [_row(problem, places) for problem in ordered if problem.urgency < AT_THE_END]
    top = tab.table(HEADS, season_rows, name="problem_ewes", empty="No ewe needs another look by what was recorded.")
    tab.heads_stay(top)
    at_end = [problem for problem in ordered if problem.urgency >= AT_THE_END]
    tab.section("Left open", "Seen longer ago, and nothing written since: for the meeting to ask about.")
    tab.table(HEADS, [_row(problem, places) for problem in at_end], empty="Nothing was left open.")
    tab.paper_ends()
    _write_seasons(tab, result, places)


def _write_seasons(tab: Tab, result: Result, places: Places) -> None:
    """Each ewe with what was recorded about her in one line."""
    tab.section("Each ewe's season in words", "What was recorded, in the order it happened; what went as usual is left out. "
                "For the screen; it is not printed.")
    litters = litter_weights(result.season)
    ewes = result.season.flock.ewes.values()
    if not ewes:
        tab.prose("No ewes recorded.")
        return
    tab.spread(("Ewe", "Her season"), SEASON_SPANS, None)
    for ewe in ewes:
        link = places.link(ewe.record.at("ewe")) if ewe.record else None
        tab.spread((Cell(ewe.name, link=link), season_in_words(ewe, litters.get(ewe.key))), SEASON_SPANS, SMALL)


def _row(problem: ProblemEwe, places: Places) -> Sequence[Shown]:
    return [
        Cell(problem.name, link=places.first(problem.cells)), URGENCY.get(problem.urgency, "left open"), problem.alert,
        problem.why, problem.since, problem.pen, *_next(problem),
    ]


def _next(problem: ProblemEwe) -> tuple[str, str]:
    """The usual next step and whether to call the vet; of what was seen long ago only the question is left."""
    if problem.urgency >= AT_THE_END:
        return ASK, ""
    return problem.next_step, "yes" if problem.call_vet else ""
