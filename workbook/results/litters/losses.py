"""Where live-born lambs were lost: by stage, cause, litter size, birth weight, help, age of ewe, ram, group and rearer.

Lost are home-born lambs that died or are missing, out of all home-born lambs born alive in the same class. Lambs short at
a count have no row of their own: they are in the tables by stage and by group.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from template_builder.layout.choices import Cause, ConfirmedBy, LambLeft
from template_builder.layout.words import so_many_are
from workbook.results.litters.account import Account
from workbook.results.litters.differences import BY_COUNTS, Difference, loss_differences
from workbook.results.litters.exits import Exit, exits, short_in_groups
from workbook.results.litters.lamb_classes import NOT_RECORDED
from workbook.results.litters.life_table import AFTER_WEANING, WHEN_NOT_KNOWN, life_table
from workbook.results.litters.litter_mates import effect_on, likeness_within_litters, share_of, tallied
from workbook.results.litters.splits import Split, live_born, splits
from workbook.results.statistics.proportions import Proportion, widened_wilson
from workbook.season.cells import CellRef
from workbook.season.families import Lamb
from workbook.season.season import Season

TOTAL = "all"


@dataclass(frozen=True)
class LossClass:
    """One class of a table: lambs lost of live-born lambs in it. `of_start`: of those alive when the stage began.

    Intervals are widened by the design effect, as litter mates are alike.
    """

    label: str
    loss: Proportion
    of_start: Proportion | None = None
    rows: tuple[CellRef, ...] = ()
    design_effect: float = 1.0


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
    lambs, in_groups, differ = live_born(season.flock), short_in_groups(season), loss_differences(season)
    likeness = likeness_within_litters(lambs)
    tables = [_of_split(split, differ.get(split.id), len(lambs), in_groups if split.id == BY_COUNTS else {}, likeness)
              for split in splits(season) if split.shown]
    short = account.total("short")
    whole = (_by_stage(season, lambs), _by_cause(lambs), _by_confirmed(lambs))
    return (*whole, *(_without_short(table, short - len(in_groups) if table.id == BY_COUNTS else short) for table in tables))


def _without_short(table: LossTable, short: int) -> LossTable:
    """Lambs short at a count belong to a group, those of a count of the whole flock to none: no other class can hold them."""
    if not short:
        return table
    what = so_many_are(short, "lamb", "short at the last count is", "short at the last count are")
    where = "the table by stage only" if table.id == BY_COUNTS else "the tables by stage and by group only"
    note = f"{what} in {where}"
    return replace(table, note=f"{table.note}; {note}" if table.note else note)


NO_CAUSE = (None, Cause.NOT_KNOWN)


def _of_split(
    split: Split, difference: Difference | None, lambs: int, short: Mapping[Lamb, Exit], likeness: float | None,
) -> LossTable:
    """Losses by class, and whether the classes differ by more than chance. `short` are lambs that stand for those short at
    a count, where a class can hold them.
    """
    classes = tuple(_class(name, of, short, likeness) for name, of in split.classes.items())
    known = sum(map(len, split.known.values()))
    note = known_for(split.told, known, lambs, "live-born lambs") if split.told else ("", False)
    return LossTable(split.id, split.title, classes, *note, difference)


def _class(name: str, lambs: tuple[Lamb, ...], short: Mapping[Lamb, Exit], likeness: float | None) -> LossClass:
    lost, missed = [lamb for lamb in lambs if lamb.lost], [short[lamb].place for lamb in lambs if lamb in short]
    effect = tallied(lambs).effect(likeness)
    return LossClass(name, widened_wilson(len(lost) + len(missed), len(lambs), effect), None, (*_rows(lost), *missed), effect)


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
    classes = tuple(_named(name, of[name], lambs) for name in names if name in of)
    return LossTable("cause", "By cause", classes, *known_for("causes", known, dead, "dead"))


def _by_confirmed(lambs: tuple[Lamb, ...]) -> LossTable:
    """Dead lambs with a cause written down, by who named it, each of all live-born."""
    named = [lamb for lamb in lambs if lamb.left_how is LambLeft.DIED and lamb.record.choice("cause", Cause) not in NO_CAUSE]
    of: dict[str, list[Lamb]] = {}
    for lamb in named:
        who = lamb.record.choice("confirmed_by", ConfirmedBy)
        of.setdefault(who.label if who else NOT_RECORDED, []).append(lamb)
    names = [*(who.label for who in ConfirmedBy), NOT_RECORDED]
    classes = tuple(_named(name, of[name], lambs) for name in names if name in of)
    unsure = sum(len(of.get(name, ())) for name in (ConfirmedBy.NOBODY.label, NOT_RECORDED))
    note = known_for("causes confirmed", len(named) - unsure, len(named), "written down")
    return LossTable("confirmed", "By who confirmed the cause", classes, *note)


def _named(name: str, lost: Sequence[Lamb], lambs: tuple[Lamb, ...]) -> LossClass:
    """Lambs lost in one way, of all live-born."""
    counted = frozenset(lost)
    return LossClass(name, share_of(counted, lambs), rows=_rows(lost), design_effect=effect_on(counted, lambs))


def _cause(lamb: Lamb) -> str:
    if lamb.left_how is LambLeft.MISSING:
        return LambLeft.MISSING.label
    cause = lamb.record.choice("cause", Cause)
    return cause.label if cause else NOT_RECORDED


def _by_stage(season: Season, lambs: Sequence[Lamb]) -> LossTable:
    """Losses by stage in order of time, each of all live-born and of those still here when the stage began."""
    stages = life_table(season)
    lost = sum(stage.lost for stage in stages)
    unknown = sum(stage.lost for stage in stages if stage.label == WHEN_NOT_KNOWN)
    classes = (
        *(LossClass(stage.label, stage.of_live_born, stage.of_at_risk, stage.rows) for stage in stages
          if stage.lost or stage.label not in (AFTER_WEANING, WHEN_NOT_KNOWN)),
        LossClass(TOTAL, share_of(frozenset(lamb for lamb, exit in exits(season).items() if exit.lost), lambs)),
    )
    return LossTable("stage", "By stage", classes, *known_for("dates", lost - unknown, lost, "lost"))
