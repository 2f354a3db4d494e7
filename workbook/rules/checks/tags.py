"""Tags and lamb numbers that stand for two lambs, or for a lamb and a ewe."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from workbook.rules.rule import Found, Severity, declare
from workbook.season.cells import Record
from workbook.season.families import Lamb
from workbook.season.matching import fold_tag
from workbook.season.season import Season


def _with_rows(season: Season) -> list[Lamb]:
    return [lamb for lamb in season.flock.lambs if lamb.named]


@declare("C101", "lamb-tag-twice", title="Two lambs have the same tag", severity=Severity.ERROR,
         why="Weights and losses would be booked to the wrong lamb, and so to the wrong ewe.", source="house rule",
         uses=("lambs.tag",), fix="Correct one of the two tags.")
def lamb_tag_twice(season: Season) -> Iterator[Found]:
    for column, word in (("tag", "tag"), ("electronic_tag", "electronic tag")):
        first: dict[str, Lamb] = {}
        for lamb in _with_rows(season):
            tag = lamb.record.text(column)
            if not tag:
                continue
            holder = first.setdefault(fold_tag(tag), lamb)
            if holder is not lamb:
                yield Found(lamb.record.at(column), f"{word} {tag} is already in row {holder.record.row}", tag,
                            (holder.record.at(column),), lamb.name)


@declare("C102", "lamb-number-twice", title="Two lambs of a ewe have the same number", severity=Severity.ERROR,
         why="A lamb without a tag is called by ewe and number, so the two cannot be told apart.", source="house rule",
         uses=("lambs.ewe", "lambs.lamb_no"), fix="Give one of them the next free number.")
def lamb_number_twice(season: Season) -> Iterator[Found]:
    first: dict[tuple[str, int], Lamb] = {}
    for lamb in _with_rows(season):
        if lamb.own_ewe is None or lamb.number is None:
            continue
        holder = first.setdefault((lamb.own_ewe, lamb.number), lamb)
        if holder is not lamb:
            text = f"lamb {lamb.number} of ewe {lamb.record.text('ewe')} is already in row {holder.record.row}"
            yield Found(lamb.record.at("lamb_no"), text, str(lamb.number), (holder.record.at("lamb_no"),), lamb.name)


@declare("C138", "lamb-tag-is-ewe-number", title="A lamb's tag is also a number or tag of a ewe", severity=Severity.WARNING,
         why="A weighing under that number is taken for the lamb's, except at mating.", source="house rule",
         uses=("lambs.tag", "lambs.electronic_tag", "ewes.ewe", "ewes.official_tag"), fix="Write the tag with all its digits.")
def lamb_tag_is_ewe_number(season: Season) -> Iterator[Found]:
    holders = _holders(season)
    for lamb in _with_rows(season):
        for column, word in (("tag", "lamb tag"), ("electronic_tag", "electronic tag")):
            tag = lamb.record.text(column)
            for ewe, own in holders.get(fold_tag(tag), ())[:1] if tag else ():
                text = f"{word} {tag} is also {NUMBERS[own]} of the ewe in row {ewe.row} of {ewe.tab}"
                yield Found(lamb.record.at(column), text, tag or "", (ewe.at(own),), lamb.name)


NUMBERS = {"ewe": "the number", "official_tag": "the official tag", "also_known_as": "the other number"}


def _holders(season: Season) -> Mapping[str, list[tuple[Record, str]]]:
    """Each number and tag of ewes, folded, with the rows and columns of Ewes that hold it."""
    found: dict[str, list[tuple[Record, str]]] = defaultdict(list)
    for record in (ewe.record for ewe in season.flock.ewes.values() if ewe.record):
        for column in NUMBERS:
            if number := record.text(column):
                found[fold_tag(number)].append((record, column))
    return found


@declare("C146", "ewe-number-shared", title="Two ewes share a number or tag", severity=Severity.ERROR,
         why="What is written under it may be booked to the wrong ewe; an official tag belongs to one animal alone.",
         source="house rule", uses=("ewes.ewe", "ewes.official_tag", "ewes.also_known_as"),
         fix="Correct the number or tag of one of the two, as on the animal.")
def ewe_number_shared(season: Season) -> Iterator[Found]:
    """One finding for each number and ewe beyond the first; two spellings of one ewe's own number are none."""
    for holding in _holders(season).values():
        first, column = holding[0]
        for row, own in {row.row: (row, own) for row, own in reversed(holding) if row is not first}.values():
            number = row.words(own)
            text = f"{NUMBERS[own]} {number} of ewe {row.text('ewe')} is {NUMBERS[column]} of ewe {first.text('ewe')}"
            yield Found(row.at(own), text, number, (first.at(column),), row.words("ewe"))
