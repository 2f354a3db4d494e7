"""Every list of values a person can pick from: the label in the drop-down, what it means, and the other words for it."""

from collections.abc import Iterable
from enum import Enum


class Since(int):
    """The layout version a list value came with, where that is not the first."""


class MayMean(str):
    """Words that may mean this value and another of the same list, with ", " between them: a person is asked which."""


class Choice(Enum):
    """One value of a list. The label is what stands in the cell; other words, with ", " between them, are read as well."""

    def __init__(self, label: str, meaning: str, *more: str | Since) -> None:
        self.label = label
        self.meaning = meaning
        self.spellings = _words(one for one in more if isinstance(one, str) and not isinstance(one, MayMean))
        self.doubtful = _words(one for one in more if isinstance(one, MayMean))
        self.since = next((int(one) for one in more if isinstance(one, Since)), 1)

    def __str__(self) -> str:
        return self.label


def _words(lists: Iterable[str]) -> tuple[str, ...]:
    return tuple(word for one in lists for word in one.split(", "))


class YesNo(Choice):
    YES = "yes", "It is so.", "y, true, 1, x, ok, tick, ✓, ✔, ja, oui"
    NO = "no", "It is not so.", "n, false, 0, nein, non"


class Help(Choice):
    NONE = "none", "She lambed by herself.", "no, n, nil, unassisted, unaided, alone, by herself"
    LIGHT = ("light", "A hand for a minute or two, gentle traction.", "easy, easy pull, assisted, pulled, slight, minor",
             MayMean("yes, y, helped"))
    HARD = ("hard", "Hard or long help by the shepherd.", "heavy, hard pull, difficult, major", MayMean("yes, y, helped"))
    VET = "vet", "A vet delivered the lamb.", "vets", MayMean("yes, y, helped")
    CAESAREAN = ("caesarean", "Delivered by operation.",
                 "cesarean, caesarian, cesarian, caesar, section, c section, caesarean section", MayMean("yes, y, helped"))


class WhyHelped(Choice):
    LAY_WRONG = ("lay wrong", "The lamb was not presented normally.",
                 "malpresented, malpresentation, presentation, leg back, legs back, one leg back, both legs back, head back, "
                 "hung, breech, backwards, hind legs first, tangled", MayMean("stuck"))
    LARGE_LAMB = "large lamb", "The lamb was too large for an easy birth.", "big lamb, large, big, oversized", MayMean("stuck")
    NARROW = "narrow", "The ewe is built narrow.", "tight, narrow or not open", MayMean("stuck")
    NOT_OPEN = ("not open", "Her cervix did not open (ringwomb). Do not force it: call your vet.", Since(2), "ringwomb")
    SLOW = "slow", "She was slow or tired; the lamb lay right.", "tired"
    DEAD_LAMB = "dead lamb", "A dead lamb had to be brought away.", "dead"
    OTHER = "other", "Another reason; say so in the notes."


class Colostrum(Choice):
    PLENTY = "plenty", "Both lambs can be fed from her.", "good, ok, fine, lots"
    LITTLE = "little", "Less than her lambs need: top up from elsewhere.", "poor, low, not enough"
    NONE = "none", "No colostrum to be had.", "no, n, nil, dry"


class Teats(Choice):
    SOUND = "sound", "Lambs can suck both.", "good, ok, fine, normal"
    LARGE = "large", "So large that a lamb struggles to get hold.", "big, too large, bottle teats"
    SMALL = "small", "Very small or short."
    BLOCKED = "blocked", "No milk comes though the udder is full.", "blind"
    DAMAGED = "damaged", "Cut, scabbed or lost.", "cut, orf"


class Prolapse(Choice):
    NONE = "none", "No prolapse.", "no, n, nil"
    VAGINAL = ("vaginal", "The vagina came out, mostly before lambing. Call your vet.",
               "vag, vaginal prolapse, vagina, bearing, bearing out", MayMean("yes, y, prolapse, prolapsed"))
    WOMB = ("womb", "The womb came out after lambing. An emergency: call your vet.",
            "uterine, uterus, uterine prolapse, lamb bed, lamb bed out", MayMean("yes, y, prolapse, prolapsed"))
    RECTAL = "rectal", "The rectum came out. Ask your vet.", "rectum, rectal prolapse", MayMean("yes, y, prolapse, prolapsed")


class NextDay(Choice):
    ALL_FULL = "all full", "Every lamb had a full belly on the next day's look.", "full, ok, good, fine, all well"
    ONE_HOLLOW = "one hollow", "At least one lamb was hollow.", "hollow, empty, hungry"
    HELPED = "helped", "A lamb had to be helped to suck."
    TROUBLE = "trouble", "Something else was wrong; say so in the notes."


