"""Which heading of a scanning list stands for which column, for lists by ewe and tallies by group."""

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.scan.cells import fold, is_a_count, text_of
from template_builder.scan.columns import (
    CLASSES,
    IN_LAMB,
    LEAST_CLASSES,
    SCAN_COLUMNS,
    TALLY_COLUMNS,
    WAS_SCANNED,
    ScanColumn,
    squash,
)
from template_builder.scan.ewe_columns import EWE_COLUMNS, HISTORY, LABELS
from template_builder.scan.pages import Line

HEADINGS_WITHIN = 15  # filled lines from the top in which the headings are looked for
RECOGNISED, GIVEN, NOT_USED = "recognised", "given", "not used"
COLUMNS_EXAMPLE = '--columns "Their heading=ewe,Other heading=scanned"'
_SIGNS = {  # words in a heading that is not known, by which its column may be
    "mark": frozenset(["mark", "marked", "spray", "sprayed", "colour", "color", "paint", "raddle", "dot", "keel"]),
    "group": frozenset(["group", "mob", "batch", "field", "paddock", "lot", "pen", "flock", "shed", "cut"]),
    "born_year": frozenset(["age", "born", "birth", "year", "yr", "dob"]),
    "condition": frozenset(["condition", "cond", "score", "bcs", "cs", "fat"]),
}
_SHARES = ("%", "per cent", "percent")


def words_of(columns: Sequence[ScanColumn]) -> dict[str, str]:
    """The column each heading stands for, the headings squashed."""
    return {squash(word): column.name for column in columns for word in (column.name, *column.synonyms.split(", "))}


_EWE_WORDS, _GROUP_WORDS = words_of(EWE_COLUMNS), words_of(TALLY_COLUMNS)
_IN_LAMB, _WAS_SCANNED = ({squash(word) for word in words.split(", ")} for words in (IN_LAMB, WAS_SCANNED))
_CLASS_WORDS = {word: CLASSES.index(name) for word, name in _GROUP_WORDS.items() if name in CLASSES}


def ewe_heading(heading: str) -> bool:
    """Whether a heading is one that a list has for the ewe."""
    return _EWE_WORDS.get(squash(heading)) == "ewe"


def count_heading(heading: str) -> bool:
    """Whether a heading is one that a list has for the count."""
    return _EWE_WORDS.get(squash(heading)) == "scanned"


def class_of(heading: str) -> int | None:
    """The lambs that a heading such as "Twins" stands for; a share in per cent is none."""
    return None if _is_share(heading) else _CLASS_WORDS.get(squash(heading))


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
    classes: Mapping[int, int] = {}  # lambs -> the column that is ticked for so many, where the list has no column of counts
    in_lamb: int | None = None
    was_scanned: int | None = None
    own_line: bool = True  # False: the list has no heading row, and its first ewe stands in line `at`

    @property
    def counts(self) -> bool:
        """Whether the list says how many lambs, one way or another."""
        return "scanned" in self.places or len(self.classes) >= LEAST_CLASSES or self.in_lamb is not None

    @property
    def by_ewe(self) -> bool:
        """Whether these are the headings of a list by ewe."""
        return "ewe" in self.places and self.counts


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


def known_targets(columns: Mapping[str, str], of: Sequence[ScanColumn] = EWE_COLUMNS) -> dict[str, str]:
    """Give {heading: column} with the columns as the toolkit names them; ValueError for one unknown or given twice."""
    own = {squash(column.name): column.name for column in of}
    given: dict[str, str] = {}
    for heading, target in columns.items():
        name = own.get(squash(target))
        if name is None:
            known = ", ".join(column.name for column in (SCAN_COLUMNS if of is EWE_COLUMNS else of))
            history = f", or a history column such as {HISTORY[0].name}" if of is EWE_COLUMNS else ""
            raise ValueError(f"“{target}” is not a column of a scanning list: use one of {known}{history}.")
        if name in given.values():
            raise ValueError(f"The column “{name}” is given for two headings: give it for one of them.")
        given[heading] = name
    return given


def find_headings(lines: Sequence[Line], given: Mapping[str, str]) -> Headings | None:
    """Find the first line near the top that names an ewe and a count; None when there is none."""
    for at, line in enumerate(lines[:HEADINGS_WITHIN]):
        headings = settle_ewes(at, [text_of(cell) for cell in line.cells], given)
        if headings.by_ewe and not missing(line, given):
            return headings
    return None


