"""How compared: what each figure counts, what is put beside what, how limits are made, and what not to read into it."""

from template_builder.files.look import STRONG, WRAPPED
from template_builder.files.tab import Head, Tab
from template_builder.files.writer import Book
from template_builder.layout.group_tabs import HOW
from workbook.comparing.group import Compared
from workbook.comparing.like import LEAST_FARMS
from workbook.comparing.measures import MEASURES, Since
from workbook.results.litters.known import ENOUGH_SHOWN
from workbook.results.statistics.funnel import CUT, LEAST_FOR_SPREAD
from workbook.results.statistics.proportions import FEW, PER_CENT

QUESTION = "Outside a limit is a question to ask of the records and the farm, never a verdict; inside is no praise."
SMALL = WRAPPED.with_(size=9)
HEADS = (Head("Figure", STRONG.with_(wrap=True, valign="top")), Head("Counted"), Head("Out of, or per"),
         Head("Compared among farms alike in", SMALL))
WIDTHS = (28.0, 38.0, 34.0, 30.0)
ALIKE = {
    Since.SCANNED: "nothing more: a scan is a scan", Since.BORN: "by row or by count; indoors or outdoors",
    Since.WEANED: "by lamb, ewe or count; indoors or outdoors; season weaned",
}
TOGETHER = {
    Since.SCANNED: ALIKE[Since.SCANNED], Since.BORN: "by row or by count", Since.WEANED: "by lamb, ewe or count; season weaned",
}
METHODS: tuple[tuple[str, str], ...] = (
    ("Like with like", "A loss known from a row for each lamb is another thing than one known from two counts, and lambing in a "
     "field another than in a shed: such farms are never put beside one another. Losses stand by litter size and by age of the "
     "ewe as well, so that a flock with many triplets can be read against others' triplets. A season is compared in what was "
     "lost only when it is weaned."),
    ("Few animals", f"Under {FEW} animals there is no figure. A figure that rests on under {ENOUGH_SHOWN} of what should "
     f"have been recorded is compared with nobody. Under {LEAST_FARMS} farms alike there are no quartiles, places or limits."),
    ("Quartiles", "By straight line between the ordered values (type 7 of Hyndman and Fan 1996, as most statistics programs do "
     "unless told otherwise). The place counts from the lowest value; equal values share one."),
    ("Limits", "The line of the group is all losses over all animals of the farms alike. Limits are those of the binomial "
     "distribution for so many animals, exact: of farms that lose like the group at most 2.5 of 100 lie above the upper 95 % "
     "limit and 2.5 below the lower, 1 of 1,000 for the 99.8 % limits. Funnel plots: Spiegelhalter 2005, Statistics in Medicine "
     "24:1185 (from memory)."),
    ("Lambs of one litter", "They are alike, so 20 lambs of 10 ewes tell less than 20 of 20. The design effect of each farm's "
     "own litters (Cochran 1977) is averaged over the group, and limits stand its square root times as far from the line."),
    ("Over-dispersion", "Farms differ in land, breed and weather, and most of that is no fault and no merit. From "
     f"{LEAST_FOR_SPREAD} farms on, the mean square of the farms' standardised distances is taken, the outermost "
     f"{CUT * PER_CENT:.0f} % at either end drawn in (winsorised). Where it is over 1, farms differ by more than chance gives, "
     "and limits stand its square root times as far out (multiplicative over-dispersion, Spiegelhalter 2005): then outside means "
     "far out even among farms that differ. Drawn in, chance alone gives about two thirds, so that only what is clear counts. "
     "With fewer farms this "
     "cannot be told, and limits may be too narrow."),
    ("Looking at many", "With 20 losses looked at, one farm in every set is outside some 95 % limit by chance. Look first at "
     "99.8 %, and at what shows in two figures or two years."),
)


def write_how(book: Book, found: Compared, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, HOW, WIDTHS, footer, read=True)
    tab.title(HOW, QUESTION)
    for name, text in METHODS:
        with tab.kept_together():
            tab.section(name, text)
    tab.section("What each figure counts")
    alike = TOGETHER if found.together else ALIKE
    tab.table(HEADS, [[one.title, one.counted, one.of, alike[one.since]] for one in MEASURES], name="what_each_figure_counts")
