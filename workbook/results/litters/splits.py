"""The ways live-born lambs are split into classes, each declared once: for the tables of losses and for what is by chance."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from template_builder.layout.choices import Born, Choice, Help, Presentation, RearedBy, Vigour
from workbook.results.litters.lamb_classes import (
    AGE_CLASSES,
    FIRST_LAMBING,
    MOTHER_NOT_KNOWN,
    NOT_RECORDED,
    NOT_WEIGHED,
    WEIGHT_BANDS,
    group_label,
    help_given,
    ram_label,
    weight_band,
    years_class,
)
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.season import Season, once

LAST_CLASSES = (NOT_WEIGHED, NOT_RECORDED, MOTHER_NOT_KNOWN)
LAMBED_BEFORE, FIRST_TIME = "lambed before", "first lambing"


@dataclass(frozen=True)
class Split:
    """Live-born lambs by class, in the order given, then by name, those of which nothing is known last.

    `told` says what the split rests on, in words; empty where a blank cell has a meaning of its own. `one` is what a class
    is called ("ram"); empty where classes cannot be compared: who reared a lamb depends on how long it lived. `shown` says
    whether it has a table of its own.
    """

    id: str
    title: str
    one: str
    told: str
    classes: Mapping[str, tuple[Lamb, ...]]
    shown: bool = True

    @property
    def known(self) -> Mapping[str, tuple[Lamb, ...]]:
        """The classes of those of which something is known."""
        return {name: lambs for name, lambs in self.classes.items() if name not in LAST_CLASSES}


def live_born(flock: Flock) -> tuple[Lamb, ...]:
    """Home-born lambs born alive."""
    return tuple(lamb for lamb in flock.lambs if lamb.born is Born.ALIVE and not lamb.bought)


@once
def splits(season: Season) -> tuple[Split, ...]:
    """Every way of splitting."""
    flock, lambs = season.flock, live_born(season.flock)
    mothers = {lamb: flock.mother(lamb) for lamb in lambs}
    ram, group = ram_label(flock), group_label(season)

    def by_mother(label: Callable[[Ewe], str | None]) -> Callable[[Lamb], str]:
        return lambda lamb: MOTHER_NOT_KNOWN if (ewe := mothers[lamb]) is None else label(ewe) or NOT_RECORDED

    def split(
        id: str, title: str, one: str, told: str, label: Callable[[Lamb], str], order: tuple[str, ...] = (), shown: bool = True,
    ) -> Split:
        return Split(id, title, one, told, _by_class(lambs, label, order), shown)

    def written(column: str, title: str, choices: type[Choice]) -> tuple[Split, ...]:
        """By a list on Lambs, where anybody wrote it for any lamb."""
        def label(lamb: Lamb) -> str:
            found = lamb.record[column] if lamb.named else None
            return found.label if isinstance(found, Choice) else NOT_RECORDED

        found = split(column, title, column, column, label, tuple(choice.label for choice in choices))
        return (found,) if found.known else ()

    ages = (*(label for _, label in reversed(AGE_CLASSES)), FIRST_LAMBING)
    return (
        split("litter_size", "By litter size born", "litter size", "mothers", by_mother(lambda ewe: str(len(ewe.born)))),
        split("birth_weight", "By birth weight", "birth weight", "birth weights", weight_band,
              tuple(label for _, label in reversed(WEIGHT_BANDS))),
        *written("presentation", "By presentation", Presentation), *written("vigour", "By vigour", Vigour),
        split("help", "By help given", "kind of help", "help", lambda lamb: help_given(lamb, mothers[lamb]),
              tuple(help.label for help in Help)),
        split("ewe_age", "By age of the ewe", "age of ewe", "ages of ewes", by_mother(lambda ewe: years_class(season, ewe)),
              ages),
        split("lambings", "By lambings before", "first lambing or later", "lambings before", by_mother(_lambings), shown=False),
        split("ram", "By ram", "ram", "rams", by_mother(ram)),
        split("group", "By group", "group", "groups", by_mother(group)),
        split("reared_by", "By who reared it", "", "", lambda lamb: lamb.reared_by.label,
              tuple(reared.label for reared in RearedBy)),
    )


def _lambings(ewe: Ewe) -> str | None:
    before = ewe.record.whole("lambings_before") if ewe.record else None
    return None if before is None else LAMBED_BEFORE if before else FIRST_TIME


def _by_class(
    lambs: tuple[Lamb, ...], label: Callable[[Lamb], str], order: tuple[str, ...],
) -> Mapping[str, tuple[Lamb, ...]]:
    of: dict[str, list[Lamb]] = {}
    for lamb in lambs:
        of.setdefault(label(lamb), []).append(lamb)
    names = [name for name in order if name in of]
    names += sorted(of.keys() - {*order, *LAST_CLASSES}) + [name for name in LAST_CLASSES if name in of]
    return {name: tuple(of[name]) for name in names}
