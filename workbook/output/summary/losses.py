"""Losses: where live-born lambs were lost, split one way at a time."""

from collections.abc import Sequence

from template_builder.files.bars import bar_chart, bar_words
from template_builder.files.look import ONE_DECIMAL, TALLY, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import LOSSES
from template_builder.layout.words import sentence, so_many
from workbook.output.summary.contrasts import write_contrasts, write_ewe_losses
from workbook.output.summary.phrases import FEW_WORD
from workbook.output.summary.places import Places
from workbook.output.summary.shares import interval, share
from workbook.results.litters.differences import Difference
from workbook.results.litters.life_table import LifeStage, life_table
from workbook.results.litters.losses import LossClass, LossTable
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT

WIDTHS = (30.0, 11.0, 11.0, 14.0, 16.0, 16.0, 13.0)
HEADS = (
    Head("Which lambs"), Head("Lambs lost", TALLY), Head("Live-born lambs", TALLY), Head("Lost, % of live-born", ONE_DECIMAL),
    Head("95 % interval", WRAPPED.with_(align="center")), Head("Lost, % of alive at its start", ONE_DECIMAL),
    Head("Alive at its start", TALLY),
)
LIFE_HEADS = (
    Head("Stage"), Head("Alive at its start", TALLY), Head("Died", TALLY), Head("Missing", TALLY),
    Head("Short at a count", TALLY), Head("Sold alive", TALLY), Head("Alive at its end, %", ONE_DECIMAL),
)
LIFE_NOTE = (
    "A lamb short at a count went between the last time it was known alive (born, looked at the next day, moved, weighed, "
    "turned out, or in the count before) and that count: such lambs are spread evenly over those days. Lambs sold are at risk "
    "in no later stage. Alive at its end: of 100 born alive, had none been sold; lambs sold or still in a stage count half in "
    "it (actuarial method, Cutler and Ederer 1958)."
)
NOTHING = "None lost, or no lambs born alive so far"
ALWAYS = 5  # columns of every table; the others only where losses are told by stage
AFTER_STAGES = "cause"  # the life table stands before this table
PICTURED = ("cause", "birth_weight", "litter_size", "group", "ewe_age")  # the most telling first
CHART_COLUMNS, CHART_ROWS = (1, 4), 15  # where each picture begins, and the rows they cover
CHART_WIDTH, CHART_HEIGHT = 440, 290  # pixels
ALLOWED = (Head("Lost, %, allowing for chance", ONE_DECIMAL), Head("Lost beyond the share of all", ONE_DECIMAL))
ALLOWING = ("ram", "group")  # tables in which shares are shown drawn towards that of all: each class a small sample of one kind


def write_losses(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, LOSSES, WIDTHS, footer, read=True)
    tab.title(
        LOSSES, "Lambs born alive at home and then lost: died, missing, or short at the last count. Shares of fewer than ten "
        f"lambs read \"{FEW_WORD}\". The first column links to the first lamb lost.",
    )
    tab.page.freeze(tab.row)
    if not result.losses:
        tab.prose("No lambs born alive so far, so no losses to show.")
    pictured = worth_drawing(result.losses)
    corner = tab.row
    for _ in range(CHART_ROWS if pictured else 0):
        tab.free()
    told = [table for table in result.losses if any(one.loss.denominator for one in table.classes)]
    for table in result.losses:
        if table.id == AFTER_STAGES and told:
            _write_life(tab, life_table(result.season), places)
        if table not in told:
            continue
        with tab.kept_together():
            chance = table.difference.words if table.difference else ""
            tab.section(table.title, " ".join(filter(None, (sentence(table.note), sentence(chance)))))
            heads, rows = _drawn(table, places)
            top = tab.table(heads, rows)
        if table in pictured:
            title = f"Live-born lambs lost, {table.title.lower()}"
            lost = [(one.label, one.loss.numerator) for one in table.classes]
            chart = bar_chart(book, title, tab.page, (top + 1, top + len(rows)), 1)
            tab.page.place(corner, CHART_COLUMNS[pictured.index(table)], chart, width=CHART_WIDTH, height=CHART_HEIGHT,
                           words=bar_words(title, lost))
    if untold := "; ".join(table.title.lower() for table in result.losses if table not in told):
        tab.section(NOTHING, sentence(untold))
    write_contrasts(tab, result)
    write_ewe_losses(tab, result, places)


