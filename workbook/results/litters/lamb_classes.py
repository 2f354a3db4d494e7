"""The classes live-born lambs are put in: birth weight, help, age of the ewe, ram and group; what is not recorded is one."""

from collections.abc import Callable, Iterable, Mapping

from template_builder.layout.choices import Help, YesNo
from workbook.season.ages import age_in_years
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.groups import group_name
from workbook.season.matching import fold
from workbook.season.season import Season

NOT_RECORDED, NOT_WEIGHED, MOTHER_NOT_KNOWN = "not recorded", "not weighed", "mother not known"
HELPED = "helped, how not recorded"

# Lower limits of the birth-weight bands in kg (house rule), heaviest first.
WEIGHT_BANDS: tuple[tuple[float, str], ...] = (
    (6.0, "6 kg and over"), (5.0, "5 to under 6 kg"), (4.0, "4 to under 5 kg"), (3.0, "3 to under 4 kg"), (0.0, "under 3 kg"),
)
# Lower limits of the age classes of ewes in years (common practice, no source), oldest first.
AGE_CLASSES: tuple[tuple[int, str], ...] = (
    (6, "6 years and over"), (3, "3 to 5 years"), (2, "2 years"), (0, "ewe lamb or 1 year"),
)
FIRST_LAMBING = "first lambing, age not recorded"


def weight_band(lamb: Lamb) -> str:
    """The birth-weight band of a lamb; not weighed is one."""
    kg = lamb.birth_weight
    return NOT_WEIGHED if kg is None else next((label for least, label in WEIGHT_BANDS if kg >= least), NOT_WEIGHED)


def help_given(lamb: Lamb, mother: Ewe | None) -> str:
    """The help a lamb had: as written for the lamb, else for its mother's lambing, for which a reason will do."""
    lambing = mother.lambing if mother else None
    help = lambing.choice("help", Help) if lambing is not None else None
    helped = lamb.record.choice("helped", YesNo) if lamb.named and lamb.record.filled("helped") else None
    if helped is YesNo.NO:
        return Help.NONE.label
    if helped is YesNo.YES and help in (None, Help.NONE):
        return HELPED
    if help is None and lambing is not None and lambing["why_helped"] is not None:
        return HELPED
    return help.label if help else NOT_RECORDED


def years_class(season: Season, ewe: Ewe) -> str:
    """The class of a ewe by her age in years."""
    age = age_in_years(season, ewe)
    if age is None:
        return FIRST_LAMBING if ewe.first_lambing else NOT_RECORDED
    return next(label for least, label in AGE_CLASSES if age >= least)


def first_written(names: Iterable[str | None]) -> Mapping[str, str]:
    """Each name as first written, by its folded form: "hill" and "Hill" are one."""
    found: dict[str, str] = {}
    for name in names:
        if name:
            found.setdefault(fold(name), name)
    return found


def ram_label(flock: Flock) -> Callable[[Ewe], str | None]:
    """The ram of a ewe, written one way through the flock; None where it is not recorded."""
    def ram(ewe: Ewe) -> str | None:
        return ewe.record.text("ram") if ewe.record else None

    return _one_spelling(ram, map(ram, flock.ewes.values()))


def group_label(season: Season) -> Callable[[Ewe], str | None]:
    """The group of a ewe, written as on Groups, else one way through the flock; None where it is not recorded."""
    on_groups = [row.text("group") for row in season.rows("groups")]
    return _one_spelling(group_name, [*on_groups, *map(group_name, season.flock.ewes.values())])


def _one_spelling(name: Callable[[Ewe], str | None], written: Iterable[str | None]) -> Callable[[Ewe], str | None]:
    shown = first_written(written)
    return lambda ewe: shown[fold(found)] if (found := name(ewe)) else None
