"""Which heading of a tally by group stands for which column: the group, ewes scanned, and ewes with 0, 1, 2, 3, 4 or more."""

from collections.abc import Mapping, Sequence

from template_builder.scan.cells import fold, text_of
from template_builder.scan.headings import (
    GIVEN,
    HEADINGS_WITHIN,
    NOT_USED,
    RECOGNISED,
    Headings,
    HeadingUse,
    ScanColumn,
    ewe_heading,
    missing,
    squash,
)
from template_builder.scan.pages import Line

# Lambs seen -> the column that says how many ewes had so many; the last stands for four or more.
CLASSES = ("empty", "singles", "twins", "triplets", "four_or_more")
LEAST_CLASSES = 2  # so many of them must be there for a list to be a tally

TALLY_COLUMNS = (
    ScanColumn("group", "group", "group, group name, mob, batch, management group, heft, hirsel, lot, field"),
    ScanColumn("ewes", "number of ewes scanned",
               "ewes, ewes scanned, scanned ewes, no of ewes, number of ewes, ewe count, ewes total, total ewes, total scanned, "
               "no scanned, number scanned, scanned, sheep scanned, sheep, head, total"),
    ScanColumn("empty", "number empty",
               "empty, empties, scanned empty, barren, barrens, geld, gelds, eild, yeld, dry, not in lamb, no lambs, none, 0, "
               "scanned 0"),
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
               "ewes put to the ram"),
    ScanColumn("ram_in", "day the ram went in", "ram in, rams in, tup in, tups in, ram in date, date ram in"),
    ScanColumn("ram_out", "day the ram came out", "ram out, rams out, tup out, tups out, ram out date, date ram out"),
    ScanColumn("ram_breed", "breed of the ram", "ram breed, tup breed, breed of ram, breed of tup"),
    ScanColumn("scanned_on", "scanning date", "scanned on, scan date, scanning date, date scanned, date of scan, date"),
    ScanColumn("notes", "notes", "notes, note, comments, comment, remarks, remark"),
)
TALLY_LABELS = {column.name: column.label for column in TALLY_COLUMNS}
_COLUMN_OF = {squash(word): column.name for column in TALLY_COLUMNS for word in (column.name, *column.synonyms.split(", "))}
_SHARES = ("%", "per cent", "percent")


def find_tally(lines: Sequence[Line], given: Mapping[str, str]) -> Headings | None:
    """The first line near the top that names a group and tallies but no ewe; None when there is none."""
    for at, line in enumerate(lines[:HEADINGS_WITHIN]):
        texts = [text_of(cell) for cell in line.cells]
        headings = _settle(at, texts, given)
        classes = headings.places.keys() & set(CLASSES)
        if "group" in headings.places and len(classes) >= LEAST_CLASSES and not missing(line, given):
            used = set(headings.places.values())
            if not any(ewe_heading(text) and place not in used for place, text in enumerate(texts)):
                return headings
    return None


def _settle(at: int, texts: Sequence[str], given: Mapping[str, str]) -> Headings:
    wanted = {fold(heading): name for heading, name in given.items()}
    places: dict[str, int] = {}
    how: dict[int, str] = {}
    for place, text in enumerate(texts):
        if (name := wanted.get(fold(text))) and name not in places:
            places[name], how[place] = place, GIVEN
    for place, text in enumerate(texts):
        name = None if place in how else _recognised(text)
        if name and name not in places:
            places[name], how[place] = place, RECOGNISED
    used = {place: name for name, place in places.items()}
    uses = tuple(HeadingUse(text, used.get(place), how.get(place, NOT_USED)) for place, text in enumerate(texts) if text)
    return Headings(at, places, uses, tuple(_notes(texts, places, how)))


def _recognised(text: str) -> str | None:
    """The column a heading is known for; a share in per cent is no tally."""
    return None if any(share in fold(text) for share in _SHARES) else _COLUMN_OF.get(squash(text))


def _notes(texts: Sequence[str], places: Mapping[str, int], how: Mapping[int, str]) -> list[str]:
    notes = []
    for place, text in enumerate(texts):
        name = None if place in how else _recognised(text)
        if name:
            notes.append(f"“{text}” is not used, because “{texts[places[name]]}” is taken for the {TALLY_LABELS[name]}")
    if "triplets" in places and _or_more(texts[places["triplets"]]):
        notes.append(f"“{texts[places['triplets']]}” is taken as three: a ewe with four counts as one with three")
    return notes


def _or_more(heading: str) -> bool:
    return any(sign in fold(heading) for sign in ("+", "more", "plus"))
