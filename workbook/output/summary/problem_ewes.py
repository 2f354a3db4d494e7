"""Problem ewes: who needs another look now, what happened in the season by kind, and each ewe with her season in words."""

from collections.abc import Sequence
from datetime import time

from template_builder.files.look import PRINT_PAGE, STRONG, WRAPPED
from template_builder.files.room import width_for
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.choices import Verdict
from template_builder.layout.summary_tabs import PROBLEM_EWES
from template_builder.layout.words import so_many
from workbook.output.summary.pack import Part, write_part
from workbook.output.summary.phrases import VERDICT_ORDER
from workbook.output.summary.places import Places
from workbook.results.advice.lambing_signs import looks_not_recorded
from workbook.results.advice.problem_ewes import ProblemEwe
from workbook.results.advice.season_by_kind import Kind, season_by_kind
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.pipeline import Result
from workbook.season.families import Ewe

WIDTHS = (8.5, 10.0, 17.0, 27.0, 12.0, 6.5, 23.0, 7.0)
SINCE = WRAPPED.with_(size=10, number_format="d mmm hh:mm", align="center")
SINCE_DAY = SINCE.with_(number_format="d mmm")
SMALL = WRAPPED.with_(size=10)
HEADS = (
    Head("Ewe", STRONG), Head("When"), Head("What", SMALL.with_(bold=True)), Head("Why", SMALL), Head("Since", SINCE),
    Head("Pen"), Head("Usual next step", SMALL), Head("Call your vet", STRONG.with_(align="center")),
)
URGENCY = {1: "now", 2: "today", 3: "soon"}
AT_THE_END = 4
MIDNIGHT = time(0)
LEFT_OPEN, AT_END = "left open", "at the end"
ASK = "Ask what became of it."
NOTE = ("Ewes and lambs that need another look, most urgent first. The ewe links to the row that says so. The next step is "
        "what is usual in the trade; where it says so, or when in doubt, call your vet. Left open: seen longer ago and nothing "
        "written since, for the meeting to ask about.")
BY_KIND = "What happened this season"
BY_KIND_NOTE = ("By kind, each ewe under every kind of hers, whether or not she still needs a look; ewes that are gone are among "
                "them.")
NOTHING_HAPPENED = "Nothing out of the ordinary was recorded of any ewe."
KIND_SPANS = ((1, 3), (4, len(WIDTHS)))
MOST_NAMED = 80  # ewes of one kind by number; so a kind takes five lines at most, and all kinds one page of most flocks
SEASON_SPANS = ((1, 1), (2, 2), (3, 3), (4, len(WIDTHS)))  # under the headings of the table above
SEASON_HEADS = tuple(Head(title, SMALL) for title in ("Ewe", "When", "What", "Why"))
NONE = "None."
FOR_THE_MEETING = "At the end of the season: ewes to talk about"
MEETING_NOTE = ("Every ewe that is not simply kept, with what was recorded about her in the order it happened; what went as "
                "usual is left out. Her reasons are on Ewe decisions.")
THE_OTHERS = "The other ewes' seasons in words"
OTHERS_NOTE = "For the screen; it is not printed."


