"""Method: what every figure means, the settings used, and what to be careful of."""

from template_builder.files.look import BODY, STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Tab
from template_builder.files.writer import Book
from template_builder.layout.cautions import CAUTIONS
from template_builder.layout.columns import Value
from template_builder.layout.policy import WEIGHTS
from template_builder.layout.settings import CALL, SETTINGS
from template_builder.layout.summary_tabs import METHOD
from template_builder.layout.words import sentence
from workbook.output.summary.figure_cells import denominator, numerator, value
from workbook.output.summary.pack import Part, write_part
from workbook.output.summary.phrases import label, missing_words, moment_words, stage_words
from workbook.results.litters.contrasts import METHOD as CONTRASTS
from workbook.results.litters.differences import METHOD as CHANCE
from workbook.results.litters.gaps import ADD_UP
from workbook.results.litters.lines import LINES
from workbook.results.pipeline import Result
from workbook.results.scores.across import LEAST_EWES, share_of_ewe, weight_of_records
from workbook.results.scores.mothering import POOR_BELOW
from workbook.results.statistics.proportions import FEW
from workbook.rules.rule import REGISTRY
from workbook.season.season import Settings

WIDTHS = (30.0, 15.0, 9.0, 10.0, 24.0, 23.0)
SMALL = WRAPPED.with_(size=9)
LABEL = STRONG.with_(wrap=True, valign="top")
LEFT = BODY.with_(align="left", wrap=True, valign="top")
FIGURE_SPANS = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 6))
DEFINITION_SPANS = ((1, 1), (2, 6))
FIGURE_HEADS = (Head("Figure", LABEL), Head("Value"), Head("Counted"), Head("Of"), Head("What it is"))
LINE_HEADS = (Head("Line", LABEL), Head("What it counts"))
EACH_COLUMN = tuple((column, column) for column in range(1, 7))
RULE_SPANS = ((1, 1), (2, 2), (3, 4), (5, 5), (6, 6))
PARTS = ("weight-acceptance", "weight-milk", "weight-full", "weight-alive", "weight-growth")
ALL_THERE = "nothing that the figures rest on was found missing"
NO_LITTERS = "No litter weighed yet"
PRINCIPLES: tuple[str, ...] = (
    "Alive means it breathed, however briefly. Mummified and aborted lambs are not born; dead fresh and dead decayed are born "
    "dead. A ewe counts once however often her row is repeated.",
    "What was not recorded is shown as not recorded, never as none. Blank is not 0.",
    "Numbers of the litter account, and what headline figures count where it is a count of rows, are live sums over the columns "
    "beside the rows on the Records tabs. Everything else is a value as worked out when this file was written.",
    "The recommendations come from the rules on Policy, which the farm sets. They inform the meeting and do not replace it: the "
    "farmer and adviser decide, the vet on anything to do with health.",
)
METHODS: tuple[tuple[str, str], ...] = (
    ("95 % interval", "Shares carry the score interval of Wilson 1927: with few animals it is wide. Shares of fewer than "
     f"{FEW} animals read \"few\". Lambs of one litter are alike, so that shares of lambs are less sure than their number "
     "says: their intervals are made wider by how alike litter mates are in the flock itself (design effect, Cochran 1977). "
     "In 1,000 invented flocks with a known truth 93 to 97 of 100 intervals held it; fewer of ewes rearing none where lambs "
     "go unseen, so that it has bounds as well."),
    ("Scan agreement", "Weighted kappa (Cohen 1968): agreement beyond what chance gives with the same totals; a miss "
     "weighs as many lambs as it is out. 1 is full agreement, 0 none beyond chance; not defined where all ewes were scanned "
     "alike or all bore alike."),
    ("How many times as often", CONTRASTS),
    ("Chance or difference", CHANCE),
    ("In lambs, not per cent", "What was counted less what it would have been at the own target, else last season's figure, "
     "else at the rate of the better class within the flock, where the two differ by more than chance. \"May be chance\" stands "
     f"where the figure held against lies within the 95 % interval of what was counted. {ADD_UP}"),
    ("Weight at one age", "Lamb weights are brought to one age by the straight line from birth weight. A birth weight not "
     "written is the mean of its sex and litter size in this flock, else the constant under Settings used. Ten or more lambs "
     "weighed too far from that age keep their weight, and age and weighing day are allowed for instead."),
)
SEASONS = (
    "The mean of what she weaned above like ewes in her seasons, drawn towards zero because one season says little of the next: "
    "times n r / (1 + (n - 1) r), n her seasons, r the repeatability, here {share:.2g}, {origin}. So one season counts for "
    "{one:.0f} %, three for {three:.0f} %. With {least} ewes or more that were compared this season and have earlier seasons on "
    "Ewes, r is worked out from them by analysis of variance; ewes culled for a poor season are not among them, which makes it "
    "a little low. Of earlier seasons only the mean is kept, so seasons before this one are not told apart."
)
LIKE_LAMBS = (
    "Each lamb is held against like lambs by least squares on this flock's own weights: sex, how many were born and reared "
    "together, age of the ewe, group, ram and breed, as far as they are written. A class of fewer than ten joins the one beside "
    "it; lambs reared as ones, twos, threes or by hand are never joined. A ewe's litter stands as her lambs do together, so no "
    "ewe is worse for a single that is a ewe lamb. Lambs whose day of birth is not known are compared as the scale said, and "
    "that is not adjusted for age."
)
MOTHERING = (
    "The sum of its parts, each of them the mean of what was seen of it: {parts}. Each illness of mastitis, and each lamb "
    "moved because she had no milk, counts as a look that found no milk. A lamb's belly counts for the ewe the lamb was under "
    "that day, a refusal for the lamb's own ewe, and a death for the ewe that was rearing it, only where it was her fault. A "
    "ewe that reared none gets no points for lambs kept alive or for growth if one of her lambs died or was taken from her "
    "through a fault of hers (starved though she had milk, refused, no milk, mastitis); if not, both parts count as not "
    "recorded. A part not recorded is given the mean of the ewes of her age class (first-time or mature) and litter size for "
    "which it is known, or of all ewes where those are fewer than {few}; a part known for no ewe is left out. With less than "
    "{least:g} % of the points recorded there is no score. Ewes with every part recorded are ranked first, the others after "
    "them. The word is the third of her class that her score is in; ewes with the same score go together, by the middle one "
    "of them, and a class of fewer than {few} is compared with all ewes. Under {poor:g} the word is poor, whatever her class."
)


