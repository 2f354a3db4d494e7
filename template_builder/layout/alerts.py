"""What can be wrong with a ewe while the season runs: how urgent it is, what the trade does next, and whether the vet is called.

Next steps are common practice, no source. They give no doses and do not replace the vet.
"""

from dataclasses import dataclass
from datetime import timedelta

URGENCIES = ("first", "now", "today", "soon", "end of season")
UNREAD, NOW, TODAY, SOON, END = range(len(URGENCIES))

# After this long without a word on the outcome, a labour is no longer looked after but not recorded: house rule.
LABOUR_LAPSES = timedelta(hours=12)

# The next day's look makes sense up to this long after lambing; later it was not made, or not recorded: house rule.
NEXT_LOOK_LAPSES = timedelta(hours=48)

# An illness stays on the list of the day for so long after it was last written down: house rule.
ILLNESS_FADES = timedelta(days=7)

# The next day's look is made on the day after she lambed.
NEXT_DAY = timedelta(days=1)

# Colostrum and small lambs are looked after so long: a lamb takes up colostrum in its first day, and one that is still
# alive after two is known by its belly. House rule.
FIRST_DAYS = timedelta(hours=48)

# An afterbirth still in her so long after lambing is held: common practice, no source.
AFTERBIRTH_HELD = timedelta(hours=24)

# Below this condition (0 to 5) she is very thin: common practice, no source.
VERY_THIN_BELOW = 1.5

# A ewe that lambs so many days before her due day, with a lamb dead or weak, may have aborted. Lambs a few days early,
# stillborn, weak and mummified ones together are signs of the two commonest causes (enzootic abortion, toxoplasmosis), as
# farm vets describe them, at second hand; the number of days is common practice, no source.
EARLY_BY = timedelta(days=8)

# A ewe that aborted stays apart at least until her discharge has dried up, commonly three weeks or more; from memory.
ABORTION_FADES = timedelta(days=21)

# Two abortions so close together point to one cause that goes through the flock: common practice, no source.
ABORTIONS_CLOSE = timedelta(days=7)


@dataclass(frozen=True)
class Alert:
    """One kind of trouble. `fades`: so long after it was seen it is left for the end of the season; None is never.

    The first sentence of `next_step` stands alone on Tonight: it names the vet where the vet is called.
    """

    title: str
    urgency: int
    next_step: str
    call_vet: bool = False
    fades: timedelta | None = None

    @property
    def id(self) -> str:
        """Its title as a name: "long_labour"."""
        return self.title.replace("'", "").replace(" ", "_")

    @property
    def first_step(self) -> str:
        return self.next_step.split(". ")[0].rstrip(".") + "."


LONG_LABOUR = Alert(
    "long labour", NOW, "Look now; no progress, unsure how it lies: stop, call your vet. Clean gloves and lubricant "
    "for every look inside.", call_vet=True)
UNREADABLE = Alert(
    "cannot be read", UNREAD, "Look at her rows: words where a date or number belongs. Until it is put "
    "right no other list can be trusted about her.")
WOMB_PROLAPSE = Alert(
    "womb prolapse", NOW, "An emergency: call your vet at once. Keep her still, clean and warm until the vet comes.",
    call_vet=True, fades=ILLNESS_FADES)
PROLAPSE = Alert(
    "prolapse", NOW, "Call your vet, and keep her in a clean pen. Mark her, and write down which prolapse it was.",
    call_vet=True, fades=ILLNESS_FADES)
ABORTED = Alert(
    "aborted", NOW, "Isolate her, wear gloves, call your vet; pregnant women keep away. Keep the lambs and the afterbirth for "
    "samples. Set no lamb on to her.", call_vet=True, fades=ABORTION_FADES)
ABORTION_SUSPECTED = Alert(
    "abortion suspected", NOW, "Keep her apart, gloves, call your vet; no pregnant women. Keep the lambs and the "
    "afterbirth for samples. Set no lamb on to her.", call_vet=True, fades=ABORTION_FADES)
MASTITIS = Alert(
    "mastitis", NOW, "Call your vet, and see that her lambs are fed, by ewe or bottle.", call_vet=True,
    fades=ILLNESS_FADES)
SLEEPY = Alert(
    "sleepy or down", NOW, "Call your vet now, and keep her propped up and sheltered. Feed and water in reach.", call_vet=True,
    fades=ILLNESS_FADES)
IN_LABOUR = Alert(
    "in labour", NOW, "Look at her now, from a distance first. If she gets on, let her; look again before long.")
ORPHANS = Alert(
    "orphan lambs", NOW, "See that each lamb has milk, from another ewe or the bottle. Write down who rears it.")
LITTLE_COLOSTRUM = Alert(
    "little colostrum", NOW, "Feed it another ewe's colostrum, or what your vet advises. The first feed is needed "
    "within two hours; after a day it is too late. Never tube a lamb that cannot hold up its head.")
