"""Every list of values a person can pick from: the label in the drop-down and what it means."""

from enum import Enum


class Since(int):
    """The layout version a list value came with, where that is not the first."""


class Choice(Enum):
    """One value of a list. The label is what stands in the cell; other spellings are accepted when read."""

    def __init__(self, label: str, meaning: str, *more: str | Since) -> None:
        self.label = label
        self.meaning = meaning
        self.spellings = tuple(one for one in more if isinstance(one, str))
        self.since = next((int(one) for one in more if isinstance(one, Since)), 1)

    def __str__(self) -> str:
        return self.label


class YesNo(Choice):
    YES = "yes", "It is so.", "y", "true", "1", "x", "ja", "oui"
    NO = "no", "It is not so.", "n", "false", "0", "nein", "non"


class Help(Choice):
    NONE = "none", "She lambed by herself.", "unassisted", "alone"
    LIGHT = "light", "A hand for a minute or two, gentle traction."
    HARD = "hard", "Hard or long help by the shepherd.", "heavy"
    VET = "vet", "A vet delivered the lamb."
    CAESAREAN = "caesarean", "Delivered by operation.", "cesarean", "caesarian", "section"


class WhyHelped(Choice):
    LAY_WRONG = "lay wrong", "The lamb was not presented normally.", "malpresented", "presentation"
    LARGE_LAMB = "large lamb", "The lamb was too large for an easy birth.", "big lamb", "oversized"
    NARROW = "narrow or not open", "The ewe was narrow, or her cervix did not open.", "narrow", "ringwomb", "not open"
    SLOW = "slow", "She was slow or tired; the lamb lay right.", "tired"
    DEAD_LAMB = "dead lamb", "A dead lamb had to be brought away."
    OTHER = "other", "Another reason; say so in the notes."


class Colostrum(Choice):
    PLENTY = "plenty", "Both lambs can be fed from her."
    LITTLE = "little", "Less than her lambs need: top up from elsewhere."
    NONE = "none", "No colostrum to be had."


class Teats(Choice):
    SOUND = "sound", "Lambs can suck both."
    LARGE = "large", "So large that a lamb struggles to get hold.", "big", "too large"
    SMALL = "small", "Very small or short."
    BLOCKED = "blocked", "No milk comes though the udder is full.", "blind"
    DAMAGED = "damaged", "Cut, scabbed or lost.", "cut", "orf"


class Prolapse(Choice):
    NONE = "none", "No prolapse."
    VAGINAL = "vaginal", "The vagina came out, mostly before lambing. Call your vet."
    WOMB = "womb", "The womb came out after lambing. An emergency: call your vet.", "uterine", "uterus"
    RECTAL = "rectal", "The rectum came out. Ask your vet."


class NextDay(Choice):
    ALL_FULL = "all full", "Every lamb had a full belly on the next day's look.", "full"
    ONE_HOLLOW = "one hollow", "At least one lamb was hollow.", "hollow"
    HELPED = "helped", "A lamb had to be helped to suck."
    TROUBLE = "trouble", "Something else was wrong; say so in the notes."


class Sex(Choice):
    EWE = "ewe", "Ewe lamb.", "f", "female", "gimmer", "ewe lamb"
    RAM = "ram", "Ram lamb.", "m", "male", "tup", "ram lamb"
    WETHER = "wether", "Castrated male lamb.", "castrated", "wedder"


class Born(Choice):
    ALIVE = "alive", "It breathed, however briefly.", "live", "a"
    DEAD_FRESH = "dead, fresh", "Born dead, looks as if it died during birth.", "dead", "dead fresh", "stillborn"
    DEAD_DECAYED = "dead, decayed", "Born dead, died some days before.", "dead decayed", "rotten"
    MUMMIFIED = "mummified", "Dried-up remains: died weeks before. Not counted as born.", "mummy"
    ABORTED = "aborted", "Cast well before time. Isolate, wear gloves, call your vet.", "abortion"


class Presentation(Choice):
    NORMAL = "normal", "Both forelegs and the nose first.", "n"
    LEG_BACK = "one leg back", "One foreleg back.", "leg back"
    LEGS_BACK = "both legs back", "Both forelegs back.", "two legs back"
    HEAD_BACK = "head back", "Forelegs first, head turned back or down."
    HEAD_ONLY = "head only", "Head out, both legs back, often swollen.", "hung"
    ELBOWS = "elbows locked", "Elbows caught at the pelvis.", "elbow lock"
    HIND_LEGS = "hind legs first", "Backwards, hind legs first.", "backwards"
    BREECH = "breech", "Tail first, hind legs under it.", "tail first"
    ACROSS = "across", "Lying across the birth canal.", "transverse"
    TANGLED = "tangled", "Two lambs coming at once.", "tangled twins"
    LARGE = "large, lay right", "Normal way round but too large.", "oversized"
    DEFORMED = "deformed", "A deformed lamb."
    NOT_SEEN = "not seen", "Nobody saw how it came.", "unknown"


