"""Several cases of one illness close together: no longer one animal's trouble but the flock's."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import NamedTuple

from template_builder.layout.choices import LambLeft, TreatedFor, Trouble
from template_builder.layout.illnesses import CASES, EWES, LAMBS, WITHIN_DAYS, Illness
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season


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


def first_cases(season: Season) -> Iterator[tuple[tuple[str, str], list[Case]]]:
    """For lambs or ewes and each illness of theirs, every animal once, on the day it was first written to be ill of it."""
    first: dict[tuple[str, str, str], Case] = {}
    for case in sorted([*_lambs(season), *_ewes(season)], key=lambda case: (case.day, case.name)):
        first.setdefault((case.animals, case.illness, case.name), case)
    ordered = sorted(first.values(), key=lambda case: (case.animals, case.illness, case.day, case.name))
    for of, cases in groupby(ordered, key=lambda case: (case.animals, case.illness)):
        yield of, list(cases)


def clusters(season: Season) -> tuple[Cluster, ...]:
    """Each illness of which three animals fell ill within a week, once, where it first did."""
    return tuple(Cluster(*of, together) for of, cases in first_cases(season) if (together := _close(cases)))


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
        if lamb.left_how is LambLeft.DIED and lamb.left_on:
            for illness in _called(LAMBS, lamb.record["cause"]):
                yield Case(illness.animals, illness.title, lamb.left_on, lamb.name, lamb.record.at("cause"))
    for row in season.rows("treatments"):
        animal, day = row.text("animal"), row.day("date")
        if row["given_to"] is TreatedFor.LAMB and animal and day:
            called = season.flock.lamb_called(animal)
            for illness in _called(LAMBS, row["reason"]):
                yield Case(illness.animals, illness.title, day, called.name if called else animal, row.at("reason"))


def _ewes(season: Season) -> Iterator[Case]:
    for ewe in season.flock.ewes.values():
        yield from _written(ewe)


def _written(ewe: Ewe) -> Iterator[Case]:
    rows = [(row, "trouble", row.day("date")) for row in ewe.checks]
    rows += [(row, "reason", row.day("date")) for row in ewe.treatments]
    rows += [(lamb.record, "why_moved", lamb.moved_on) for lamb in ewe.lambs if lamb.named]
    rows += [(ewe.lambing, "prolapse", ewe.lambed_on)] if ewe.lambing else []
    rows += [told for told in ewe.seen_with(Trouble.PROLAPSE) if told[0] is ewe.lambing]
    for record, column, day in rows:
        for illness in _called(EWES, record[column]):
            if day:
                yield Case(illness.animals, illness.title, day, ewe.name, record.at(column))


def _called(illnesses: tuple[Illness, ...], value: object) -> list[Illness]:
    return [illness for illness in illnesses if value in illness.words]
