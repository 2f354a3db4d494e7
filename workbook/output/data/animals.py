"""What is known of each animal as data: lambs weighed, every ewe with her decision and scores, and ewes that need a look."""

from typing import NamedTuple

from template_builder.layout.choices import EweLeft, Sex, Verdict
from workbook.output.data.shapes import CELLS, DAY, MOMENT, NUMBER, TEXT, WHOLE, YES, Field, Shape, each, word
from workbook.results.advice.decisions import Decision, Reason
from workbook.results.advice.problem_ewes import ProblemEwe
from workbook.results.pipeline import Result
from workbook.results.scores.across import AcrossSeasons
from workbook.results.scores.comparing import Against
from workbook.results.scores.lamb_model import LambAgainst
from workbook.results.scores.litter_weight import LitterWeight
from workbook.results.scores.mothering import MotheringScore, Part
from workbook.season.ages import age_in_years
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import group_name
from workbook.season.withdrawals import Withdrawal

OR_NONE = NUMBER.or_null()


class Weighed(NamedTuple):
    """A lamb, and how its weight at weaning stands."""

    lamb: Lamb
    one: LambAgainst


LAMB: Shape[Weighed] = Shape("lamb", "A lamb weighed at weaning, against lambs like it in this flock.", (
    Field("ewe", TEXT.or_null(), "The ewe its row names; null where none is.", lambda of: of.lamb.record.text("ewe")),
    Field("lamb_no", WHOLE.or_null(), "Its number in her litter.", lambda of: of.lamb.number),
    Field("tag", TEXT.or_null(), "Its tag.", lambda of: of.lamb.tag),
    Field("sex", word(sex.label for sex in Sex).or_null(), "Its sex.", lambda of: of.lamb.sex.label if of.lamb.sex else None),
    Field("kg", NUMBER, "Its weight in kg, at one age where `adjusted`.", lambda of: of.one.kg),
    Field("expected", OR_NONE, "What a lamb like it weighs in this flock, in kg; null where too few are alike.",
          lambda of: of.one.expected),
    Field("difference", OR_NONE, "Its weight less that, in kg.", lambda of: of.one.against.deviation),
    Field("adjusted", YES, "Whether its age is known, so that ages are allowed for.", lambda of: of.one.adjusted),
    Field("compared", TEXT, "With which lambs it was compared, in words.", lambda of: of.one.against.words),
    Field("cells", CELLS, "Where it is written.", lambda of: of.one.weight.cells),
))

REASON: Shape[Reason] = Shape("reason", "A selection rule that applies to a ewe.", (
    Field("rule", TEXT, "The rule; `policy` holds it."),
    Field("value", NUMBER, "The number of hers that met its limit."),
    Field("cells", CELLS, "Where it is written."),
))
PART: Shape[Part] = Shape("score_part", "A part of a mothering score.", (
    Field("id", TEXT, "The part; `explain` tells of it."),
    Field("points", OR_NONE, "Points given; null where nothing is recorded and no class of hers is known."),
    Field("most", NUMBER, "The most there are."),
    Field("recorded", YES, "Whether it rests on her own records; else it is the mean of ewes like her."),
    Field("reason", TEXT, "Why so many, in words."),
))
MOTHERING: Shape[MotheringScore] = Shape("mothering", "A ewe's mothering score.", (
    Field("score", OR_NONE, "From 0 to 100; null where too little is recorded."),
    Field("coverage", NUMBER, "The share of the weights that rests on her own records, from 0 to 1."),
    Field("word", TEXT, "Where she stands, in a word."),
    Field("place", WHOLE.or_null(), "Her place in the flock, 1 for the best; null without a score."),
    Field("of_class", TEXT, "The ewes she is held against."),
    Field("above_class", OR_NONE, "Points above the mean of those; null where they are few."),
    Field("parts", each(PART), "What it is made of."),
))
WITHDRAWAL: Shape[Withdrawal] = Shape("withdrawal", "What is written of medicines; the medicine book stands above it.", (
    Field("ends", DAY.or_null(), "The last day a withdrawal written here runs to; null where none runs."),
    Field("unknown", YES, "Whether a treatment has no withdrawal written: do not send."),
))
LEFT: Shape[Ewe] = Shape("left", "How a ewe left.", (
    Field("on", DAY.or_null(), "The day; null where not written.", lambda ewe: ewe.left_on),
    Field("how", word(how.label for how in EweLeft).or_null(), "What became of her; null where not written.",
          lambda ewe: how.label if ewe.record and (how := ewe.record.choice("left_how", EweLeft)) else None),
))


