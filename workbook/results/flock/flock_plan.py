"""The flock of next year: who stays, how many are wanted, how many must come in, and what one more or one fewer cull costs."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from template_builder.layout.choices import HowRecorded, Verdict
from workbook.results.advice.decisions import Decision
from workbook.results.flock.ages_now import OfAge, ages_now
from workbook.results.flock.steady import Steady, steady
from workbook.results.statistics.proportions import FEW
from workbook.season.groups import Groups
from workbook.season.season import Season

# Ewe lambs picked at weaning for each one wanted in the flock, so that weak ones can be left out later. Source: Teagasc
# advice on choosing replacements, about 30 % of ewe lambs picked for a need of 25 %.
PICKED, WANTED = 30, 25


@dataclass(frozen=True)
class Swap:
    """What it costs in lambs reared next year when one more ewe of an age goes and a young one stands in for her.

    `lambs` is what ewes of the age reared each this season, `young` what those at the youngest age did.
    """

    age: OfAge
    young: OfAge

    @property
    def lambs(self) -> float:
        return self.age.lambs / self.age.to_the_ram

    @property
    def instead(self) -> float:
        return self.young.lambs / self.young.to_the_ram

    @property
    def change(self) -> float:
        """Lambs more (or, below zero, fewer) next year."""
        return self.instead - self.lambs


@dataclass(frozen=True)
class FlockPlan:
    """`wanted` ewes next year is the setting, or where that is blank as many as went to the ram (`wanted_as_now`).

    `by_count` are the ewes of groups known by counts only: nothing is decided about them, so all are taken to stay.
    """

    ages: tuple[OfAge, ...] = ()
    by_count: int = 0
    wanted: int = 0
    wanted_as_now: bool = True
    steady: Steady | None = None
    swaps: tuple[Swap, ...] = ()

    @property
    def here(self) -> int:
        """Ewes there is a decision on."""
        return sum(one.here for one in self.ages)

    @property
    def going(self) -> int:
        return sum(one.going for one in self.ages)

    @property
    def staying(self) -> int:
        return self.here - self.going + self.by_count

    @property
    def needed(self) -> int:
        """Ewes to come in, home-bred or bought; 0 where more stay than are wanted."""
        return max(self.wanted - self.staying, 0)

    @property
    def over(self) -> int:
        """Ewes that stay beyond those wanted: so many could still go."""
        return max(self.staying - self.wanted, 0)

    @property
    def to_pick(self) -> int:
        """Ewe lambs to pick at weaning where all that are needed are home-bred."""
        return ceil(self.needed * PICKED / WANTED)


def flock_plan(season: Season, decided: Mapping[str, Decision], final: Mapping[str, Verdict] | None = None) -> FlockPlan:
    """The plan as the decisions stand. `final` are last words by ewe key, where they are not the verdict of the rules.

    What a swap costs is told once lambs are weaned, and not of ewes whose lambs are known by counts of their group only.
    """
    ages = ages_now(season, decided, final or {})
    target = season.settings.maybe("target_ewes")
    by_count = _by_count(season)
    wanted = by_count + sum(one.to_the_ram for one in ages) if target is None else int(target)
    weaned = not any(one.provisional for one in decided.values())
    return FlockPlan(ages, by_count, wanted, target is None, steady(ages), swaps(ages) if weaned else ())


def _by_count(season: Season) -> int:
    """Ewes to the ram in groups known by counts only that have no row of their own."""
    groups = Groups.of(season)
    with_rows = Counter(ewe.group for ewe in season.flock.ewes.values())
    return sum(max((row.whole("ewes_to_ram") or 0) - with_rows[name], 0)
               for name, row in groups.rows.items() if row["how_recorded"] is HowRecorded.COUNTS_ONLY)


def swaps(ages: Sequence[OfAge]) -> tuple[Swap, ...]:
    """For each age but the youngest; ages with fewer than ten ewes to the ram say too little."""
    known = [one for one in ages if one.age is not None and one.to_the_ram >= FEW]
    if not known:
        return ()
    young, *older = known
    return tuple(Swap(one, young) for one in older)
