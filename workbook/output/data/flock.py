"""What is known of the flock as data: figures, account, groups, losses, scan, policy."""

from typing import NamedTuple

from template_builder.layout.choices import Action, Compare, OnOff, When
from template_builder.layout.policy import EVIDENCE_BY_ID, Weight
from template_builder.layout.words import capital
from workbook.output.data.shapes import CELLS, NUMBER, TEXT, WHOLE, YES, Field, Shape, always, by_name, each, word
from workbook.results.litters.contrasts import RISK_RATIO, Contrast, Side
from workbook.results.litters.differences import Against, Difference
from workbook.results.litters.figure import Figure
from workbook.results.litters.gaps import LAST, TARGET, WITHIN, Gap
from workbook.results.litters.group_account import GROUP_LINES, GroupAccount, Step
from workbook.results.litters.life_table import LifeStage
from workbook.results.litters.lines import ALL, BOUGHT_IN, COUNT, LINES, NOT_SCANNED
from workbook.results.litters.losses import LossClass, LossTable
from workbook.season.season import PolicyRule

OR_NONE = NUMBER.or_null()
SHARE_LOW, SHARE_HIGH = "Lower end of its 95 % interval.", "Upper end of its 95 % interval."

FIGURE: Shape[Figure] = Shape("figure", "A figure of the flock, with all it rests on.", (
    Field("id", TEXT, "Its name; `explain` tells of it."),
    Field("label", TEXT, "What it is called."),
    Field("value", OR_NONE, "The figure; null where it is not defined or not recorded."),
    Field("unit", TEXT, "What it is counted in; of a share \"%\", from 0 to 100."),
    Field("numerator", OR_NONE, "What is counted; null where it is not recorded."),
    Field("denominator", OR_NONE, "What it is counted against; null where it is not recorded."),
    Field("low", OR_NONE, "Lower end of the 95 % interval of a share, in its unit; litter mates are taken as alike."),
    Field("high", OR_NONE, "Upper end of the 95 % interval of a share, in its unit."),
    Field("few", YES, "Whether it rests on under ten animals, so that pages say \"few\" in its place."),
    Field("so_far", YES, "Whether ewes are still to lamb, so that it may change."),
    Field("known", WHOLE.or_null(), "On how many animals it rests; null where it is not defined."),
    Field("of", WHOLE.or_null(), "On how many animals it should rest; more than `known` where records are missing."),
    Field("least", OR_NONE, "The least it could be if the animals not known were all one way; null where all are known."),
    Field("most", OR_NONE, "The most it could be if they were all the other way."),
    Field("definition", TEXT, "What it is, in a sentence or more."),
))

ACCOUNT = by_name(by_name(WHOLE), {
    line.id: f"{line.title}: {line.definition}. By scanned litter size (\"0\", \"1\", ...), and \"{NOT_SCANNED}\", "
             f"\"{BOUGHT_IN}\", \"{COUNT}\" (an entry for a count), \"{ALL}\"."
    for line in LINES
})

STEP: Shape[Step] = Shape("step", "What became of a group's lambs from one stage to the next: before + more = after + lost + "
                          "sold + moved.", (
    Field("from", TEXT, "The stage before.", lambda step: step.before.stage),
    Field("to", TEXT, "The stage after.", lambda step: step.after.stage),
    Field("before", WHOLE, "Lambs there before.", lambda step: step.before.lambs),
    Field("after", WHOLE, "Lambs there after.", lambda step: step.after.lambs),
    Field("lost", WHOLE, "Lambs lost between."),
    Field("sold", WHOLE, "Lambs sold between."),
    Field("moved", WHOLE, "Lambs put on the bottle or gone to another group, less those that came."),
    Field("more", WHOLE, "Lambs there after beyond those before."),
    Field("basis", TEXT, "What the number after rests on.", lambda step: step.after.basis),
    Field("words", TEXT, "The same in words."),
))


def _line_of_group(line: str, means: str) -> Field[GroupAccount]:
    return Field(line, WHOLE.or_null(), f"{capital(means)}; null where not known.", lambda group: group.lines[line])


GROUP: Shape[GroupAccount] = Shape("group", "The account of a group, from its scan to weaning.", (
    Field("group", TEXT, "The group."),
    Field("how_recorded", TEXT, "How it is recorded, as written on Groups."),
    Field("by_count", YES, "Whether it is known by counts only."),
    *(_line_of_group(line, means) for line, means in GROUP_LINES.items()),
    Field("steps", each(STEP), "From one stage known to the next."),
    Field("words", TEXT, "The account in a few sentences."),
))

