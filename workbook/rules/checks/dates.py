"""Dates and times that cannot stand in the order written."""

from collections.abc import Callable, Iterator
from datetime import date, datetime, time

from template_builder.layout.columns import Kind
from template_builder.layout.sheets import SHEETS
from template_builder.layout.words import shown
from workbook.rules.checks.lamb_rows import treated, with_rows
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.believable import believable, did_you_mean, in_season_so_far, lambed
from workbook.season.cells import titled
from workbook.season.families import Ewe, moment
from workbook.season.row_names import row_name
from workbook.season.season import Season

# Sheet, then the columns whose dates must not run backwards, each with the words it reads as.
ORDERS: tuple[tuple[str, tuple[tuple[str, str], tuple[str, str]]], ...] = (
    ("groups", (("ram_in", "ram in"), ("ram_out", "ram out"))),
    ("groups", (("turnout", "turnout"), ("weaning", "weaning"))),
    ("groups", (("marking", "marking"), ("weaning", "weaning"))),
    ("ewes", (("mated_on", "mated on"), ("scanned_on", "scanned on"))),
    ("lambing", (("lambed_on", "lambed on"), ("turned_out_on", "turned out on"))),
    ("lambs", (("moved_on", "moved on"), ("left_on", "left on"))),
)


@declare("C111", "dates-out-of-order", title="Two dates in one row are the wrong way round", severity=Severity.ERROR,
         why="One of them is wrong, and ages or stages rest on it.", source="house rule",
         fix="Correct the date that is wrong.")
def dates_out_of_order(season: Season) -> Iterator[Found]:
    for sheet, ((first, first_words), (then, then_words)) in ORDERS:
        for row in season.rows(sheet):
            before, after = row.day(first), row.day(then)
            if sheet != "groups":
                before = believable(season, row, first)
            if before and after and after < before and not season.days_out:
                text = f"{then_words} {shown(after)} is before {first_words} {shown(before)}"
                yield Found(row.at(then), text + _swap(season, before, after), shown(after), (row.at(first),), row_name(row))


# Day and month swapped move a date by about a month at least.
SWAP_DAYS = 28


def _swap(season: Season, before: date, after: date) -> str:
    """Which of two dates in the wrong order comes right with day and month swapped, as the end of a sentence.

    Two that lie close together are more likely a slip of a few days, so nothing is offered for them.
    """
    if (before - after).days < SWAP_DAYS:
        return ""
    so_far = in_season_so_far(season)
    return (did_you_mean(after, lambda day: so_far(day) and day >= before)
            or did_you_mean(before, lambda day: so_far(day) and day <= after))


# Due dates lie ahead by their nature, and Groups may hold what is planned.
PAST_COLUMNS = tuple(
    (sheet, column)
    for sheet in SHEETS
    for column in sheet.columns
    if column.kind in (Kind.DATE, Kind.MOMENT) and sheet.id != "groups" and column.id != "due"
)


@declare("C112", "date-ahead", title="Something written as done is dated in the future", severity=Severity.WARNING,
         why="Usually a wrong year or month; what has not happened yet cannot be counted.", source="house rule",
         fix="Correct the date, or As of on Season if that is wrong.")
def date_ahead(season: Season) -> Iterator[Found]:
    so_far = in_season_so_far(season)
    for sheet, column in () if season.days_out else PAST_COLUMNS:
        for row in season.rows(sheet.id):
            value = row[column.id]
            if isinstance(value, datetime):
                ahead = value > season.as_of
            else:
                ahead = isinstance(value, date) and value > season.as_of.date()
            if ahead:
                text = f"{titled(column).lower()} says {shown(value)}, "
                text += f"after the moment the figures are for, {shown(season.as_of)}"
                text += did_you_mean(row.day(column.id) or date.max, so_far)
                yield Found(row.at(column.id), text, shown(value), row_name=row_name(row))


