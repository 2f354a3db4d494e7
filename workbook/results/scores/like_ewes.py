"""Litters against those of like ewes: a ewe's lambs, each against like lambs, together."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from math import sqrt

from workbook.results.scores.comparing import ALIKE, Against, Comparison, counted
from workbook.results.scores.lamb_model import LambAgainst, LambModel
from workbook.results.scores.litter_weight import LitterWeight
from workbook.results.statistics.proportions import FEW
from workbook.season.ages import litter_words


def litters_against(litters: Mapping[str, LitterWeight], model: LambModel) -> Comparison[str]:
    """Each litter of which every lamb was weighed: the sum of what its lambs are above like lambs.

    So a single that is a ewe lamb is held against single ewe lambs, and three lambs are no better for being more than two.
    A number reared by fewer than 10 ewes is not compared. The sum is also told in the spread of litters of as many lambs.
    """
    whole = {
        key: [model.lambs[row] for row in litter.rows] for key, litter in litters.items()
        if len(litter.rows) == litter.reared and all(row in model.lambs for row in litter.rows)
    }
    sizes = Counter(map(len, whole.values()))
    told = {key: _sum(lambs, sizes[len(lambs)]) for key, lambs in whole.items()}
    kgs: dict[int, list[float]] = defaultdict(list)
    for key, one in told.items():
        if one.deviation is not None:
            kgs[len(whole[key])].append(one.deviation)
    spreads = {size: _spread(deviations) for size, deviations in kgs.items()}
    against = {key: _in_spreads(one, spreads.get(len(whole[key]))) for key, one in told.items()}
    behind = model.comparison
    return Comparison(against, behind.model, behind.words, behind.classes, behind.numbers)


def _sum(lambs: Sequence[LambAgainst], ewes: int) -> Against:
    """The lambs of a litter together; not compared where one of them, or the litter itself, has too few like it."""
    few = [one.against for one in lambs if one.against.deviation is None]
    if few:
        return few[0]
    if ewes < FEW:
        return Against(None, None, ewes, f"few: only {counted(ewes, 'ewes')} with {litter_words(len(lambs))} reared")
    words = "; ".join(dict.fromkeys(one.against.words for one in lambs))
    number = min(one.against.number for one in lambs)
    return Against(sum(one.against.deviation or 0.0 for one in lambs), None, number, words)


def _spread(deviations: Sequence[float]) -> float | None:
    """Standard deviation of litters about the like lambs they were held against; None where all are as those, or too few."""
    if len(deviations) < FEW:
        return None
    spread = sqrt(sum(kg**2 for kg in deviations) / (len(deviations) - 1))
    return spread if spread > ALIKE else None


def _in_spreads(one: Against, spread: float | None) -> Against:
    return one if one.deviation is None or spread is None else Against(
        one.deviation, one.deviation / spread, one.number, one.words)
