"""The selection rules and score weights as data: one number per ewe, one limit, one action."""

from dataclasses import dataclass

from template_builder.layout.choices import Action, Compare, OnOff, When

PRACTICE = "common practice, no source"
TEAGASC = "Teagasc advice on culling ewes"
HOUSE = "house rule"


@dataclass(frozen=True)
class Evidence:
    """A number counted for each ewe from what was recorded; `unit` says in what."""

    id: str
    title: str
    unit: str
    checked: str  # which part of her has been looked at when the number is known


@dataclass(frozen=True)
class SelectionRule:
    """A row of Policy: when her evidence meets the limit, the action is asked for."""

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
    since: int = 1  # the layout version it came with


@dataclass(frozen=True)
class Weight:
    """A row of Policy below the rules: a number the scores are made with."""

    id: str
    title: str
    limit: float
    unit: str
    why: str
    source: str
    since: int = 1  # the layout version it came with


LAMBING, UDDER, TEATS, MOUTH, FEET, SCANNING, LAMBS, CONDITION = (
    "lambing", "udder", "teats", "mouth", "feet", "scanning", "mothering", "condition",
)

EVIDENCE: tuple[Evidence, ...] = (
    Evidence("prolapse_vaginal", "vaginal prolapses recorded", "times", LAMBING),
    Evidence("prolapse_womb", "womb prolapses recorded", "times", LAMBING),
    Evidence("prolapse_rectal", "rectal prolapses recorded", "times", LAMBING),
    Evidence("prolapse_unnamed", "prolapses recorded without their kind", "times", LAMBING),
    Evidence("dry_at_lambing", "sides without milk at lambing", "sides", UDDER),
    Evidence("dry_later", "looks after lambing with a side without milk", "looks", UDDER),
    Evidence("udder_lump_hard", "looks that found a lump or a hard udder", "looks", UDDER),
    Evidence("udder_damaged", "looks that found a damaged udder", "looks", UDDER),
    Evidence("mastitis", "times mastitis was recorded", "times", UDDER),
    Evidence("teats_large", "looks that found large teats", "looks", TEATS),
    Evidence("teats_bad", "looks that found blocked or damaged teats", "looks", TEATS),
    Evidence("gummer", "gummer at the last look", "1 is yes", MOUTH),
    Evidence("broken", "broken mouth at the last look", "1 is yes", MOUTH),
    Evidence("jaw", "over- or undershot at the last look", "1 is yes", MOUTH),
    Evidence("lame_treatments", "treatments for lameness this season", "times", FEET),
    Evidence("badly_lame", "badly lame at the last two looks", "1 is yes", FEET),
    Evidence("empty_mature", "scanned empty, has lambed before", "1 is yes", SCANNING),
    Evidence("empty_young", "scanned empty, never lambed before", "1 is yes", SCANNING),
    Evidence("empty_unknown", "scanned empty, not known whether she lambed before", "1 is yes", SCANNING),
    Evidence("never_lambed", "scanned in lamb, past her last possible day, never lambed", "1 is yes", SCANNING),
    Evidence("aborted", "lambs aborted", "lambs", LAMBING),
    Evidence("refused", "live lambs she refused", "lambs", LAMBS),
    Evidence("lost_hers", "lambs she lost by her own fault", "lambs", LAMBS),
    Evidence("no_milk", "no colostrum, or lambs moved for want of milk", "times", UDDER),
    Evidence("narrow", "helped because narrow or not open", "times", LAMBING),
    Evidence("thin", "looks that found her thin with sound teeth", "looks", CONDITION),
)

