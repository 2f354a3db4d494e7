"""Several seasons as one value: how much a ewe's record so far says about her next season."""

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import fmean
from typing import NamedTuple

from template_builder.layout.words import so_many
from workbook.results.scores.comparing import Against
from workbook.results.statistics.repeatability import Seasons, repeatability
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

# Fewer ewes with two seasons and more do not tell how alike a flock's seasons are: house rule.
LEAST_EWES = 30

EARLIER, EARLIER_SEASONS = "past_litter_deviation", "past_litter_seasons"


@dataclass(frozen=True)
class AcrossSeasons:
    """Kilograms of litter weight above like ewes to be expected of her in a season: the mean of her seasons, shrunk
    towards zero the fewer they are. `seasons` is how many, this one among them where she was compared."""

    kg: float
    seasons: int
    mean: float
    words: str
    cells: tuple[CellRef, ...]


class Share(NamedTuple):
    """A repeatability from 0 to 1, and where it is from."""

    value: float
    words: str


def weight_of_records(number: int, repeatability: float) -> float:
    """The share of a mean difference to believe: n r / (1 + (n - 1) r), for n records of one animal.

    Repeatability from 0 to 1. Source: Lush, most probable producing ability; Mrode, Linear Models for the Prediction of
    Animal Breeding Values, section 1.3.
    """
    return number * repeatability / (1 + (number - 1) * repeatability) if number > 0 else 0.0


def share_of_ewe(season: Season, against: Mapping[str, Against]) -> Share:
    """The repeatability of litters against like ewes: this flock's own where enough ewes have two seasons, else that on Policy.

    A ewe has two seasons when she was compared this season and a mean of earlier ones is written on Ewes.
    """
    own = [Seasons(deviation, before[0], len(before)) for key, ewe in season.flock.ewes.items()
           if (now := against.get(key)) and (deviation := now.deviation) is not None and (before := _earlier(ewe)[0])]
    found = repeatability(own) if len(own) >= LEAST_EWES else None
    if found is not None:
        return Share(found, f"from {len(own)} ewes of this flock")
    return Share(min(max(season.policy.weights["repeatability"], 0.0), 1.0), "as on Policy")


def across_seasons(season: Season, against: Mapping[str, Against]) -> Mapping[str, AcrossSeasons]:
    """For each ewe compared this season or before: her deviations over all seasons, with the `share_of_ewe`.

    `against` are this season's litters by ewe key. Each season's deviation is from the ewes of that season, so good and
    bad years even out.
    """
    share = share_of_ewe(season, against)
    found = {key: _across(ewe, against.get(key), share) for key, ewe in season.flock.ewes.items()}
    return {key: one for key, one in found.items() if one is not None}


def _across(ewe: Ewe, now: Against | None, share: Share) -> AcrossSeasons | None:
    before, cells = _earlier(ewe)
    deviations = before + ([] if now is None or now.deviation is None else [now.deviation])
    if not deviations:
        return None
    number, mean = len(deviations), fmean(deviations)
    kg = weight_of_records(number, share.value) * mean
    seasons = so_many(number, "season")
    words = f"mean of {seasons} {mean:+.1f} kg, repeatability {share.value:.2g} {share.words}"
    return AcrossSeasons(kg, number, mean, words, cells)


def _earlier(ewe: Ewe) -> tuple[list[float], tuple[CellRef, ...]]:
    """Her mean deviation of earlier seasons, once for each of them; a mean without its number counts as one season."""
    mean = ewe.record.number(EARLIER) if ewe.record else None
    if ewe.record is None or mean is None:
        return [], ()
    seasons = ewe.record.whole(EARLIER_SEASONS)
    number = 1 if seasons is None else max(seasons, 0)
    return [mean] * number, (ewe.record.at(EARLIER), ewe.record.at(EARLIER_SEASONS))