def find_tally(lines: Sequence[Line], given: Mapping[str, str]) -> Headings | None:
    """The first line near the top that names a group and tallies but no ewe; None when there is none."""
    for at, line in enumerate(lines[:HEADINGS_WITHIN]):
        texts = [text_of(cell) for cell in line.cells]
        headings = _settle(at, texts, given, TALLY_COLUMNS)
        classes = headings.places.keys() & set(CLASSES)
        if "group" in headings.places and len(classes) >= LEAST_CLASSES and not missing(line, given):
            used = set(headings.places.values())
            if not any(ewe_heading(text) and place not in used for place, text in enumerate(texts)):
                return headings._replace(notes=(*headings.notes, *_more_than_three(texts, headings)))
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
        return named, sum(squash(text) in _EWE_WORDS for text in texts), sum(map(bool, texts))

    return max(lines, key=likeness, default=None)


def likely_columns(uses: Sequence[HeadingUse]) -> list[str]:
    """Say which headings not used look like a mark, a group, an age or a condition, and the option that takes them."""
    taken = {use.column for use in uses}
    notes = []
    for use in uses:
        words = set("".join(letter if letter.isalnum() else " " for letter in use.heading.casefold()).split())
        for name, signs in _SIGNS.items():
            if use.column is None and name not in taken and words & signs:
                notes.append(f"“{use.heading}” is not used; if it is the {LABELS[name]}, give --columns \"{use.heading}={name}\"")
    return notes


def settle_ewes(at: int, texts: Sequence[str], given: Mapping[str, str]) -> Headings:
    """What the headings of a line stand for in a list by ewe."""
    found = _settle(at, texts, given, EWE_COLUMNS)
    places, notes = dict(found.places), list(found.notes)
    if "ewe" not in places and "official_tag" in places:
        places["ewe"] = places["official_tag"]
        notes.append(f"“{texts[places['ewe']]}” serves as the ewe's number, there is no other")
    free = {place: text for place, text in enumerate(texts) if place not in places.values()}
    classes: dict[int, int] = {}
    if "scanned" not in places:
        for place, text in free.items():
            if (lambs := class_of(text)) is not None and lambs not in classes:
                classes[lambs] = place
    if len(classes) < LEAST_CLASSES:
        classes = {}
    in_lamb = next((place for place, text in free.items() if squash(text) in _IN_LAMB), None)
    was_scanned = next((place for place, text in free.items() if squash(text) in _WAS_SCANNED), None)
    said = dict.fromkeys(classes.values(), "ticked for the count")
    said |= {place: what for place, what in ((in_lamb, "in lamb or not"), (was_scanned, "scanned or not")) if place is not None}
    filled = [place for place, text in enumerate(texts) if text]
    uses = tuple(HeadingUse(use.heading, "scanned", said[place]) if place in said else use
                 for place, use in zip(filled, found.uses, strict=True))
    own_line = not (given and "scanned" in places and is_a_count(texts[places["scanned"]]))
    return Headings(at, places, uses, tuple(notes), classes, in_lamb, was_scanned, own_line)


def _settle(at: int, texts: Sequence[str], given: Mapping[str, str], columns: Sequence[ScanColumn]) -> Headings:
    wanted = {fold(heading): name for heading, name in given.items()}
    wanted |= {squash(heading): name for heading, name in given.items() if squash(heading)}
    own, known = {squash(column.name): column.name for column in columns}, words_of(columns)
    places: dict[str, int] = {}
    how: dict[int, str] = {}
    # What a person gave goes first; then a heading that is the column's own name, before a synonym further left.
    for words, called in ((wanted, GIVEN), (own, RECOGNISED), (known, RECOGNISED)):
        for place, text in enumerate(texts):
            name = (words.get(fold(text)) if words is wanted else None) or words.get(squash(text))
            if words is not wanted and _is_share(text):
                continue
            if name and name not in places and place not in how:
                places[name], how[place] = place, called
    used = {place: name for name, place in places.items()}
    uses = (HeadingUse(text, used.get(place), how.get(place, NOT_USED)) for place, text in enumerate(texts) if text)
    labels = {column.name: column.label for column in columns}
    notes = [f"“{text}” is not used, because “{texts[places[name]]}” is taken for the {labels[name]}"
             for place, text in enumerate(texts)
             if place not in how and (name := known.get(squash(text))) and not _is_share(text)]
    return Headings(at, places, tuple(uses), tuple(notes))


def _is_share(heading: str) -> bool:
    return any(share in fold(heading) for share in _SHARES)


def _more_than_three(texts: Sequence[str], headings: Headings) -> list[str]:
    text = texts[headings.places["triplets"]] if "triplets" in headings.places else ""
    more = any(sign in fold(text) for sign in ("+", "more", "plus"))
    return [f"“{text}” is taken as three: a ewe with four counts as one with three"] if more else []
