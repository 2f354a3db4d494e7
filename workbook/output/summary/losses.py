"""Losses: where live-born lambs were lost, split one way at a time."""

from collections.abc import Sequence

from template_builder.files.look import ONE_DECIMAL, WHOLE, WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import LOSSES
from workbook.output.summary.contrasts import write_contrasts, write_ewe_losses
from workbook.output.summary.phrases import FEW_WORD, sentence
from workbook.output.summary.places import Places
from workbook.output.summary.shares import interval, share
from workbook.results.litters.losses import TOTAL, LossClass, LossTable
from workbook.results.pipeline import Result

WIDTHS = (30.0, 11.0, 11.0, 14.0, 16.0, 16.0, 13.0)
HEADS = (
    Head("Class"), Head("Lambs lost", WHOLE), Head("Live-born lambs", WHOLE), Head("Lost, % of live-born", ONE_DECIMAL),
    Head("95 % interval", WRAPPED.with_(align="center")), Head("Lost, % of alive at its start", ONE_DECIMAL),
    Head("Alive at its start", WHOLE),
)
ALWAYS = 5  # columns of every table; the others only where losses are told by stage


def write_losses(book: Book, result: Result, places: Places, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, LOSSES, WIDTHS, footer)
    tab.title(
        LOSSES, "Lambs born alive at home and then lost: died, missing, or short at the last count. Shares of fewer than ten "
        f"lambs read \"{FEW_WORD}\". The class links to the first lamb lost in it.",
    )
    tab.page.freeze(tab.row)
    if not result.losses:
        tab.prose("No lambs born alive so far, so no losses to show.")
    for table in result.losses:
        with tab.kept_together():
            tab.section(table.title, sentence(table.note))
            staged = any(item.of_start for item in table.classes)
            heads = HEADS if staged else HEADS[:ALWAYS]
            rows = [_row(item, places)[:len(heads)] for item in table.classes]
            tab.table(heads, rows, empty="None lost, or no lambs born alive so far.")
    write_contrasts(tab, result)
    write_ewe_losses(tab, result, places)


def _row(item: LossClass, places: Places) -> list[Shown]:
    loss, start = item.loss, item.of_start
    return [
        Cell(item.label, link=places.first(item.rows)), loss.numerator, loss.denominator, share(loss), interval(loss),
        share(start) if start else None, start.denominator if start else None,
    ]


def worst(tables: Sequence[LossTable]) -> tuple[LossTable, LossClass] | None:
    """The class with the largest share lost, of those with lambs enough to say; None where nothing was lost."""
    classes = [
        (table, item) for table in tables for item in table.classes
        if item.loss.numerator and not item.loss.few and item.label != TOTAL
    ]
    return max(classes, key=lambda pair: pair[1].loss.value or 0.0, default=None)
