"""What a ewe reared in kilograms, and how that compares with ewes that reared as many."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import fmean, stdev
from typing import NamedTuple, TypeVar

from template_builder.choices import Born, LambLeft, Weighed
from workbook.cells import CellRef
from workbook.flock import Ewe, Lamb
from workbook.scores.adjusted import BirthWeights, birth_weights, lamb_weight, weighing
from workbook.scores.classes import FEW, age_class, litter_words
from workbook.season import Season


@dataclass(frozen=True)
class LitterWeight:
    """Adjusted weights of the lambs she reared, in kg; None where not every one could be counted, and `words` says why."""

    ewe: str
    kg: float | None
    reared: int
    words: str
    cells: tuple[CellRef, ...]


@dataclass(frozen=True)
class Against:
    """A litter weight against its class: kg above the class mean, that in standard deviations, and the class in words.

    `spreads` is None where the class is few or all alike.
    """

    deviation: float
    spreads: float | None
    number: int
    words: str


def litter_weights(season: Season) -> Mapping[str, LitterWeight]:
    """For each ewe that reared a lamb to weaning: the sum of the adjusted weights. A lamb not weighed leaves it incomplete."""
    stand_ins = birth_weights(season)
    weaned_on = {row.text("group"): row.day("weaning") for row in season.rows("groups")}
    found = {}
    for key, ewe in season.flock.ewes.items():
        lambs = reared(ewe, weaned_on.get(ewe.record.text("group")) if ewe.record else None)
        if lambs:
            found[key] = _litter(season, ewe, lambs, stand_ins)
    return found


def reared(ewe: Ewe, weaned_on: date | None = None) -> tuple[Lamb, ...]:
    """Lambs with her at weaning, own and set on, and those sold alive from her before: they were reared too."""
    with_her = [lamb for lamb in (*ewe.lambs, *ewe.fostered) if lamb.rearer == ewe.key and lamb.born is Born.ALIVE]
    return tuple(lamb for lamb in with_her if _reached_weaning(lamb, weaned_on))


def _reached_weaning(lamb: Lamb, weaned_on: date | None) -> bool:
    if lamb.left_how in (None, LambLeft.SOLD) or weighing(lamb, Weighed.WEANING) is not None:
        return True
    return weaned_on is not None and lamb.left_on is not None and lamb.left_on >= weaned_on


def _litter(season: Season, ewe: Ewe, lambs: tuple[Lamb, ...], stand_ins: BirthWeights) -> LitterWeight:
    taken = [(lamb, lamb_weight(season, lamb, Weighed.WEANING, stand_ins)) for lamb in lambs]
    missing = [f"{lamb.name} not weighed" for lamb, weight in taken if weight is None]
    weights = [weight for _, weight in taken if weight is not None]
    missing += [weight.words for weight in weights if weight.kg is None]
    cells = tuple(cell for weight in weights for cell in weight.cells)
    kgs = [weight.kg for weight in weights if weight.kg is not None]
    if missing:
        return LitterWeight(ewe.key, None, len(lambs), f"incomplete: {', '.join(dict.fromkeys(missing))}", cells)
    warned = dict.fromkeys(weight.words for weight in weights if weight.words)
    return LitterWeight(ewe.key, sum(kgs), len(lambs), "; ".join(warned), cells)


def against_class(season: Season, litters: Mapping[str, LitterWeight]) -> Mapping[str, Against]:
    """Each complete litter against the smallest of its classes that holds at least 10 litters.

    Tried in turn: as many reared and of her age class; as many reared; the flock, where the weight per lamb is
    compared so that a ewe with one lamb does not stand against ewes with two.
    """
    whole = {key: (litter.reared, litter.kg) for key, litter in litters.items() if litter.kg is not None}
    ages = {key: age_class(season, season.flock.ewes[key]) for key in whole}
    by_age = _classes(((ages[key], size), kg) for key, (size, kg) in whole.items())
    by_size = _classes(whole.values())
    flock = _classes((None, kg / size) for size, kg in whole.values())
    found = {}
    for key, (size, kg) in whole.items():
        reared = f"with {litter_words(size)} reared"
        own, alike = by_age[ages[key], size], by_size[size]
        if own.number >= FEW:
            found[key] = own.against(kg, f"{ages[key].ewes(own.number)} {reared}")
        elif alike.number >= FEW:
            found[key] = alike.against(kg, f"{alike.number} ewes {reared}")
        else:
            found[key] = flock[None].against(kg, f"{flock[None].number} ewes, weight per lamb", size)
    return found


class _Class(NamedTuple):
    """Litters that are compared: how many, their mean in kg, and their standard deviation (0 where they are few)."""

    number: int
    mean: float
    spread: float

    def against(self, kg: float, words: str, lambs: int = 1) -> Against:
        """A litter against this class; where the class is of weights per lamb, `lambs` is how many make the litter."""
        deviation = kg / lambs - self.mean
        few = "" if self.number >= FEW else "few: only "
        return Against(deviation * lambs, deviation / self.spread if self.spread > 0 else None, self.number, few + words)


Name = TypeVar("Name", bound=Hashable)


def _classes(litters: Iterable[tuple[Name, float]]) -> dict[Name, _Class]:
    gathered: dict[Name, list[float]] = defaultdict(list)
    for name, kg in litters:
        gathered[name].append(kg)
    return {
        name: _Class(len(kgs), fmean(kgs), stdev(kgs) if len(kgs) >= FEW else 0.0) for name, kgs in gathered.items()
    }
