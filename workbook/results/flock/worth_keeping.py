"""What each ewe is worth keeping for, from which the next ewes to go are told: those that stay with the fewest points."""

from collections.abc import Iterable, Mapping, Set
from statistics import fmean
from typing import NamedTuple

from template_builder.layout.policy import EVIDENCE_BY_ID, FEET, TEATS, UDDER
from workbook.results.advice.decisions import Decision
from workbook.results.scores.mothering import MotheringScore
from workbook.results.scores.rearing import rearing
from workbook.season.ages import age_in_years
from workbook.season.families import Ewe
from workbook.season.season import Season

EACH = 25.0  # points a part can have; four parts make 100: house rule
A_NOTE = 10.0  # points off for each note about udder, teats or feet: house rule
PER_KG = 2.5  # points for each kg of litter weight above like ewes, over her seasons: house rule
NOTED = (UDDER, TEATS, FEET)


class Worth(NamedTuple):
    """What a ewe is worth keeping for, 0 to 100, in four parts of up to 25 points each.

    `age` falls from the youngest age in the flock to the oldest, `mothering` is a quarter of her score, `litters` is 12.5 for
    litters as like ewes have, `notes` loses 10 for each thing said of udder, teats or feet. A part nothing is known of has the
    mean of the other ewes' (`guessed` names it), so that a gap neither saves a ewe nor condemns her.
    """

    ewe: str
    name: str
    age: float
    mothering: float
    litters: float
    notes: float
    guessed: tuple[str, ...]

    @property
    def points(self) -> float:
        return self.age + self.mothering + self.litters + self.notes


def worth_keeping(
    season: Season, decided: Mapping[str, Decision], mothering: Mapping[str, MotheringScore],
) -> tuple[Worth, ...]:
    """Every ewe there is a decision on, the one with the fewest points first."""
    here = list(decided.values())
    parts = {
        "age": _ages(season, [season.flock.ewes[one.ewe] for one in here]),
        "mothering": {one.ewe: score.score / 100 * EACH for one in here
                      if (score := mothering.get(one.ewe)) and score.score is not None},
        "litters": _litters(season, here),
    }
    means = {name: fmean(known.values()) if known else EACH / 2 for name, known in parts.items()}
    noted = {placed.rule.id for placed in season.policy.rules if EVIDENCE_BY_ID[placed.rule.evidence].checked in NOTED}
    worth = [_worth(one, parts, means, noted) for one in here]
    return tuple(sorted(worth, key=lambda one: (round(one.points, 6), one.name)))


def _worth(one: Decision, parts: Mapping[str, Mapping[str, float]], means: Mapping[str, float], noted: Set[str]) -> Worth:
    points = {name: known.get(one.ewe, means[name]) for name, known in parts.items()}
    guessed = tuple(name for name, known in parts.items() if one.ewe not in known)
    notes = max(EACH - A_NOTE * sum(reason.rule in noted for reason in one.reasons), 0.0)
    return Worth(one.ewe, one.name, points["age"], points["mothering"], points["litters"], notes, guessed)


def _ages(season: Season, ewes: Iterable[Ewe]) -> Mapping[str, float]:
    known = {ewe.key: age for ewe in ewes if (age := age_in_years(season, ewe)) is not None}
    if not known:
        return {}
    youngest, oldest = min(known.values()), max(known.values())
    return {key: EACH * (oldest - age) / max(oldest - youngest, 1) for key, age in known.items()}


def _litters(season: Season, here: Iterable[Decision]) -> Mapping[str, float]:
    across = rearing(season).across
    return {one.ewe: min(max(EACH / 2 + PER_KG * across[one.ewe].kg, 0.0), EACH) for one in here if one.ewe in across}
