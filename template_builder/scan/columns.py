"""The columns a scanning list can have, by ewe or by group, and the headings each is known by, whatever the list calls it."""

from typing import NamedTuple


class ScanColumn(NamedTuple):
    """A column the toolkit can use, what people call it in a sentence, and the headings it is known by."""

    name: str
    label: str
    synonyms: str  # with ", " between them


SCAN_COLUMNS = (
    ScanColumn(
        "ewe",
        "number",
        "ewe, ewe no, ewe number, ewe id, ewe tag, ewe tag no, ewe tag number, tag, tag no, tag number, "
        "management tag, management number, management no, visual, visual tag, visual tag no, visual id, visual no, "
        "visual number, vid, short tag, short no, short number, flock no, flock number, ear tag, ear tag no, ear tag number, "
        "animal, animal no, animal id, sheep, sheep no, id",
    ),
    ScanColumn(
        "scanned",
        "count",
        "scanned, scan, scan result, scan count, scanning, scanning result, scanned lambs, lambs scanned, "
        "lambs, no lambs, no of lambs, number of lambs, lamb count, count, foetuses, fetuses, no of foetuses, "
        "no of fetuses, foetus count, fetus count, litter, litter size, result",
    ),
    ScanColumn("breed", "breed", "breed, ewe breed"),
    ScanColumn("born_year", "year of birth", "born year, born, year born, birth year, year of birth, yob"),
    ScanColumn("group", "group", "group, mob, batch, management group, heft, hirsel"),
    ScanColumn(
        "ram",
        "ram",
        "ram, ram no, ram id, ram tag, tup, tup no, tup id, sire, sire id, sire tag, service sire",
    ),
    ScanColumn(
        "mated_on",
        "mating date",
        "mated on, mated, mating, mating date, date mated, tupped, tupped on, tupping date, date tupped, "
        "service date, served, served on, date served",
    ),
    ScanColumn(
        "scanned_on",
        "scanning date",
        "scanned on, scan date, scanning date, date scanned, date of scan, date of scanning",
    ),
    ScanColumn(
        "due",
        "due date",
        "due, due date, due on, date due, lambing due, lambing date expected, expected lambing date, expected "
        "lambing, due to lamb",
    ),
    ScanColumn(
        "official_tag",
        "official tag",
        "official tag, official tag no, official tag number, official id, eid, eid no, eid number, eid tag, "
        "electronic tag, electronic id, electronic identification, electronic number, uk tag, uk tag no, uk "
        "number, full tag, individual id",
    ),
    ScanColumn(
        "condition",
        "condition score",
        "condition, condition score, body condition, body condition score, condition at scanning, bcs, cs",
    ),
    ScanColumn(
        "mark",
        "mark",
        "mark, spray mark, spray, spray colour, mark colour, paint mark, colour, color, raddle, raddle mark, raddle colour",
    ),
    ScanColumn(
        "lambings_before",
        "number of lambings",
        "lambings before, lambings, no of lambings, number of lambings, previous lambings, parity",
    ),
    ScanColumn("notes", "notes", "notes, note, comments, comment, remarks, remark"),
)

# Lambs seen -> the column that says how many ewes had so many; the last stands for four or more.
CLASSES = ("empty", "singles", "twins", "triplets", "four_or_more")
LEAST_CLASSES = 2  # so many of them must be there to be headings of classes

TALLY_COLUMNS = (
    ScanColumn("group", "group", "group, group name, mob, batch, management group, heft, hirsel, lot, field"),
    ScanColumn("ewes", "number of ewes scanned",
               "ewes, ewes scanned, scanned ewes, no of ewes, number of ewes, ewe count, ewes total, total ewes, total scanned, "
               "no scanned, number scanned, scanned, sheep scanned, sheep, head, total"),
    ScanColumn("empty", "number empty",
               "empty, empties, scanned empty, barren, barrens, geld, gelds, eild, yeld, dry, open, not in lamb, no lambs, none, "
               "0, scanned 0, scanned dry, scanned barren, scanned open"),
    ScanColumn("singles", "number with one", "singles, single, ones, one, with one, 1, scanned 1"),
    ScanColumn("twins", "number with two", "twins, twin, doubles, double, pairs, twos, two, with two, 2, scanned 2"),
    ScanColumn("triplets", "number with three",
               "triplets, triplet, trips, threes, three, with three, 3, scanned 3, 3 or more, three or more, 3 plus, "
               "triplets or more, triplets plus, scanned 3 or more"),
    ScanColumn("four_or_more", "number with four or more",
               "four or more, 4 or more, fours, four, 4, 4 plus, quads, quad, quadruplets, quads or more, quads plus, scanned 4, "
               "scanned 4 or more, more than three, more than 3"),
    ScanColumn("ewes_to_ram", "number of ewes to the ram",
               "ewes to ram, ewes to the ram, to the ram, to ram, ewes to tup, ewes to the tup, to the tup, ewes mated, "
               "ewes put to the ram, ewes put to the tup"),
    ScanColumn("ram_in", "day the ram went in", "ram in, rams in, tup in, tups in, ram in date, date ram in"),
    ScanColumn("ram_out", "day the ram came out", "ram out, rams out, tup out, tups out, ram out date, date ram out"),
    ScanColumn("ram_breed", "breed of the ram", "ram breed, tup breed, breed of ram, breed of tup"),
    ScanColumn("scanned_on", "scanning date", "scanned on, scan date, scanning date, date scanned, date of scan, date"),
    ScanColumn("notes", "notes", "notes, note, comments, comment, remarks, remark"),
)
TALLY_LABELS = {column.name: column.label for column in TALLY_COLUMNS}

# Columns of yes and no that help to a count: whether she is in lamb at all, whether she was scanned at all.
IN_LAMB = "pregnant, pregnant y n, in lamb, in lamb y n, in lamb yes no, pregnancy, preg, pd, pd result, pregnant yes no"
WAS_SCANNED = "scanned y n, scanned yes no, was scanned, scan y n, scan done"


def squash(heading: str) -> str:
    """Fold a heading to its letters and figures, so that "Ewe No." and "ewe_no" are one."""
    return "".join(letter for letter in heading.casefold() if letter.isalnum())
