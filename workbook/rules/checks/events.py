"""What happened to ewes and lambs after they had left, leaving half written, and lambs set on where they should not be."""

from collections.abc import Iterator

from template_builder.layout.words import shown, so_many
from workbook.results.clinical.abortion import abortions
from workbook.rules.checks.lamb_rows import treated, with_rows
from workbook.rules.rule import Found, Severity, declare
from workbook.season.believable import born
from workbook.season.cells import Record
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Season


def _went(record: Record) -> str:
    """How an animal left, as the verb of a sentence."""
    how = record["left_how"]
    return f"left ({shown(how)})" if how else "left"


def _events(ewe: Ewe) -> Iterator[tuple[Record, str, str]]:
    """What was written of a ewe with a date: record, column and verb."""
    if ewe.lambing:
        yield ewe.lambing, "lambed_on", "lambed"
        yield ewe.lambing, "turned_out_on", "turned out"
    for rows, verb in ((ewe.checks, "looked at"), (ewe.treatments, "treated"), (ewe.weights, "weighed")):
        for row in rows:
            yield row, "date", verb


@declare("C117", "event-after-ewe-left", title="Something happened to a ewe after she left", severity=Severity.ERROR,
         why="Either the number or one of the dates is wrong.", source="house rule", uses=("ewes.left_on",),
         fix="Correct the ewe's number or the date, or the day she left.")
def event_after_ewe_left(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        if ewe.record is None or ewe.left_on is None:
            continue
        for row, column, verb in _events(ewe):
            if (day := row.day(column)) and day > ewe.left_on:
                text = f"{verb} on {shown(day)}, but ewe {ewe.name} {_went(ewe.record)} on {shown(ewe.left_on)}"
                yield Found(row.at(column), text, shown(day), (ewe.record.at("left_on"),), ewe.name)


@declare("C118", "event-after-lamb-left", title="Something happened to a lamb after it left", severity=Severity.ERROR,
         why="Either the tag or one of the dates is wrong, or the lamb is alive.", source="house rule", uses=("lambs.left_on",),
         fix="Correct the tag or the date, or the day it left.")
def event_after_lamb_left(season: Season) -> Iterator[Found]:
    of_lamb = treated(season)
    for lamb in with_rows(season):
        on = born(season, lamb)
        if lamb.left_on is None or (on and lamb.left_on < on):
            continue  # a leaving before birth is an error of its own
        events = [(row, "weighed") for row in lamb.weights] + [(row, "treated") for row in of_lamb.get(lamb.record.row, ())]
        late = [(row, verb, day) for row, verb in events if (day := row.day("date")) and day > lamb.left_on]
        if late:
            (row, verb, day), *others = late
            more = f" (and {so_many(len(others), 'more row')})" if others else ""
            text = f"{verb} on {shown(day)}{more}, but lamb {lamb.name} {_went(lamb.record)} on {shown(lamb.left_on)}"
            places = (lamb.record.at("left_on"), *(other.at("date") for other, _, _ in others))
            yield Found(row.at("date"), text, shown(day), places, lamb.name)


@declare("C121", "leaving-half-written", title="Left on is filled in, but left how is not, or the other way round",
         severity=Severity.NOTE, source="house rule",
         why="A lamb that left in a way nobody wrote down counts as missing; without a day its stage is not known.",
         uses=("lambs.left_on", "lambs.left_how", "ewes.left_on", "ewes.left_how"), fix="Fill the blank cell, or write ? in it.")
def leaving_half_written(season: Season) -> Iterator[Found]:
    animals = [(f"ewe {ewe.name}", ewe.name, ewe.record) for ewe in season.flock.ewes.values() if ewe.record]
    animals += [(f"lamb {lamb.name}", lamb.name, lamb.record) for lamb in with_rows(season)]
    for words, name, row in animals:
        if row.filled("left_on") and not row.filled("left_how"):
            yield Found(row.at("left_how"), f"{words} left on {shown(row.held('left_on'))}, but left how is blank",
                        shown(row.held("left_on")), (row.at("left_on"),), row_name=name)
        if row.filled("left_how") and not row.filled("left_on"):
            yield Found(row.at("left_on"), f"{words} left ({shown(row.held('left_how'))}), but left on is blank",
                        shown(row.held("left_how")), (row.at("left_how"),), row_name=name)


def _set_on(season: Season) -> Iterator[tuple[Ewe, Lamb]]:
    """Each foster ewe that is on Ewes, with each lamb set on to her."""
    for ewe in season.flock.ewes.values():
        for lamb in ewe.fostered:
            if ewe.record:
                yield ewe, lamb


@declare("C131", "set-on-to-aborted-ewe", title="A lamb is set on to a ewe that aborted or may have", severity=Severity.WARNING,
         why="What made her abort may infect the lamb, and people too.", source="common practice, no source",
         uses=("lambs.foster_ewe",), fix="Keep ewe and lamb apart from the others and ask your vet.")
def set_on_to_aborted_ewe(season: Season) -> Iterator[Found]:
    for ewe, lamb in _set_on(season):
        if abortion := abortions(season).get(ewe.key):
            how = "aborted" if abortion.certain else f"may have aborted ({abortion.why})"
            yield Found(lamb.record.at("foster_ewe"), f"foster ewe {ewe.name} {how}; ask your vet about infection", ewe.name,
                        abortion.cells, lamb.name)


@declare("C141", "set-on-to-ewe-not-lambed", title="A lamb is set on to a ewe that has not lambed", severity=Severity.WARNING,
         why="Without lambing she has no milk, so the number is probably wrong.", source="common practice, no source",
         uses=("lambs.foster_ewe",), fix="Correct the foster ewe, or write her lambing.")
def set_on_to_ewe_not_lambed(season: Season) -> Iterator[Found]:
    for ewe, lamb in _set_on(season):
        if not ewe.delivered:
            yield Found(lamb.record.at("foster_ewe"), f"foster ewe {ewe.name} has not lambed", ewe.name, row_name=lamb.name)


@declare("C142", "set-on-after-ewe-left", title="A lamb is set on to a ewe that had left", severity=Severity.ERROR,
         why="Either the number or one of the dates is wrong.", source="house rule", uses=("lambs.foster_ewe", "ewes.left_on"),
         fix="Correct the foster ewe, the day it was moved or the day she left.")
def set_on_after_ewe_left(season: Season) -> Iterator[Found]:
    for ewe, lamb in _set_on(season):
        moved = lamb.moved_on
        if ewe.record and moved and ewe.left_on and moved > ewe.left_on:
            text = f"set on to ewe {ewe.name} on {shown(moved)}, but she {_went(ewe.record)} on {shown(ewe.left_on)}"
            yield Found(lamb.record.at("foster_ewe"), text, ewe.name, (lamb.record.at("moved_on"), ewe.record.at("left_on")),
                        lamb.name)
