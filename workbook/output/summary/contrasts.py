"""On Losses: how many times as often one class was lost as another, and the losses on the side of the ewes."""

from template_builder.files.look import ONE_DECIMAL, TALLY, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.layout.words import sentence
from workbook.output.summary.places import Places
from workbook.output.summary.shares import interval, share
from workbook.results.litters.contrasts import Contrast
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW

NONE_LARGE_ENOUGH = f"No two kinds of lambs have {FEW} live-born lambs each and a lamb lost, so there is nothing to compare."
SEE = "Only lambs that can be compared are; how it is worked out stands on Method."
SPANS = ((1, 6), (7, 7))
EWE_HEADS = (
    Head("Which"), Head("Counted", TALLY), Head("Of", TALLY), Head("%", ONE_DECIMAL),
    Head("95 % interval", WRAPPED.with_(align="center")),
)


def write_contrasts(tab: Tab, result: Result) -> None:
    """How many times as often: each comparison as a sentence, and what was not recorded."""
    with tab.kept_together():
        tab.section("How many times as often", SEE)
        if not result.contrasts:
            tab.prose(NONE_LARGE_ENOUGH)
            return
        tab.spread(("Comparison", "Not known for"), SPANS, None)
        for contrast in result.contrasts:
            tab.spread((contrast.words, _unknown(contrast)), SPANS, WRAPPED)


def _unknown(contrast: Contrast) -> str:
    return contrast.note.removeprefix("not recorded for ")


def write_ewe_losses(tab: Tab, result: Result, places: Places) -> None:
    """Ewes that rear none, ewe deaths and pet lambs. The class links to the first ewe or lamb in it."""
    for table in result.ewe_losses:
        rows: list[list[Shown]] = [
            [Cell(item.label, link=places.first(item.rows)), item.loss.numerator, item.loss.denominator, share(item.loss),
             interval(item.loss)]
            for item in table.classes
        ]
        with tab.kept_together():
            tab.section(table.title, sentence(table.note))
            tab.table(EWE_HEADS, rows, empty="None.")
