"""In the pack: the headline figures, each with what it was counted from and what it is held against."""

from collections.abc import Sequence
from dataclasses import replace

from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Head, Shown
from template_builder.layout.summary_tabs import METHOD
from workbook.output.summary.figure_cells import denominator, numerator, value
from workbook.output.summary.gaps import difference_words, references
from workbook.output.summary.pack import Around, Part
from workbook.output.summary.phrases import interval_words, label
from workbook.results.litters.figures import Figure

HEADLINES = (
    "scanning_pct_ram", "scanning_pct_scanned", "litter_scanned", "empty_pct", "litter_born", "ewes_lambed_pct", "lambing_pct",
    "aborted_pct", "stillbirth_pct", "loss_live_born_pct", "total_loss_pct", "reared_pct", "pet_pct", "ewe_deaths_pct",
    "assisted_pct", "kg_weaned_per_ewe",
)
SMALL = WRAPPED.with_(size=10)
RIGHT = SMALL.with_(align="right")
COUNTED, OF = "E", "F"  # columns of what is counted and of what it is counted against
SPANS = ((1, 3), (4, 4), (5, 5), (6, 6), (7, 8), (9, 9), (10, 10), (11, 12))
HEADS = (
    Head("Figure", STRONG.with_(wrap=True, size=10)), Head("Value"), Head("Counted"), Head("Of"),
    Head("95 % interval", SMALL.with_(align="center")), Head("Own target", RIGHT), Head("Last season", RIGHT),
    Head("Difference", SMALL),
)
NOTE = ("Counted links to its rows. Difference is from the own target, else from last season. What each figure means stands on "
        f"{METHOD}.")
FOOTNOTE = " * "
NOTHING_TO_COUNT = "Nothing recorded to count these from"


def headline_figures(around: Around) -> Part | None:
    """The figures in their usual order."""
    known = {figure.id: figure for figure in around.result.figures}
    wanted = [known[id] for id in HEADLINES if id in known]
    figures = [figure for figure in wanted if figure.value is not None or figure.denominator]
    nothing = "; ".join(figure.label for figure in wanted if figure not in figures)
    if not wanted:
        return None
    without = sorted({f"{FOOTNOTE.strip()} {figure.without}" for figure in figures if figure.without})
    return Part(NOTE, HEADS, SPANS, [_row(figure, around) for figure in figures], [*without, *_known_for(figures),
                *([f"{NOTHING_TO_COUNT}: {nothing}."] if nothing else [])], long=True)


def _known_for(figures: Sequence[Figure]) -> list[str]:
    """In one paragraph how many animals each figure rests on where that is not all, those that rest on as many together."""
    labels: dict[str, list[str]] = {}
    for figure in figures:
        if figure.partly:
            labels.setdefault(figure.partly, []).append(figure.label)
    words = " ".join(f"{'; '.join(named)}: {partly}." for partly, named in labels.items())
    return [words] if words else []


def _row(figure: Figure, around: Around) -> Sequence[Shown]:
    result, formulas = around.result, around.flags.figure(figure)
    target, last = references(figure, result.season.settings)
    return [
        label(figure) + FOOTNOTE.rstrip() * bool(figure.without), value(figure, COUNTED, OF),
        replace(numerator(figure), link=around.places.first(figure.rows), formula=formulas[0]),
        replace(denominator(figure), formula=formulas[1]), interval_words(figure), _per_cent(target), _per_cent(last),
        difference_words(figure, target, last, result.gaps),
    ]


def _per_cent(reference: float | None) -> str | None:
    return None if reference is None else f"{reference:g} %"