def write_method(book: Book, result: Result, footer: str) -> None:
    """Write the tab."""
    tab = Tab(book, METHOD, WIDTHS, footer, read=True)
    tab.title(METHOD, f"{moment_words(result.season)}. {stage_words(result)}")
    tab.section("Cautions")
    for caution in CAUTIONS:
        tab.prose(caution)
    tab.section("How it is counted")
    for principle in PRINCIPLES:
        tab.prose(principle)
    _write_not_recorded(tab, result)
    _write_methods(tab, result)
    figures = [(label(one), value(one), numerator(one), denominator(one), one.definition) for one in result.figures]
    write_part(tab, "Figures", Part("", FIGURE_HEADS, FIGURE_SPANS, figures, long=True))
    lines = [(line.title, line.definition) for line in LINES]
    write_part(tab, "Lines of the litter account", Part("", LINE_HEADS, DEFINITION_SPANS, lines, long=True))
    _write_settings(tab, result.season.settings)
    _write_rules(tab)


def _write_not_recorded(tab: Tab, result: Result) -> None:
    missing = missing_words(result)
    with tab.kept_together():
        tab.section("What was not recorded", "Figures that rest on these are weaker for it." if missing else "")
        for words in missing or [ALL_THERE]:
            tab.prose(sentence(words))


def _write_methods(tab: Tab, result: Result) -> None:
    """How intervals, agreement, comparisons and scores are made, with what was fitted in this flock."""
    tab.section("Methods")
    weights, share = result.season.policy.weights, share_of_ewe(result.season, result.rearing.comparison.against)
    parts = "; ".join(f"{one.title.partition(': ')[2]} {weights[one.id]:g} {one.unit}" for one in WEIGHTS if one.id in PARTS)
    told = (
        *METHODS,
        ("Mothering score", MOTHERING.format(
            parts=parts, few=FEW, least=weights["least-coverage"], poor=weights[POOR_BELOW])),
        ("Over several seasons", SEASONS.format(
            share=share.value, origin=share.words, one=100 * weight_of_records(1, share.value),
            three=100 * weight_of_records(3, share.value), least=LEAST_EWES)),
        ("Lambs and litters against their like", f"{LIKE_LAMBS} {_fitted(result)}"),
    )
    for name, words in told:
        tab.spread((Cell(name, LABEL), words), DEFINITION_SPANS, WRAPPED)


def _fitted(result: Result) -> str:
    """What was allowed for, and the classes each effect was fitted in."""
    comparison = result.rearing.comparison
    classes = "; ".join(f"{effect}: {', '.join(names)}" for effect, names in comparison.classes.items())
    return f"{comparison.words[:1].upper()}{comparison.words[1:] or NO_LITTERS}.{f' Classes: {classes}.' if classes else ''}"


def _write_settings(tab: Tab, settings: Settings) -> None:
    heads = (
        Head("Setting"), Head("Value", LEFT), Head("Unit"), Head("Default or own"), Head("Why", SMALL), Head("Source", SMALL),
    )
    rows = [
        (one.title, _plain(settings.value(one.id)), one.unit, "own" if settings.own(one.id) else "default", one.why, one.source)
        for one in SETTINGS if one.id not in CALL  # whose numbers those are is nobody's business
    ]
    note = "Change them on the Season sheet of the season workbook."
    write_part(tab, "Settings used", Part(note, heads, EACH_COLUMN, rows, long=True))


def _plain(value: object) -> Value:
    """A setting as a cell takes it; where nothing is set it says so."""
    return "not set" if value is None else value  # type: ignore[return-value]  # settings hold cell values only


def _write_rules(tab: Tab) -> None:
    """Every rule the records were checked by, with where it comes from."""
    tab.page.print_area((1, 1), (tab.row - 1, len(WIDTHS)))
    tab.section("Rules the records were checked by", "For the screen; not printed. What to do about each is on To correct where "
                "it was found. The sources of the selection rules are on Policy.")
    tab.spread(("Rule", "Kind", "What it looks for", "Why", "Source"), RULE_SPANS, None)
    for id, rule in sorted(REGISTRY.items()):
        row = (Cell(f"{id} {rule.slug}", SMALL), rule.severity.value, rule.title, rule.why, rule.source)
        tab.spread(row, RULE_SPANS, SMALL)
