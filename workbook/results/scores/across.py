"""Several seasons as one value: how much a ewe's record so far says about her next season."""

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import fmean

from workbook.results.scores.comparing import Against
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

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


def weight_of_records(number: int, repeatability: float) -> float:
    """The share of a mean difference to believe: n r / (1 + (n - 1) r), for n records of one animal.

    Repeatability from 0 to 1. Source: Lush, most probable producing ability; Mrode, Linear Models for the Prediction of
    Animal Breeding Values, section 1.3.
    """
    return number * repeatability / (1 + (number - 1) * repeatability) if number > 0 else 0.0


def across_seasons(season: Season, against: Mapping[str, Against]) -> Mapping[str, AcrossSeasons]:
    """For each ewe compared this season or before: her deviations over all seasons, with the repeatability on Policy.

    `against` are this season's litters by ewe key. Each season's deviation is from the ewes of that season, so good and
    bad years even out.
    """
    share = min(max(season.policy.weights["repeatability"], 0.0), 1.0)
    found = {key: _across(ewe, against.get(key), share) for key, ewe in season.flock.ewes.items()}
    return {key: one for key, one in found.items() if one is not None}


def _across(ewe: Ewe, now: Against | None, share: float) -> AcrossSeasons | None:
    before, cells = _earlier(ewe)
    deviations = before + ([] if now is None or now.deviation is None else [now.deviation])
    if not deviations:
        return None
    number, mean = len(deviations), fmean(deviations)
    kg = weight_of_records(number, share) * mean
    seasons = f"{number} {'season' if number == 1 else 'seasons'}"
    return AcrossSeasons(kg, number, mean, f"mean of {seasons} {mean:+.1f} kg, repeatability {share:g}", cells)


def _earlier(ewe: Ewe) -> tuple[list[float], tuple[CellRef, ...]]:
    """Her mean deviation of earlier seasons, once for each of them; a mean without its number counts as one season."""
    mean = ewe.record.number(EARLIER) if ewe.record else None
    if ewe.record is None or mean is None:
        return [], ()
    seasons = ewe.record.whole(EARLIER_SEASONS)
    number = 1 if seasons is None else max(seasons, 0)
    return [mean] * number, (ewe.record.at(EARLIER), ewe.record.at(EARLIER_SEASONS))
