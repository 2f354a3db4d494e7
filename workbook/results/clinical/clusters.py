"""Several cases of one illness close together: no longer one animal's trouble but the flock's."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import NamedTuple

from template_builder.layout.choices import Cause, Choice, LambingTrouble, LambLeft, Prolapse, Reason, TreatedFor, Trouble
from workbook.results.clinical.episodes import mastitis
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

# So many animals ill of one thing within so many days are a matter for the flock: common practice, no source.
CASES, WITHIN_DAYS = 3, 7

# Illnesses that go through a flock or come of how it is fed, by all the words the lists have for them. Lameness is not
# among them: feet are treated many on one day.
LAMBS: dict[str, tuple[Choice, ...]] = {
    "watery mouth or scour": (Cause.SCOUR, Reason.SCOUR), "joint or navel ill": (Cause.JOINT_ILL, Reason.JOINT_ILL),
    "pneumonia": (Cause.PNEUMONIA, Reason.PNEUMONIA), "another infection": (Cause.OTHER_INFECTION,),
}
EWES: dict[str, tuple[Choice, ...]] = {
    "sleepy or down": (Trouble.SLEEPY, Reason.METABOLIC),
    "prolapse": (Trouble.PROLAPSE, Prolapse.VAGINAL, LambingTrouble.PROLAPSE),
    "scour": (Reason.SCOUR,), "pneumonia": (Reason.PNEUMONIA,),
}
MASTITIS = "mastitis"


class Case(NamedTuple):
    """One animal ill of one thing: whether lambs or ewes, what, the day it was first written, its name and the cell."""

    animals: str
    illness: str
    day: date
    name: str
    cell: CellRef


class Cluster(NamedTuple):
    """The cases of one illness of lambs or ewes from the first three close together on, while the next follows as closely."""

    animals: str
    illness: str
    cases: tuple[Case, ...]


def clusters(season: Season) -> tuple[Cluster, ...]:
    """Each illness of which three animals fell ill within a week, once, where it first did."""
    first: dict[tuple[str, str, str], Case] = {}
    for case in sorted([*_lambs(season), *_ewes(season)], key=lambda case: (case.day, case.name)):
        first.setdefault((case.animals, case.illness, case.name), case)
    ordered = sorted(first.values(), key=lambda case: (case.animals, case.illness, case.day, case.name))
    found = []
    for (animals, illness), cases in groupby(ordered, key=lambda case: (case.animals, case.illness)):
        if together := _close(list(cases)):
            found.append(Cluster(animals, illness, together))
    return tuple(found)


def _close(cases: list[Case]) -> tuple[Case, ...]:
    """The first cases close enough together, with those that follow as closely on them."""
    for at in range(len(cases) - CASES + 1):
        if (cases[at + CASES - 1].day - cases[at].day).days <= WITHIN_DAYS:
            end = at + CASES
            while end < len(cases) and (cases[end].day - cases[end - CASES + 1].day).days <= WITHIN_DAYS:
                end += 1
            return tuple(cases[at:end])
    return ()


def _lambs(season: Season) -> Iterator[Case]:
    for lamb in season.flock.lambs:
        if lamb.named and lamb.left_how is LambLeft.DIED and lamb.left_on:
            for illness in _called(LAMBS, lamb.record["cause"]):
                yield Case("lambs", illness, lamb.left_on, lamb.name, lamb.record.at("cause"))
    for row in season.rows("treatments"):
        animal, day = row.text("animal"), row.day("date")
        if row["given_to"] is TreatedFor.LAMB and animal and day:
            called = season.flock.lamb_called(animal)
            for illness in _called(LAMBS, row["reason"]):
                yield Case("lambs", illness, day, called.name if called else animal, row.at("reason"))


def _ewes(season: Season) -> Iterator[Case]:
    for ewe in season.flock.ewes.values():
        for told in mastitis(ewe):
            record, column, day = told[0]
            if day:
                yield Case("ewes", MASTITIS, day, ewe.name, record.at(column))
        yield from _written(ewe)


def _written(ewe: Ewe) -> Iterator[Case]:
    rows = [(row, "trouble", row.day("date")) for row in ewe.checks]
    rows += [(row, "reason", row.day("date")) for row in ewe.treatments]
    rows += [(ewe.lambing, "prolapse", ewe.lambed_on)] if ewe.lambing else []
    rows += [told for told in ewe.seen_with(Trouble.PROLAPSE) if told[0] is ewe.lambing]
    for record, column, day in rows:
        for illness in _called(EWES, record[column]):
            if day:
                yield Case("ewes", illness, day, ewe.name, record.at(column))


def _called(illnesses: dict[str, tuple[Choice, ...]], value: object) -> list[str]:
    return [illness for illness, words in illnesses.items() if value in words]
