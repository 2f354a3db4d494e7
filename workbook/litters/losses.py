"""Where live-born lambs were lost: by stage, cause, litter size, birth weight, help, age of ewe, ram and group.

Lost are home-born lambs that died or are missing, out of all home-born lambs born alive in the same class. Lambs short at
a count have no row of their own: they stand in the first table as a class.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from template_builder.choices import Born, Cause, Help, LambLeft, YesNo
from workbook.cells import CellRef
from workbook.flock import Ewe, Flock, Lamb
from workbook.indicators import stage_losses
from workbook.litters.account import Account
from workbook.litters.groups import Groups, born_on, ewe_with, group_name
from workbook.proportions import Proportion, wilson
from workbook.season import Season

NOT_RECORDED, NOT_WEIGHED, MOTHER_NOT_KNOWN = "not recorded", "not weighed", "mother not known"
SHORT, TOTAL, WHEN_NOT_KNOWN = "short at count", "all", "not known when"

# Lower limits of the birth-weight bands in kg (house rule), heaviest first.
WEIGHT_BANDS: tuple[tuple[float, str], ...] = (
    (6.0, "6 kg and over"), (5.0, "5 to under 6 kg"), (4.0, "4 to under 5 kg"), (3.0, "3 to under 4 kg"), (0.0, "under 3 kg"),
)
# Lower limits of the age classes of ewes in years (common practice, no source), oldest first.
AGE_CLASSES: tuple[tuple[int, str], ...] = (
    (6, "6 years and over"), (3, "3 to 5 years"), (2, "2 years"), (0, "ewe lamb or 1 year"),
)
FIRST_LAMBING = "first lambing, age not recorded"

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
    """Losses of live-born lambs split one way. `note` says what was not recorded ("causes for 31 of 44 dead")."""

    id: str
    title: str
    classes: tuple[LossClass, ...]
    note: str = ""


def is_lost(lamb: Lamb) -> bool:
    """Whether a lamb died or is missing."""
    return lamb.left_how in (LambLeft.DIED, LambLeft.MISSING)


def live_born(flock: Flock) -> tuple[Lamb, ...]:
    """Home-born lambs born alive."""
    return tuple(lamb for lamb in flock.lambs if lamb.born is Born.ALIVE and not lamb.bought)


def loss_tables(season: Season, account: Account) -> tuple[LossTable, ...]:
    """Every table of losses. Shares are fractions of the live-born lambs of a class, each with its interval."""
    flock, lambs, year = season.flock, live_born(season.flock), season_year(season)
    mothers = {lamb: flock.ewes.get(lamb.bearer) if lamb.bearer else None for lamb in lambs}

    def by_mother(label: Callable[[Ewe], str]) -> Callable[[Lamb], str]:
        return lambda lamb: MOTHER_NOT_KNOWN if (ewe := mothers[lamb]) is None else label(ewe)

    ages = (*(label for _, label in reversed(AGE_CLASSES)), FIRST_LAMBING)
    short = account.total("short")
    return (_by_stage(season, lambs, short), _by_cause(lambs), *(_without_short(table, short) for table in (
        _split("litter_size", "By litter size born", lambs, by_mother(lambda ewe: str(len(ewe.born)))),
        _split("birth_weight", "By birth weight", lambs, weight_band, (*(label for _, label in reversed(WEIGHT_BANDS)),)),
        _split("help", "By help given", lambs, lambda lamb: help_given(lamb, mothers[lamb]), tuple(h.label for h in Help)),
        _split("ewe_age", "By age of the ewe", lambs, by_mother(lambda ewe: age_class(ewe, year)), ages),
        _split("ram", "By ram", lambs, by_mother(lambda ewe: (ewe.record and ewe.record.text("ram")) or NOT_RECORDED)),
        _split("group", "By group", lambs, by_mother(lambda ewe: group_name(ewe) or NOT_RECORDED)),
    )))


def _without_short(table: LossTable, short: int) -> LossTable:
    """Lambs short at a count belong to a group, so that no class of a ewe or lamb can hold them."""
    if not short:
        return table
    what = "1 lamb short at the last count stands" if short == 1 else f"{short} lambs short at the last count stand"
    return replace(table, note=f"{what} in the table by stage only")


def season_year(season: Season) -> int:
    """The year most ewes lambed in, as set on Season, else as recorded, else that of the moment."""
    if (year := season.settings.maybe("year")) is not None:
        return int(year)
    years = Counter(day.year for ewe in season.flock.ewes.values() if (day := ewe.lambed_on))
    return min(years, key=lambda year: (-years[year], year)) if years else season.as_of.year


def weight_band(lamb: Lamb) -> str:
    """The birth-weight band of a lamb; not weighed is one."""
    kg = lamb.birth_weight
    return NOT_WEIGHED if kg is None else next((label for least, label in WEIGHT_BANDS if kg >= least), NOT_WEIGHED)


def help_given(lamb: Lamb, mother: Ewe | None) -> str:
    """The help a lamb had: as written for the lamb, else for its mother's lambing."""
    lambing = mother.lambing if mother else None
    help = lambing.choice("help", Help) if lambing is not None else None
    helped = lamb.record.choice("helped", YesNo) if lamb.named and lamb.record.filled("helped") else None
    if helped is YesNo.NO:
        return Help.NONE.label
    if helped is YesNo.YES and help in (None, Help.NONE):
        return "helped, how not recorded"
    return help.label if help else NOT_RECORDED


