"""Flock figures that follow from other figures, where the denominator is the usual trap."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, zip_longest

from workbook.results.statistics.proportions import Proportion, wilson


@dataclass(frozen=True)
class StageLoss:
    """Lambs lost in one stage, as a share of all live-born and of those still alive when the stage began.

    Shares of live-born may be added over stages; shares of those alive at the start may not.
    """

    lost: int
    of_live_born: Proportion
    of_alive_at_start: Proportion


def stage_losses(born_alive: int, losses: Sequence[int], sold: Sequence[int] = ()) -> list[StageLoss]:
    """Loss at each stage in order of time, from lambs born alive, and lambs lost and lambs sold stage by stage.

    A lamb sold is at risk in the stage in which it was sold, and in none after. Raises ValueError if a loss is negative or
    more lambs are lost than were alive.
    """
    left = [lost + gone for lost, gone in zip_longest(losses, sold, fillvalue=0)]
    alive_at_start = accumulate(left, lambda alive, gone: alive - gone, initial=born_alive)
    return [
        StageLoss(lost, wilson(lost, born_alive), wilson(lost, alive))
        for lost, alive in zip(losses, alive_at_start, strict=False)  # one start more: survivors
    ]
