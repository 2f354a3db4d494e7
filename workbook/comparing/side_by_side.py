"""Side by side: the headline figures of farms that are alike, a table for each kind of farm."""

from collections.abc import Mapping, Sequence
from contextlib import nullcontext

from template_builder.files.look import WRAPPED
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book
from template_builder.layout.group_tabs import SIDE_BY_SIDE
from template_builder.layout.words import capital
from workbook.comparing.cells import LETTER
from workbook.comparing.farm import Farm, Number
from workbook.comparing.group import Compared
from workbook.comparing.like import entries
from workbook.comparing.measures import MEASURE
from workbook.output.summary.phrases import SHARE_UNIT

HEADLINES = ("scanning_pct_scanned", "empty_pct", "litter_born", "stillbirth_pct", "loss_live_born_pct", "total_loss_pct",
             "ewe_deaths_pct", "reared_pct")
WIDTHS = (7.0, *[14.0] * len(HEADLINES))
FIGURE = WRAPPED.with_(size=9, align="right")
HEADS = (Head("Farm", LETTER), *(Head(MEASURE[id].title, FIGURE) for id in HEADLINES))
ON_A_PAGE = 12  # farms; a longer table goes on under its headings wherever the program that prints ends a page
NOTE = ("What was counted, of how many, stands below each figure; * says that it is compared with nobody: All figures says why. "
        "Farms of another kind have a table of their own, since their figures are known in another way.")


def write_side_by_side(book: Book, found: Compared, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, SIDE_BY_SIDE, WIDTHS, footer, read=True)
    tab.title(SIDE_BY_SIDE, NOTE)
    numbers = {(one.farm.letter, one.measure.id): one.number for one in entries(found.farms, together=found.together)}
    for number, (kind, farms) in enumerate(_kinds(found).items(), start=1):
        with tab.kept_together() if len(farms) <= ON_A_PAGE else nullcontext():
            rows: list[list[Shown]] = [[farm.letter, *(_cell(numbers[farm.letter, id]) for id in HEADLINES)]
                                       for farm in farms]
            tab.section(capital(kind))
            top = tab.table(HEADS, rows, name=f"side_by_side_{number}")
        if number == 1:
            tab.heads_repeated(top)  # the kind with most farms; the others have the same columns


def _kinds(found: Compared) -> Mapping[str, Sequence[Farm]]:
    """The farms by how they record and where their ewes lamb, the most first."""
    kinds: dict[str, list[Farm]] = {}
    for farm in found.farms:
        kinds.setdefault(farm.recorded.value if found.together else farm.kind, []).append(farm)
    return dict(sorted(kinds.items(), key=lambda one: -len(one[1])))


def _cell(number: Number) -> Cell:
    """The figure above what it was counted from; the counts alone where there is no figure."""
    if number.numerator is None or number.denominator is None:
        return Cell(None, FIGURE)
    counted = f"{number.numerator:,.0f} of {number.denominator:,.0f}"
    if number.value is None:
        return Cell(counted, FIGURE)
    value = f"{number.value:.1f} %" if number.unit == SHARE_UNIT else f"{number.value:.2f}"
    return Cell(f"{value}{'*' * bool(number.why)}\n{counted}", FIGURE)
