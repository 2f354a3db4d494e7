"""Lambings that cannot be right, or that disagree with the scan or with themselves."""

from collections.abc import Iterable, Iterator
from datetime import date

from template_builder.layout.choices import Colostrum, Help, HowRecorded, LambingTrouble, Presentation, Prolapse, Taken, YesNo
from template_builder.layout.columns import Value
from template_builder.layout.settings import SETTING
from template_builder.layout.sheets.lambing import AFTER_LAMBING
from template_builder.layout.sides import BOTH_DRY
from template_builder.layout.words import shown, so_many
from workbook.rules.checks.numbers import unlike
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.believable import believable, did_you_mean, lambed
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe
from workbook.season.mating import group_of, groups, lambing_days, last_possible_day, later
from workbook.season.season import Season

LARGE_SCAN = Limit("Litter that is hard to scan", 3, "lambs scanned", "From here on a scanner may well be one out.",
                   "common practice, no source")
LARGE_SLACK = Limit("Slack for such a litter", 1, "lamb", "One more or fewer is no sign of a slip.", "house rule")


def _place(ewe: Ewe) -> CellRef | None:
    """Where her lambing stands: her Lambing row, else the row of her first lamb."""
    record = ewe.lambing or next((lamb.record for lamb in ewe.lambs), None)
    return record.at("ewe") if record else None


@declare("C104", "lambing-twice", title="A ewe has two lambings written down", severity=Severity.ERROR,
         why="A ewe lambs once a season; only her first row is used, so the second adds nothing.", source="house rule",
         uses=("lambing.ewe",), fix="Put all of it in one row, or correct the ewe's number.")