NOT_SUCKING = Alert(
    "lamb not sucking", NOW, "See that it is warm and has had colostrum. A cold or limp lamb needs help at once: ask your "
    "vet how to treat it.", fades=NEXT_LOOK_LAPSES)
HOLLOW = Alert(
    "hollow lamb", NOW, "See that it sucks and that she has milk; feed it. Without milk on both sides, find another ewe.",
    fades=NEXT_LOOK_LAPSES)
REFUSED = Alert(
    "lamb refused", NOW, "Pen her with it, hold her while it sucks, see that it is fed. Not taken after a day or two: "
    "set it on to another ewe or take it to the bottle.", fades=ILLNESS_FADES)
TROUBLE = Alert(
    "trouble next day", NOW, "Read the notes and look at her and her lambs again.", fades=NEXT_LOOK_LAPSES)
NEXT_LOOK = Alert("look due", TODAY, "Look at her and her lambs: bellies full, both sides in milk. Write down what you find.")
HELPED_TO_SUCK = Alert(
    "helped to suck", TODAY, "See that each lamb now sucks by itself.", fades=NEXT_LOOK_LAPSES)
SIDE_DRY = Alert(
    "a side dry", TODAY, "Draw both sides again. With one side she feeds one lamb, with none no lamb: see that the rest are "
    "fed. Look again next day.", fades=ILLNESS_FADES)
LARGE_TEATS = Alert(
    "large teats", TODAY, "Do all lambs suck? Hold each to the teat until it finds it by itself.", fades=NEXT_LOOK_LAPSES)
BAD_UDDER = Alert(
    "bad udder or teats", TODAY, "Feel both sides, try each teat; hot or sore: call your vet. See that her "
    "lambs are fed, and write what it is.", call_vet=True, fades=ILLNESS_FADES)
SMALL_LAMBS = Alert(
    "small lambs", TODAY, "See that each has had colostrum, is warm and gets its milk. Set one on to another "
    "ewe, or help it to feed.")
AFTERBIRTH_HELD_BACK = Alert(
    "afterbirth not passed", TODAY, "Call your vet, and never pull on it. Wear gloves, keep her clean and see whether she eats.",
    call_vet=True, fades=ILLNESS_FADES)
BADLY_LAME = Alert(
    "badly lame", TODAY, "Look at the foot and treat her as your vet has advised. Keep her near feed and water.",
    fades=ILLNESS_FADES)
MISSING_LAMB = Alert(
    "fewer lambs than scanned", TODAY, "None still inside her? If unsure, call your vet. Look round for a "
    "dead one, and write it down.", fades=NEXT_LOOK_LAPSES)
MORE_LAMBS = Alert(
    "more lambs than scanned", TODAY, "See that she has milk for all and each is hers.",
    fades=NEXT_LOOK_LAPSES)
RECTAL_PROLAPSE = Alert("rectal prolapse", TODAY, "Ask your vet.", call_vet=True, fades=ILLNESS_FADES)
OVERDUE = Alert(
    "overdue", SOON, "See whether she is in lamb or lambed unseen. Lambs lost? Ill or dull: call your vet.",
    fades=timedelta(days=14))
VERY_THIN = Alert(
    "very thin", SOON, "Ask your vet what is behind it, and look at her teeth. Feed her apart, with no more lambs than she can "
    "feed.", fades=ILLNESS_FADES)
WITHDRAWAL = Alert("withdrawal running", SOON, "Do not send her before it ends; check the medicine book.")
LABOUR_NOT_RECORDED = Alert(
    "lambing not recorded", SOON, "Write down how her lambing ended.", fades=ILLNESS_FADES)
WITHDRAWAL_UNKNOWN = Alert(
    "withdrawal not known", END, "Do not send her until you know. Look it up on the label or ask your vet.")

# Every trouble a ewe can have, most urgent first; a row that cannot be read stands above them all.
ALERTS = (
    LONG_LABOUR, WOMB_PROLAPSE, PROLAPSE, ABORTED, ABORTION_SUSPECTED, MASTITIS, SLEEPY, IN_LABOUR, ORPHANS, LITTLE_COLOSTRUM,
    NOT_SUCKING, HOLLOW, REFUSED, TROUBLE, NEXT_LOOK, HELPED_TO_SUCK, AFTERBIRTH_HELD_BACK, SIDE_DRY, LARGE_TEATS, BAD_UDDER,
    SMALL_LAMBS,
    MISSING_LAMB, MORE_LAMBS, BADLY_LAME, RECTAL_PROLAPSE, VERY_THIN, OVERDUE, WITHDRAWAL, LABOUR_NOT_RECORDED,
    WITHDRAWAL_UNKNOWN,
)
