"""The selection rules and score weights as data: one number per ewe, one limit, one action."""

from dataclasses import dataclass

from template_builder.layout.choices import Action, Compare, OnOff, When

PRACTICE = "common practice, no source"
TEAGASC = "Teagasc advice on culling ewes"
HOUSE = "house rule"
YES_OR_NO, SCORE = "1 is yes", "condition"  # units
TOO_FEW_BELOW = 10  # animals, below which a share says nothing: house rule


@dataclass(frozen=True)
class Evidence:
    """A number counted for each ewe from what was recorded; `unit` says in what."""

    id: str
    title: str
    unit: str
    checked: str  # which part of her has been looked at when the number is known
    last_look: bool = False  # it is what the last look at that part found, which may be the look before mating
    in_words: bool = False  # what was recorded says more than the number


@dataclass(frozen=True)
class SelectionRule:
    """A row of Policy: when her evidence meets the limit, the action is asked for.

    `at_mating` is asked for instead where the evidence is of the look before mating, the last one to decide by.
    """

    id: str
    title: str
    evidence: str
    limit: float
    action: Action
    why: str
    source: str
    when: When = When.AT_ONCE
    compare: Compare = Compare.AT_LEAST
    on: OnOff = OnOff.ON
    at_mating: Action | None = None  # what it asks for when the look before mating says so; None is the same
    once: str = ""  # what it was called in older layouts
    since: int = 1  # the layout version it came with

    def met_by(self, value: float) -> bool:
        """Whether a number of its evidence meets the limit."""
        return value >= self.limit if self.compare is Compare.AT_LEAST else value <= self.limit


@dataclass(frozen=True)
class Weight:
    """A row of Policy below the rules: a number the scores are made with. `once` is what it was called in older layouts."""

    id: str
    title: str
    limit: float
    unit: str
    why: str
    source: str
    since: int = 1  # the layout version it came with
    once: str = ""


@dataclass(frozen=True)
class Retired:
    """A row of Policy in workbooks of older layouts, on which nothing rests any more: it is read over, and told once."""

    id: str
    title: str
    until: int  # the first layout version without it


LAMBING, UDDER, TEATS, MOUTH, FEET, SCANNING, LAMBS, CONDITION = (
    "lambing", "udder", "teats", "mouth", "feet", "scanning", "mothering", "condition",
)

EVIDENCE: tuple[Evidence, ...] = (
    Evidence("prolapse_vaginal", "vaginal prolapses recorded", "times", LAMBING),
    Evidence("prolapse_womb", "womb prolapses recorded", "times", LAMBING),
    Evidence("prolapse_rectal", "rectal prolapses recorded", "times", LAMBING),
    Evidence("prolapse_unnamed", "prolapses recorded without their kind", "times", LAMBING),
    Evidence("dry_at_lambing", "sides without milk at lambing or next day, no later look", "sides", UDDER),
    Evidence("dry_later", "a side without milk at the last look after the next day", YES_OR_NO, UDDER),
    Evidence("udder_lump_hard", "a lump or a hard udder at the last look", YES_OR_NO, UDDER, last_look=True),
    Evidence("udder_damaged", "a damaged udder at the last look", YES_OR_NO, UDDER, last_look=True),
    Evidence("mastitis", "bouts of mastitis this season", "times", UDDER),
    Evidence("teats_large", "large teats at the last look", YES_OR_NO, TEATS, last_look=True),
    Evidence("teats_bad", "blocked or damaged teats at the last look", YES_OR_NO, TEATS, last_look=True),
    Evidence("udder_or_teats", "udder or teats called bad at lambing, no later look", YES_OR_NO, UDDER),
    Evidence("gummer", "gummer at the last look", YES_OR_NO, MOUTH, last_look=True),
    Evidence("broken", "broken mouth at the last look", YES_OR_NO, MOUTH, last_look=True),
    Evidence("jaw", "over- or undershot at the last look", YES_OR_NO, MOUTH, last_look=True),
    Evidence("lame_treatments", "treatments for lameness this season", "times", FEET),
    Evidence("badly_lame", "badly lame at the last two looks", YES_OR_NO, FEET),
    Evidence("empty_mature", "scanned empty, three years old or lambed twice before", YES_OR_NO, SCANNING),
    Evidence("empty_young", "scanned empty, younger, or never lambed before", YES_OR_NO, SCANNING),
    Evidence("empty_unknown", "scanned empty, age and lambings before not known", YES_OR_NO, SCANNING),
    Evidence("never_lambed", "scanned in lamb, past her last possible day, never lambed", YES_OR_NO, SCANNING),
    Evidence("aborted", "aborted, or may have", YES_OR_NO, LAMBING, in_words=True),
    Evidence("reared_none", "reared none of her live-born lambs", YES_OR_NO, LAMBS, in_words=True),
    Evidence("poor_lambings", "of her last three lambings, those of which she reared none or a litter a third under like ewes",
             "lambings", LAMBS, in_words=True),
    Evidence("refused", "live lambs she refused", "lambs", LAMBS),
    Evidence("lost_hers", "lambs she lost by her own fault", "lambs", LAMBS),
    Evidence("no_milk", "no colostrum, or lambs moved for want of milk", "times", UDDER),
    Evidence("narrow", "helped because she is narrow", "times", LAMBING),
    Evidence("thin", "thin at the last two looks with sound teeth", YES_OR_NO, CONDITION),
    Evidence("condition_at_mating", "condition at the look before mating", SCORE, CONDITION, last_look=True),
)

