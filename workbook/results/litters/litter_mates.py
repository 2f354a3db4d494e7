"""Lambs of one litter are alike: how alike, and how many litter mates stand in a class of lambs."""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from workbook.results.statistics.proportions import (
    Proportion,
    design_effect,
    effect_of_clusters,
    intraclass_correlation,
    widened_wilson,
)
from workbook.season.families import Lamb


class Tally(NamedTuple):
    """A class of lambs counted: lost, all, and the sum of the squared numbers of lambs of one litter in it."""

    lost: int
    lambs: int
    squares: int

    @property
    def mates(self) -> float:
        """Lambs of one litter as the average lamb finds it: what goes for the mean where litters are unequal.

        Source: Kish 1965, Survey Sampling (from memory).
        """
        return self.squares / self.lambs

    @property
    def counted(self) -> tuple[int, int]:
        """Lost, and all."""
        return self.lost, self.lambs

    def effect(self, likeness: float | None) -> float:
        """How many of its lambs tell as much as one stranger, at least 1."""
        return max(1.0, design_effect(self.mates, likeness or 0.0)) if self.lambs else 1.0

    def without(self, part: "Tally") -> "Tally":
        """The rest of the class; right where no litter is partly in `part`."""
        return Tally(self.lost - part.lost, self.lambs - part.lambs, self.squares - part.squares)


def tallied(lambs: Sequence[Lamb], short: Collection[Lamb] = frozenset()) -> Tally:
    """A class counted; `short` are lambs lost as well that stand for those short at a count of its group."""
    lost = sum(lamb.lost or lamb in short for lamb in lambs)
    return Tally(lost, len(lambs), sum(len(litter) ** 2 for litter in _litters(lambs)))


def likeness_within_litters(lambs: Sequence[Lamb]) -> float | None:
    """Intraclass correlation of loss among live-born lambs of one ewe; None where not defined.

    Whatever sets litters apart counts in it, the classes compared among them, so that intervals come out rather too wide.
    """
    return intraclass_correlation([[float(lamb.lost) for lamb in litter] for litter in _litters(lambs)])


def share_of(counted: Collection[Lamb], lambs: Sequence[Lamb]) -> Proportion:
    """The share of lambs that are among those counted, its interval widened for how alike litter mates are in that."""
    return widened_wilson(sum(lamb in counted for lamb in lambs), len(lambs), effect_on(counted, lambs))


def effect_on(counted: Collection[Lamb], lambs: Sequence[Lamb]) -> float:
    """The design effect of the share of lambs that are among those counted."""
    return effect_of_clusters((sum(lamb in counted for lamb in litter), len(litter)) for litter in _litters(lambs))


def _litters(lambs: Sequence[Lamb]) -> list[list[Lamb]]:
    """Lambs by the ewe that bore them; a lamb whose mother is not known is a litter of its own."""
    litters: dict[object, list[Lamb]] = {}
    for lamb in lambs:
        litters.setdefault(litter_of(lamb), []).append(lamb)
    return list(litters.values())


def litter_of(lamb: Lamb) -> object:
    """What lambs of one litter share: the ewe that bore them."""
    return lamb.bearer or lamb
