"""Where live-born lambs were lost: by stage, cause, litter size, birth weight, help, age of ewe, ram, group and rearer.

Lost are home-born lambs that died or are missing, out of all home-born lambs born alive in the same class. Lambs short at
a count have no row of their own: they stand in the first table as a class.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from template_builder.layout.choices import Cause, ConfirmedBy, LambLeft
from workbook.results.litters.account import Account
from workbook.results.litters.differences import Difference, differences
from workbook.results.litters.lamb_classes import NOT_RECORDED
from workbook.results.litters.splits import Split, live_born, splits
from workbook.results.statistics.indicators import stage_losses
from workbook.results.statistics.proportions import Proportion, wilson
from workbook.season.cells import CellRef
from workbook.season.families import Flock, Lamb
from workbook.season.groups import Groups, born_on, ewe_with, group_name
from workbook.season.season import Season

SHORT, TOTAL, WHEN_NOT_KNOWN = "short at count", "all", "not known when"

BIRTH_DAYS = 1  # days of age: the day of birth and the next day
FIRST_WEEK = 7  # days of age
BIRTH_STAGE, WEEK_STAGE, LATER_STAGE = "day of birth or next day", "2 to 7 days", "later"
# Stages after the first two days by the Groups column that ends each.
DATED_STAGES: tuple[tuple[str, str], ...] = (("turnout", "to turnout"), ("marking", "to marking"), ("weaning", "to weaning"))
AFTER_WEANING = "after weaning"


@dataclass(frozen=True)
class LossClass:
    """One class of a table: lambs lost of live-born lambs in it. `of_start`: of those alive when the stage began."""

    label: str
    loss: Proportion
    of_start: Proportion | None = None
    rows: tuple[CellRef, ...] = ()


@dataclass(frozen=True)
class LossTable:
    """Losses split one way. `note` says for how many the split is known ("causes for 31 of 44 dead"); `incomplete` that
    it is not known for all. `difference` says what is beyond chance, where classes can be compared.
    """

    id: str
    title: str
    classes: tuple[LossClass, ...]
    note: str = ""
    incomplete: bool = False
    difference: Difference | None = None


def known_for(what: str, known: int, of: int, whom: str) -> tuple[str, bool]:
    """How much of a split was recorded, in words, and whether something is missing; nothing is said of nobody."""
    return (f"{what} for {known:,} of {of:,} {whom}", known < of) if of else ("", False)


def loss_tables(season: Season, account: Account) -> tuple[LossTable, ...]:
    """Every table of losses. Shares are fractions of the live-born lambs of a class, each with its interval."""
    of, lambs = splits(season), live_born(season.flock)
    differ = differences(lambs, of)
    tables = [_of_split(split, differ.get(split.id), len(lambs)) for split in of if split.shown]
    short = account.total("short")
    whole = (_by_stage(season, lambs, short), _by_cause(lambs), _by_confirmed(lambs))
    return (*whole, *(_without_short(table, short) for table in tables))


def _without_short(table: LossTable, short: int) -> LossTable:
    """Lambs short at a count belong to a group, so that no class of a ewe or lamb can hold them."""
    if not short:
        return table
    what = "1 lamb short at the last count is" if short == 1 else f"{short} lambs short at the last count are"
    note = f"{what} in the table by stage only"
    return replace(table, note=f"{table.note}; {note}" if table.note else note)


NO_CAUSE = (None, Cause.NOT_KNOWN)


def _of_split(split: Split, difference: Difference | None, lambs: int) -> LossTable:
    """Losses by class, and whether the classes differ by more than chance."""
    classes = tuple(_class(name, of) for name, of in split.classes.items())
    known = sum(map(len, split.known.values()))
    note = known_for(split.told, known, lambs, "live-born lambs") if split.told else ("", False)
    return LossTable(split.id, split.title, classes, *note, difference)


def _class(name: str, lambs: tuple[Lamb, ...]) -> LossClass:
    lost = [lamb for lamb in lambs if lamb.lost]
    return LossClass(name, wilson(len(lost), len(lambs)), rows=_rows(lost))


def _rows(lambs: Iterable[Lamb]) -> tuple[CellRef, ...]:
    return tuple(lamb.record.at("left_on") for lamb in lambs)


def _by_cause(lambs: tuple[Lamb, ...]) -> LossTable:
    """Losses by cause, each of all live-born lambs; missing lambs are a class of their own."""
    of: dict[str, list[Lamb]] = {}
    for lamb in lambs:
        if lamb.lost:
            of.setdefault(_cause(lamb), []).append(lamb)
    names = [*(cause.label for cause in Cause), NOT_RECORDED, LambLeft.MISSING.label]
    dead = sum(lamb.left_how is LambLeft.DIED for lamb in lambs)
    known = dead - sum(len(of.get(name, ())) for name in (Cause.NOT_KNOWN.label, NOT_RECORDED))
    classes = tuple(LossClass(name, wilson(len(of[name]), len(lambs)), rows=_rows(of[name])) for name in names if name in of)
    return LossTable("cause", "By cause", classes, *known_for("causes", known, dead, "dead"))


def _by_confirmed(lambs: tuple[Lamb, ...]) -> LossTable:
    """Dead lambs with a cause written down, by who named it, each of all live-born."""
    named = [lamb for lamb in lambs if lamb.left_how is LambLeft.DIED and lamb.record.choice("cause", Cause) not in NO_CAUSE]
    of: dict[str, list[Lamb]] = {}
    for lamb in named:
        who = lamb.record.choice("confirmed_by", ConfirmedBy)
        of.setdefault(who.label if who else NOT_RECORDED, []).append(lamb)
    names = [*(who.label for who in ConfirmedBy), NOT_RECORDED]
    classes = tuple(LossClass(name, wilson(len(of[name]), len(lambs)), rows=_rows(of[name])) for name in names if name in of)
    unsure = sum(len(of.get(name, ())) for name in (ConfirmedBy.NOBODY.label, NOT_RECORDED))
    note = known_for("causes confirmed", len(named) - unsure, len(named), "written down")
    return LossTable("confirmed", "By who confirmed the cause", classes, *note)


def _cause(lamb: Lamb) -> str:
    if lamb.left_how is LambLeft.MISSING:
        return LambLeft.MISSING.label
    cause = lamb.record.choice("cause", Cause)
    return cause.label if cause else NOT_RECORDED


def _by_stage(season: Season, lambs: tuple[Lamb, ...], short: int) -> LossTable:
    """Losses by stage in order of time, each of all live-born and of those still here when the stage began.

    Lambs lost or sold on a day not written are held to be here all along.
    """
    flock, groups = season.flock, Groups.of(season)
    dated = _has_stage_dates(season)
    stages = (BIRTH_STAGE, *(label for _, label in DATED_STAGES), AFTER_WEANING) if dated else (
        BIRTH_STAGE, WEEK_STAGE, LATER_STAGE)
    of: dict[str, list[Lamb]] = {name: [] for name in (*stages, WHEN_NOT_KNOWN)}
    sold = Counter[str]()
    for lamb in lambs:
        if lamb.left_how is None:
            continue
        ends = tuple(_stage_ends(lamb, flock, groups)) if dated else ()
        stage = _stage(lamb.left_on, born_on(flock, lamb), ends, dated)
        if lamb.lost:
            of[stage].append(lamb)
        else:
            sold[stage] += 1
    losses = stage_losses(len(lambs), [len(of[name]) for name in stages], [sold[name] for name in stages])
    classes = [
        LossClass(name, loss.of_live_born, loss.of_alive_at_start, _rows(of[name]))
        for name, loss in zip(stages, losses, strict=True) if of[name] or name != AFTER_WEANING
    ]
    unknown, lost = of[WHEN_NOT_KNOWN], sum(len(found) for found in of.values())
    if unknown:
        classes.append(LossClass(WHEN_NOT_KNOWN, wilson(len(unknown), len(lambs)), rows=_rows(unknown)))
    if short:
        classes.append(LossClass(SHORT, wilson(short, len(lambs))))
    classes.append(LossClass(TOTAL, wilson(lost + short, len(lambs))))
    return LossTable("stage", "By stage", tuple(classes), *known_for("dates", lost - len(unknown), lost, "lost"))


def _has_stage_dates(season: Season) -> bool:
    return any(row.day(column) for row in season.rows("groups") for column, _ in DATED_STAGES) or any(
        ewe.lambing is not None and ewe.lambing.day("turned_out_on") for ewe in season.flock.ewes.values())


def _stage_ends(lamb: Lamb, flock: Flock, groups: Groups) -> Iterator[tuple[date, str]]:
    """The last day of each dated stage for a lamb, from the ewe it runs with; stages without a date are left out."""
    ewe = ewe_with(flock, lamb) or flock.mother(lamb)
    own = ewe.lambing.day("turned_out_on") if ewe is not None and ewe.lambing is not None else None
    for column, label in DATED_STAGES:
        day = (own if column == "turnout" else None) or groups.day(group_name(ewe), column)
        if day is not None:
            yield day, label


def _stage(left: date | None, born: date | None, ends: tuple[tuple[date, str], ...], dated: bool) -> str:
    """The stage in which a lamb was lost. A leaving date before birth is a slip of the day of birth."""
    if left is None:
        return WHEN_NOT_KNOWN
    age = None if born is None else (left - born).days
    if age is not None and age <= BIRTH_DAYS:
        return BIRTH_STAGE
    if dated:
        if not ends:
            return WHEN_NOT_KNOWN
        after = AFTER_WEANING if ends[-1][1] == DATED_STAGES[-1][1] else WHEN_NOT_KNOWN
        return next((label for day, label in ends if left <= day), after)
    if age is None:
        return WHEN_NOT_KNOWN
    return WEEK_STAGE if age <= FIRST_WEEK else LATER_STAGE