_AGAIN = "One bad year says little; two in three say more."
_TOGETHER = "Counts with her other faults: two of her last three lambings with any fault; one at her first does not count."

RULES: tuple[SelectionRule, ...] = (
    SelectionRule("vaginal-prolapse", "Vaginal prolapse", "prolapse_vaginal", 1, Action.CULL,
                  "It comes again in about one ewe in three, and runs in families. Not for sale for breeding.",
                  "Jackson and others 2014, NZ Vet J: 6 of 17 ewes bred again"),
    SelectionRule("womb-prolapse", "Womb prolapse", "prolapse_womb", 1, Action.WATCH,
                  "May not come again. Ask your vet whether she should be kept.", PRACTICE),
    SelectionRule("rectal-prolapse", "Rectal prolapse", "prolapse_rectal", 1, Action.NOTE, "Worth remembering.", PRACTICE),
    SelectionRule("unnamed-prolapse", "Prolapse, kind not written", "prolapse_unnamed", 1, Action.WATCH,
                  "Write on Lambing which it was: a vaginal prolapse comes again.", PRACTICE),
    SelectionRule("side-dry-at-lambing", "A side dry at lambing", "dry_at_lambing", 1, Action.WATCH,
                  "Milk may still come; look again some days later.", PRACTICE),
    SelectionRule("side-dry-later", "A side still dry later", "dry_later", 1, Action.CULL,
                  "She can rear one lamb at most.", TEAGASC),
    SelectionRule("udder-lump-or-hard", "Udder lump or hard", "udder_lump_hard", 1, Action.WATCH,
                  "Lambs of ewes with lumps or a hard udder die more often. Felt before mating, she goes; felt earlier, it may "
                  "heal: feel again before mating.",
                  "Griffiths and others 2019, NZ Vet J: odds of a lamb lost 4.9 (lump), 3.0 (hard), felt before mating",
                  at_mating=Action.CULL),
    SelectionRule("udder-damaged", "Udder damaged", "udder_damaged", 1, Action.WATCH,
                  "May have healed by mating; what has not by then will not.", PRACTICE, at_mating=Action.CULL),
    SelectionRule("mastitis", "Mastitis", "mastitis", 1, Action.CULL, "Comes again and spreads. Not for sale for breeding.",
                  TEAGASC),
    SelectionRule("large-teats", "Large teats", "teats_large", 1, Action.WATCH,
                  "New lambs cannot get hold. Harmless where they suck.", PRACTICE),
    SelectionRule("bad-teats", "Blocked or damaged teats", "teats_bad", 1, Action.WATCH,
                  "Look again before mating: what is blocked then stays so.", TEAGASC, at_mating=Action.CULL),
    SelectionRule("bad-udder-or-teats", "Bad udder or teats, which is not written", "udder_or_teats", 1, Action.WATCH,
                  "One word at lambing says little: feel udder and teats before mating.", PRACTICE, since=2),
    SelectionRule("gummer", "Gummer", "gummer", 1, Action.CULL, "She cannot graze to keep herself and lambs.", PRACTICE),
    SelectionRule("broken-mouth", "Broken mouth", "broken", 1, Action.DRAFT,
                  "May do on easier ground. For one more crop at home set the action to note.", PRACTICE),
    SelectionRule("jaw", "Over- or undershot", "jaw", 1, Action.WATCH, "Keep no daughters of hers.", PRACTICE),
    SelectionRule("lame-twice", "Second treatment for lameness", "lame_treatments", 2, Action.WATCH,
                  "Look at her feet again before mating.", PRACTICE, since=2),
    SelectionRule("lame-again", "Third treatment for lameness", "lame_treatments", 3, Action.CULL,
                  "Ewes that are lame again and again keep the trouble in the flock.",
                  "Whole-flock lameness plans cull the repeatedly lame: University of Warwick; three as quoted by others"),
    SelectionRule("badly-lame", "Badly lame and not recovering", "badly_lame", 1, Action.CULL,
                  "Lame and not answering to treatment.", TEAGASC),
    SelectionRule("empty", "Empty, no longer young", "empty_mature", 1, Action.CULL,
                  "A year without lambs.", PRACTICE, once="Empty, has lambed before"),
    SelectionRule("empty-young", "Empty, young or at her first chance", "empty_young", 1, Action.WATCH,
                  "A young empty ewe is seldom empty again: one more chance.", TEAGASC,
                  once="Empty at her first chance"),
    SelectionRule("empty-age-unknown", "Empty, age not known", "empty_unknown", 1, Action.WATCH,
                  "Look up how old she is and how often she lambed: a young ewe gets one more chance, a mature one does not.",
                  PRACTICE,
                  once="Empty, lambings before not known"),
    SelectionRule("never-lambed", "Scanned in lamb, never lambed", "never_lambed", 1, Action.WATCH,
                  "She lost them unseen, or the scan was wrong: look at her udder, and ask your vet.", HOUSE),
    SelectionRule("aborted", "Aborted, or may have", "aborted", 1, Action.WATCH,
                  "Never a cull by itself: most do well later. Isolate, wear gloves, call your vet, send samples; set no lamb on "
                  "to her.", PRACTICE,
                  once="Aborted"),
    SelectionRule("reared-none", "Reared none of her lambs", "reared_none", 1, Action.WATCH,
                  "Whatever cause is written: a year without a lamb. See whether she should go on.", PRACTICE, since=2),
    SelectionRule("reared-none-again", "Reared none, and a fault before", "reared_none", 1, Action.CULL, _TOGETHER,
                  "Two open flock data sets: none again next year in 27 against 13 %, and 29 against 19 %", When.TWO_OF_THREE,
                  since=2),
    SelectionRule("poor-again", "Poor in two of her last three lambings", "poor_lambings", 2, Action.WATCH,
                  "She reared none, or a litter a third under those of like ewes, though no fault may be written. Her first "
                  "lambing does not count.", HOUSE, since=2),
    SelectionRule("refused-lambs", "Refused her lambs", "refused", 1, Action.CULL, _TOGETHER, HOUSE, When.TWO_OF_THREE),
    SelectionRule("lost-her-lambs", "Lost lambs by her own fault", "lost_hers", 1, Action.CULL,
                  f"Starved though she had milk for them, and somebody made sure of it. {_AGAIN}",
                  "Rearing performance repeats at about 0.1: Haughey, George and McGuirk 1985", When.TWO_OF_THREE),
    SelectionRule("no-milk", "No milk", "no_milk", 1, Action.CULL, _TOGETHER, HOUSE, When.TWO_OF_THREE),
    SelectionRule("narrow", "Narrow", "narrow", 1, Action.CULL, _TOGETHER, HOUSE, When.TWO_OF_THREE,
                  once="Narrow or not open"),
    SelectionRule("thin-sound-teeth", "Thin with sound teeth", "thin", 1, Action.WATCH,
                  "Thin without a reason in her mouth: ask your vet.", HOUSE),
    SelectionRule("thin-before-mating", "Very thin before mating", "condition_at_mating", 1.5, Action.WATCH,
                  "She may not hold to the ram: feed her, and ask your vet why.",
                  "targets at mating are 2.5 on the hill to 3.5 in the lowland, no source; the limit is a house rule",
                  compare=Compare.AT_MOST, since=2),
)

