"""What being empty means for a ewe: a young one gets another chance, a mature one has had hers."""

from enum import Enum

from workbook.season.ages import age_in_years
from workbook.season.families import Ewe
from workbook.season.season import Season

# From this age, or after so many lambings, an empty year is no beginner's bad luck: common practice, no source.
MATURE_AGE, MATURE_LAMBINGS = 3, 2


class Chance(Enum):
    """Whether she is to have one more."""

    HAD = "three years old or more, or lambed twice"
    ONE_MORE = "younger, or never put to the ram before"
    UNKNOWN = "not known"


def chance(season: Season, ewe: Ewe) -> Chance:
    """By her lambings before and her age; one that is known never to have lambed is at her first chance at any age."""
    before, age = _lambings(ewe), age_in_years(season, ewe)
    if before == 0:
        return Chance.ONE_MORE
    if (before is not None and before >= MATURE_LAMBINGS) or (age is not None and age >= MATURE_AGE):
        return Chance.HAD
    return Chance.UNKNOWN if before is None and age is None else Chance.ONE_MORE


def _lambings(ewe: Ewe) -> int | None:
    """As written, else those her history tells of, which may not be all; None where neither says."""
    if ewe.record is None:
        return None
    written = ewe.record.whole("lambings_before")
    return written if written is not None else (ewe.record.whole("past_lambings") or None)
