"""What makes lambs alike: sex, birth and rearing type, age of ewe, group, ram and breed, as far as they are written."""

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date

from template_builder.layout.choices import RearedBy, Sex
from template_builder.layout.words import so_many
from workbook.results.scores.adjusted import litter_class
from workbook.results.scores.comparing import Level, by_number
from workbook.results.statistics.proportions import FEW
from workbook.season.ages import FIRST_AGE, AgeClass, age_class, age_in_years, litter_words
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import group_name
from workbook.season.matching import fold
from workbook.season.season import Season

# Ewes of this age and older share one class, as in the Icelandic constants of 1977 (9 years and more).
OLDEST_CLASS = 9

# Where a ewe whose birth year is not known stands among the years, from what is known of her lambings: house rule.
YEARS_LIKE: Mapping[AgeClass, float] = {AgeClass.FIRST: FIRST_AGE + 0.5, AgeClass.MATURE: 4.5, AgeClass.UNKNOWN: 4.6}

# Few wethers join the ram lambs, few lambs of a sex nobody wrote join the smaller of their neighbours.
SEXES = (Sex.WETHER, Sex.RAM, None, Sex.EWE)

NO_GROUP, BY_HAND, NO_EWE, NOT_KNOWN, NOT_WRITTEN = "no group", "reared by hand", "no ewe known", "not known", "not written"
SEX, TYPE, AGE, GROUP, RAM, BREED, DAY = (
    "sex", "birth and rearing type", "age of ewe", "group", "ram", "breed of ewe", "weighing day",
)
Levels = Mapping[int, Level]


def levels(season: Season, lambs: Iterable[Lamb]) -> Mapping[str, Levels]:
    """The class of each lamb in every effect, by its row on Lambs. Ram and breed are those of the ewe that bore it."""
    by_row = {lamb.record.row: lamb for lamb in lambs}
    return {
        SEX: {row: sex_level(lamb) for row, lamb in by_row.items()},
        TYPE: {row: _type_level(season, lamb) for row, lamb in by_row.items()},
        AGE: {row: _rearer_age(season, lamb) for row, lamb in by_row.items()},
        GROUP: by_number({row: _group(season, lamb) for row, lamb in by_row.items()}),
        RAM: _written({row: _of_mother(season, lamb, "ram") for row, lamb in by_row.items()}, "rams"),
        BREED: _written({row: _of_mother(season, lamb, "breed") for row, lamb in by_row.items()}, "breeds"),
    }


def day_level(day: date | None) -> Level:
    """A weighing day; small ones join the day beside them."""
    return Level("", day.toordinal() if day else 0, day.isoformat() if day else NOT_KNOWN)


def sex_level(lamb: Lamb) -> Level:
    """Ewe lamb, ram lamb or wether."""
    return Level("", SEXES.index(lamb.sex), lamb.sex.label if lamb.sex else NOT_KNOWN)


def _type_level(season: Season, lamb: Lamb) -> Level:
    """Born in a litter of so many, reared with so many: small classes join only where as many were reared together."""
    dam, rearer = season.flock.mother(lamb), season.flock.rearer(lamb)
    born = litter_class(len(dam.born)) if dam else 1
    if rearer is None:
        how = BY_HAND if lamb.reared_by is RearedBy.PET else NO_EWE
        return Level(how, 0, how)
    how = f"reared as {litter_words(litter_class(len(rearer.reared_together)))}"
    return Level(how, born, f"{litter_words(born)} {how}")


def _ewe(season: Season, lamb: Lamb) -> Ewe | None:
    """The ewe rearing it; where none does, the one that bore it."""
    return season.flock.rearer(lamb) or season.flock.mother(lamb)


def _rearer_age(season: Season, lamb: Lamb) -> Level:
    ewe = _ewe(season, lamb)
    return Level("", YEARS_LIKE[AgeClass.UNKNOWN], NO_EWE) if ewe is None else age_level(season, ewe)


def age_level(season: Season, ewe: Ewe) -> Level:
    """Her age in years, all from 9 on as one; without a birth year first-time or mature, beside the years like it."""
    age = age_in_years(season, ewe)
    if age is None:
        known = age_class(season, ewe)
        return Level("", YEARS_LIKE[known], f"{known.value} (birth year not known)")
    years = min(age, OLDEST_CLASS)
    return Level("", years, so_many(years, "year"))


def _group(season: Season, lamb: Lamb) -> str:
    """The group of its ewe: the one turned out to, else that on Ewes."""
    written = group_name(_ewe(season, lamb))
    return fold(written) if written else NO_GROUP


def _of_mother(season: Season, lamb: Lamb, column: str) -> str | None:
    dam = season.flock.mother(lamb)
    return dam.record.text(column) if dam and dam.record else None


def _written(names: Mapping[int, str | None], noun: str) -> Levels:
    """Names as written, upper or lower case alike; all of fewer than ten lambs are one class, those not written another."""
    told = {row: fold(name) if name else "" for row, name in names.items()}
    counts = Counter(told.values())
    as_first = {told[row]: name for row, name in reversed(list(names.items())) if name}

    def shown(name: str) -> str:
        if not name:
            return NOT_WRITTEN
        return as_first[name] if counts[name] >= FEW else f"{noun} of few lambs"

    return by_number({row: shown(name) for row, name in told.items()})
