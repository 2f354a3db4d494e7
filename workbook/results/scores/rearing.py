"""What each ewe reared: her litter weight, how it stands against like ewes, and over the seasons."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from workbook.results.scores.across import AcrossSeasons, across_seasons
from workbook.results.scores.comparing import Against, Comparison
from workbook.results.scores.lamb_model import LambModel, lamb_model
from workbook.results.scores.like_ewes import litters_against
from workbook.results.scores.litter_weight import LitterWeight, litter_weights
from workbook.season.season import Season, once


@dataclass(frozen=True)
class Rearing:
    """Litter weights at weaning by ewe key, how they stand by the lamb model, and the value over all seasons."""

    litters: Mapping[str, LitterWeight] = field(default_factory=dict)
    comparison: Comparison[str] = Comparison({})
    lambs: LambModel = LambModel()
    across: Mapping[str, AcrossSeasons] = field(default_factory=dict)

    def against(self, ewe: str) -> Against | None:
        return self.comparison.against.get(ewe)


@once
def rearing(season: Season) -> Rearing:
    """What each ewe reared this season and before."""
    litters, lambs = litter_weights(season), lamb_model(season)
    comparison = litters_against(litters, lambs)
    return Rearing(litters, comparison, lambs, across_seasons(season, comparison.against))
