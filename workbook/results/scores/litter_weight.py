"""What a ewe reared, in kilograms."""

from collections.abc import Mapping
from dataclasses import dataclass

from template_builder.layout.choices import Weighed
from workbook.results.scores.adjusted import BirthWeights, birth_weights, lamb_weight
from workbook.season.cells import CellRef
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups, lost_after_weaning
from workbook.season.season import Season


@dataclass(frozen=True)
class LitterWeight:
    """Adjusted weights of the lambs she reared, in kg; None where not every one could be counted, and `words` says why.

    `rows` are the rows on Lambs of those that were weighed.
    """

    ewe: str
    kg: float | None
    reared: int
    words: str
    cells: tuple[CellRef, ...]
    rows: tuple[int, ...] = ()


def litter_weights(season: Season, occasion: Weighed = Weighed.WEANING) -> Mapping[str, LitterWeight]:
    """For each ewe that reared a lamb to the early or the weaning weighing: the sum of the adjusted weights.

    A lamb not weighed leaves the litter incomplete.
    """
    stand_ins = birth_weights(season)
    groups = Groups.of(season)
    found = {}
    for key, ewe in season.flock.ewes.items():
        lambs = reared(ewe, groups, occasion)
        if lambs:
            found[key] = _litter(season, ewe, lambs, stand_ins, occasion)
    return found


def reared(ewe: Ewe, groups: Groups, occasion: Weighed) -> tuple[Lamb, ...]:
    """Lambs with her on the occasion, own and set on, and those sold alive from her before: they were reared too."""
    return tuple(lamb for lamb in ewe.suckled if _reached(ewe, lamb, groups, occasion))


def _reached(ewe: Ewe, lamb: Lamb, groups: Groups, occasion: Weighed) -> bool:
    if not lamb.lost or lamb.weighing(occasion) is not None:
        return True
    return occasion is Weighed.WEANING and lost_after_weaning(groups, ewe, lamb)


def _litter(
    season: Season, ewe: Ewe, lambs: tuple[Lamb, ...], stand_ins: BirthWeights, occasion: Weighed,
) -> LitterWeight:
    taken = [(lamb, lamb_weight(season, lamb, occasion, stand_ins)) for lamb in lambs]
    rows = tuple(lamb.record.row for lamb, weight in taken if weight is not None)
    weights = [weight for _, weight in taken if weight is not None]
    cells = tuple(cell for weight in weights for cell in weight.cells)
    said = tuple(dict.fromkeys(weight.words for weight in weights if weight.words))
    kgs = [weight.kg for weight in weights if weight.kg is not None]
    if missing := [f"{lamb.name} not weighed" for lamb, weight in taken if weight is None]:
        return LitterWeight(ewe.key, None, len(lambs), f"incomplete: {', '.join(missing)}", cells, rows)
    return LitterWeight(ewe.key, sum(kgs) if len(kgs) == len(lambs) else None, len(lambs), "; ".join(said), cells, rows)
