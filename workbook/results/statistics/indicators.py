"""Flock figures that follow from other figures, where the denominator is the usual trap."""

from collections.abc import Sequence
from dataclasses import dataclass

from workbook.results.statistics.proportions import Proportion, widened_wilson


@dataclass(frozen=True)
class StageLoss:
    """Lambs lost in one stage, as a share of all live-born and of those still here when the stage began.

    Shares of live-born may be added over stages; shares of those here at the start may not. `survived` is the share alive
    at its end had none left alive.
    """

    lost: int
    of_live_born: Proportion
    of_alive_at_start: Proportion | None
    survived: float | None


def stage_losses(
    born_alive: int, at_risk: Sequence[int], losses: Sequence[int], left_alive: Sequence[int],
    effects: Sequence[tuple[float, float]] = (),
) -> list[StageLoss]:
    """Loss at each stage in order of time, from lambs here when it began, lost in it, and sold or still in it.

    Of those that left a stage alive each was at risk for half of it: the loss is q = lost / (at risk - left alive / 2), and
    survival is the product of 1 - q. Source: the actuarial method, Cutler & Ederer 1958, J. Chronic Dis. 8:699 (from memory).
    `effects` are the design effects of each stage's shares, of live-born and of those at risk: litter mates are alike.
    Survival is not defined from the first stage on in which no animal was at risk. Raises ValueError if a loss is negative
    or more lambs are lost than were there.
    """
    found: list[StageLoss] = []
    survived: float | None = 1.0
    effects = effects or [(1.0, 1.0)] * len(losses)
    for start, lost, left, (of_all, of_start) in zip(at_risk, losses, left_alive, effects, strict=True):
        exposed = start - left / 2
        survived = survived * (1 - lost / exposed) if survived is not None and exposed else None
        found.append(StageLoss(
            lost, widened_wilson(lost, born_alive, of_all), widened_wilson(lost, start, of_start), survived))
    return found
