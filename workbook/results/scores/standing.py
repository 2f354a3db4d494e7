"""Where a ewe stands by her score: in which third of those she is held against, and in which place of the flock."""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence

from workbook.results.statistics.proportions import FEW

UPPER, MIDDLE, LOWER = "upper third", "middle third", "lower third"
FEW_TO_COMPARE = "few to compare"


def third(score: float, scores: Sequence[float]) -> str:
    """The third of `scores`, her own among them, that a score stands in; under ten there is nothing to stand among.

    Ewes of one score stand together, where the middle of them stands: so there are a third each, but for those alike.
    """
    number = len(scores)
    if number < FEW:
        return FEW_TO_COMPARE
    ordered = sorted(scores)
    twice_above = 2 * number - bisect_left(ordered, score) - bisect_right(ordered, score)  # how many stand above, times two
    if 3 * twice_above < 2 * number:
        return UPPER
    return LOWER if 3 * twice_above > 4 * number else MIDDLE


def places(best_first: Mapping[str, tuple[float, ...]]) -> Mapping[str, int]:
    """The place of each ewe, smallest first; those alike share a place, and the next comes after all of them."""
    ordered = sorted(best_first.values())
    return {ewe: 1 + bisect_left(ordered, own) for ewe, own in best_first.items()}
