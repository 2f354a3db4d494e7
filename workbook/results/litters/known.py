"""On how much of the records a figure rests, and what it could be if the rest were all one way or all the other.

One routine serves every figure. A share has bounds: none of the animals not known count, or all of them. A sum of weights is
standardised: an animal not weighed takes the mean of its class, so that a weighing half done does not make lambs light.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from statistics import fmean
from typing import NamedTuple, TypeVar

from template_builder.layout.choices import RearedBy, Stage, Weighed
from template_builder.layout.words import sentence
from workbook.results.litters.ewe_facts import reared
from workbook.results.litters.figure import Figure
from workbook.results.litters.occasions import netted
from workbook.results.litters.shortages import short_in
from workbook.results.statistics.proportions import PER_CENT
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.season import Season

# Below this share known a figure is set against no target and no other season: house rule.
ENOUGH = Fraction(80, 100)
ENOUGH_SHOWN = f"{float(PER_CENT * ENOUGH):.0f} %"


class Unknown(NamedTuple):
    """How many animals a figure does not know of, and whom it counts.

    `inside`: they stand in its denominator already. `booked`: they stand in its numerator, as lambs booked but not seen.
    `of`: how many there are in all, where that is neither. `beyond`: further animals, of groups that are left out.
    """

    number: int
    whom: str
    inside: bool = True
    booked: bool = False
    of: int | None = None
    beyond: int = 0


def enough(figure: Figure) -> bool:
    """Whether a figure rests on records enough to be set against a target or another season."""
    return figure.known is None or not figure.of or Fraction(figure.known, figure.of) >= ENOUGH


def resting_on(figures: Iterable[Figure], unknown: Mapping[str, Unknown]) -> tuple[Figure, ...]:
    """The figures, each with how many of the animals it should count are known, and its bounds where that is not all."""
    return tuple(_resting(figure, unknown.get(figure.id)) for figure in figures)


def _resting(figure: Figure, unknown: Unknown | None) -> Figure:
    if figure.value is None or figure.numerator is None and unknown is None:
        return figure
    if unknown is None or unknown.number + unknown.beyond <= 0:
        of = figure.numerator if unknown and unknown.booked else figure.denominator
        all_known = unknown.of if unknown and unknown.of is not None else int(of or 0)
        return replace(figure, known=all_known, of=all_known)
    if unknown.of is not None:
        return _said(figure, unknown.of - unknown.number, unknown.of, unknown.whom)
    counted, of = int(figure.numerator or 0), int(figure.denominator or 0)
    if unknown.booked:
        seen = max(0, counted - unknown.number)  # what is short at a count may be lambs of ewes the figure leaves out
        return _bounded(_said(figure, seen, counted + unknown.beyond, unknown.whom), seen / of, counted / of)
    whole = of if unknown.inside else of + unknown.number
    known = whole - unknown.number
    return _bounded(_said(figure, known, whole, unknown.whom), *bounds(counted, known, whole))


def bounds(counted: int, known: int, of: int) -> tuple[float, float]:
    """The least and the most a share could be, when `counted` are found and `of - known` might count or not."""
    return counted / of, (counted + of - known) / of


def _bounded(figure: Figure, least: float, most: float) -> Figure:
    least, most = PER_CENT * least, PER_CENT * most
    words = f"{figure.partly}; {least:.1f} to {most:.1f} % with the rest"
    return _told(replace(figure, least=least, most=most), words)


def _said(figure: Figure, known: int, of: int, whom: str) -> Figure:
    return _told(replace(figure, known=known, of=of), f"from {known:,} of {of:,} {whom}")


def _told(figure: Figure, words: str) -> Figure:
    """The definition with the clause in front of what it leaves out, which stays its end."""
    before = figure.definition.removesuffix(f" {sentence(figure.partly)}") if figure.partly else figure.definition
    return replace(figure, partly=words, definition=f"{before} {sentence(words)}")


def standardised(weighed: Mapping[Hashable, list[float]], others: Iterable[Hashable]) -> float:
    """What those not weighed would weigh in all: each the mean of its class, else of all weighed."""
    everyone = [kg for class_ in weighed.values() for kg in class_]
    means = {name: fmean(class_) for name, class_ in weighed.items() if class_}
    return sum(means.get(name, fmean(everyone)) for name in others) if everyone else 0.0


Animal = TypeVar("Animal", Ewe, Lamb)


def by_class(
    animals: Iterable[Animal], name: Callable[[Animal], Hashable], weight: Callable[[Animal], float | None],
) -> tuple[dict[Hashable, list[float]], list[Hashable]]:
    """The weights by class of the animals weighed, and the classes of those not weighed."""
    weighed: dict[Hashable, list[float]] = defaultdict(list)
    others: list[Hashable] = []
    for animal in animals:
        kg = weight(animal)
        if kg is None:
            others.append(name(animal))
        else:
            weighed[name(animal)].append(kg)
    return weighed, others


def lamb_class(flock: Flock) -> Callable[[Lamb], Hashable]:
    """The class of a lamb at weaning: its sex, and with how many others it is reared; a pet with none."""

    def name(lamb: Lamb) -> Hashable:
        ewe = flock.rearer(lamb)
        return lamb.sex, len(ewe.reared_together) if ewe is not None else 0

    return name


def weaning_kg(lamb: Lamb) -> float | None:
    row = lamb.weighing(Weighed.WEANING)
    return None if lamb.lost or row is None else row.number("kg")


def unseen_at_weaning(season: Season, holds: Callable[[Lamb], bool]) -> int:
    """Home-born lambs booked as reared that nobody weighed or counted at weaning. Lambs on the bottle are seen daily."""
    counts = [count for count in netted(season)
              if count.check.stage == Stage.WEANING.label and count.check.unexplained <= 0]
    counted = {lamb for count in counts for lamb in count.lambs}
    unseen = sum(
        lamb.left_how is None and lamb.reared_by is not RearedBy.PET and lamb not in counted and weaning_kg(lamb) is None
        for lamb in filter(holds, reared(season))
    )
    elsewhere = {count.group for count in netted(season) if count.group} - {count.group for count in counts}
    return max(0, unseen - short_in(season, elsewhere, flock=None not in {count.group for count in counts}))