RULES: tuple[SelectionRule, ...] = (
    SelectionRule("vaginal-prolapse", "Vaginal prolapse", "prolapse_vaginal", 1, Action.CULL,
                  "It comes again in about one ewe of three, and runs in families. Not for sale for breeding.",
                  "Jackson and others 2014, NZ Vet J: 6 of 17 ewes bred again"),
    SelectionRule("womb-prolapse", "Womb prolapse", "prolapse_womb", 1, Action.WATCH,
                  "May not come again. Ask your vet whether she should be kept.", PRACTICE),
    SelectionRule("rectal-prolapse", "Rectal prolapse", "prolapse_rectal", 1, Action.NOTE, "Worth remembering.", PRACTICE),
    SelectionRule("unnamed-prolapse", "Prolapse, kind not written", "prolapse_unnamed", 1, Action.WATCH,
                  "Write on Lambing which it was: a vaginal prolapse comes again.", PRACTICE),
    SelectionRule("side-dry-at-lambing", "A side dry at lambing", "dry_at_lambing", 1, Action.WATCH,
                  "Milk may still come; look again next day.", PRACTICE),
    SelectionRule("side-dry-later", "A side still dry later", "dry_later", 1, Action.CULL,
                  "She can rear one lamb at most.", TEAGASC),
    SelectionRule("udder-lump-or-hard", "Udder lump or hard", "udder_lump_hard", 1, Action.CULL,
                  "Lambs of ewes with lumps or a hard udder die more often.",
                  "Griffiths and others 2019, NZ Vet J: odds 4.9 (lump), 3.0 (hard)"),
    SelectionRule("udder-damaged", "Udder damaged", "udder_damaged", 1, Action.WATCH, "May have healed by mating.", PRACTICE),
    SelectionRule("mastitis", "Mastitis", "mastitis", 1, Action.CULL, "Comes again and spreads. Not for sale for breeding.",
                  TEAGASC),
    SelectionRule("large-teats", "Large teats", "teats_large", 1, Action.WATCH,
                  "New lambs cannot get hold. Harmless where they suck.", PRACTICE),
    SelectionRule("bad-teats", "Blocked or damaged teats", "teats_bad", 1, Action.WATCH, "Look again before mating.", PRACTICE),
    SelectionRule("gummer", "Gummer", "gummer", 1, Action.CULL, "She cannot graze to keep herself and lambs.", PRACTICE),
    SelectionRule("broken-mouth", "Broken mouth", "broken", 1, Action.DRAFT, "May do on easier ground.", PRACTICE),
    SelectionRule("jaw", "Over- or undershot", "jaw", 1, Action.WATCH, "Keep no daughters of hers.", PRACTICE),
    SelectionRule("lame-again", "Third treatment for lameness", "lame_treatments", 3, Action.CULL,
                  "Ewes that are lame again and again keep the trouble in the flock.", HOUSE, When.TWO_OF_THREE),
    SelectionRule("badly-lame", "Badly lame and not recovering", "badly_lame", 1, Action.CULL,
                  "Lame and not answering to treatment.", TEAGASC),
    SelectionRule("empty", "Empty, has lambed before", "empty_mature", 1, Action.CULL, "A year without lambs.", PRACTICE),
    SelectionRule("empty-young", "Empty at her first chance", "empty_young", 1, Action.WATCH,
                  "A young empty ewe is seldom empty again: one more chance.", TEAGASC),
    SelectionRule("empty-age-unknown", "Empty, lambings before not known", "empty_unknown", 1, Action.WATCH,
                  "Look up whether she has lambed before: a young ewe gets one more chance, a mature one does not.", PRACTICE),
    SelectionRule("never-lambed", "Scanned in lamb, never lambed", "never_lambed", 1, Action.WATCH,
                  "She lost them unseen, or the scan was wrong: look at her udder, and ask your vet.", HOUSE),
    SelectionRule("aborted", "Aborted", "aborted", 1, Action.WATCH,
                  "Never a cull by itself. Isolate, wear gloves, call your vet, send samples; set no ewe lamb on to her.",
                  PRACTICE),
    SelectionRule("refused-lambs", "Refused her lambs", "refused", 1, Action.CULL,
                  "One bad year says little; two in three say more.", HOUSE, When.TWO_OF_THREE),
    SelectionRule("lost-her-lambs", "Lost lambs by her own fault", "lost_hers", 1, Action.CULL,
                  "One bad year says little; two in three say more.",
                  "Rearing performance repeats at about 0.1: Haughey, George and McGuirk 1985", When.TWO_OF_THREE),
    SelectionRule("no-milk", "No milk", "no_milk", 1, Action.CULL, "One bad year says little; two in three say more.", HOUSE,
                  When.TWO_OF_THREE),
    SelectionRule("narrow", "Narrow or not open", "narrow", 1, Action.CULL, "One bad year says little; two in three say more.",
                  HOUSE, When.TWO_OF_THREE),
    SelectionRule("thin-sound-teeth", "Thin with sound teeth", "thin", 2, Action.WATCH,
                  "Thin without a reason in her mouth: ask your vet.", HOUSE, When.TWO_OF_THREE),
)

WEIGHTS: tuple[Weight, ...] = (
    Weight("weight-acceptance", "Mothering score: acceptance", 25, "points",
           "Mothering 1 to 5, and lambs taken or refused.", HOUSE),
    Weight("weight-milk", "Mothering score: milk and teats", 25, "points", "Sides in milk, teats, colostrum.", HOUSE),
    Weight("weight-full", "Mothering score: lambs full next day", 15, "points", "The next day's look.", HOUSE),
    Weight("weight-alive", "Mothering score: her live-born lambs kept alive", 20, "points",
           "Only losses that are hers count.", HOUSE),
    Weight("weight-growth", "Mothering score: litter growth", 15, "points", "Litter weight against like ewes.", HOUSE),
    Weight("least-coverage", "Mothering score: least recorded", 60, "% of points",
           "With less recorded she gets no score.", "selection-index practice asks for a least coverage; 60 is a house rule"),
    Weight("score-fair", "Mothering score: fair from", 50, "of 100", "Below this it reads poor.", HOUSE),
    Weight("score-good", "Mothering score: good from", 75, "of 100", "From here on it reads good.", HOUSE),
    Weight("repeatability", "Repeatability across seasons", 0.15, "share", "How much one season says about the next.",
           "litter weight weaned 0.1 to 0.2, from memory; lambs reared 0.05 to 0.17: Haughey and others 1985"),
    Weight("abortion-alarm", "Abortion alarm: ewes aborted", 2, "% of in lamb",
           "From here on call your vet about the flock.", PRACTICE),
)

EVIDENCE_BY_ID = {evidence.id: evidence for evidence in EVIDENCE}