class Vigour(Choice):
    STRONG = "strong", "Up and looking for the teat within about a quarter of an hour."
    SLOW = "slow", "Slow to stand and suck."
    WEAK = "weak", "Could not stand or suck by itself."


class Sucked(Choice):
    ALONE = "alone", "Sucked without help.", "yes"
    HELPED = "helped", "Held to the teat."
    TUBED = "tubed", "Fed by stomach tube.", "tube"
    NO = "no", "Had not sucked when last seen."


class Taken(Choice):
    YES = "yes", "She took the lamb at once.", "y"
    SLOWLY = "slowly", "She took it after some time or some help.", "slow"
    REFUSED = "refused", "She would not have it.", "no", "n"


class Belly(Choice):
    FULL = "full", "Full belly on the next day's look."
    HOLLOW = "hollow", "Empty belly: see whether it sucks and whether she has milk.", "empty"


class RearedBy(Choice):
    OWN_EWE = "own ewe", "With the ewe that bore it.", "own", "dam"
    FOSTER_EWE = "foster ewe", "Set on to another ewe; write which.", "foster", "fostered", "set on"
    PET = "pet on the bottle", "Reared by hand.", "pet", "bottle", "cade"
    NO_EWE = "no ewe", "On its own, not on the bottle."


class WhyMoved(Choice):
    SPARE = "spare of a big litter", "Moved by choice: more lambs than she should rear.", "spare"
    REFUSED = "refused", "Its own ewe would not have it."
    EWE_DIED = "ewe died", "Its own ewe died."
    EWE_LEFT = "ewe left", "Its own ewe was sold, culled or went missing.", Since(2), "ewe sold", "ewe gone"
    NO_MILK = "no milk", "Its own ewe had too little milk."
    MASTITIS = "mastitis", "Its own ewe has mastitis."
    OTHER = "other", "Another reason; say so in the notes."


class CameFrom(Choice):
    BORN_HERE = "born here", "Born to the ewe in this row (blank means the same).", "home", "home bred"
    BOUGHT_IN = "bought in", "Bought or given: not a lamb of this flock.", "bought"
    MOTHER_NOT_KNOWN = "mother not known", "Born here, but nobody knows to which ewe.", "unknown mother"
    WITH_HER = ("with her", "Came at foot of the ewe in this row when she was bought in: not born here, and hers.", Since(2),
                "at foot", "with ewe", "with the ewe")


class LambLeft(Choice):
    DIED = "died", "Found dead, or put down.", "dead"
    SOLD = "sold", "Sold or given away alive."
    MISSING = "missing", "Not to be found."


class EweLeft(Choice):
    DIED = "died", "Found dead, or put down.", "dead"
    SOLD = "sold", "Sold for breeding or given away alive."
    CULLED = "culled", "Sent for slaughter.", "cull"
    MISSING = "missing", "Not to be found."


class Cause(Choice):
    HARD_BIRTH = "hard birth", "Hurt or starved of air while being born.", "difficult birth"
    STARVED = "starved or chilled", "Too little colostrum or milk, cold, or left by the ewe.", "starved", "chilled", "exposure"
    SCOUR = "watery mouth or scour", "Gut infection in the first days.", "watery mouth", "scour"
    JOINT_ILL = "joint or navel ill", "Infection through the navel.", "joint ill", "navel ill"
    PNEUMONIA = "pneumonia", "Chest infection."
    OTHER_INFECTION = "other infection", "Another infection.", "infection"
    ACCIDENT = "accident or laid on", "Laid on, trampled, drowned or hurt.", "laid on", "accident", "overlaid"
    PREDATOR = "predator", "Taken or killed by an animal or bird.", "fox", "crow", "dog"
    DEFORMED = "deformed", "Born with a fault it could not live with."
    OTHER = "other", "Another cause; say so in the notes."
    NOT_KNOWN = "not known", "Looked at, but no cause seen.", "unknown"


class ConfirmedBy(Choice):
    NOBODY = "nobody", "A guess."
    SHEPHERD = "shepherd", "Seen to happen, or opened and looked at on the farm."
    VET = "vet", "A vet examined it."
    LABORATORY = "laboratory", "A laboratory report names it.", "lab"


