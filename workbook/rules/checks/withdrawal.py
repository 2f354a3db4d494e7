"""Animals that went while the meat withdrawal of a treatment ran, as far as treatments are written here."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from template_builder.layout.choices import EweLeft, LambLeft, TreatedFor
from template_builder.layout.words import shown
from workbook.rules.checks.lamb_rows import with_rows
from workbook.rules.rule import Found, Severity, declare
from workbook.season.believable import believable
from workbook.season.cells import CellRef, Record
from workbook.season.groups import born_on, ewe_with, group_name
from workbook.season.matching import fold
from workbook.season.season import Season
from workbook.season.withdrawals import Given, stands_for, treated


@dataclass(frozen=True)
class Gone:
    """An animal that was sold or culled: what to call it, its row, the day, and all that may stand for it on Treatments."""

    name: str
    words: str
    row: Record
    left: date
    here_from: date | None
    stands: tuple[object, ...]


def _ewes(season: Season) -> Iterator[Gone]:
    for ewe in season.flock.ewes.values():
        left = believable(season, ewe.record, "left_on")
        if ewe.record and left and ewe.record["left_how"] in (EweLeft.SOLD, EweLeft.CULLED):
            yield Gone(ewe.name, f"ewe {ewe.name}", ewe.record, left, None, stands_for(ewe, date.min, left))


def _lambs(season: Season) -> Iterator[Gone]:
    for lamb in with_rows(season):
        left = believable(season, lamb.record, "left_on")
        if left and lamb.left_how is LambLeft.SOLD:
            ewe = ewe_with(season.flock, lamb)
            groups = {group_name(ewe, day) for day in (date.min, left)} - {None}
            stands = ((TreatedFor.LAMB, lamb.record.row), TreatedFor.ALL_LAMBS,
                      *((TreatedFor.GROUP, fold(name or "")) for name in groups))
            yield Gone(lamb.name, f"lamb {lamb.name}", lamb.record, left, born_on(season.flock, lamb), stands)


@declare("C155", "left-within-withdrawal", title="An animal was sold or culled within a meat withdrawal",
         severity=Severity.ERROR,
         why="Meat of an animal within the withdrawal of a medicine must not be eaten. This sheet is not a medicine "
             "book: the medicine book and your vet decide.",
         source="common practice, no source; the law of the country decides",
         uses=("treatments.date", "treatments.withdrawal", "treatments.given_to", "treatments.animal"),
         fix="Check the medicine book now and ask your vet; tell the buyer or the abattoir. If a date is wrong, correct it.")
def left_within_withdrawal(season: Season) -> Iterator[Found]:
    by_whom = treated(season)
    for gone in (*_ewes(season), *_lambs(season)):
        given = [one for whom in gone.stands for one in by_whom.get(whom, ()) if _running(one, gone)]
        if given:
            yield _found(gone, max(given, key=lambda one: one.ends), tuple(one.row.at("withdrawal") for one in given))


def _running(given: Given, gone: Gone) -> bool:
    """Whether the withdrawal ran on the day the animal left; one born after the treatment was not given it."""
    return given.day <= gone.left <= given.ends and (gone.here_from is None or gone.here_from <= given.day)


def _found(gone: Gone, last: Given, places: tuple[CellRef, ...]) -> Found:
    how = "culled" if gone.row["left_how"] is EweLeft.CULLED else "sold"
    text = f"{gone.words} was {how} on {shown(gone.left)}, but the withdrawal of {last.words} runs to {shown(last.ends)}"
    return Found(gone.row.at("left_on"), text + "; check the medicine book and ask your vet", shown(gone.left), places, gone.name)
