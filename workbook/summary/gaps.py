"""On Summary: the biggest gaps in lambs."""

from template_builder.look import WHOLE, WRAPPED
from template_builder.tab import Cell, Tab
from workbook.litters.gaps import ADD_UP, MOST
from workbook.pipeline import Result

SPANS = ((1, 5), (6, 6), (7, 7))
LINES_A_GAP = 2  # a gap is told in two lines
SMALL = WRAPPED.with_(size=9)
NUMBER = WHOLE.with_(align="center", bold=True)
NO_GAP = ("No gap of a lamb or more against the farm's own target, last season, or within the flock. Targets and last season's "
          "figures are typed on Season.")


def write_gaps(tab: Tab, result: Result) -> None:
    """The gaps, biggest first."""
    tab.keep_together(LINES_A_GAP * MOST)
    tab.section("In lambs, not per cent", f"Against the farm's own target, else last season, else within the flock. {ADD_UP}")
    if not result.gaps:
        tab.prose(NO_GAP)
        return
    tab.spread(("What it would have meant", "Lambs", "Chance, and what was not recorded"), SPANS, None)
    for gap in result.gaps:
        tab.spread((gap.words, Cell(round(gap.lambs), NUMBER), gap.note), SPANS, SMALL)