def age_class(ewe: Ewe, year: int) -> str:
    """The age class of a ewe in the season's year."""
    born = ewe.record.whole("born_year") if ewe.record else None
    if born is None or born > year:
        return FIRST_LAMBING if ewe.first_lambing else NOT_RECORDED
    return next(label for least, label in AGE_CLASSES if year - born >= least)


LAST_CLASSES = (NOT_WEIGHED, NOT_RECORDED, MOTHER_NOT_KNOWN)


def _split(
    id: str, title: str, lambs: Iterable[Lamb], label: Callable[[Lamb], str], order: tuple[str, ...] = (),
) -> LossTable:
    """Losses by the label of each lamb: classes in the order given, then by name, those of which nothing is known last."""
    of: dict[str, list[Lamb]] = {}
    for lamb in lambs:
        of.setdefault(label(lamb), []).append(lamb)
    names = [name for name in order if name in of]
    names += sorted(of.keys() - {*order, *LAST_CLASSES}) + [name for name in LAST_CLASSES if name in of]
    return LossTable(id, title, tuple(_class(name, of[name]) for name in names))


def _class(name: str, lambs: list[Lamb]) -> LossClass:
    lost = [lamb for lamb in lambs if is_lost(lamb)]
    return LossClass(name, wilson(len(lost), len(lambs)), rows=_rows(lost))


def _rows(lambs: Iterable[Lamb]) -> tuple[CellRef, ...]:
    return tuple(lamb.record.at("left_on") for lamb in lambs)


def _by_cause(lambs: tuple[Lamb, ...]) -> LossTable:
    """Losses by cause, each of all live-born lambs; missing lambs are a class of their own."""
    of: dict[str, list[Lamb]] = {}
    for lamb in lambs:
        if is_lost(lamb):
            of.setdefault(_cause(lamb), []).append(lamb)
    names = [*(cause.label for cause in Cause), NOT_RECORDED, LambLeft.MISSING.label]
    dead = sum(lamb.left_how is LambLeft.DIED for lamb in lambs)
    known = dead - sum(len(of.get(name, ())) for name in (Cause.NOT_KNOWN.label, NOT_RECORDED))
    classes = tuple(LossClass(name, wilson(len(of[name]), len(lambs)), rows=_rows(of[name])) for name in names if name in of)
    return LossTable("cause", "By cause", classes, f"causes for {known} of {dead} dead" if dead else "")


def _cause(lamb: Lamb) -> str:
    if lamb.left_how is LambLeft.MISSING:
        return LambLeft.MISSING.label
    cause = lamb.record.choice("cause", Cause)
    return cause.label if cause else NOT_RECORDED


def _by_stage(season: Season, lambs: tuple[Lamb, ...], short: int) -> LossTable:
    """Losses by stage in order of time, each of all live-born and of those alive when the stage began."""
    flock, groups = season.flock, Groups.of(season)
    dated = _has_stage_dates(season)
    stages = (BIRTH_STAGE, *(label for _, label in DATED_STAGES), AFTER_WEANING) if dated else (
        BIRTH_STAGE, WEEK_STAGE, LATER_STAGE)
    of: dict[str, list[Lamb]] = {name: [] for name in (*stages, WHEN_NOT_KNOWN)}
    for lamb in lambs:
        if is_lost(lamb):
            ends = tuple(_stage_ends(lamb, flock, groups)) if dated else ()
            of[_stage(lamb.left_on, born_on(flock, lamb), ends, dated)].append(lamb)
    losses = stage_losses(len(lambs), [len(of[name]) for name in stages])
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
    return LossTable("stage", "By stage", tuple(classes), f"dates for {lost - len(unknown)} of {lost} lost" if lost else "")


def _has_stage_dates(season: Season) -> bool:
    return any(row.day(column) for row in season.rows("groups") for column, _ in DATED_STAGES) or any(
        ewe.lambing is not None and ewe.lambing.day("turned_out_on") for ewe in season.flock.ewes.values())


def _stage_ends(lamb: Lamb, flock: Flock, groups: Groups) -> Iterator[tuple[date, str]]:
    """The last day of each dated stage for a lamb, from the ewe it runs with; stages without a date are left out."""
    ewe = ewe_with(flock, lamb) or (flock.ewes.get(lamb.bearer) if lamb.bearer else None)
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
