"""The ewes a ewe is held against: those of her age class and litter size, or all where these are few."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from workbook.results.scores.comparing import counted
from workbook.results.statistics.proportions import FEW
from workbook.season.ages import AgeClass, age_class, litter_words
from workbook.season.families import Ewe
from workbook.season.season import Season

EWES = "ewes"


class LitterClass(NamedTuple):
    """Ewes that can be held against one another: alike in lambings before and in lambs born."""

    age: AgeClass
    born: int

    @property
    def words(self) -> str:
        return f"{self.age.words}, {litter_words(self.born)}"


class Peers(NamedTuple):
    """Ewes by key, and who they are in words."""

    ewes: tuple[str, ...]
    words: str


def litter_class(season: Season, ewe: Ewe) -> LitterClass:
    return LitterClass(age_class(season, ewe), len(ewe.born))


def peers(classes: Mapping[str, LitterClass], among: Iterable[str]) -> Mapping[str, Peers]:
    """For each ewe those of her class that are `among` them; all that are, where her class holds under ten."""
    every = tuple(among)
    of_class: dict[LitterClass, list[str]] = defaultdict(list)
    for key in every:
        of_class[classes[key]].append(key)

    def beside(own: LitterClass) -> Peers:
        ewes, words = tuple(of_class[own]), f"{len(of_class[own])} {own.words}"
        return Peers(ewes, words) if len(ewes) >= FEW else Peers(every, f"all {counted(len(every), EWES)}; only {words}")

    found = {own: beside(own) for own in set(classes.values())}
    return {key: found[own] for key, own in classes.items()}
