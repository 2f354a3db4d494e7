"""Classes in which ewes are compared: first-time or mature, by the size of their litter."""

from enum import Enum

from workbook.season.families import Ewe
from workbook.season.season import Season

# A ewe of one year can only be lambing for the first time; at three a flock has mostly bred her before: house rule.
FIRST_AGE = 1
MATURE_AGE = 3

LITTER_WORDS = {1: "singles", 2: "twins", 3: "triplets"}


class AgeClass(Enum):
    """What is known of her lambings before this season."""

    FIRST = "first-time"
    MATURE = "mature"
    UNKNOWN = "unknown"

    @property
    def words(self) -> str:
        """As a list of ewes names it: "3 of unknown age"."""
        return "of unknown age" if self is AgeClass.UNKNOWN else self.value


def age_class(season: Season, ewe: Ewe) -> AgeClass:
    """First-time or mature, from her lambings before, her recorded history, or failing both her age in years."""
    if ewe.record is None:
        return AgeClass.UNKNOWN
    if (before := ewe.record.whole("lambings_before")) is not None:
        return AgeClass.MATURE if before else AgeClass.FIRST
    if ewe.record.whole("past_lambings"):
        return AgeClass.MATURE
    age = age_in_years(season, ewe)
    if age is None:
        return AgeClass.UNKNOWN
    if age <= FIRST_AGE:
        return AgeClass.FIRST
    return AgeClass.MATURE if age >= MATURE_AGE else AgeClass.UNKNOWN


def age_in_years(season: Season, ewe: Ewe) -> int | None:
    """The year of the season less her birth year; None where that is not known or lies ahead."""
    age = years_since_birth(season, ewe)
    return None if age is None or age < 0 else age


def years_since_birth(season: Season, ewe: Ewe) -> int | None:
    """The year of the season less the year written as that of her birth, below 0 where it lies ahead; None where none is."""
    born = ewe.record.whole("born_year") if ewe.record else None
    return None if born is None else season.year - born


def litter_words(size: int) -> str:
    """A litter size in words: singles, twins, triplets, litters of 4."""
    return LITTER_WORDS.get(size, f"litters of {size}" if size else "no lambs recorded")