WEIGHTS: tuple[Weight, ...] = (
    Weight("weight-acceptance", "Mothering score: acceptance", 25, "points",
           "Mothering 1 to 5, and lambs taken or refused.", HOUSE),
    Weight("weight-milk", "Mothering score: milk and teats", 25, "points", "Sides in milk, teats, colostrum, mastitis.", HOUSE),
    Weight("weight-full", "Mothering score: lambs full next day", 15, "points", "The next day's look.", HOUSE),
    Weight("weight-alive", "Mothering score: her live-born lambs kept alive", 20, "points",
           "Only losses that are hers count; none where she reared none by a fault of hers.", HOUSE),
    Weight("weight-growth", "Mothering score: litter growth", 15, "points",
           "Litter weight against like ewes; none where she reared none by a fault of hers.", HOUSE),
    Weight("least-coverage", "Mothering score: least recorded", 60, "% of points",
           "With less recorded she gets no score.", "selection-index practice asks for a least coverage; 60 is a house rule"),
    Weight("score-fair", "Mothering score: poor below", 50, "of 100",
           "Below this the word is poor; else it is the third she is in among ewes of her age and litter size.", HOUSE,
           once="Mothering score: fair from"),
    Weight("repeatability", "Repeatability across seasons", 0.28, "share",
           "How much one season's litter, against like ewes, says about the next one. Used until 30 ewes have two seasons or "
           "more: from then on it is worked out from the flock's own.", "estimated from two open flock data sets"),
    Weight("empties-question", "Empty ewes: asked about the flock above", 10, "% of ewes scanned",
           "Ram, feed or disease? Ask your vet before they are decided on one by one.", PRACTICE, since=2),
    Weight("replacement-litter-least", "Replacement ewe lambs: born in a litter of at least", 2, "lambs",
           "A smaller one speaks against her, but does not rule her out.", PRACTICE, since=2),
    Weight("replacement-litter-most", "Replacement ewe lambs: born in a litter of at most", 3, "lambs",
           "A bigger one is no better: daughters of big litters bring more lambs than a ewe can rear.", HOUSE, since=2),
    Weight("abortion-alarm", "Abortion alarm: ewes aborted", 2, "% of ewes in lamb",
           "From here on call your vet about the flock.", PRACTICE),
)

RETIRED: tuple[Retired, ...] = (Retired("score-good", "Mothering score: good from", until=2),)

EVIDENCE_BY_ID = {evidence.id: evidence for evidence in EVIDENCE}