def lambing_twice(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        for row in ewe.repeats:
            if ewe.lambing:
                text = f"ewe {ewe.name} already has a lambing in row {ewe.lambing.row}"
                text += unlike(ewe.lambing, row, "turned_out_to")
                yield Found(row.at("ewe"), text, ewe.name, (ewe.lambing.at("ewe"),), ewe.name)


@declare("C110", "lambing-outside-gestation", title="A lambing does not fit the mating", severity=Severity.WARNING,
         why="Either the date is wrong, and with it the ages of her lambs, or she took another ram.",
         source="138 to 159 days after mating, state handbook as quoted by others; one day allowed",
         uses=("lambing.lambed_on",), fix="Check the lambing date, and the mating date or the group's ram dates.",
         limits=(SETTING["gestation_least"], SETTING["gestation_most"]))
def lambing_outside_gestation(season: Season) -> Iterator[Found]:
    named = groups(season)
    for ewe in season.flock.ewes.values():
        group = group_of(ewe, named)
        days, on = lambing_days(season, ewe, group), lambed(season, ewe)
        if ewe.lambing is None or days is None or on is None or on in days or came_back(season, ewe, group):
            continue
        early = days.first is not None and on < days.first
        if early and (ewe.aborted or before_scanning(season, ewe)):
            continue
        limit = f"before her first possible day {shown(days.first)}"
        if not early:
            limit = f"after her last possible day {shown(days.last)}"
        text = f"lambed on {shown(on)}, {limit} ({days.because})" + did_you_mean(on, days.__contains__)
        yield Found(ewe.lambing.at("lambed_on"), text, shown(on), days.places, ewe.name)


def before_scanning(season: Season, ewe: Ewe) -> bool:
    """Whether her lambing date lies before her scanning, which is an error of its own."""
    on, scanned = lambed(season, ewe), believable(season, ewe.record, "scanned_on")
    return bool(on and scanned and on < scanned)


RETURN_SLACK = Limit("Slack for a return to the ram", 5, "days", "Heats and gestation both vary by a few days.", "house rule")


def came_back(season: Season, ewe: Ewe, group: Record | None) -> date | None:
    """The day she will have taken the ram again, where her lambing fits the heat after the mating written; else None."""
    mated, on = believable(season, ewe.record, "mated_on"), lambed(season, ewe)
    if mated is None or on is None:
        return None
    gestation, cycle, most = (season.settings.number(id) for id in ("gestation", "cycle", "gestation_most"))
    ram_out = group.day("ram_out") if group else None
    days = (on - mated).days
    again = later(mated, cycle)
    if days <= most or abs(days - gestation - cycle) > RETURN_SLACK.value or again is None or (ram_out and again > ram_out):
        return None
    return again


@declare("C145", "came-back-to-the-ram", title="A ewe lambed as if she had come back to the ram", severity=Severity.NOTE,
         why="The mating written down did not hold, so her due date was a heat too early. Many returns are worth knowing about.",
         source="16 to 17 days between heats, Merck Veterinary Manual",
         uses=("lambing.lambed_on", "ewes.mated_on"), fix="Write the later mating, or correct the date that is wrong.",
         limits=(SETTING["gestation"], SETTING["cycle"], SETTING["gestation_most"], RETURN_SLACK))
def came_back_to_the_ram(season: Season) -> Iterator[Found]:
    named = groups(season)
    for ewe in season.flock.ewes.values():
        again, on = came_back(season, ewe, group_of(ewe, named)), lambed(season, ewe)
        if again and on and ewe.lambing and ewe.record:
            mated = ewe.record.day("mated_on")
            text = (f"lambed on {shown(on)}, a heat later than mating on {shown(mated)} would give; "
                    f"she may have come back to the ram about {shown(again)}")
            yield Found(ewe.lambing.at("lambed_on"), text, shown(on), (ewe.record.at("mated_on"),), ewe.name)


def _unlike_scan(season: Season, large: bool) -> Iterator[Found]:
    """Litters of ewes scanned in lamb that differ from the scan; `large` takes those within the slack for large ones."""
    for ewe in season.flock.ewes.values():
        scanned, carried, place = ewe.scanned, len(ewe.lambs), _place(ewe)
        if not scanned or not carried or carried == scanned or ewe.record is None or place is None:
            continue
        slack = scanned >= LARGE_SCAN.value and abs(carried - scanned) <= LARGE_SLACK.value
        if slack is large:
            yield Found(place, f"{so_many(carried, 'lamb')} recorded for ewe {ewe.name}, but {scanned} scanned", str(carried),
                        (ewe.record.at("scanned"),), ewe.name)


@declare("C113", "litter-differs-from-scan", title="A litter is not as scanned", severity=Severity.WARNING,
         why="A lamb may be missing from the record, or be written under the wrong ewe. Aborted and mummified lambs count too.",
         source="house rule", uses=("ewes.scanned",),
         fix="See whether a lamb is missing or there is one too many.",
         limits=(LARGE_SCAN, LARGE_SLACK))
def litter_differs_from_scan(season: Season) -> Iterator[Found]:
    return _unlike_scan(season, large=False)


@declare("C139", "large-litter-differs-from-scan", title="A large litter is one more or fewer than scanned",
         severity=Severity.NOTE, why="Three or more are hard to count at scanning, so this is more often the scan than a slip.",
         source="common practice, no source", uses=("ewes.scanned",),
         fix="See whether a lamb is missing or there is one too many.",
         limits=(LARGE_SCAN, LARGE_SLACK))
def large_litter_differs_from_scan(season: Season) -> Iterator[Found]:
    return _unlike_scan(season, large=True)


@declare("C114", "empty-ewe-lambed", title="A ewe scanned empty has lambed", severity=Severity.WARNING,
         why="Either the scan was wrong or the lambing is another ewe's.", source="house rule", uses=("ewes.scanned",),
         fix="Check the ewe's number.")
def empty_ewe_lambed(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        place = _place(ewe)
        if ewe.scanned == 0 and ewe.record and place and (ewe.lambs or ewe.lambed):
            what = f"has {so_many(len(ewe.lambs), 'lamb')} recorded" if ewe.lambs else "has lambed"
            yield Found(place, f"ewe {ewe.name} was scanned empty but {what}", ewe.name, (ewe.record.at("scanned"),), ewe.name)


@declare("C165", "lambing-day-blank", title="A ewe has lambed, but the day is not written", severity=Severity.WARNING,
         why="Without the day her lambs have no age: no loss, look or weighing of theirs can be put into its stage.",
         source="house rule", uses=("lambing.lambed_on",), fix="Write the day she lambed, or ? where nobody knows.")
def lambing_day_blank(season: Season) -> Iterator[Found]:
    """All of them in one problem: a flock that never writes the day has one question to answer, not hundreds.

    Quiet for groups recorded by numbers alone: no row of a lamb there waits for its age.
    """
    named = groups(season)
    asked = [
        (ewe.name, row) for ewe in season.flock.ewes.values()
        if (row := ewe.lambing) and _day_is_due(ewe, row) and not _by_number(group_of(ewe, named))
    ]
    if not asked:
        return
    (name, first), *more = sorted(asked, key=lambda pair: pair[1].row)
    others = f" and {len(more)} more" if more else ""
    have = "have" if more else "has"
    yield Found(first.at("lambed_on"), f"ewe {name}{others} {have} lambed, but the day is blank", f"{len(asked)} blank",
                tuple(row.at("lambed_on") for _, row in more), name)


def _by_number(group: Record | None) -> bool:
    return group is not None and group["how_recorded"] in (HowRecorded.EACH_EWE, HowRecorded.COUNTS_ONLY)


def _day_is_due(ewe: Ewe, row: Record) -> bool:
    return not row.filled("lambed_on") and not ewe.aborted and (bool(ewe.born) or row.filled(*AFTER_LAMBING))


@declare("C115", "in-lamb-ewe-never-lambed", title="A ewe in lamb has not lambed and is past her last day",
         severity=Severity.WARNING, why="Her scanned lambs are counted as lost until it is known what became of them.",
         source="house rule", uses=("ewes.scanned",), fix="Write her lambing, or the day and way she left.",
         limits=(SETTING["gestation"], SETTING["gestation_most"]))
def in_lamb_ewe_never_lambed(season: Season) -> Iterator[Found]:
    named = groups(season)
    for ewe in () if season.days_out else season.flock.ewes.values():
        if ewe.record is None or not ewe.scanned or ewe.delivered or ewe.gone:
            continue
        group = group_of(ewe, named)
        if group and group["how_recorded"] is HowRecorded.COUNTS_ONLY:
            continue
        last = last_possible_day(season, ewe, group)
        if last and season.as_of.date() > last:
            text = f"ewe {ewe.name}, scanned {ewe.scanned}, has not lambed; her last possible day was {shown(last)}"
            yield Found(ewe.record.at("ewe"), text, ewe.name, (ewe.record.at("scanned"),), ewe.name)


@declare("C125", "helped-without-help", title="Help given says none, but something says she was helped",
         severity=Severity.WARNING, why="Help at lambing is counted by reason; one of the two is a slip.", source="house rule",
         uses=("lambing.help",), fix="Correct help given, or clear the other cell.")
def helped_without_help(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is None or row.held("help") is not Help.NONE:
            continue
        none = f"help given for ewe {ewe.name} says none"
        for column, word in (("why_helped", "why helped"), ("first_helped", "first helped")):
            if row[column] is not None:
                value = shown(row[column])
                yield Found(row.at(column), f"{none}, but {word} says {value}", value, (row.at("help"),), ewe.name)
        for lamb in ewe.lambs:
            if lamb.named and lamb.record["helped"] is YesNo.YES:
                yield Found(lamb.record.at("helped"), f"{none}, but lamb {lamb.name} was helped", "yes", (row.at("help"),),
                            lamb.name)


HARD_HELP = (Help.HARD, Help.VET, Help.CAESAREAN)
USUAL: tuple[tuple[str, str, tuple[Value, ...]], ...] = (
    ("presentation", "presentation", (None, Presentation.NORMAL, Presentation.NOT_SEEN)),
    ("taken", "taken by ewe", (None, Taken.YES, Taken.SLOWLY)),
)


@declare("C126", "all-well-but-trouble", title="All well says yes, but there was trouble", severity=Severity.NOTE,
         why="The filled cell counts, but the blank cells beside it are still read as all well, which may be wrong.",
         source="house rule", uses=("lambing.all_well",), fix="Clear all well and fill what was seen.")
def all_well_but_trouble(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is not None and row["all_well"] is YesNo.YES and (troubles := list(_troubles(ewe, row))):
            words = ", ".join(f"{word} says {shown(record[column])}" for record, column, word in troubles)
            yield Found(row.at("all_well"), f"all well says yes for ewe {ewe.name}, but {words}", "yes",
                        tuple(record.at(column) for record, column, _ in troubles), ewe.name)


def _troubles(ewe: Ewe, row: Record) -> Iterable[tuple[Record, str, str]]:
    """Filled cells that say more than a small departure from all well: record, column and heading."""
    if row["help"] in HARD_HELP:
        yield row, "help", "help given"
    if row["prolapse"] not in (None, Prolapse.NONE):
        yield row, "prolapse", "prolapse"
    if ewe.trouble not in (None, LambingTrouble.HELPED):
        yield row, "trouble", "trouble"
    for lamb in ewe.lambs:
        for column, word, usual in USUAL if lamb.named else ():
            if lamb.record[column] not in usual:
                yield lamb.record, column, f"{word} of lamb {lamb.name}"


@declare("C132", "plenty-without-milk", title="Colostrum is plenty, but no side is in milk", severity=Severity.WARNING,
         why="Ewes without milk are looked for at selection; one of the two is a slip.", source="house rule",
         uses=("lambing.colostrum", "lambing.sides_in_milk"), fix="Correct one of the two cells.")
def plenty_without_milk(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row = ewe.lambing
        if row is not None and row["colostrum"] is Colostrum.PLENTY and BOTH_DRY.said_by(row.number("sides_in_milk")):
            yield Found(row.at("sides_in_milk"), f"ewe {ewe.name} has 0 sides in milk, but colostrum says plenty", "0",
                        (row.at("colostrum"),), ewe.name)
