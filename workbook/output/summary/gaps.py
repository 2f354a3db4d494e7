"""In the pack: the biggest gaps in lambs, and what each figure is held against."""

from collections.abc import Sequence

from template_builder.files.look import TALLY, WRAPPED
from template_builder.files.tab import Head
from template_builder.layout.words import so_many
from workbook.output.summary.pack import Around, Part
from workbook.results.litters.figures import Figure
from workbook.results.litters.gaps import ADD_UP, LAST, SETTINGS, TARGET, Gap
from workbook.results.litters.known import enough
from workbook.results.statistics.proportions import PER_CENT
from workbook.season.season import Settings

SPANS = ((1, 7), (8, 8), (9, 12))
BESIDE_SPANS = ((1, 5), (6, 6), (7, 7), (8, 8), (9, 12))
SMALL = WRAPPED.with_(size=10)
RIGHT = SMALL.with_(align="right")
HEADS = (
    Head("What it would have meant", SMALL), Head("Lambs", TALLY.with_(bold=True)),
    Head("Chance, and what was not recorded", SMALL),
)
BESIDE = (Head("This season", RIGHT), Head("Last season", RIGHT))
NOTE = ("Against the farm's own target, else last season, else within the flock where its parts differ by more than chance. "
        f"{ADD_UP}")
NO_GAP = ("No gap of a lamb or more against the farm's own target or last season (both typed on Season), or beyond chance "
          "within the flock.")


def biggest_gaps(around: Around) -> Part | None:
    """The gaps, biggest first."""
    gaps = around.result.gaps
    if not gaps:
        return Part(NO_GAP) if around.result.figures else None
    settings = around.result.season.settings
    beside = {gap.id: last for gap in gaps if (last := _last_season(gap, settings)) is not None}
    if not beside:
        return Part(NOTE, HEADS, SPANS, [(gap.words, round(gap.lambs), gap.note) for gap in gaps])
    rows = [(gap.words, round(gap.lambs), *_beside(gap, beside.get(gap.id)), gap.note) for gap in gaps]
    return Part(NOTE, (*HEADS[:2], *BESIDE, *HEADS[2:]), BESIDE_SPANS, rows)


def _last_season(gap: Gap, settings: Settings) -> float | None:
    """Last season's figure as typed on Season, whatever the gap is held against."""
    _, last = SETTINGS.get(gap.id, ("", ""))
    return settings.maybe(last) if last else None


def _beside(gap: Gap, last: float | None) -> tuple[str | None, str | None]:
    """This season's figure and last season's; both blank where there is none to set beside it."""
    return (None, None) if last is None else (f"{PER_CENT * gap.counted / gap.of:.1f} %", f"{last:g} %")


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
    lambs = f": {so_many(round(gap.lambs), 'lamb')}" if gap else ""
    return f"{side} {whose}{lambs}"