LOSS_CLASS: Shape[LossClass] = Shape("loss_class", "Lambs or ewes lost in a class of a table. Shares are from 0 to 1.", (
    Field("class", TEXT, "The class.", lambda one: one.label),
    Field("lost", NUMBER, "How many were lost.", lambda one: one.loss.numerator),
    Field("of", WHOLE, "Out of how many.", lambda one: one.loss.denominator),
    Field("share", OR_NONE, "The share lost.", lambda one: one.loss.value),
    Field("low", OR_NONE, SHARE_LOW, lambda one: one.loss.low),
    Field("high", OR_NONE, SHARE_HIGH, lambda one: one.loss.high),
    Field("of_start", OR_NONE, "The share of those here when the stage began; null but for stages.",
          lambda one: one.of_start.value if one.of_start else None),
    Field("cells", CELLS, "Where it is written.", lambda one: one.rows),
))
LOSSES: Shape[LossTable] = Shape("loss_table", "Losses split one way.", (
    Field("id", TEXT, "The split."),
    Field("title", TEXT, "The split in words."),
    Field("classes", each(LOSS_CLASS), "Each class."),
    Field("note", TEXT, "For how many the split is known, in words."),
))

LIFE_STAGE: Shape[LifeStage] = Shape("life_stage", "A stage of the life table of live-born lambs. Shares are from 0 to 1.", (
    Field("stage", TEXT, "The stage.", lambda stage: stage.label),
    Field("at_risk", WHOLE.or_null(), "Lambs here when it began; null for lambs of which nothing tells when they went."),
    Field("died", WHOLE, "Lambs that died in it."),
    Field("missing", WHOLE, "Lambs missing in it."),
    Field("short", WHOLE, "Lambs short at a count, by the days between counts."),
    Field("sold", WHOLE, "Lambs sold in it."),
    Field("still_in_it", WHOLE, "Lambs in it at the season's moment.", lambda stage: stage.still),
    Field("lost", WHOLE, "Died, missing and short together."),
    Field("live_born", WHOLE, "All live-born lambs.", lambda stage: stage.of_live_born.denominator),
    Field("of_live_born", OR_NONE, "Lost, as a share of all live-born: these add up.", lambda stage: stage.of_live_born.value),
    Field("of_at_risk", OR_NONE, "Lost, as a share of those here when it began.",
          lambda stage: stage.of_at_risk.value if stage.of_at_risk else None),
    Field("low", OR_NONE, SHARE_LOW, lambda stage: stage.of_at_risk.low if stage.of_at_risk else None),
    Field("high", OR_NONE, SHARE_HIGH, lambda stage: stage.of_at_risk.high if stage.of_at_risk else None),
    Field("survived", OR_NONE, "The share of live-born alive at its end, had none been sold."),
))

GAP: Shape[Gap] = Shape("gap", "How many more lambs there would be, had one figure been as another.", (
    Field("id", TEXT, "The figure or comparison."),
    Field("words", TEXT, "The gap in a sentence."),
    Field("lambs", NUMBER, "How many more lambs."),
    Field("counted", NUMBER, "What was counted."),
    Field("of", WHOLE, "Out of how many."),
    Field("against", word((TARGET, LAST, WITHIN)), "Whose figure it is held against."),
    Field("reference", NUMBER, "The figure it is held against, in per cent."),
    Field("not_recorded", TEXT, "Whether it may be chance, and what was not recorded.", lambda gap: gap.note),
))

SIDE: Shape[Side] = Shape("side", "One of two classes compared. Shares are from 0 to 1.", (
    Field("class", TEXT, "The class.", lambda side: side.name),
    Field("lost", NUMBER, "Lambs lost of it.", lambda side: side.loss.numerator),
    Field("of", WHOLE, "Live-born lambs of it.", lambda side: side.loss.denominator),
    Field("share", OR_NONE, "The share lost.", lambda side: side.loss.value),
    Field("low", OR_NONE, SHARE_LOW, lambda side: side.loss.low),
    Field("high", OR_NONE, SHARE_HIGH, lambda side: side.loss.high),
    Field("design_effect", NUMBER, "How many of its lambs tell as much as one stranger, litter mates being alike."),
))
CONTRAST: Shape[Contrast] = Shape("contrast", "How many times as often one class of lambs was lost as another.", (
    Field("id", TEXT, "The comparison."),
    Field("words", TEXT, "The comparison in a sentence."),
    Field("measure", always(RISK_RATIO), "What is compared: share lost over share lost.", lambda _: RISK_RATIO),
    Field("risk_ratio", OR_NONE, "How many times as often.", lambda one: one.risk_ratio.value),
    Field("low", OR_NONE, SHARE_LOW, lambda one: one.risk_ratio.low),
    Field("high", OR_NONE, SHARE_HIGH, lambda one: one.risk_ratio.high),
    Field("odds_ratio", OR_NONE, "The ratio of odds, for papers that print it; further from 1."),
    Field("likeness_within_litters", OR_NONE, "Correlation of loss within litters.", lambda one: one.likeness),
    Field("first", SIDE, "The class that is compared."),
    Field("second", SIDE, "The class it is compared with."),
    Field("not_recorded", TEXT, "For how many lambs the class is not known.", lambda one: one.note),
    Field("may_be_chance", YES, "Whether it may be chance.", lambda one: one.by_chance),
))