@declare("C134", "lambed-before-scanning", title="A ewe lambed before she was scanned", severity=Severity.ERROR,
         why="One of the two dates is wrong, and the ages of her lambs rest on the day she lambed.", source="house rule",
         uses=("lambing.lambed_on", "ewes.scanned_on"), fix="Correct the lambing date or the scanning date.")
def lambed_before_scanning(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        scanned, on = believable(season, ewe.record, "scanned_on"), lambed(season, ewe)
        if ewe.record and ewe.lambing and scanned and on and on < scanned:
            text = f"lambed on {shown(on)}, but scanned on {shown(scanned)}" + did_you_mean(on, _from(season, scanned))
            yield Found(ewe.lambing.at("lambed_on"), text, shown(on), (ewe.record.at("scanned_on"),), ewe.name)


def _from(season: Season, first: date) -> Callable[[date], bool]:
    """Whether a day lies in the season so far, and not before the first."""
    so_far = in_season_so_far(season)
    return lambda day: so_far(day) and day >= first


@declare("C135", "event-before-birth", title="Something happened to a lamb before it was born", severity=Severity.ERROR,
         why="Its age that day would be below zero.", source="house rule", uses=("lambing.lambed_on",),
         fix="Correct the date, or the day its ewe lambed.")
def event_before_birth(season: Season) -> Iterator[Found]:
    of_lamb = treated(season)
    for lamb in with_rows(season):
        ewe = season.flock.mother(lamb)
        born = lambed(season, ewe)
        if ewe is None or ewe.lambing is None or born is None:
            continue
        events = [(lamb.record, "moved_on", "moved"), (lamb.record, "left_on", "left")]
        events += [(row, "date", "weighed") for row in lamb.weights]
        events += [(row, "date", "treated") for row in of_lamb.get(lamb.record.row, ())]
        for row, column, word in events:
            if (day := row.day(column)) and day < born:
                text = f"lamb {lamb.name} {word} on {shown(day)}, but born on {shown(born)}" + _swap(season, born, day)
                yield Found(row.at(column), text, shown(day), (ewe.lambing.at("lambed_on"),), lamb.name)


STARTS = (("waters_seen", "waters seen"), ("first_helped", "first helped"))


def _finished(ewe: Ewe) -> datetime | None:
    return moment(ewe.lambing, "finished", ewe.lambed_on) if ewe.lambing else None


@declare("C136", "finished-before-start", title="A lambing finished before it began", severity=Severity.ERROR,
         why="How long she was in labour cannot be worked out.", source="house rule", uses=("lambing.finished",),
         fix="Correct the times, or write the date with them.")
def finished_before_start(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        finished = _finished(ewe)
        if ewe.lambing is None or finished is None:
            continue
        for column, words in STARTS:
            start = moment(ewe.lambing, column, ewe.lambed_on, finished)
            if start and finished < start:
                yield Found(ewe.lambing.at("finished"), f"finished {shown(finished)} is before {words} {shown(start)}",
                            shown(ewe.lambing["finished"]), (ewe.lambing.at(column),), ewe.name)


NEAR_DAYS = Limit("Days between the lambing day and its times", 1, "day", "A lambing may run past midnight, but no longer.",
                  "house rule")


@declare("C137", "times-on-another-day", title="Times of a lambing lie on another day", severity=Severity.WARNING,
         why="Either the lambing date or the time's own date is wrong.", source="house rule", uses=("lambing.lambed_on",),
         fix="Correct the lambing date or the date beside the time.", limits=(NEAR_DAYS,))
def times_on_another_day(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row, lambed = ewe.lambing, ewe.lambed_on
        if row is None or lambed is None:
            continue
        for column, words in (*STARTS, ("finished", "finished")):
            written = row.clock(column)
            if written is None or isinstance(written, time):
                continue
            if abs((written.date() - lambed).days) > NEAR_DAYS.value:
                yield Found(row.at(column), f"{words} {shown(written)} does not fit lambed on {shown(lambed)}", shown(written),
                            (row.at("lambed_on"),), ewe.name)