def write_problem_ewes(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    names = (problem.name for problem in result.problem_ewes)
    tab = Tab(book, PROBLEM_EWES, [width_for(names, WIDTHS[0]), *WIDTHS[1:]], footer, read=True)
    tab.title(PROBLEM_EWES, NOTE)
    ordered = sorted(result.problem_ewes, key=lambda problem: problem.urgency)
    rows = [_row(problem, places) for problem in ordered]
    top = tab.table(HEADS, rows, name="problem_ewes", empty="No ewe needs another look by what was recorded.")
    repeated = sum(tab.heights) > PRINT_PAGE
    if repeated:
        tab.heads_stay(top)
    elif top:
        tab.page.freeze(top + 1)
    _write_kinds(tab, result, headed=repeated)
    _write_seasons(tab, result, places, headed=repeated)


def _write_kinds(tab: Tab, result: Result, *, headed: bool) -> None:
    """Each kind of trouble with the ewes it happened to, and how many next day's looks were not written down.

    It goes on over pages, but not under the headings of the list above, where those are printed on each.
    """
    season, kinds = result.season, season_by_kind(result.season)
    rows = [(Cell(f"{kind.title} ({len(kind.ewes)})", STRONG), _names(kind)) for kind in kinds]
    missed = len(looks_not_recorded(season, season.as_of))
    below = [NOTHING_HAPPENED] * (not kinds)
    below += [f"Next day's look not recorded: {so_many(missed, 'ewe')} of those that lambed."] * bool(missed)
    write_part(tab, BY_KIND, Part(BY_KIND_NOTE, (Head("", SMALL), Head("", SMALL)), KIND_SPANS, rows, below, long=not headed))


def _names(kind: Kind) -> str:
    named = ", ".join(ewe.name for ewe in kind.ewes[:MOST_NAMED])
    more = len(kind.ewes) - MOST_NAMED
    return f"{named} and {more} more" if more > 0 else named


def _write_seasons(tab: Tab, result: Result, places: Places, *, headed: bool) -> None:
    """Ewes to talk about with their season in a line each, printed; the others on the screen only."""
    ewes = result.season.flock.ewes.values()
    talked_about = [ewe for ewe in ewes if _verdict(ewe, result) not in (Verdict.KEEP, None)]
    talked_about.sort(key=lambda ewe: VERDICT_ORDER.index(_verdict(ewe, result) or Verdict.KEEP))
    others = [ewe for ewe in ewes if _verdict(ewe, result) in (Verdict.KEEP, None)]
    lines = [_line(ewe, result, places) for ewe in talked_about]
    if headed:
        tab.new_page()
        _write_lines(tab, FOR_THE_MEETING, MEETING_NOTE, lines)
    else:
        below = [] if lines else [NONE]
        write_part(tab, FOR_THE_MEETING, Part(MEETING_NOTE, SEASON_HEADS, SEASON_SPANS, lines, below, long=True))
    tab.paper_ends()
    _write_lines(tab, THE_OTHERS, OTHERS_NOTE, [_line(ewe, result, places) for ewe in others])


def _write_lines(tab: Tab, title: str, note: str, lines: Sequence[Sequence[Shown]]) -> None:
    """These lines under the headings of the list above."""
    tab.section(title, note)
    if not lines:
        tab.prose(NONE)
    for cells in lines:
        tab.spread(cells, SEASON_SPANS, SMALL)


def _line(ewe: Ewe, result: Result, places: Places) -> Sequence[Shown]:
    """A ewe with what is decided and her season in words."""
    verdict = _verdict(ewe, result)
    link = places.link(ewe.record.at("ewe")) if ewe.record else None
    said = season_in_words(ewe, result.rearing.litters.get(ewe.key), year=result.season.year)
    return Cell(ewe.name, STRONG, link), AT_END, verdict.label if verdict else "gone" * ewe.gone, said


def _verdict(ewe: Ewe, result: Result) -> Verdict | None:
    """The verdict on a ewe; None for one that has died or gone."""
    decision = result.decisions.get(ewe.key)
    return decision.verdict if decision else None


def _row(problem: ProblemEwe, places: Places) -> Sequence[Shown]:
    return [
        Cell(problem.name, link=places.first(problem.cells)), URGENCY.get(problem.urgency, LEFT_OPEN), problem.alert,
        problem.why, _since(problem), problem.pen, *_next(problem),
    ]


def _since(problem: ProblemEwe) -> Cell:
    """The moment, or the day alone where no hour was written."""
    since = problem.since
    return Cell(since, SINCE if since and since.time() != MIDNIGHT else SINCE_DAY)


def _next(problem: ProblemEwe) -> tuple[str, str]:
    """The usual next step and whether to call the vet; of what was seen long ago only the question is left."""
    if problem.urgency >= AT_THE_END:
        return ASK, ""
    return problem.next_step, "yes" if problem.call_vet else ""