class Litter(NamedTuple):
    """What a ewe reared: this season, against like ewes, and over her seasons."""

    weight: LitterWeight | None
    against: Against | None
    across: AcrossSeasons | None

    @property
    def kg(self) -> float | None:
        return self.weight.kg if self.weight else None

    @property
    def difference(self) -> float | None:
        return self.against.deviation if self.against else None

    @property
    def expected(self) -> float | None:
        """What lambs like hers weigh in this flock."""
        return None if self.kg is None or self.difference is None else self.kg - self.difference


LITTER: Shape[Litter] = Shape("litter", "Kilograms a ewe weaned, adjusted for age.", (
    Field("kg", OR_NONE, "What her lambs weigh together; null where one of them was not weighed."),
    Field("reared", WHOLE.or_null(), "How many lambs.", lambda litter: litter.weight.reared if litter.weight else None),
    Field("expected", OR_NONE, "What lambs like hers weigh in this flock."),
    Field("difference", OR_NONE, "Hers less that."),
    Field("compared", TEXT, "With which ewes, in words.", lambda litter: litter.against.words if litter.against else ""),
    Field("over_seasons", OR_NONE, "The difference to be expected of her in a season, from all her seasons.",
          lambda litter: litter.across.kg if litter.across else None),
    Field("seasons", WHOLE, "How many seasons that rests on.", lambda litter: litter.across.seasons if litter.across else 0),
))


class Her(NamedTuple):
    """A ewe and all that was worked out of her."""

    ewe: Ewe
    result: Result

    @property
    def decision(self) -> Decision | None:
        return self.result.decisions.get(self.ewe.key)

    @property
    def litter(self) -> Litter | None:
        rearing, key = self.result.rearing, self.ewe.key
        found = Litter(rearing.litters.get(key), rearing.against(key), rearing.across.get(key))
        return found if found.weight or found.across else None


EWE: Shape[Her] = Shape("ewe", "A ewe: who she is, what is recommended and why, and how she did.", (
    Field("ewe", TEXT, "Her number.", lambda her: her.ewe.name),
    Field("group", TEXT.or_null(), "The group she runs with.", lambda her: group_name(her.ewe)),
    Field("ram", TEXT.or_null(), "The ram she went to.", lambda her: her.ewe.record.text("ram") if her.ewe.record else None),
    Field("age", WHOLE.or_null(), "Her age in years, by her birth year.", lambda her: age_in_years(her.result.season, her.ewe)),
    Field("left", LEFT.or_null(), "How she left; null while she is here.", lambda her: her.ewe if her.ewe.gone else None),
    Field("decision", word(verdict.label for verdict in Verdict).or_null(), "What is recommended; null where she has left or "
          "nothing is written yet.", lambda her: her.decision.verdict.label if her.decision else None),
    Field("provisional", YES.or_null(), "Whether it was made before weaning; null without a decision.",
          lambda her: her.decision.provisional if her.decision else None),
    Field("checked", each(TEXT), "Parts of her that were looked at.", lambda her: her.decision.checked if her.decision else ()),
    Field("not_checked", each(TEXT), "Parts of her that nobody looked at.",
          lambda her: her.decision.not_checked if her.decision else ()),
    Field("reasons", each(REASON), "The rules that apply to her, the one that decides first.",
          lambda her: her.decision.reasons if her.decision else ()),
    Field("last_years", each(TEXT), "Her last three years, a line each, the latest first.",
          lambda her: her.result.years.get(her.ewe.key, ())),
    Field("withdrawal", WITHDRAWAL, "Her withdrawals.", lambda her: her.decision.withdrawal if her.decision else Withdrawal()),
    Field("unfit", TEXT, "Why she may not be fit to travel; empty where nothing says so.",
          lambda her: her.decision.unfit if her.decision else ""),
    Field("mothering", MOTHERING.or_null(), "Her mothering score; null where nothing of it is recorded.",
          lambda her: her.result.mothering.get(her.ewe.key)),
    Field("litter", LITTER.or_null(), "What she reared; null where none of it is known."),
))

PROBLEM_EWE: Shape[ProblemEwe] = Shape("problem_ewe", "Why a ewe needs a look.", (
    Field("ewe", TEXT, "Her number.", lambda one: one.name),
    Field("alert", TEXT, "The trouble; `explain` tells of it."),
    Field("urgency", WHOLE, "1 now, 2 today, 3 soon, 4 at the end of the season."),
    Field("why", TEXT, "What was seen."),
    Field("since", MOMENT.or_null(), "Since when; null where not known."),
    Field("next_step", TEXT, "What the trade usually does next."),
    Field("call_vet", YES, "Whether to call the vet."),
    Field("pen", TEXT, "Her pen."),
    Field("cells", CELLS, "Where it is written."),
))
