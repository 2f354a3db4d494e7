"""On Summary: the biggest gaps in lambs, and what each figure is held against."""

from collections.abc import Sequence

from template_builder.files.look import WHOLE, WRAPPED
from template_builder.files.tab import Cell, Tab
from workbook.results.litters.figures import Figure
from workbook.results.litters.gaps import ADD_UP, LAST, SETTINGS, TARGET, Gap
from workbook.results.litters.known import enough
from workbook.results.pipeline import Result
from workbook.season.season import Settings

SPANS = ((1, 6), (7, 7), (8, 9))
SMALL = WRAPPED.with_(size=10)
NUMBER = WHOLE.with_(align="center", bold=True)
NO_GAP = ("No gap of a lamb or more against the farm's own target, last season, or beyond chance within the flock. Targets "
          "and last season's figures are typed on Season.")


def write_gaps(tab: Tab, result: Result) -> None:
    """The gaps, biggest first."""
    with tab.kept_together():
        tab.section("In lambs, not per cent", f"Against the farm's own target, else last season, else within the flock where "
                    f"classes differ by more than chance. {ADD_UP}")
        if not result.gaps:
            tab.prose(NO_GAP)
            return
        tab.spread(("What it would have meant", "Lambs", "Chance, and what was not recorded"), SPANS, None)
        for gap in result.gaps:
            tab.spread((gap.words, Cell(round(gap.lambs), NUMBER), gap.note), SPANS, SMALL)


def references(figure: Figure, settings: Settings) -> tuple[float | None, float | None]:
    """The farm's own target and last season's figure, as typed on Season; None where there is none."""
    own, last = SETTINGS.get(figure.id, ("", ""))
    return settings.maybe(own) if own else None, settings.maybe(last) if last else None


def difference_words(figure: Figure, target: float | None, last: float | None, gaps: Sequence[Gap]) -> str:
    """How far a figure stands from the own target, else from last season, and the lambs of it that are a gap."""
    reference, whose = (target, TARGET) if target is not None else (last, LAST)
    if reference is None or figure.value is None or figure.few:
        return ""
    if not enough(figure):
        return "known for too few"
    apart = figure.value - reference
    side = f"{abs(apart):.1f} {'above' if apart > 0 else 'below'}" if round(apart, 1) else "equal to"
    gap = next((one for one in gaps if (one.id, one.against) == (figure.id, whose)), None)
    lambs = f": {round(gap.lambs)} lamb{'s' * (round(gap.lambs) != 1)}" if gap else ""
    return f"{side} {whose}{lambs}"
