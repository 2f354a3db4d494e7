"""The cautions that stand where people look, and what to do in which week of the season."""

from collections.abc import Mapping

CAUTIONS: tuple[str, ...] = (
    "Pregnant women, and people with weakened immunity, keep away from lambing ewes, new lambs, afterbirth and soiled clothes.",
    "Clean gloves and lubricant for every internal examination; wash between ewes.",
    "No progress, unsure how the lamb lies, or more than gentle traction needed: stop and call your vet.",
    "A cervix that does not open is not forced: call your vet.",
    "Colostrum counts in hours: the first feed within two; after a day it is too late. Never tube a lamb that cannot hold up "
    "its head. A cold lamb more than five hours old needs more than warmth before it is warmed: ask your vet beforehand what.",
    "Orf and ringworm are catching: gloves.",
    "A ewe that aborts, or whose lambs are mummified, decayed or far too early: "
    "keep her apart, wear gloves, keep the lamb and the afterbirth for your vet, wash.",
    "Medicines only as your vet prescribed, with the withdrawal kept and written down.",
    "Local rules hold for tags, castration, tails, dead stock and transport: ask your vet or your authority.",
    "This workbook records. It gives no doses and does not replace your vet.",
)

# The same in short, for the head of sheets that hang in the shed.
AT_THE_PEN = (
    "Pregnant, or weak immunity: keep away. Clean gloves and lubricant for every look inside. No progress, unsure how it lies, "
    "or more than a gentle pull needed: stop, call the vet. Not open: do not force. First milk within two hours. "
    "Aborted: keep her apart, gloves, keep it for the vet, wash."
)

# The same in one line, for the screen of a phone; whole they stand on Guide.
AT_A_GLANCE = "Pregnant: keep away. Gloves. No progress, unsure: stop, call the vet."

# When, what to do, and on which sheet.
YEAR: tuple[tuple[str, str, str], ...] = (
    ("After scanning", "Look through Season and Groups; write how many ewes went to each ram.", "Season, Groups"),
    ("Eight weeks before lambing", "See who is fed with whom, who is thin, and what falls due when. Talk it over with your vet "
     "and adviser.", "Plan"),
    ("Before lambing", "Check pens and hands against the due dates. Print what you write on in the shed: it is the file whose "
     "name ends in -paper.", "Progress"),
    ("At lambing", "One row for each ewe on Lambing, one for each lamb on Lambs. All well: yes saves most cells.",
     "Lambing, Lambs"),
    ("Next day", "Look at every ewe and lamb again within a day: full bellies, both sides in milk.", "Lambing, Lambs"),
    ("A lamb dies or is moved", "Write how it left and why, or who rears it now.", "Lambs"),
    ("Turnout, marking, weaning", "Count through the gate and write the count down, even when it does not agree.", "Counts"),
    ("Any time", "Write treatments, weighings and looks at a ewe as they happen.", "Treatments, Weights, Ewe check"),
    ("After weaning, before mating", "Feel udders, look at mouths and feet.", "Ewe check"),
    ("Before the selection meeting", "Run the check, correct what it finds, then run the analysis.", "Policy"),
)

# For whoever has the night watch, in this order: when, what to do, and on which sheet.
AT_NIGHT: tuple[tuple[str, str, str], ...] = (
    ("First", "See who needs another look, most urgent first. Then go round all ewes quietly.", "Tonight"),
    ("A ewe lambs", "Her row, in a day book the next free line: day, all well: yes, or what was not well.", "Lambing"),
    ("Each lamb, the dead too", "A row: her number, sex, how it was born. Tag and weight where this farm takes them.", "Lambs"),
    ("Before you leave her", "Lambs up and full of first milk? Both sides in milk? Has she taken them all?", "Lambing, Lambs"),
    ("Unsure", "No progress, lamb lying wrong, prolapse, ewe down or dull: call at once, do not wait.", "Tonight"),
    ("A ewe aborts", "Keep her apart, wear gloves, leave it for the vet, wash, call the farm.", "Tonight"),
    ("Not sure what to write", "Write ? or leave it blank. Never guess a number.", ""),
)

# What these lines say instead where each ewe has one row and one word.
IN_ONE_ROW: Mapping[str, str] = {
    "At lambing": "One row for each ewe: the day, lambs born alive and dead, one word under Trouble where anything was wrong.",
    "Next day": "Look at every ewe and lamb again within a day: full bellies, both sides in milk.",
    "Any time": "Write a look at a ewe on the day; medicines stand in the medicine book.",
    "A ewe lambs": "Her row: day, lambs born alive and dead; under Trouble one word where anything was wrong.",
}
UNHIDE = ("what is not in sight", "Columns and sheets this workbook can do without are hidden, not deleted: right-click a "
          "tab, or the letters on both sides of a gap, and choose unhide or show.")

HOW_TO_WRITE: tuple[tuple[str, str], ...] = (
    ("blank", "Nothing written. A blank under Scanned means not scanned."),
    ("?", "Looked, but not known. May be written in any cell."),
    ("0", "None. Scanned 0 means empty."),
    ("1042-2", "The second lamb of ewe 1042, while it has no tag."),
    ("02:30", "A time alone is taken on the lambing day."),
)