class LambingTrouble(Choice):
    """One word for a whole lambing: it says what the columns of its own would, each of which stands before it."""

    HELPED = ("helped", "A hand for a minute or two. Where it was more, write so under help given.", Since(2),
              "assisted, help, pulled, light, easy pull")
    LAY_WRONG = ("lay wrong", "Helped: a lamb was not presented normally.", Since(2),
                 "malpresented, malpresentation, leg back, legs back, head back, hung, breech, backwards, tangled",
                 MayMean("stuck"))
    NARROW = "narrow", "Helped: the ewe is built narrow.", Since(2), "tight", MayMean("stuck")
    NOT_OPEN = ("not open", "Her cervix did not open (ringwomb). Do not force it: call your vet.", Since(2), "ringwomb")
    PROLAPSE = ("prolapse", "Any prolapse. Call your vet, and write which it was under prolapse or in the notes.", Since(2),
                "prolapsed, bearing, bearing out, lamb bed out")
    NO_MILK = ("no milk", "No colostrum to be had from her.", Since(2), "no colostrum, dry, short of milk")
    REFUSED = "refused", "She would not have a lamb of hers.", Since(2), "rejected, reject, not taken, mismothered"
    BAD_UDDER = ("bad udder or teats", "Feel again some days later, and before mating.", Since(2),
                 "bad udder, bad teats, udder, teats, bad bag, black bag, large teats")
    LAMBS_LOST = ("lambs lost", "Lambs of hers died after birth. Those born dead are counted under born dead.", Since(2),
                  "lamb lost, lost lamb, lost lambs, lambs died, lamb died")
    ABORTED = "aborted", "Lost her lambs before time. Isolate, wear gloves, call your vet.", Since(2), "abortion, slipped"
    OTHER = "other", "Something else; say so in the notes.", Since(2)


class Sex(Choice):
    EWE = "ewe", "Ewe lamb.", "e, f, fm, female, gimmer, gimmer lamb, ewe lamb, girl"
    RAM = "ram", "Ram lamb.", "r, m, ml, male, t, tup, tup lamb, ram lamb, entire, boy"
    WETHER = "wether", "Castrated male lamb.", "w, castrated, wedder, wether lamb, wedder lamb"


class Born(Choice):
    ALIVE = "alive", "It breathed, however briefly.", "live, a, ok, born alive, live born"
    DEAD_FRESH = ("dead, fresh", "Born dead, looks as if it died during birth.",
                  "dead, d, fresh, born dead, stillborn, stillbirth, sb, s/b, doa")
    DEAD_DECAYED = "dead, decayed", "Born dead, died some days before.", "decayed, rotten"
    MUMMIFIED = "mummified", "Dried-up remains: died weeks before. Not counted as born.", "mummy"
    ABORTED = "aborted", "Cast well before time. Isolate, wear gloves, call your vet.", "abortion, abort, slipped"


class Presentation(Choice):
    NORMAL = "normal", "Both forelegs and the nose first.", "n, ok, good, fine, norm"
    LEG_BACK = "one leg back", "One foreleg back.", "leg back, 1 leg back, foreleg back, front leg back"
    LEGS_BACK = "both legs back", "Both forelegs back.", "legs back, two legs back, 2 legs back, both forelegs back"
    HEAD_BACK = "head back", "Forelegs first, head turned back or down.", "head turned back, head down, head turned"
    HEAD_ONLY = "head only", "Head out, both legs back, often swollen.", "hung, hung lamb, head out, swollen head"
    ELBOWS = "elbows locked", "Elbows caught at the pelvis.", "elbow lock"
    HIND_LEGS = "hind legs first", "Backwards, hind legs first.", "backwards, backward, back legs first, hind first"
    BREECH = "breech", "Tail first, hind legs under it.", "tail first"
    ACROSS = "across", "Lying across the birth canal.", "transverse, sideways"
    TANGLED = "tangled", "Two lambs coming at once.", "tangled twins, two at once"
    LARGE = "large, lay right", "Normal way round but too large.", "large, big, oversized, big lamb, large lamb"
    DEFORMED = "deformed", "A deformed lamb."
    NOT_SEEN = "not seen", "Nobody saw how it came.", "unknown"


class Vigour(Choice):
    STRONG = "strong", "Up and looking for the teat within about a quarter of an hour.", "good, ok, fine, lively"
    SLOW = "slow", "Slow to stand and suck."
    WEAK = "weak", "Could not stand or suck by itself.", "poor"


