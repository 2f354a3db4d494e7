"""Lambs: what sex, litter, age of ewe, breed and ram make of a weaning weight in this flock."""

from collections.abc import Sequence

from template_builder.files.look import ONE_DECIMAL, TALLY
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import LAMBS
from template_builder.layout.words import sentence
from workbook.results.pipeline import Result
from workbook.results.scores.comparing import listed
from workbook.results.scores.lamb_means import LambMean, MeansTable, lamb_means
from workbook.results.scores.lamb_model import LambModel
from workbook.results.scores.like_lambs import SEX
from workbook.results.statistics.least_squares import Estimate
from workbook.results.statistics.proportions import FEW

WIDTHS = (44.0, 11.0, 14.0, 14.0, 14.0, 14.0)
ABOVE = ONE_DECIMAL.with_(number_format="+0.0;-0.0;0.0")
HEADS = (
    Head("Which lambs"), Head("Lambs", TALLY), Head("Mean of like lambs, kg", ONE_DECIMAL), Head("Give or take, kg", ONE_DECIMAL),
    Head("Above the flock, kg", ABOVE), Head("Beyond chance, kg", ABOVE),
)
ALWAYS = 5  # columns of every table; the last only where differences are drawn in
INTERVAL = 1.96  # standard errors either side of a 95 % interval
WHAT = (
    "The mean of like lambs is what the flock's lambs would weigh if every one were of this kind and else as it is: a ram is not "
    "better for having sired singles. Nineteen times in twenty the truth is no further off than what it may give or take; "
    "lambs of one ewe are alike, and that is allowed for. Kinds of fewer than {few} lambs are joined or left out."
)
CHOSEN = (
    "Beyond chance is the difference drawn towards the flock by as much as chance alone would make of it: 0.0 where these "
    "differ by no more than chance."
)
AS_WEIGHED = "Weights are as the scale said, not adjusted for age: too few lambing dates are known."
TOO_FEW = "Too few lambs were weighed, or all are of one kind, so there is nothing to set side by side."


def write_lambs(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    model = result.rearing.lambs
    tab = Tab(book, LAMBS, WIDTHS, footer, read=True)
    at = AS_WEIGHED if model.target is None else f"Weights are brought to {model.target:g} days, as set on Season."
    tab.title("Weaning weights of lambs", at, WHAT.format(few=FEW))
    tab.prose(sentence(f"compared: {model.comparison.words}"))
    tables = lamb_means(model)
    for table in tables:
        with tab.kept_together():
            tab.section(sentence(table.effect).rstrip("."), _note(model, table))
            heads = HEADS if any(one.shrunk is not None for one in table.classes) else HEADS[:ALWAYS]
            tab.table(heads, [_row(one)[: len(heads)] for one in table.classes], empty="Cannot be told.")
    if not tables:
        tab.prose(TOO_FEW)


def _row(one: LambMean) -> list[Shown]:
    return [Cell(one.name), one.number, round(one.mean.value, 1), round(INTERVAL * one.mean.error, 1), round(one.above, 1),
            None if one.shrunk is None else round(one.shrunk, 1)]


def _note(model: LambModel, table: MeansTable) -> str:
    if not table.classes:
        return f"Where these differ, {listed(table.left_out)} differs with them: they cannot be told apart."
    said = [_sexes(model, table)] if table.effect == SEX else []
    if table.left_out:
        said.append(f"These cannot be told from {listed(table.left_out)}, so the differences hold both.")
    if any(one.shrunk is not None for one in table.classes):
        said.append(CHOSEN)
    return " ".join(filter(None, said))


def _sexes(model: LambModel, table: MeansTable) -> str:
    """How far the heaviest sex is above the lightest, with its interval."""
    ordered: Sequence[LambMean] = sorted(table.classes, key=lambda one: one.mean.value)
    light, heavy, fit = ordered[0].name, ordered[-1].name, model.comparison.model
    apart: Estimate | None = fit.difference(SEX, heavy, light) if fit else None
    if apart is None:
        return ""
    low, high = apart.value - INTERVAL * apart.error, apart.value + INTERVAL * apart.error
    words = f"{heavy} lambs weigh {apart.value:.1f} kg more than {light} lambs like them in all else"
    return sentence(f"{words} (95 % interval {low:.1f} to {high:.1f})")