class Weighed(Choice):
    EARLY = "early", "The early weighing, about eight weeks.", "8 weeks", "eight weeks"
    WEANING = "weaning", "At weaning.", "wean"
    MATING = "mating", "Ewes before mating.", "tupping"
    OTHER = "other", "Any other weighing."


class Stage(Choice):
    TURNOUT = "turnout", "When ewes and lambs go out."
    MARKING = "marking", "When lambs are gathered and marked.", "tailing", "docking"
    WEANING = "weaning", "When lambs leave their ewes.", "wean"


class CheckOccasion(Choice):
    ANY_DAY = "any day", "A look on any day."
    MARKING = "marking", "When lambs are marked."
    WEANING = "weaning", "At weaning."
    BEFORE_MATING = "before mating", "Some weeks after weaning, before the rams go in.", "mating", "tupping"


class Milk(Choice):
    IN_MILK = "in milk", "Her udder is in milk.", "wet"
    MILKED_AND_LOST = "milked and lost", "She has been sucked but has no lamb now.", "wet and dry"
    DRY = "dry", "No milk."


class Udder(Choice):
    SOUND = "sound", "Soft and even."
    LUMP = "lump", "One or more lumps.", "lumps", "lumpy"
    HARD = "hard", "Hard throughout one side or both."
    DAMAGED = "damaged", "Wounded or half lost."


class Mouth(Choice):
    FULL = "full", "All teeth, sound.", "sound", "good"
    WORN = "worn", "Complete but short."
    BROKEN = "broken", "Teeth missing or loose.", "broken mouthed"
    GUMMER = "gummer", "No front teeth left."
    OVERSHOT = "overshot", "Lower jaw too short."
    UNDERSHOT = "undershot", "Lower jaw too long."


class Feet(Choice):
    SOUND = "sound", "Walks level.", "good"
    LAME = "lame", "Nods or favours a foot."
    BADLY_LAME = "badly lame", "Will not put the foot down, or grazes on her knees."


class Trouble(Choice):
    MASTITIS = "mastitis", "Hot, hard or discoloured udder, or an ill ewe with a bad udder. Call your vet."
    LAME = "lame", "Lame."
    THIN = "thin", "Thinner than she should be."
    SLEEPY = "sleepy or down", "Dull, off her feed or cannot rise. Call your vet.", "sleepy", "down"
    PROLAPSE = "prolapse", "Any prolapse. Call your vet."
    ABORTED = "aborted", "Lost her lambs before time. Isolate, wear gloves, call your vet."


class TreatedFor(Choice):
    EWE = "ewe", "One ewe."
    LAMB = "lamb", "One lamb."
    GROUP = "group", "Every animal in one group."
    ALL_EWES = "all ewes", "Every ewe."
    ALL_LAMBS = "all lambs", "Every lamb."


class Reason(Choice):
    LAMENESS = "lameness", "Feet or legs.", "lame", "footrot"
    MASTITIS = "mastitis", "Udder."
    LAMBING = "lambing", "After help or an operation at lambing."
    METABOLIC = "sleepy or down", "Twin-lamb disease, milk fever, staggers, as the vet judged."
    SCOUR = "scour", "Gut infection."
    JOINT_ILL = "joint or navel ill", "Joints or navel."
    PNEUMONIA = "pneumonia", "Chest."
    WORMS = "worms", "Worm treatment."
    FLY = "fly or lice", "Outside parasites."
    VACCINE = "vaccine", "Vaccination."
    OTHER = "other", "Another reason; say so in the product column."


class Kept(Choice):
    INDOORS = "indoors", "Lambed in a shed or in pens."
    OUTDOORS = "outdoors", "Lambed in the field."


class HowRecorded(Choice):
    EACH_LAMB = "each lamb", "Each lamb has a row."
    EACH_EWE = "each ewe", "Each ewe has a row with numbers born alive and dead; no lamb rows."
    COUNTS_ONLY = "counts only", "The group is known by its counts."


class DateOrder(Choice):
    DMY = "day first", "12/3 is the twelfth of March.", "dmy"
    MDY = "month first", "12/3 is the third of December.", "mdy"
    YMD = "year first", "2026-03-12.", "ymd"


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
    DRAFT = "draft", "Fit to be sold for breeding on easier ground."
    WATCH = "watch", "Keep, but look at her again before mating."
    NOTE = "note", "Keep; worth remembering."


class When(Choice):
    AT_ONCE = "at once", "One season is enough."
    TWO_OF_THREE = "two of three", "Only when it happened in two of her last three lambings."


class Verdict(Choice):
    """The decision on a ewe, strictest first; 'not known' where nothing at all is recorded about her."""

    CULL = "cull", "Recommended not to be bred again."
    DRAFT = "draft", "Recommended for sale for breeding on easier ground."
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
