"""Flock plan: who stays of each age, how many must come in, what one more cull costs, and the next ewes to go."""

from collections.abc import Iterator, Sequence

from template_builder.files.look import FILL_IN, ONE_DECIMAL, STRONG, WHOLE, WRAPPED
from template_builder.files.room import FREE_ROW
from template_builder.files.tab import Cell, Head, Shown, Tab, padded
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import FLOCK_PLAN
from template_builder.live.columns import LiveCell
from workbook.output.summary.live.flock import (
    GOING,
    MOST_NEXT,
    NEEDED,
    NO_STEADY,
    OVER,
    PART_TITLE,
    PARTS,
    PICK,
    STAYING,
    STEADY_LINE,
    WANTED_NAME,
)
from workbook.output.summary.live.values import LiveDecisions
from workbook.results.flock.ages_now import OfAge
from workbook.results.flock.flock_plan import FlockPlan
from workbook.results.flock.worth_keeping import A_NOTE, EACH
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW

WIDTHS = (20.0, 10.0, 10.0, 9.0, 9.0, 9.0, 9.0, 10.0, 12.0, 13.0)
LAMBS = ONE_DECIMAL.with_(number_format="0.00")
CHANGE = ONE_DECIMAL.with_(number_format="+0.00;-0.00;0.00")
NOTE = ("Everything here follows the decisions on Ewe decisions and the rules on Policy. Write in the framed cell how many "
        "ewes you want next year; it came from Season.")
TO_PICK = "Where all are your own: a fifth more, so that weak ones can be left out later (Teagasc)."
BY_COUNT = "Ewes of groups known by counts only; nothing is decided about them here, so all are taken to stay."
AGES_NOTE = ("Ages are at this lambing. To the ram are all that began the season: those here, those that died or went missing, "
             "and those that left.")
LAMBS_NOTE = ("Lambs reared are this season's, for each ewe to the ram. One more cull is what next year's lambs would change by "
              "if one more ewe of the age went and one of the youngest age stood in for her; ages with fewer than {few} ewes "
              "say nothing.")
NOT_YET = "What one more cull costs in lambs is told once lambs are weaned, of ages with {few} ewes or more."
NEXT_NOTE = (f"Those that stay, the one least worth keeping first. Up to {EACH:g} points each for age (the youngest most), "
             "mothering (a quarter of her score), litters (half for litters like those of like ewes, over her seasons) and notes "
             f"({A_NOTE:g} off for each thing said of udder, teats or feet). What is not known of a ewe counts as the mean of "
             "the others.")


def write_flock_plan(book: Book, result: Result, live: LiveDecisions, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, FLOCK_PLAN, WIDTHS, footer, read=True)
    tab.title(FLOCK_PLAN, NOTE)
    tab.section("Ewes next year")
    _next_year(book, tab, result.plan, live)
    with tab.kept_together():
        _by_age(tab, result.plan, live)
    _steady(tab, live)
    with tab.kept_together():
        tab.section("Next ewes to go", NEXT_NOTE)
        parts = [Head(PART_TITLE.format(part=part), ONE_DECIMAL) for part in PARTS]
        heads = [Head("Ewe", STRONG), Head("Points of 100", ONE_DECIMAL), *parts]
        tab.table(heads, list(_next(live)))


def _next_year(book: Book, tab: Tab, plan: FlockPlan, live: LiveDecisions) -> None:
    """The sum of the meeting: who stays, who is wanted, who must come in."""
    lines: list[tuple[str, Shown, str]] = [("Ewes here", plan.here, "")]
    lines.append(("Going", _cell(live, GOING), "Cull and draft, by your decisions."))
    if plan.by_count:
        lines.append(("In groups by count", plan.by_count, BY_COUNT))
    lines += [
        ("Staying", _cell(live, STAYING), ""),
        ("Wanted", Cell(plan.wanted, FILL_IN.with_(align="center")),
         "As many as went to the ram: Season says nothing else." if plan.wanted_as_now else "As set on Season."),
        ("To come in", _cell(live, NEEDED), "Ewe lambs of your own, or bought."),
        ("More than wanted", _cell(live, OVER), "So many more could go."),
        ("Ewe lambs to pick", _cell(live, PICK), TO_PICK),
    ]
    first = tab.row
    for words, value, why in lines:
        tab.line([Cell(words, STRONG), value, None], [STRONG, WHOLE, WRAPPED])
        tab.page.across(tab.row - 1, 3, len(WIDTHS), why, padded(WRAPPED))
    names = [words for words, _, _ in lines]
    book.define(WANTED_NAME, tab.page.title, (first + names.index("Wanted"), 2))


def _cell(live: LiveDecisions, cell: LiveCell) -> Cell:
    return Cell(live.cell(cell), WHOLE, formula=f"={cell.name}")


def _by_age(tab: Tab, plan: FlockPlan, live: LiveDecisions) -> None:
    tab.section("By age", f"{AGES_NOTE} {(LAMBS_NOTE if plan.swaps else NOT_YET).format(few=FEW)}")
    heads = [Head("Age", STRONG), *(Head(title, WHOLE) for title in (
        "To the ram", "Died or missing", "Left", "Here", "Going", "Staying", "Age next year"))]
    if plan.swaps:
        heads += [Head("Lambs reared, each", LAMBS), Head("One more cull, lambs", CHANGE)]
    going, staying = (live.column("ages", id) for id in ("going", "staying"))
    rows = [_age(one, plan, line, going[line - 1], staying[line - 1]) for line, one in enumerate(plan.ages, start=1)]
    tab.table(heads, [row[:len(heads)] for row in rows])


def _age(one: OfAge, plan: FlockPlan, line: int, going: object, staying: object) -> Sequence[Shown]:
    changes = {swap.age: swap.change for swap in plan.swaps}
    lambs = round(one.lambs / one.to_the_ram, 2) if one.to_the_ram >= FEW else None
    change = changes.get(one)
    return [
        one.words, one.to_the_ram, one.lost, one.left, one.here,
        _of_line(going, "going", line), _of_line(staying, "staying", line),
        None if one.age is None else one.age + 1, lambs, None if change is None else round(change, 2),
    ]


def _of_line(value: object, column: str, line: int) -> Cell:
    number = value if isinstance(value, int | float) else None
    return Cell(number, WHOLE, formula=f"=INDEX(live_ages_{column},{line})")


def _steady(tab: Tab, live: LiveDecisions) -> None:
    """How many must come in each year in the long run, by the decisions as they stand."""
    tab.free(FREE_ROW / 2)
    line = next((cell for cell in live.cells if cell.id == STEADY_LINE), None)
    if line is None:
        tab.prose(NO_STEADY)
    else:
        tab.prose(str(live.cell(line)), formula=f"={line.name}")


def _next(live: LiveDecisions) -> Iterator[Sequence[Shown]]:
    columns = {id: live.column("next", id) for id in ("name", "worth", *PARTS)}
    for number in range(1, MOST_NEXT + 1):
        yield [Cell(columns[id][number - 1], STRONG if id == "name" else ONE_DECIMAL,
                    formula=f"=INDEX(live_next_{id},{number})") for id in columns]
