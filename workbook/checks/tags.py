"""Tags and lamb numbers that stand for two lambs, or for a lamb and a ewe."""

from collections.abc import Iterator

from workbook.flock import Lamb
from workbook.links import fold, fold_tag
from workbook.rules import Found, Severity, declare
from workbook.season import Season


def _with_rows(season: Season) -> list[Lamb]:
    return [lamb for lamb in season.flock.lambs if lamb.named]


@declare("C101", "lamb-tag-twice", title="Two lambs carry one tag", severity=Severity.ERROR,
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


@declare("C102", "lamb-number-twice", title="Two lambs of a ewe have one number", severity=Severity.ERROR,
         why="A lamb without a tag is called by ewe and number, so the two cannot be told apart.", source="house rule",
         uses=("lambs.ewe", "lambs.lamb_no"), fix="Give one of them the next free number.")
def lamb_number_twice(season: Season) -> Iterator[Found]:
    first: dict[tuple[str, int], Lamb] = {}
    for lamb in _with_rows(season):
        if lamb.bearer is None or lamb.number is None:
            continue
        holder = first.setdefault((lamb.bearer, lamb.number), lamb)
        if holder is not lamb:
            text = f"lamb {lamb.number} of ewe {lamb.record.text('ewe')} is already in row {holder.record.row}"
            yield Found(lamb.record.at("lamb_no"), text, str(lamb.number), (holder.record.at("lamb_no"),), lamb.name)


@declare("C138", "lamb-tag-is-ewe-number", title="A lamb's tag is also a ewe's number", severity=Severity.WARNING,
         why="A weighing under that number is taken for the lamb's, except at mating.", source="house rule",
         uses=("lambs.tag", "ewes.ewe"), fix="Write the tag with all its digits.")
def lamb_tag_is_ewe_number(season: Season) -> Iterator[Found]:
    ewes = {fold(ewe.name): ewe.record for ewe in season.flock.ewes.values() if ewe.record}
    for lamb in _with_rows(season):
        if lamb.tag and (ewe := ewes.get(fold(lamb.tag))):
            text = f"lamb tag {lamb.tag} is also the number of the ewe in row {ewe.row} of {ewe.tab}"
            yield Found(lamb.record.at("tag"), text, lamb.tag, (ewe.at("ewe"),), lamb.name)