def worth_drawing(tables: Sequence[LossTable]) -> list[LossTable]:
    """The first two tables, of those that tell most, with ten lambs lost or more in at least two classes."""
    known = {table.id: table for table in tables}
    found = [known[id] for id in PICTURED if id in known]
    return [table for table in found if sum(one.loss.numerator for one in table.classes) >= FEW
            and sum(bool(one.loss.numerator) for one in table.classes) > 1][:len(CHART_COLUMNS)]


def _write_life(tab: Tab, stages: Sequence[LifeStage], places: Places) -> None:
    """How the lambs of each stage went."""
    rows: list[list[Shown]] = [
        [Cell(stage.label, link=places.first(stage.rows)), stage.at_risk, stage.died, stage.missing, stage.short, stage.sold,
         None if stage.survived is None else stage.survived * PER_CENT] for stage in stages
    ]
    with tab.kept_together():
        tab.section("Life table", LIFE_NOTE)
        tab.table(LIFE_HEADS, rows)


def _drawn(table: LossTable, places: Places) -> tuple[tuple[Head, ...], list[list[Shown]]]:
    """The columns of a table and its rows: by stage of those alive at its start, of rams and groups what allows for chance."""
    rows = [_row(item, places) for item in table.classes]
    if any(item.of_start for item in table.classes):
        return HEADS, rows
    if table.difference and table.id in ALLOWING:
        more = [_allowed(table.difference, item) for item in table.classes]
        return (*HEADS[:ALWAYS], *ALLOWED), [[*row[:ALWAYS], *also] for row, also in zip(rows, more, strict=True)]
    return HEADS[:ALWAYS], [row[:ALWAYS] for row in rows]


def _allowed(difference: Difference, item: LossClass) -> list[Shown]:
    """The share of a class drawn towards that of all, and its lambs lost beyond it; empty where the class is not known."""
    one = difference.against.get(item.label)
    return [None, None] if one is None or one.share is None else [one.share * PER_CENT, one.beyond]


def _row(item: LossClass, places: Places) -> list[Shown]:
    loss, start = item.loss, item.of_start
    return [
        Cell(item.label, link=places.first(item.rows)), loss.numerator, loss.denominator, share(loss), interval(loss),
        share(start) if start else None, start.denominator if start else None,
    ]


def worst(tables: Sequence[LossTable]) -> tuple[Difference, str] | None:
    """The class that lost most lambs beyond what is lost in its whole table, of those that stand out by more than chance."""
    found = [(table.difference, name) for table in tables if table.difference and (name := table.difference.heaviest)]
    return max(found, key=lambda pair: pair[0].against[pair[1]].beyond, default=None)


def worst_words(tables: Sequence[LossTable]) -> list[str]:
    """Where most was lost beyond the share of all, and of what nothing stands out; nothing where nothing can be compared."""
    words, found = [], worst(tables)
    if found:
        difference, name = found
        one = difference.against[name]
        rate = PER_CENT * one.expected / one.lambs
        words.append(f"Heaviest loss: {difference.title[0].lower()}{difference.title[1:]}, {name}: {one.lost} of {one.lambs} "
                     f"live-born lambs lost, {_lambs(one.beyond)} more than at the {rate:.1f} % of all in that table.")
    quiet = [table.difference.one for table in tables if table.difference and not table.difference.heaviest]
    if quiet:
        words.append(f"No {_or(quiet)} stands out with more lambs lost than chance gives.")
    return words


def _lambs(number: float) -> str:
    return so_many(round(number), "lamb")


def _or(names: Sequence[str]) -> str:
    return " or ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