class Standing(NamedTuple):
    """A class of a split against all of it."""

    name: str
    against: Against


STANDING: Shape[Standing] = Shape("standing", "A class of a split against the share lost of all.", (
    Field("class", TEXT, "The class.", lambda one: one.name),
    Field("lost", WHOLE, "Lambs lost of it.", lambda one: one.against.lost),
    Field("of", WHOLE, "Live-born lambs of it.", lambda one: one.against.lambs),
    Field("expected", NUMBER, "Lambs lost of it at the share of all.", lambda one: one.against.expected),
    Field("beyond", NUMBER, "Lambs lost beyond that; below 0 where fewer.", lambda one: one.against.beyond),
    Field("share_allowing_for_chance", OR_NONE, "Its share lost from 0 to 1, drawn towards that of all as far as chance goes.",
          lambda one: one.against.share),
    Field("stands_out", YES, "Whether it differs from all others by more than chance.", lambda one: one.against.stands_out),
))
DIFFERENCE: Shape[Difference] = Shape("difference", "Whether the classes of a split differ in losses by more than chance.", (
    Field("id", TEXT, "The split."),
    Field("chi_square", NUMBER, "How far its classes lie apart.", lambda one: one.test.chi_square),
    Field("freedom", WHOLE, "Degrees of freedom of that.", lambda one: one.test.freedom),
    Field("p", NUMBER, "How often chance alone puts classes so far apart, from 0 to 1.", lambda one: one.test.p),
    Field("p_corrected", NUMBER, "The same, allowing for all tables looked at.", lambda one: one.chance),
    Field("tables", WHOLE, "How many tables were looked at."),
    Field("beyond_chance", YES, "Whether they differ by more than chance."),
    Field("classes", each(STANDING), "Each class.", lambda one: [Standing(*pair) for pair in one.against.items()]),
))


class Scanned(NamedTuple):
    """Ewes scanned with so many lambs that bore so many."""

    scanned: int
    born: int
    ewes: int


SCANNED: Shape[Scanned] = Shape("scanned", "Ewes scanned with so many lambs that bore so many.", (
    Field("scanned", WHOLE, "Lambs scanned."),
    Field("born", WHOLE, "Lambs born, and mummified or aborted ones that were scanned."),
    Field("ewes", WHOLE, "How many such ewes."),
))

RULE: Shape[PolicyRule] = Shape("selection_rule", "A selection rule as the farm has set it on Policy.", (
    Field("id", TEXT, "The rule; `explain` tells of it.", lambda placed: placed.rule.id),
    Field("title", TEXT, "The fault in words.", lambda placed: placed.rule.title),
    Field("on", word(on.label for on in OnOff), "Whether it is used.", lambda placed: placed.rule.on.label),
    Field("evidence", TEXT, "The number of a ewe it looks at.", lambda placed: placed.rule.evidence),
    Field("compare", word(compare.label for compare in Compare), "How that is compared with the limit.",
          lambda placed: placed.rule.compare.label),
    Field("limit", NUMBER, "The limit.", lambda placed: placed.rule.limit),
    Field("unit", TEXT, "The unit of number and limit.", lambda placed: EVIDENCE_BY_ID[placed.rule.evidence].unit),
    Field("action", word(action.label for action in Action), "What it asks for.", lambda placed: placed.rule.action.label),
    Field("at_mating", word(action.label for action in Action).or_null(), "What it asks for where the look before mating says "
          "so; null is the same.", lambda placed: placed.rule.at_mating.label if placed.rule.at_mating else None),
    Field("when", word(when.label for when in When), "At once, or only in two of her last three lambings.",
          lambda placed: placed.rule.when.label),
    Field("why", TEXT, "Why it matters.", lambda placed: placed.rule.why),
    Field("source", TEXT, "Where it comes from.", lambda placed: placed.rule.source),
))


class Weighted(NamedTuple):
    """A number the scores are made with, as the farm has set it."""

    weight: Weight
    value: float


WEIGHT: Shape[Weighted] = Shape("score_weight", "A number the scores are made with, as the farm has set it on Policy.", (
    Field("id", TEXT, "The number; `explain` tells of it.", lambda one: one.weight.id),
    Field("title", TEXT, "What it is.", lambda one: one.weight.title),
    Field("value", NUMBER, "Its value."),
    Field("unit", TEXT, "Its unit.", lambda one: one.weight.unit),
    Field("why", TEXT, "What it does.", lambda one: one.weight.why),
    Field("source", TEXT, "Where it comes from.", lambda one: one.weight.source),
))
