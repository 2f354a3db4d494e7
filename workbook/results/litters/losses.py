"""Where live-born lambs were lost: by stage, cause, litter size, birth weight, help, age of ewe, ram, group and rearer.

Lost are home-born lambs that died or are missing, out of all home-born lambs born alive in the same class. Lambs short at
a count have no row of their own: they stand in the first table as a class.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import Born, Cause, Choice, ConfirmedBy, Help, LambLeft, Presentation, RearedBy, Vigour
from workbook.results.litters.account import Account
from workbook.results.litters.lamb_classes import (
    AGE_CLASSES,
    FIRST_LAMBING,
    MOTHER_NOT_KNOWN,
    NOT_RECORDED,
    NOT_WEIGHED,
    WEIGHT_BANDS,
    group_label,
    help_given,
    ram_label,
    weight_band,
    years_class,
)
from workbook.results.statistics.indicators import stage_losses
from workbook.results.statistics.proportions import Proportion, wilson
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Flock, Lamb
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
    it is not known for all.
    """

    id: str
    title: str
    classes: tuple[LossClass, ...]
    note: str = ""
    incomplete: bool = False


def known_for(what: str, known: int, of: int, whom: str) -> tuple[str, bool]:
    """How much of a split was recorded, in words, and whether something is missing; nothing is said of nobody."""
    return (f"{what} for {known:,} of {of:,} {whom}", known < of) if of else ("", False)


def live_born(flock: Flock) -> tuple[Lamb, ...]:
    """Home-born lambs born alive."""
    return tuple(lamb for lamb in flock.lambs if lamb.born is Born.ALIVE and not lamb.bought)


def loss_tables(season: Season, account: Account) -> tuple[LossTable, ...]:
    """Every table of losses. Shares are fractions of the live-born lambs of a class, each with its interval."""
    flock, lambs = season.flock, live_born(season.flock)
    mothers = {lamb: flock.mother(lamb) for lamb in lambs}

    def by_mother(label: Callable[[Ewe], str]) -> Callable[[Lamb], str]:
        return lambda lamb: MOTHER_NOT_KNOWN if (ewe := mothers[lamb]) is None else label(ewe)

    def of_mother(told: str, unknown: str = NOT_RECORDED) -> Known:
        return Known(told, (unknown, MOTHER_NOT_KNOWN))

    ages = (*(label for _, label in reversed(AGE_CLASSES)), FIRST_LAMBING)
    ram, group = ram_label(flock), group_label(season)
    splits = (
        _split("litter_size", "By litter size born", lambs, by_mother(lambda ewe: str(len(ewe.born))), of_mother("mothers")),
        _split("birth_weight", "By birth weight", lambs, weight_band, Known("birth weights", (NOT_WEIGHED,)),
               tuple(label for _, label in reversed(WEIGHT_BANDS))),
        *_written(lambs, "presentation", "By presentation", Presentation), *_written(lambs, "vigour", "By vigour", Vigour),
        _split("help", "By help given", lambs, lambda lamb: help_given(lamb, mothers[lamb]), Known("help", (NOT_RECORDED,)),
               tuple(help.label for help in Help)),
        _split("ewe_age", "By age of the ewe", lambs, by_mother(lambda ewe: years_class(season, ewe)),
               of_mother("ages of ewes"), ages),
        _split("ram", "By ram", lambs, by_mother(lambda ewe: ram(ewe) or NOT_RECORDED), of_mother("rams")),
        _split("group", "By group", lambs, by_mother(lambda ewe: group(ewe) or NOT_RECORDED), of_mother("groups")),
        _split("reared_by", "By who reared it", lambs, lambda lamb: lamb.reared_by.label, Known("", ()),
               tuple(reared.label for reared in RearedBy)),
    )
    short = account.total("short")
    whole = (_by_stage(season, lambs, short), _by_cause(lambs), _by_confirmed(lambs))
    return (*whole, *(_without_short(table, short) for table in splits))


def _written(lambs: tuple[Lamb, ...], column: str, title: str, choices: type[Choice]) -> Iterator[LossTable]:
    """Losses by a list on Lambs, where anybody wrote it for any lamb."""
    def label(lamb: Lamb) -> str:
        found = lamb.record[column] if lamb.named else None
        return found.label if isinstance(found, Choice) else NOT_RECORDED

    if any(label(lamb) != NOT_RECORDED for lamb in lambs):
        yield _split(column, title, lambs, label, Known(column, (NOT_RECORDED,)), tuple(choice.label for choice in choices))


def _without_short(table: LossTable, short: int) -> LossTable:
    """Lambs short at a count belong to a group, so that no class of a ewe or lamb can hold them."""
    if not short:
        return table
    what = "1 lamb short at the last count is" if short == 1 else f"{short} lambs short at the last count are"
    note = f"{what} in the table by stage only"
    return replace(table, note=f"{table.note}; {note}" if table.note else note)


class Known(NamedTuple):
    """What a split rests on, in words (empty where a blank cell has a meaning of its own), and the classes of those for whom
    it is not known.
    """

    told: str
    unknown: tuple[str, ...]


NO_CAUSE = (None, Cause.NOT_KNOWN)
LAST_CLASSES = (NOT_WEIGHED, NOT_RECORDED, MOTHER_NOT_KNOWN)


def _split(
    id: str, title: str, lambs: tuple[Lamb, ...], label: Callable[[Lamb], str], known: Known, order: tuple[str, ...] = (),
) -> LossTable:
    """Losses by the label of each lamb: classes in the order given, then by name, those of which nothing is known last."""
    of: dict[str, list[Lamb]] = {}
    for lamb in lambs:
        of.setdefault(label(lamb), []).append(lamb)
    names = [name for name in order if name in of]
    names += sorted(of.keys() - {*order, *LAST_CLASSES}) + [name for name in LAST_CLASSES if name in of]
    classes = tuple(_class(name, of[name]) for name in names)
    if not known.told:
        return LossTable(id, title, classes)
    unknown = sum(len(of.get(name, ())) for name in known.unknown)
    return LossTable(id, title, classes, *known_for(known.told, len(lambs) - unknown, len(lambs), "live-born lambs"))


def _class(name: str, lambs: list[Lamb]) -> LossClass:
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
