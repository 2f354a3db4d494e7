"""Groups known by their counts: tallies that do not add up, counts that rise, ewes counted beyond the book."""

from collections.abc import Iterator
from datetime import date

from template_builder.layout.choices import CameFrom, HowRecorded
from template_builder.layout.words import so_many, so_many_are
from workbook.results.litters.group_account import SCANNED, Step, group_accounts, tally_words, unbalanced
from workbook.results.litters.to_ram import too_many
from workbook.rules.rule import Found, Severity, declare
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.groups import Groups, group_name
from workbook.season.matching import fold
from workbook.season.season import Season

COUNTS_USED = ("counts.date", "counts.group", "counts.stage", "counts.lambs")
TALLIES_USED = ("groups.tally_ewes", "groups.tally_0", "groups.tally_1", "groups.tally_2", "groups.tally_3", "groups.tally_4")


@declare("B108", "tally-does-not-add-up", title="The tally of a group does not add up to its ewes", severity=Severity.ERROR,
         why="Lambs expected and the scanning per cent rest on it.", source="house rule", uses=TALLIES_USED,
         fix="Correct the number that is wrong; write 0 where there were none.")
def tally_does_not_add_up(season: Season) -> Iterator[Found]:
    for row in Groups.of(season).rows.values():
        if words := tally_words(row):
            name = row.words("group")
            yield Found(row.at("tally_ewes"), f"group {name}: {words}", str(row.whole("tally_ewes")), row_name=name)


@declare("B109", "count-rises", title="A later count of a group has more lambs", severity=Severity.ERROR,
         why="Lambs do not come from nowhere: one of the two counts is wrong, and what was lost between them is not known.",
         source="house rule", uses=COUNTS_USED,
         fix="Look for lambs of a neighbour or of another group, a gather that was not clean at the count before, and late "
             "lambs not marked yet; otherwise count again.")
def count_rises(season: Season) -> Iterator[Found]:
    for name, step in _steps(season):
        if step.more and step.before.stage != SCANNED:
            yield Found(step.after.place, f"group {name}: {step.words}", str(step.after.lambs), (step.before.place,), name)


@declare("B110", "more-counted-than-scanned", title="More lambs counted in a group than were scanned", severity=Severity.WARNING,
         why="The scan may have missed lambs, but so many more point to lambs or ewes of another group.", source="house rule",
         uses=COUNTS_USED,
         fix="Look at the tally, for ewes not scanned and lambs of another group; if the scan was wrong, answer it on Answers.")
def more_counted_than_scanned(season: Season) -> Iterator[Found]:
    for name, step in _steps(season):
        if step.more and step.before.stage == SCANNED:
            yield Found(step.after.place, f"group {name}: {step.words}", str(step.after.lambs), (step.before.place,), name)


def _steps(season: Season) -> Iterator[tuple[str, Step]]:
    """The steps of groups known by counts only; a group with a book has its counts held against that."""
    for account in group_accounts(season):
        for step in account.steps if account.by_count else ():
            yield account.group, step


@declare("B111", "ewes-above-book", title="More ewes counted in a group than the book holds", severity=Severity.WARNING,
         why="Figures per ewe are too high where ewes are missing from the records.", source="house rule",
         uses=("counts.date", "counts.group", "counts.ewes", "ewes.group"),
         fix="Look for ewes not on Ewes, ewes written as left that are still here, and ewes of another group; otherwise count "
             "again.")
def ewes_above_book(season: Season) -> Iterator[Found]:
    groups = Groups.of(season)
    for row in season.rows("counts"):
        name, day, counted = row.text("group"), row.day("date"), row.whole("ewes")
        if name is None or day is None or counted is None or groups.by_count(name):
            continue
        booked = sum(_there(ewe, name, day) for ewe in season.flock.ewes.values())
        if counted > booked:
            text = f"{counted - booked} more than the book: {so_many(booked, 'ewe')} expected in group {name}, {counted} counted"
            yield Found(row.at("ewes"), text, str(counted), row_name=name)


def _there(ewe: Ewe, group: str, day: date) -> bool:
    if ewe.record is None or (ewe.gone and (ewe.left_on is None or ewe.left_on <= day)):
        return False
    return fold(group_name(ewe, day) or "") == fold(group)


@declare("B112", "lambs-may-count-twice", title="Lambs without a mother stand beside lambs known by number",
         severity=Severity.NOTE,
         why="Each counts as one more lamb born. A lamb tagged at marking is often counted already, on Lambing or in its group.",
         source="house rule", uses=("lambs.ewe", "lambs.came_from", "groups.how_recorded"),
         fix="Write its ewe where she is known. If it is a lamb beyond those already counted, answer it on Answers.")
def lambs_may_count_twice(season: Season) -> Iterator[Found]:
    by_number = [row for row in Groups.of(season).rows.values() if _by_number(row)]
    lambs = [lamb for lamb in season.flock.lambs if lamb.came_from is CameFrom.MOTHER_NOT_KNOWN]
    if by_number and lambs:
        names = ", ".join(row.words("group") for row in by_number)
        what = so_many_are(len(lambs), "lamb")
        text = f"{what} written without a mother, while the lambs of {names} are known by their number"
        first, *more = (lamb.record for lamb in lambs)
        yield Found(first.at("tag"), text, str(len(lambs)), tuple(record.at("tag") for record in more), lambs[0].name)


def _by_number(row: Record) -> bool:
    return row["how_recorded"] in (HowRecorded.EACH_EWE, HowRecorded.COUNTS_ONLY)


@declare("B113", "group-account-out-of-balance", title="The account of a group does not add up", severity=Severity.ERROR,
         why="Lambs have been left out or counted twice; no figure of the group can be trusted until it is found.",
         source="house rule",
         fix="Send the file to the maintainers with this line: the fault is in the program, not in the records.")
def group_account_out_of_balance(season: Season) -> Iterator[Found]:
    for account in group_accounts(season):
        for step in unbalanced(account):
            yield Found(account.place, f"group {account.group}: {step.words} do not add up", row_name=account.group)


@declare("B115", "more-lambed-than-to-the-ram", title="More ewes lambed or died than went to the ram", severity=Severity.ERROR,
         why="Figures per ewe to the ram would come out higher than they can be; they are left out until this is put right.",
         source="house rule", uses=("groups.group", "groups.ewes_to_ram", "ewes.group"),
         fix="Correct the ewes to the ram on Groups, or the group of the ewes on Ewes.")
def more_lambed_than_to_the_ram(season: Season) -> Iterator[Found]:
    for found in too_many(season):
        yield Found(found.row.at("ewes_to_ram"), found.words, str(found.row.whole("ewes_to_ram")), row_name=found.group)
