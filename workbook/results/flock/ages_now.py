"""The ages of a flock: how many ewes of each stand there, go, were lost, and what they reared."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from template_builder.layout.choices import Verdict, Weighed
from template_builder.layout.words import so_many
from workbook.results.advice.decisions import Decision
from workbook.results.litters.shortages import shortages
from workbook.results.scores.litter_weight import reared
from workbook.season.ages import age_in_years
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups
from workbook.season.season import Season, once

GOING = (Verdict.CULL, Verdict.DRAFT)


@dataclass(frozen=True)
class OfAge:
    """Ewes of one age in years at this lambing; `age` None where no birth year is written.

    `here` are those there is a decision on, `going` those of them that go by it, `lost` and `left` those that died or went
    missing, and that were sold or culled, since mating. `lambs` is what all of them reared to weaning; of lambs short at a
    count each that may be meant is counted less by its share, so it need not be whole.
    """

    age: int | None
    here: int
    going: int
    lost: int
    left: int
    lambs: float

    @property
    def staying(self) -> int:
        return self.here - self.going

    @property
    def to_the_ram(self) -> int:
        """All that started the season."""
        return self.here + self.lost + self.left

    @property
    def words(self) -> str:
        if self.age is None:
            return "age not known"
        return so_many(self.age, "year")


def ages_now(season: Season, decided: Mapping[str, Decision], final: Mapping[str, Verdict]) -> tuple[OfAge, ...]:
    """A line for each age, the youngest first, those of unknown age last. `final` are last words that are not the verdict."""
    ewes = sorted(((age_in_years(season, ewe), ewe) for ewe in season.flock.ewes.values()), key=_by_age)
    return tuple(_of_age(season, age, [ewe for _, ewe in of_age], decided, final)
                 for age, of_age in groupby(ewes, key=lambda one: one[0]))


def lines_by_ewe(season: Season, ages: Sequence[OfAge]) -> Mapping[str, int]:
    """For each ewe, by key, the number of the line of her age, from 1."""
    number = {one.age: line for line, one in enumerate(ages, start=1)}
    return {key: number[age_in_years(season, ewe)] for key, ewe in season.flock.ewes.items()}


def last_word(decision: Decision, final: Mapping[str, Verdict]) -> Verdict:
    """What was decided about a ewe: somebody's own word, else the verdict of the rules."""
    return final.get(decision.ewe, decision.verdict)


def _by_age(one: tuple[int | None, Ewe]) -> tuple[bool, int]:
    return one[0] is None, one[0] or 0


def _of_age(
    season: Season, age: int | None, ewes: list[Ewe], decided: Mapping[str, Decision], final: Mapping[str, Verdict],
) -> OfAge:
    here = [decided[ewe.key] for ewe in ewes if ewe.key in decided]
    lost = [ewe for ewe in ewes if ewe.key not in decided and ewe.lost]
    groups = Groups.of(season)
    gone = _share_gone(season)
    lambs = sum(1 - min(gone.get(lamb, 0.0), 1.0) for ewe in ewes for lamb in reared(ewe, groups, Weighed.WEANING))
    going = sum(last_word(one, final) in GOING for one in here)
    return OfAge(age, len(here), going, len(lost), len(ewes) - len(here) - len(lost), lambs)


@once
def _share_gone(season: Season) -> Mapping[Lamb, float]:
    """Of every lamb that may be one of those short at a count: the share of them that are."""
    shares: dict[Lamb, float] = {}
    for short in shortages(season):
        for lamb in short.lambs:
            shares[lamb] = shares.get(lamb, 0.0) + short.number / len(short.lambs)
    return shares
