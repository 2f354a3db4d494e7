"""Replacements: the ewe lambs that may come into the flock, the best first, and those left out with why."""

from collections.abc import Sequence

from template_builder.files.look import FILL_IN, ONE_DECIMAL, STRONG, WHOLE, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.addresses import letters
from template_builder.layout.choices import YesNo
from template_builder.layout.decided import KEEP, LAMB
from template_builder.layout.summary_tabs import REPLACEMENTS
from workbook.output.summary.live.flock import PICK
from workbook.output.summary.places import Places
from workbook.results.flock.replacements import Candidate, Choice
from workbook.results.pipeline import Result

SMALL = WRAPPED.with_(size=9)
ABOVE = ONE_DECIMAL.with_(number_format="+0.0;-0.0;0.0")
WIDTHS = (12.0, 12.0, 9.0, 13.0, 10.0, 8.0, 10.0, 8.0, 21.0, 8.0)
KEEP_STYLE = FILL_IN.with_(align="center")
WORDS = {Choice.FIRST: "first", Choice.SECOND: "second", Choice.OUT: "not to be kept"}
HEADS = (
    Head(LAMB, STRONG), Head("Tag"), Head(KEEP, KEEP_STYLE), Head("Choice", SMALL), Head("Mother"), Head("Ram", SMALL),
    Head("Above like lambs, kg", ABOVE), Head("Born one of", WHOLE), Head("What speaks against her", SMALL),
    Head("Sisters on the list", WHOLE),
)
NOTE = ("Ewe lambs born and still here. Choose yes for those you keep: build --previous takes them into next year's workbook as "
        "ewes that have never lambed. First choices have nothing against them; in each choice the heaviest for her like stands "
        "first: weights allow for sex, litter, age of ewe and ram, and those not weighed come last. Look at feet, mouth and legs "
        "before you choose; one of several sisters will often do. Those not to be kept "
        "stand at the end, on the screen only.")
CHOSEN = '="Chosen: "&COUNTIF({area},"{yes}")&" of "&{pick}&" to pick (Flock plan)."'


def write_replacements(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, REPLACEMENTS, WIDTHS, footer, read=True)
    tab.title("Replacement ewe lambs", NOTE)
    counted = tab.row
    tab.prose("Chosen: 0")
    top = tab.table(HEADS, [_row(one, places) for one in result.replacements], name="replacement_lambs")
    tab.heads_stay(top)
    column = [head.title for head in HEADS].index(KEEP) + 1
    first, last = top + 1, top + len(result.replacements)
    printed = sum(one.choice is not Choice.OUT for one in result.replacements)
    tab.page.print_area((1, 1), (top + printed, len(WIDTHS)))
    tab.page.validate((first, column), (last, column), {
        "validate": "list", "source": [YesNo.YES.label, YesNo.NO.label], "error_message": "Choose yes or no, or leave it blank."})
    area = f"${letters(column)}${first}:${letters(column)}${last}"
    formula = CHOSEN.format(area=area, yes=YesNo.YES.label, pick=PICK.name)
    tab.page.formula(counted, 1, formula, f"Chosen: 0 of {result.plan.to_pick} to pick (Flock plan).", STRONG)


def _row(one: Candidate, places: Places) -> Sequence[Shown]:
    return [
        Cell(one.lamb.name, STRONG, places.link(one.lamb.record.at("ewe"))), one.lamb.tag, Cell(None, KEEP_STYLE),
        WORDS[one.choice], one.dam, one.ram, None if one.kg is None else round(one.kg, 1), one.born,
        "; ".join((*one.out, *one.against)), one.sisters,
    ]
