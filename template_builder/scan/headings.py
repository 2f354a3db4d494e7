"""Which heading of a scanning list stands for which column, whatever the list calls it."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.scan.cells import fold, text_of
from template_builder.scan.pages import Line

HEADINGS_WITHIN = 15  # filled lines from the top in which the headings are looked for
RECOGNISED, GIVEN, NOT_USED = "recognised", "given", "not used"
COLUMNS_EXAMPLE = '--columns "Their heading=ewe,Other heading=scanned"'


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
        "management tag, management number, management no, visual tag, visual id, ear tag, ear tag no, ear "
        "tag number, animal, animal no, animal id, sheep, sheep no, id",
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
LABELS = {column.name: column.label for column in SCAN_COLUMNS}


def squash(heading: str) -> str:
    """Fold a heading to its letters and figures, so that "Ewe No." and "ewe_no" are one."""
    return "".join(letter for letter in heading.casefold() if letter.isalnum())


_OWN_NAME = {squash(column.name): column.name for column in SCAN_COLUMNS}
_COLUMN_OF = {squash(word): column.name for column in SCAN_COLUMNS for word in column.synonyms.split(", ")}


def ewe_heading(heading: str) -> bool:
    """Whether a heading is one that a list has for the ewe."""
    return _COLUMN_OF.get(squash(heading)) == "ewe"


@dataclass(frozen=True)
class HeadingUse:
    """One heading of the list and the column it was taken for (None: none), and how that was settled."""

    heading: str
    column: str | None
    how: str  # RECOGNISED, GIVEN or NOT_USED


class Headings(NamedTuple):
    """The headings of a list: where each column stands (counted from 0), and what is to be said about them."""

    at: int  # index of the heading line among the lines
    places: Mapping[str, int]
    uses: tuple[HeadingUse, ...]
    notes: tuple[str, ...]


def parse_columns_option(text: str) -> dict[str, str]:
    """Read "Their heading=ewe,Other heading=scanned" into {heading: column}.

    A heading that holds a comma is put in double quotes with its column. ValueError, in one sentence, when it
    cannot be read.
    """
    return known_targets(written_columns(text))


def written_columns(text: str) -> dict[str, str]:
    """The headings of such a text and the columns as written, known or not; ValueError when it cannot be read."""
    columns: dict[str, str] = {}
    for piece in next(csv.reader([text.replace("\n", " ").replace("\r", " ")], skipinitialspace=True), []):
        heading, equals, target = (part.strip() for part in piece.rpartition("="))
        if not (heading and equals and target):
            raise ValueError(f"“{piece.strip()}” does not say which column a heading is: write {COLUMNS_EXAMPLE}.")
        if heading in columns:
            raise ValueError(f"The heading “{heading}” is given twice: give each heading one column.")
        columns[heading] = target
    if not columns:
        raise ValueError(f"No heading is given: write {COLUMNS_EXAMPLE}.")
    return columns


def known_targets(columns: Mapping[str, str], of: Sequence[ScanColumn] = SCAN_COLUMNS) -> dict[str, str]:
    """Give {heading: column} with the columns as the toolkit names them; ValueError for one unknown or given twice."""
    own = {squash(column.name): column.name for column in of}
    given: dict[str, str] = {}
    for heading, target in columns.items():
        name = own.get(squash(target))
        if name is None:
            known = ", ".join(column.name for column in of)
            raise ValueError(f"“{target}” is not a column of a scanning list: use one of {known}.")
        if name in given.values():
            raise ValueError(f"The column “{name}” is given for two headings: give it for one of them.")
        given[heading] = name
    return given


def find_headings(lines: Sequence[Line], given: Mapping[str, str]) -> Headings | None:
    """Find the first line near the top that names an ewe and a count; None when there is none."""
    for at, line in enumerate(lines[:HEADINGS_WITHIN]):
        headings = _settle(at, [text_of(cell) for cell in line.cells], given)
        if {"ewe", "scanned"} <= headings.places.keys() and not missing(line, given):
            return headings
    return None


def missing(line: Line, given: Mapping[str, str]) -> list[str]:
    """Name the given headings that do not stand on this line."""
    written = {squash(text_of(cell)) for cell in line.cells} | {fold(text_of(cell)) for cell in line.cells}
    return [heading for heading in given if not {squash(heading), fold(heading)} & (written - {""})]


def likeliest(lines: Sequence[Line], given: Mapping[str, str]) -> Line | None:
    """Pick the line that looks most like headings, to show when none could be recognised."""

    def likeness(line: Line) -> tuple[int, int, int]:
        texts = [text_of(cell) for cell in line.cells]
        named = len(given) - len(missing(line, given))
        return named, sum(squash(text) in _COLUMN_OF for text in texts), sum(map(bool, texts))

    return max(lines, key=likeness, default=None)


def _settle(at: int, texts: Sequence[str], given: Mapping[str, str]) -> Headings:
    wanted = {fold(heading): name for heading, name in given.items()}
    wanted |= {squash(heading): name for heading, name in given.items() if squash(heading)}
    places: dict[str, int] = {}
    how: dict[int, str] = {}
    for place, text in enumerate(texts):
        name = wanted.get(fold(text)) or wanted.get(squash(text))
        if name and name not in places:
            places[name], how[place] = place, GIVEN
    # A heading that is the column's own name goes before a synonym that stands further left.
    for known in (_OWN_NAME, _COLUMN_OF):
        for place, text in enumerate(texts):
            name = known.get(squash(text))
            if name and name not in places and place not in how:
                places[name], how[place] = place, RECOGNISED
    notes = _second_claims(texts, places, how)
    if "ewe" not in places and "official_tag" in places:
        places["ewe"] = places["official_tag"]
        notes.append(f"“{texts[places['ewe']]}” serves as the ewe's number, there is no other")
    used = {place: name for name, place in places.items()}
    uses = (HeadingUse(t, used.get(p), how.get(p, NOT_USED)) for p, t in enumerate(texts) if t)
    return Headings(at, places, tuple(uses), tuple(notes))


def _second_claims(texts: Sequence[str], places: Mapping[str, int], how: Mapping[int, str]) -> list[str]:
    return [
        f"“{text}” is not used, because “{texts[places[name]]}” is taken for the {LABELS[name]}"
        for place, text in enumerate(texts)
        if place not in how and (name := _COLUMN_OF.get(squash(text)))
    ]
