"""Flock figures that follow from other figures, where the denominator is the usual trap."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import fsum

from workbook.results.statistics.proportions import Proportion, wilson


@dataclass(frozen=True)
class StageLoss:
    """Lambs lost in one stage, as a share of all live-born and of those still alive when the stage began.

    Shares of live-born may be added over stages; shares of those alive at the start may not.
    """

    lost: int
    of_live_born: Proportion
    of_alive_at_start: Proportion


def lambs_per_ewe_mated(barren: float, litter_size: float) -> float:
    """Lambs born per ewe mated and present at lambing: (1 - barren) x lambs born per ewe lambed.

    `barren` is a fraction of ewes mated. An identity. Raises ValueError for figures that cannot be.
    """
    _check_fraction("barren ewes", barren)
    if litter_size < 0:
        raise ValueError(f"a litter size cannot be negative: {litter_size}")
    return (1 - barren) * litter_size


def loss_of_all_born(born_alive_share: float, *losses_of_live_born: float) -> float:
    """Share of all lambs born, dead or alive, that was lost by the end of the last stage given.

    `born_alive_share` is of all born; each later loss is a fraction of the live-born. An identity:
    1 - born alive x (1 - sum of losses). Raises ValueError for shares outside 0 to 1, also when added up.
    """
    _check_fraction("lambs born alive", born_alive_share)
    for loss in losses_of_live_born:
        _check_fraction("lambs lost in a stage", loss)
    lost_after_birth = fsum(losses_of_live_born)
    _check_fraction("lambs lost in all stages", lost_after_birth)
    return 1 - born_alive_share * (1 - lost_after_birth)


def stage_losses(born_alive: int, losses: Sequence[int]) -> list[StageLoss]:
    """Loss at each stage in order of time, from lambs born alive and lambs lost stage by stage.

    Raises ValueError if a loss is negative or more lambs are lost than were alive.
    """
    alive_at_start = accumulate(losses, lambda alive, lost: alive - lost, initial=born_alive)
    return [
        StageLoss(lost, wilson(lost, born_alive), wilson(lost, alive))
        for lost, alive in zip(losses, alive_at_start, strict=False)  # one start more: survivors
    ]


def _check_fraction(what: str, share: float) -> None:
    if not 0 <= share <= 1:
        raise ValueError(f"{what}: {share} is not a fraction between 0 and 1")