class Sucked(Choice):
    ALONE = "alone", "Sucked without help.", "yes, y, ok, good, by itself"
    HELPED = "helped", "Held to the teat.", "assisted, help"
    TUBED = "tubed", "Fed by stomach tube.", "tube, stomach tube, stomach tubed"
    NO = "no", "Had not sucked when last seen.", "n, not sucked"


class Taken(Choice):
    YES = "yes", "She took the lamb at once.", "y, ok, good, took, taken"
    SLOWLY = "slowly", "She took it after some time or some help.", "slow"
    REFUSED = "refused", "She would not have it.", "no, n, rejected, reject, not taken"


class Belly(Choice):
    FULL = "full", "Full belly on the next day's look.", "f, ok, good, fine"
    HOLLOW = "hollow", "Empty belly: see whether it sucks and whether she has milk.", "h, empty, hungry"


class RearedBy(Choice):
    OWN_EWE = "own ewe", "With the ewe that bore it.", "own, dam, mother, mum, own mother"
    FOSTER_EWE = ("foster ewe", "Set on to another ewe; write which.",
                  "foster, fostered, set on, adopted, adopter, adoptive ewe, grafted, graft")
    PET = ("pet on the bottle", "Reared by hand.",
           "pet, pet lamb, bottle, bottle fed, hand reared, orphan, orphan lamb, cade, cade lamb, bummer, bum lamb, poddy, "
           "poddy lamb")
    NO_EWE = "no ewe", "On its own, not on the bottle."


class WhyMoved(Choice):
    SPARE = "spare of a big litter", "Moved by choice: more lambs than she should rear.", "spare, triplet, extra"
    REFUSED = "refused", "Its own ewe would not have it.", "rejected, not taken"
    EWE_DIED = "ewe died", "Its own ewe died.", "dead ewe, mother died, dam died, orphan"
    EWE_LEFT = "ewe left", "Its own ewe was sold, culled or went missing.", Since(2), "ewe sold, ewe gone"
    NO_MILK = "no milk", "Its own ewe had too little milk.", "short of milk, dry, little milk"
    MASTITIS = "mastitis", "Its own ewe has mastitis."
    OTHER = "other", "Another reason; say so in the notes."


class CameFrom(Choice):
    BORN_HERE = "born here", "Born to the ewe in this row (blank means the same).", "home, home bred"
    BOUGHT_IN = "bought in", "Bought or given: not a lamb of this flock.", "bought"
    MOTHER_NOT_KNOWN = "mother not known", "Born here, but nobody knows to which ewe.", "unknown mother"
    WITH_HER = ("with her", "Came at foot of the ewe in this row when she was bought in: not born here, and hers.", Since(2),
                "at foot, with ewe, with the ewe")


class LambLeft(Choice):
    DIED = "died", "Found dead, or put down.", "dead, d, put down, put to sleep, pts", MayMean("lost")
    SOLD = ("sold", "Sold or given away alive.",
            "mart, market, factory, works, abattoir, slaughtered, fat, store, s", MayMean("gone"))
    MISSING = "missing", "Not to be found.", "not found", MayMean("lost, gone")


class EweLeft(Choice):
    DIED = "died", "Found dead, or put down.", "dead, d, put down, put to sleep, pts", MayMean("lost, cast")
    SOLD = "sold", "Sold for breeding or given away alive.", "draft, drafted", MayMean("mart, market, gone, cast")
    CULLED = ("culled", "Sent for slaughter.", "cull, factory, works, abattoir, slaughtered",
              MayMean("mart, market, gone, cast"))
    MISSING = "missing", "Not to be found.", "not found", MayMean("lost, gone")


class Cause(Choice):
    HARD_BIRTH = ("hard birth", "Hurt or starved of air while being born.",
                  "difficult birth, difficult lambing, hard lambing, dystocia, hung")
    STARVED = ("starved or chilled", "Too little colostrum or milk, cold, or left by the ewe.",
               "starved, starvation, chilled, cold, hypothermia, exposure, mismothered, mismothering, no milk")
    SCOUR = "watery mouth or scour", "Gut infection in the first days.", "watery mouth, scour, scours"
    JOINT_ILL = "joint or navel ill", "Infection through the navel.", "joint ill, navel ill"
    PNEUMONIA = "pneumonia", "Chest infection."
    OTHER_INFECTION = "other infection", "Another infection.", "infection"
    ACCIDENT = ("accident or laid on", "Laid on, trampled, drowned or hurt.",
                "accident, laid on, lain on, overlaid, overlain, squashed, trampled, drowned")
    PREDATOR = "predator", "Taken or killed by an animal or bird.", "fox, crow, raven, dog, badger, eagle"
    DEFORMED = "deformed", "Born with a fault it could not live with.", "deformity"
    OTHER = "other", "Another cause; say so in the notes."
    NOT_KNOWN = "not known", "Looked at, but no cause seen.", "unknown, don't know, not sure"


