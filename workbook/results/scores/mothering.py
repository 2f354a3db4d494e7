"""The mothering score: 0 to 100 in parts that add up, only from what is hers, only where enough was recorded."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from statistics import fmean

from workbook.results.scores.mothering_parts import Shares, acceptance, full_next_day, kept_alive, litter_growth, milk_and_teats
from workbook.results.scores.rearing import Rearing, rearing
from workbook.results.statistics.proportions import FEW
from workbook.season.ages import AgeClass, age_class, litter_words
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

NOT_ENOUGH = "not enough recorded"
GOOD, FAIR, POOR = "good", "fair", "poor"
PARTS = {  # by id
    "acceptance": "acceptance", "milk": "milk and teats", "full": "lambs full next day",
    "alive": "her live-born lambs kept alive", "growth": "litter growth",
}


@dataclass(frozen=True)
class Part:
    """One part: `points` of `most`; None where nothing was recorded for it.

    Points stand on the scale of `most`, not yet made up for parts that are missing:
    score = 100 x sum of the points / sum of `most` of the parts that were judged.
    """

    id: str
    label: str
    points: float | None
    most: float
    reason: str
    cells: tuple[CellRef, ...] = ()


@dataclass(frozen=True)
class MotheringScore:
    """Her score of 100, None below the least coverage. `coverage` is the share of points that could be judged, in %."""

    ewe: str
    score: float | None
    coverage: float
    parts: tuple[Part, ...]
    word: str  # good, fair, poor, or "not enough recorded"
    of_class: str = ""  # the ewes of her age class and litter size, herself among them: "34 mature, twins"
    above_class: int | None = None  # points above the mean of those ewes, None where they are few


Judge = Callable[[Ewe], Shares]


def mothering_scores(season: Season, reared: Rearing | None = None) -> Mapping[str, MotheringScore]:
    """The score of every ewe that lambed, by ewe key. `reared` is what `rearing(season)` gave, where it is at hand."""
    known = reared or rearing(season)
    judges: Mapping[str, Judge] = {
        "acceptance": acceptance, "milk": milk_and_teats, "full": full_next_day, "alive": kept_alive,
        "growth": lambda ewe: litter_growth(known.litters.get(ewe.key), known.against(ewe.key)),
    }
    lambed = [ewe for ewe in season.flock.ewes.values() if ewe.lambed]
    scores = {ewe.key: _score(ewe, judges, season.policy.weights) for ewe in lambed}
    classes = {ewe.key: (age_class(season, ewe), len(ewe.born)) for ewe in lambed}
    return _compared(scores, classes)


def _score(ewe: Ewe, judges: Mapping[str, Judge], weights: Mapping[str, float]) -> MotheringScore:
    parts = tuple(_part(id, label, judges[id](ewe), weights[f"weight-{id}"]) for id, label in PARTS.items())
    most = sum(part.most for part in parts)
    judged = sum(part.most for part in parts if part.points is not None)
    coverage = 100 * judged / most if most else 0.0
    if not judged or coverage < weights["least-coverage"]:
        return MotheringScore(ewe.key, None, coverage, parts, NOT_ENOUGH)
    score = 100 * sum(part.points for part in parts if part.points is not None) / judged
    return MotheringScore(ewe.key, score, coverage, parts, _word(score, weights))


def _part(id: str, label: str, shares: Shares, most: float) -> Part:
    share = shares.mean
    points = None if share is None else share * most
    return Part(id, label, points, most, shares.reason if points is not None else "nothing recorded", shares.cells)


def _word(score: float, weights: Mapping[str, float]) -> str:
    if score >= weights["score-good"]:
        return GOOD
    return FAIR if score >= weights["score-fair"] else POOR


def _compared(
    scores: Mapping[str, MotheringScore], classes: Mapping[str, tuple[AgeClass, int]],
) -> Mapping[str, MotheringScore]:
    """The same scores, each with its comparison with ewes of her age class and litter size, herself among them."""
    by_class: dict[tuple[AgeClass, int], list[float]] = defaultdict(list)
    for key, scored in scores.items():
        if scored.score is not None:
            by_class[classes[key]].append(scored.score)
    means = {own: (len(known), fmean(known)) for own, known in by_class.items()}
    return {
        key: scored if scored.score is None else _beside(scored, scored.score, *classes[key], *means[classes[key]])
        for key, scored in scores.items()
    }


def _beside(scored: MotheringScore, score: float, age: AgeClass, size: int, number: int, mean: float) -> MotheringScore:
    above = round(score - mean) if number >= FEW else None
    return replace(scored, of_class=f"{number} {age.words}, {litter_words(size)}", above_class=above)
