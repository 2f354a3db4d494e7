"""A share of lambs as a page shows it: in per cent with its interval, or that there are too few to say."""

from template_builder.files.look import WRAPPED
from template_builder.files.tab import Cell, Shown
from workbook.output.summary.phrases import FEW_WORD
from workbook.results.statistics.proportions import PER_CENT, Proportion


def share(loss: Proportion) -> Shown:
    """A share in per cent, or that there are too few."""
    if loss.value is None:
        return None
    return Cell(FEW_WORD, WRAPPED.with_(align="right")) if loss.few else loss.value * PER_CENT


def interval(loss: Proportion) -> str:
    """The 95 % interval in per cent, empty where there are too few."""
    if loss.low is None or loss.high is None or loss.few:
        return ""
    return f"{loss.low * PER_CENT:.1f} to {loss.high * PER_CENT:.1f}"