class ConfirmedBy(Choice):
    NOBODY = "nobody", "A guess.", "no one, guess"
    SHEPHERD = "shepherd", "Seen to happen, or opened and looked at on the farm.", "farmer, me, self"
    VET = "vet", "A vet examined it.", MayMean("pm, post mortem")
    LABORATORY = "laboratory", "A laboratory report names it.", "lab", MayMean("pm, post mortem")


class Weighed(Choice):
    EARLY = "early", "The early weighing, about eight weeks.", "8 weeks, eight weeks, 8 week, 8 wk, 8 wks"
    WEANING = "weaning", "At weaning.", "wean, weaned"
    MATING = "mating", "Ewes before mating.", "tupping, pre tupping"
    OTHER = "other", "Any other weighing."


class Stage(Choice):
    TURNOUT = "turnout", "When ewes and lambs go out.", "turned out"
    MARKING = "marking", "When lambs are gathered and marked.", "tailing, docking"
    WEANING = "weaning", "When lambs leave their ewes.", "wean, weaned"


class CheckOccasion(Choice):
    ANY_DAY = "any day", "A look on any day."
    MARKING = "marking", "When lambs are marked.", "tailing, docking"
    WEANING = "weaning", "At weaning.", "wean, weaned"
    BEFORE_MATING = ("before mating", "Some weeks after weaning, before the rams go in.",
                     "mating, tupping, pre mating, pre tupping, before tupping")


class Milk(Choice):
    IN_MILK = "in milk", "Her udder is in milk.", "wet, milking, yes, y"
    MILKED_AND_LOST = "milked and lost", "She has been sucked but has no lamb now.", "wet and dry, wet dry"
    DRY = "dry", "No milk.", "no, n, none"


class Udder(Choice):
    SOUND = "sound", "Soft and even.", "good, ok, fine, soft, normal"
    LUMP = "lump", "One or more lumps.", "lumps, lumpy", MayMean("mastitis")
    HARD = "hard", "Hard throughout one side or both.", MayMean("mastitis")
    DAMAGED = "damaged", "Wounded or half lost.", MayMean("mastitis")


class Mouth(Choice):
    FULL = "full", "All teeth, sound.", "full mouth, full mouthed, fm, sound, good, ok, fine"
    WORN = "worn", "Complete but short."
    BROKEN = "broken", "Teeth missing or loose.", "broken mouth, broken mouthed, bm"
    GUMMER = "gummer", "No front teeth left.", "gummy, no teeth"
    OVERSHOT = "overshot", "Lower jaw too short.", "parrot mouth, parrot mouthed"
    UNDERSHOT = "undershot", "Lower jaw too long."


class Feet(Choice):
    SOUND = "sound", "Walks level.", "good, ok, fine"
    LAME = "lame", "Nods or favours a foot.", "footrot, scald, limping"
    BADLY_LAME = "badly lame", "Will not put the foot down, or grazes on her knees.", "very lame, on her knees"


class Trouble(Choice):
    MASTITIS = "mastitis", "Hot, hard or discoloured udder, or an ill ewe with a bad udder. Call your vet.", "bad bag, black bag"
    LAME = "lame", "Lame.", "lameness, footrot, scald"
    THIN = "thin", "Thinner than she should be.", "poor, lean"
    SLEEPY = ("sleepy or down", "Dull, off her feed or cannot rise. Call your vet.",
              "sleepy, down, twin lamb, twin lamb disease, twin lambing disease, tld, staggers, milk fever")
    PROLAPSE = "prolapse", "Any prolapse. Call your vet.", "prolapsed, bearing, bearing out, lamb bed out"
    ABORTED = "aborted", "Lost her lambs before time. Isolate, wear gloves, call your vet.", "abortion, slipped"


class TreatedFor(Choice):
    EWE = "ewe", "One ewe."
    LAMB = "lamb", "One lamb."
    GROUP = "group", "Every animal in one group.", "mob, batch"
    ALL_EWES = "all ewes", "Every ewe."
    ALL_LAMBS = "all lambs", "Every lamb."


