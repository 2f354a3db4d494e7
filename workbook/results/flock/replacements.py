"""Which ewe lambs may come into the flock: the best first, with what speaks for and against each, and those left out with why."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import IntEnum

from template_builder.layout.choices import Born, Help, RearedBy, Sex, YesNo
from workbook.results.advice.decisions import Decision, decision
from workbook.results.clinical.abortion import abortions
from workbook.results.litters.lamb_classes import NOT_RECORDED, help_given
from workbook.results.scores.rearing import rearing
from workbook.season.families import Ewe, Lamb
from workbook.season.mating import group_of, groups
from workbook.season.season import Season


class Choice(IntEnum):
    """How good a choice a ewe lamb is, before her weight is looked at."""

    FIRST = 1
    SECOND = 2
    OUT = 3


@dataclass(frozen=True)
class Candidate:
    """A ewe lamb born here and still here. `kg` is how she stands against like lambs, None where she was not weighed.

    `out` says why she may not be kept, `against` what speaks against her; `sisters` are others of the same ewe on the list.
    `born` is the size of the litter she was born in, None where her mother is not known.
    """

    lamb: Lamb
    dam: str
    ram: str
    born: int | None
    kg: float | None
    out: tuple[str, ...]
    against: tuple[str, ...]
    sisters: int

    @property
    def choice(self) -> Choice:
        if self.out:
            return Choice.OUT
        return Choice.SECOND if self.against else Choice.FIRST


def replacements(season: Season, decided: Mapping[str, Decision], stage: str) -> tuple[Candidate, ...]:
    """Every ewe lamb that could be kept: first choices, second ones, those left out; in each the best for her like first.

    Those not weighed come after those that were. `decided` are the decisions on the ewes still here.
    """
    lambs = [lamb for lamb in season.flock.lambs if _may_come_in(lamb)]
    dams = Counter(lamb.own_ewe for lamb in lambs)
    found = [_candidate(season, lamb, decided, stage, dams) for lamb in lambs]
    return tuple(sorted(found, key=lambda one: (one.choice, one.kg is None, -(one.kg or 0.0), one.lamb.name)))


def _may_come_in(lamb: Lamb) -> bool:
    return (lamb.sex is Sex.EWE and lamb.born is Born.ALIVE and lamb.left_how is None and not lamb.bought)


def _candidate(
    season: Season, lamb: Lamb, decided: Mapping[str, Decision], stage: str, dams: Counter[str | None],
) -> Candidate:
    dam = season.flock.mother(lamb)
    against = rearing(season).lambs.lambs.get(lamb.record.row)
    return Candidate(
        lamb, dam.name if dam else "", dam.record.words("ram") if dam and dam.record else "",
        len(dam.born) if dam else None, against.against.deviation if against else None,
        tuple(_left_out(season, lamb, dam, decided, stage)), tuple(_against(season, lamb, dam)),
        dams[lamb.own_ewe] - 1 if lamb.own_ewe else 0,
    )


def _left_out(
    season: Season, lamb: Lamb, dam: Ewe | None, decided: Mapping[str, Decision], stage: str,
) -> Iterator[str]:
    """Why she is not kept, whatever she weighs."""
    if lamb.reared_by is RearedBy.PET:
        yield "reared on the bottle"
    if dam is None:
        yield "mother not known"
        return
    row = group_of(dam, groups(season))
    if row is not None and row["keep_daughters"] is YesNo.NO:
        yield "daughters of this ram are not kept"
    if dam.key in abortions(season):
        yield "her mother aborted, or may have"
    judged = decided[dam.key] if dam.key in decided else decision(season, dam, stage)
    if faults := [word for word in judged.facts.bars if word != "abortion"]:
        yield f"her mother: {', '.join(faults)}"
    if lamb.set_on and lamb.rearer in abortions(season):
        yield "set on to a ewe that aborted, or may have"


def _against(season: Season, lamb: Lamb, dam: Ewe | None) -> Iterator[str]:
    """What speaks against her but does not rule her out."""
    if help_given(lamb, dam) not in (Help.NONE.label, NOT_RECORDED):
        yield "helped at birth"
    if dam is None:
        return
    least, most = (season.policy.weights[id] for id in ("replacement-litter-least", "replacement-litter-most"))
    if not least <= len(dam.born) <= most:
        yield f"born one of {len(dam.born)}, wanted {least:g} to {most:g}"
    if lamb.set_on:
        yield "set on: not reared by her mother"
