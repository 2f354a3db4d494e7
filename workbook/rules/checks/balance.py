"""Whether lambs add up: the account, counts someone made, and the two places where births are written."""

from collections.abc import Iterable, Iterator

from template_builder.layout.choices import Born
from template_builder.layout.words import shown
from workbook.results.litters.account import imbalances, litter_account
from workbook.results.litters.counts import WHOLE_FLOCK, CountCheck, why_not_compared
from workbook.results.litters.lines import LINE
from workbook.results.litters.occasions import OCCASION_DAYS, netted, strays
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups
from workbook.season.season import Season

COUNTS_USED = ("counts.date", "counts.group", "counts.lambs")


@declare("B101", "account-out-of-balance", title="The litter account does not add up", severity=Severity.ERROR,
         why="A lamb has been left out or counted twice; no figure can be trusted until it is found.", source="house rule",
         fix="Send the file to the maintainers with this line: the fault is in the program, not in the records.")
def account_out_of_balance(season: Season) -> Iterator[Found]:
    account = litter_account(season)
    for wrong in imbalances(account):
        rows = account.rows[wrong.line]
        whose = f"ewe {account.ewes[wrong.ewe].name}" if wrong.ewe else f"ewes in column {wrong.size_class} of the account"
        text = f"{LINE[wrong.line].title} of {whose}: {wrong.total}, but their parts come to {wrong.of_parts}"
        yield Found(rows[0] if rows else CellRef(season.file, "", 0, 0), text, str(wrong.total), row_name=whose)


@declare("B102", "count-above-book", title="More lambs counted than the book holds", severity=Severity.ERROR,
         why="Lambs in the field are missing from the records, so lambs born, reared and lost all come out too few.",
         source="house rule", uses=COUNTS_USED,
         fix="Look for lambs without a row, lambs written as left that are still here, lambs on the bottle counted in (they "
             "stand apart), and lambs of another group or of a neighbour; otherwise count again.")
def count_above_book(season: Season) -> Iterator[Found]:
    for count in netted(season):
        if count.check.unexplained > 0:
            yield _difference(count.check)


@declare("B103", "count-below-book", title="Fewer lambs counted than the book holds", severity=Severity.WARNING,
         why="Lambs have gone that nobody has written down. The account carries them as short at the count.",
         source="house rule", uses=COUNTS_USED,
         fix="Write on Lambs which lambs died, were sold or are missing, with the day; see whether some ran with another group.")
def count_below_book(season: Season) -> Iterator[Found]:
    """Not for a group recorded by ewe: its lambs have no rows to write a loss in, the count itself is the record."""
    groups = Groups.of(season)
    for count in netted(season):
        counted = groups.rows if count.group is None else (count.group,)
        if count.check.unexplained < 0 and not any(groups.by_ewe(name) for name in counted):
            yield _difference(count.check)


@declare("B114", "lambs-strayed", title="Lambs likely ran with another group when counted", severity=Severity.NOTE,
         why="One group is short and another over by as many: the lambs are carried as strayed, and not as lost.",
         source="house rule", uses=COUNTS_USED,
         fix="Sort them back, or write on Lambing which ewes were turned out to the other group; if lambs are missing all the "
             "same, write that on Lambs.",
         limits=(Limit("Days from the first count of an occasion to the last", OCCASION_DAYS, "days",
                       "All groups are seldom gathered on one day.", "house rule"),))
def lambs_strayed(season: Season) -> Iterator[Found]:
    for stray in strays(season):
        home, there = stray.home.check, stray.found_in.check
        yield Found(home.place, stray.words, str(home.counted), (there.place,), home.group)


def _difference(check: CountCheck) -> Found:
    return Found(check.place, check.words, str(check.counted), row_name=check.group)


@declare("B104", "births-disagree", title="Lambing and Lambs disagree about births", severity=Severity.ERROR,
         why="The rows on Lambs are used; if the numbers on Lambing are right, a lamb is missing or there is one too many.",
         source="house rule", uses=("lambing.born_alive", "lambing.born_dead", "lambs.ewe", "lambs.born"),
         fix="Correct the number on Lambing, or add or correct the lamb's row.")
def births_disagree(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        named = [lamb for lamb in ewe.lambs if lamb.named]
        if ewe.lambing is not None and named:
            alive = [lamb for lamb in named if lamb.born is Born.ALIVE]
            dead = [lamb for lamb in ewe.born if lamb.born is not Born.ALIVE]
            yield from _unlike(ewe, ewe.lambing, "born_alive", "born alive", alive, named)
            yield from _unlike(ewe, ewe.lambing, "born_dead", "born dead", dead, named)


def _unlike(ewe: Ewe, lambing: Record, column: str, words: str, of_kind: list[Lamb], named: list[Lamb]) -> Iterator[Found]:
    written = lambing.whole(column)
    if written is not None and written != len(of_kind):
        cells = tuple(lamb.record.at("born") for lamb in named)
        text = f"ewe {ewe.name}: {written} {words} written here, but {len(of_kind)} on Lambs"
        yield Found(lambing.at(column), text, str(written), cells, ewe.name)


@declare("B105", "lambs-without-lambing", title="Lambs are written, but not their ewe's lambing", severity=Severity.WARNING,
         why="Without her lambing day her lambs have no age, and nothing is known of help, milk or mothering.",
         source="house rule", uses=("lambs.ewe", "lambing.ewe", "lambing.lambed_on"),
         fix="Fill in her row on Lambing, or correct the ewe's number on Lambs.")
def lambs_without_lambing(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        cells = _cells(lamb for lamb in ewe.lambs if lamb.named)
        if ewe.lambing is None and cells:
            yield Found(cells[0], f"ewe {ewe.name} has lambs here, but nothing is written about her on Lambing", ewe.name,
                        cells[1:], ewe.name)


def _cells(lambs: Iterable[Lamb]) -> tuple[CellRef, ...]:
    return tuple(lamb.record.at("ewe") for lamb in lambs)


@declare("B106", "lambing-without-lambs", title="A ewe has lambed, but no lamb is written", severity=Severity.WARNING,
         why="Her scanned lambs count as not born, and the litter size comes out too small.", source="house rule",
         uses=("lambing.lambed_on", "lambing.born_alive", "lambing.born_dead", "lambs.ewe"),
         fix="Fill in her lambs on Lambs, or the numbers born alive and born dead on Lambing.")
def lambing_without_lambs(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is not None and row.filled("lambed_on") and not ewe.lambs and not row.filled("born_alive", "born_dead"):
            yield Found(row.at("lambed_on"), f"ewe {ewe.name} has lambed, but no lamb of hers is written",
                        shown(row.held("lambed_on")), row_name=ewe.name)


@declare("B107", "count-not-used", title="A count cannot be compared with the book", severity=Severity.NOTE,
         why="It has not been compared with anything.", source="house rule", uses=COUNTS_USED,
         fix="Fill in the date, the group and the stage; leave the group blank only for a count of the whole flock.")
def count_not_used(season: Season) -> Iterator[Found]:
    groups = Groups.of(season)
    for row in season.rows("counts"):
        if why := why_not_compared(row, groups):
            lambs = row.whole("lambs")
            yield Found(row.at("lambs"), f"count of {lambs} lambs: {why}", str(lambs), row_name=row.text("group") or WHOLE_FLOCK)