class Reason(Choice):
    LAMENESS = "lameness", "Feet or legs.", "lame, footrot, scald, feet"
    MASTITIS = "mastitis", "Udder.", "bad bag, black bag"
    LAMBING = "lambing", "After help or an operation at lambing.", "assisted, hard lambing, caesarean"
    METABOLIC = ("sleepy or down", "Twin-lamb disease, milk fever, staggers, as the vet judged.",
                 "sleepy, down, twin lamb, twin lamb disease, tld, staggers, milk fever")
    SCOUR = "scour", "Gut infection.", "scours, watery mouth"
    JOINT_ILL = "joint or navel ill", "Joints or navel.", "joint ill, navel ill"
    PNEUMONIA = "pneumonia", "Chest."
    WORMS = "worms", "Worm treatment.", "worm, worming, drench"
    FLY = "fly or lice", "Outside parasites.", "fly, strike, fly strike, maggots, lice"
    VACCINE = "vaccine", "Vaccination.", "vaccination, vaccinated"
    OTHER = "other", "Another reason; say so in the product column."


class Kept(Choice):
    INDOORS = "indoors", "Lambed in a shed or in pens.", "in, inside, indoor, shed"
    OUTDOORS = "outdoors", "Lambed in the field.", "out, outside, outdoor, field"


class HowRecorded(Choice):
    EACH_LAMB = "each lamb", "Each lamb has a row.", "by lamb"
    EACH_EWE = "each ewe", "Each ewe has a row with numbers born alive and dead; no lamb rows.", "by ewe"
    COUNTS_ONLY = "counts only", "The group is known by its counts.", "counts, count, by count"


class DateOrder(Choice):
    DMY = "day first", "12/3 is the twelfth of March.", "dmy"
    MDY = "month first", "12/3 is the third of December.", "mdy"
    YMD = "year first", "2026-03-12.", "ymd"


class WeightUnit(Choice):
    KG = "kg", "Kilograms.", "kilo, kilos, kgs, kilogram, kilograms"
    LB = "lb", "Pounds.", "lbs, pound, pounds"


class OnOff(Choice):
    ON = "on", "The rule counts.", "yes"
    OFF = "off", "The rule is left out.", "no"


class Compare(Choice):
    """How evidence is compared with a limit. Spelt in words: a cell that begins with = would be a formula."""

    AT_LEAST = "at least", "The evidence is the limit or more.", ">="
    AT_MOST = "at most", "The evidence is the limit or less.", "<="


class Action(Choice):
    """What a selection rule asks for; the strictest one that applies is the verdict."""

    CULL = "cull", "Not to be bred again."
    DRAFT = "draft", "Fit to be sold for breeding on easier ground.", "cast for age, cast, cfa"
    WATCH = "watch", "Keep, but look at her again before mating."
    NOTE = "note", "Keep; worth remembering."


class When(Choice):
    AT_ONCE = "at once", "One season is enough."
    TWO_OF_THREE = "two of three", "Only when it happened in two of her last three lambings."


class FeedAs(Choice):
    """How a ewe in lamb is fed where her scan does not decide it."""

    SINGLES = "singles", "Fed with the ewes that carry one lamb.", "single, as single, 1"
    TWINS = "twins", "Fed with the ewes that carry two lambs.", "twin, as twin, 2"
    BIG_LITTERS = "triplets and more", "Fed with the ewes that carry three lambs or more.", "triplets, triplet, as triplet, 3"
    APART = "apart", "Fed by herself or in a group of her own, such as thin or ill ewes.", "own group, alone, thin"


class Verdict(Choice):
    """The decision on a ewe, strictest first; 'not known' where nothing at all is recorded about her."""

    CULL = "cull", "Recommended not to be bred again."
    DRAFT = "draft", "Recommended for sale for breeding on easier ground.", "cast for age, cast, cfa"
    WATCH = "watch", "Keep, but look at her again before mating."
    KEEP = "keep", "No fault found in what was recorded."
    UNKNOWN = "not known", "Nothing recorded about her this season."


# Reaction of the ewe while her lambs are handled on the first day: score, in a pen, in the field.
# A five-point scale of this kind, high meaning good, was published by O'Connor and others (1985); the words are ours.
MOTHERING_LEVELS: tuple[tuple[int, str, str], ...] = (
    (1, "Butts the lambs or takes no notice of them", "Leaves and does not come back"),
    (2, "Turns away, must be held", "Goes far off, comes back when you have gone"),
    (3, "Uneasy, comes back to them slowly", "Stands well off and watches"),
    (4, "Steps back but talks to them", "Backs off a few paces, stays in sight of them"),
    (5, "Stays with them, nose to the lambs", "Stays beside you while you handle them"),
)
