"""Chance told from difference: which splits of the lambs differ in losses by more than chance, and which class stands out.

With five rams one always looks worst. So a class is named only where all classes of its split together differ by more than
chance would give, corrected for how many splits were looked at, and where the class itself differs from all others.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from workbook.results.litters.exits import short_in_groups
from workbook.results.litters.litter_mates import Tally, likeness_within_litters, tallied
from workbook.results.litters.splits import Split, live_born, splits
from workbook.results.statistics.chance import LIMIT, Heterogeneity, apart, corrected, heterogeneity, shrunk_shares
from workbook.results.statistics.proportions import FEW
from workbook.season.families import Lamb
from workbook.season.season import Season, once

METHOD = (
    "A ram, a group or a class of any other table of losses is named only where two things hold. First, all classes of "
    f"{FEW} live-born lambs or more in its table together differ by more than chance would give: chi-square, litter mates "
    "counted as alike (Rao and Scott 1992), made stricter the more tables were looked at (Holm 1979), so that of twenty "
    "seasons with nothing in them about one names anything. Second, the class itself differs from all others of its table. Else "
    "the page says that none stands out. The heaviest loss is the class that lost most lambs beyond the share lost in its whole "
    "table, not the one with the highest share. Where a share allows for chance it is drawn towards that of all classes, the "
    "more the fewer its lambs and the less the classes differ (beta-binomial, Griffiths 1973): with no more difference than "
    "chance gives, all get the same share. Lambs for which the class is not recorded are left out. None of this says why: a "
    "ram's ewes may have lambed in the worst week."
)

BY_COUNTS = "group"  # the split that can hold lambs short at a count
MOST_SEASONS = 1_000  # beyond it the exact number says nothing more


class Against(NamedTuple):
    """A class against all of its table: `expected` lambs lost at the share of all, and its own `share` drawn towards that."""

    lost: int
    lambs: int
    expected: float
    share: float | None
    stands_out: bool

    @property
    def beyond(self) -> float:
        """Lambs lost more than at the share of all; below 0 where fewer."""
        return self.lost - self.expected


@dataclass(frozen=True)
class Difference:
    """How far the classes of a split differ in losses.

    `chance` is how often chance alone gives as much in one of the `tables` looked at, from 0 to 1 (first lambing
    against later is one of them and has no table of its own). `against` holds every class of which something is known, those
    too small to be tested as well.
    """

    id: str
    title: str
    one: str
    test: Heterogeneity
    against: Mapping[str, Against]
    chance: float = 1.0
    tables: int = 1

    @property
    def beyond_chance(self) -> bool:
        return self.chance < LIMIT

    @property
    def heaviest(self) -> str | None:
        """The class that stands out and lost most lambs beyond the share of all; None where none stands out so."""
        worse = [name for name, one in self.against.items() if one.stands_out and one.beyond > 0]
        return max(worse, key=lambda name: self.against[name].beyond, default=None)

    @property
    def words(self) -> str:
        """What may be read into the table."""
        if not self.beyond_chance:
            return "they differ no more than chance gives, so read nothing into the highest"
        return f"they differ by more than chance gives (chance puts them so far apart in 1 of {self.one_in} seasons)"

    @property
    def one_in(self) -> str:
        """In one of how many seasons chance alone gives as much."""
        return f"{1 / self.chance:.0f}" if self.chance > 1 / MOST_SEASONS else f"over {MOST_SEASONS:,}"


@once
def loss_differences(season: Season) -> Mapping[str, Difference]:
    """The differences of every split of a season, lambs short at the counts of a group lost in that group."""
    return differences(live_born(season.flock), splits(season), short_in_groups(season))


def differences(
    lambs: Sequence[Lamb], of: Iterable[Split], short: Collection[Lamb] = frozenset(),
) -> Mapping[str, Difference]:
    """The differences of each split that can be tested, by its id: two classes of lambs enough, some lost and some not.

    `short` are lambs that stand for those short at a count, which only groups can be told apart by.
    """
    likeness = likeness_within_litters(lambs)
    found = [difference for split in of if split.one and (
        difference := _difference(split, likeness, short if split.id == BY_COUNTS else frozenset())) is not None]
    chances = corrected([one.test.p for one in found])
    return {one.id: _named(replace(one, chance=chance, tables=len(found)))
            for one, chance in zip(found, chances, strict=True)}


def _difference(split: Split, likeness: float | None, short: Collection[Lamb]) -> Difference | None:
    known = split.known
    tallies = {name: tallied(lambs, short) for name, lambs in known.items()}
    tested = [one for one in tallies.values() if one.lambs >= FEW]
    test = heterogeneity([one.counted for one in tested], [one.effect(likeness) for one in tested])
    if test is None:
        return None
    rest = {name: tallied([lamb for other in known if other != name for lamb in known[other]], short) for name in known}
    share_of_all = sum(one.lost for one in tallies.values()) / sum(one.lambs for one in tallies.values())
    counts, effects = [one.counted for one in tallies.values()], [one.effect(likeness) for one in tallies.values()]
    against = {
        name: Against(one.lost, one.lambs, one.lambs * share_of_all, share, _apart(one, rest[name], likeness))
        for (name, one), share in zip(tallies.items(), shrunk_shares(counts, effects), strict=True)
    }
    return Difference(split.id, split.title, split.one, test, against)


def _apart(one: Tally, rest: Tally, likeness: float | None) -> bool:
    return min(one.lambs, rest.lambs) >= FEW and apart(one.counted, rest.counted, one.effect(likeness), rest.effect(likeness))


def _named(difference: Difference) -> Difference:
    """With no class standing out where the table as a whole may be chance."""
    if difference.beyond_chance:
        return difference
    return replace(difference, against={name: one._replace(stands_out=False) for name, one in difference.against.items()})
