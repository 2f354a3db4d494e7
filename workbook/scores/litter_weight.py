"""What a ewe reared in kilograms, and how that compares with ewes that reared as many."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import fmean, stdev

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
    whole = {key: litter for key, litter in litters.items() if litter.kg is not None}
    ages = {key: age_class(season, season.flock.ewes[key]) for key in whole}
    by_age = _gather((ages[key], litter.reared, litter) for key, litter in whole.items())
    by_size = _gather((litter.reared, litter) for litter in whole.values())
    per_lamb = [_kg(litter) / litter.reared for litter in whole.values()]
    found = {}
    for key, litter in whole.items():
        age, size = ages[key], litter.reared
        if len(kgs := by_age[age, size]) >= FEW:
            found[key] = _against(_kg(litter), kgs, f"{age.ewes(len(kgs))} with {litter_words(size)} reared")
        elif len(kgs := by_size[size,]) >= FEW:
            found[key] = _against(_kg(litter), kgs, f"{len(kgs)} ewes with {litter_words(size)} reared")
        else:
            found[key] = _per_lamb(litter, per_lamb)
    return found


def _gather(rows: Iterable[tuple[Hashable | LitterWeight, ...]]) -> dict[tuple[Hashable, ...], list[float]]:
    found: dict[tuple[Hashable, ...], list[float]] = defaultdict(list)
    for *names, litter in rows:
        if isinstance(litter, LitterWeight):
            found[tuple(names)].append(_kg(litter))
    return found


def _kg(litter: LitterWeight) -> float:
    return litter.kg or 0.0


def _per_lamb(litter: LitterWeight, flock: list[float]) -> Against:
    against = _against(_kg(litter) / litter.reared, flock, f"{len(flock)} ewes, weight per lamb")
    return Against(against.deviation * litter.reared, against.spreads, against.number, against.words)


def _against(kg: float, kgs: list[float], words: str) -> Against:
    deviation = kg - fmean(kgs)
    spread = stdev(kgs) if len(kgs) >= FEW else 0.0
    few = "" if len(kgs) >= FEW else "few: only "
    return Against(deviation, deviation / spread if spread > 0 else None, len(kgs), few + words)
