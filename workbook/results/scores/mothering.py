"""The mothering score: 0 to 100 in parts that add up, only from what is hers, only where enough was recorded."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from statistics import fmean
from typing import NamedTuple

from workbook.results.scores.mothering_parts import Shares, acceptance, full_next_day, kept_alive, litter_growth, milk_and_teats
from workbook.results.scores.peers import LitterClass, Peers, litter_class, peers
from workbook.results.scores.rearing import Rearing, rearing
from workbook.results.scores.standing import FEW_TO_COMPARE, places, third
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

NOT_ENOUGH, POOR = "not enough recorded", "poor"
POOR_BELOW = "score-fair"  # the weight of Policy
PARTS = {  # by id
    "acceptance": "acceptance", "milk": "milk and teats", "full": "lambs full next day",
    "alive": "her live-born lambs kept alive", "growth": "litter growth",
}
NOTHING = "nothing recorded"
EXACT = 6  # decimals of a score, so that the same looks give the same score in whatever order they are added up


@dataclass(frozen=True)
class Part:
    """One part: `points` of `most`. Where nothing of hers was judged (`recorded` False) they are the mean of ewes like her.

    None where no ewe at all was judged by it, and for a ewe without a score.
    """

    id: str
    label: str
    points: float | None
    most: float
    reason: str
    cells: tuple[CellRef, ...] = ()
    recorded: bool = True


@dataclass(frozen=True)
class MotheringScore:
    """Her score of 100, None below the least coverage. `coverage` is the share of points that could be judged, in %.

    Score = 100 x sum of the points / sum of `most` of the parts that have any. Ewes judged by every part that any ewe was
    judged by have the first places of the flock, the others come after all of them; in both by score, then by coverage.
    """

    ewe: str
    score: float | None
    coverage: float
    parts: tuple[Part, ...]
    word: str  # the third of her class, "few to compare", "poor" whatever her class, or "not enough recorded"
    place: int | None = None  # in the flock, 1 for the best; None without a score
    of_class: str = ""  # the ewes she is held against, herself among them: "34 mature, twins"
    above_class: int | None = None  # points above the mean of those ewes, None where even all of them are few


class Mean(NamedTuple):
    """What stands in for a part: the mean share of the ewes it was judged of, and who they are."""

    share: float
    words: str


Judge = Callable[[Ewe], Shares]
Judged = Mapping[str, Shares]  # by id of the part


def mothering_scores(season: Season, reared: Rearing | None = None) -> Mapping[str, MotheringScore]:
    """The score of every ewe that lambed, by ewe key. `reared` is what `rearing(season)` gave, where it is at hand."""
    known = reared or rearing(season)
    judges: Mapping[str, Judge] = {
        "acceptance": acceptance, "milk": milk_and_teats, "full": lambda ewe: full_next_day(season.flock, ewe),
        "alive": lambda ewe: kept_alive(season, ewe), "growth": lambda ewe: litter_growth(season, ewe, known),
    }
    lambed = [ewe for ewe in season.flock.ewes.values() if ewe.lambed]
    classes = {ewe.key: litter_class(season, ewe) for ewe in lambed}
    judged = {ewe.key: {id: judges[id](ewe) for id in PARTS} for ewe in lambed}
    means = {id: _means({key: parts[id] for key, parts in judged.items()}, classes) for id in PARTS}
    weights = season.policy.weights
    scores = {
        key: _score(key, judged[key], {id: mean[key] for id, mean in means.items() if key in mean}, weights) for key in judged
    }
    return _standing(scores, classes, weights[POOR_BELOW])


def any_scored(scores: Iterable[MotheringScore]) -> bool:
    """Whether any ewe has a score: where none has, nothing is shown of them."""
    return any(score.score is not None for score in scores)


def _means(part: Mapping[str, Shares], classes: Mapping[str, LitterClass]) -> Mapping[str, Mean]:
    """For each ewe the mean of this part over the ewes of her class it was judged of, over all where these are few."""
    shares = {key: found.mean for key, found in part.items()}
    known = {key: share for key, share in shares.items() if share is not None}
    if not known:
        return {}
    beside = peers(classes, known)
    of: dict[Peers, Mean] = {like: Mean(fmean(known[key] for key in like.ewes), like.words) for like in set(beside.values())}
    return {key: of[like] for key, like in beside.items()}


def _score(ewe: str, judged: Judged, means: Mapping[str, Mean], weights: Mapping[str, float]) -> MotheringScore:
    parts = tuple(_part(id, judged[id], weights[f"weight-{id}"]) for id in PARTS)
    most, recorded = sum(part.most for part in parts), sum(part.most for part in parts if part.recorded)
    coverage = 100 * recorded / most if most else 0.0
    if not recorded or coverage < weights["least-coverage"]:
        return MotheringScore(ewe, None, coverage, parts, NOT_ENOUGH)
    whole = tuple(part if part.recorded else _filled(part, means.get(part.id)) for part in parts)
    counted = [(part.points, part.most) for part in whole if part.points is not None]
    score = 100 * sum(points for points, _ in counted) / sum(most for _, most in counted)
    return MotheringScore(ewe, round(score, EXACT), coverage, whole, FEW_TO_COMPARE)


def _part(id: str, shares: Shares, most: float) -> Part:
    share = shares.mean
    if share is None:
        return Part(id, PARTS[id], None, most, NOTHING, shares.cells, recorded=False)
    return Part(id, PARTS[id], share * most, most, shares.reason, shares.cells)


def _filled(part: Part, mean: Mean | None) -> Part:
    """A part of which nothing is known, with what is usual in ewes like her."""
    return part if mean is None else replace(part, points=mean.share * part.most, reason=f"{NOTHING}: mean of {mean.words}")


def _standing(
    scores: Mapping[str, MotheringScore], classes: Mapping[str, LitterClass], poor_below: float,
) -> Mapping[str, MotheringScore]:
    """The same scores, each with her place in the flock and where she stands among the ewes she is held against."""
    known = {key: found.score for key, found in scores.items() if found.score is not None}
    place = places({key: (_incomplete(scores[key]), -score, -scores[key].coverage) for key, score in known.items()})
    beside = peers(classes, known)
    of = {like: [known[key] for key in like.ewes] for like in set(beside.values())}
    return {
        key: replace(_beside(found, known[key], of[beside[key]], poor_below), place=place[key], of_class=beside[key].words)
        if key in known else found
        for key, found in scores.items()
    }


def _incomplete(found: MotheringScore) -> bool:
    return any(part.points is not None and not part.recorded for part in found.parts)


def _beside(found: MotheringScore, score: float, scores: list[float], poor_below: float) -> MotheringScore:
    word = third(score, scores)
    above = None if word == FEW_TO_COMPARE else round(score - fmean(scores))
    return replace(found, word=POOR if score < poor_below else word, above_class=above)
