"""Groups of ewes: the group a ewe or lamb runs with, and the dates written for it on Groups."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from template_builder.layout.choices import HowRecorded, RearedBy, Weighed
from workbook.season.cells import Record
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.matching import fold
from workbook.season.mating import groups
from workbook.season.season import Season


@dataclass(frozen=True)
class Groups:
    """The rows of Groups by folded name; of a name written twice the first row counts."""

    rows: Mapping[str, Record]

    @classmethod
    def of(cls, season: Season) -> "Groups":
        return cls(groups(season))

    def day(self, name: str | None, column: str) -> date | None:
        """A date of a group, None where the group or its date is not written."""
        row = None if name is None else self.rows.get(fold(name))
        return None if row is None else row.day(column)

    def by_count(self, name: str) -> bool:
        """Whether a group is known by its counts only, so that there is no book to hold a count against."""
        row = self.rows.get(fold(name))
        return row is not None and row["how_recorded"] is HowRecorded.COUNTS_ONLY

    def by_ewe(self, name: str) -> bool:
        """Whether a group is recorded by ewe without rows for its lambs, so that a count is how a loss comes to be known."""
        row = self.rows.get(fold(name))
        return row is not None and row["how_recorded"] is HowRecorded.EACH_EWE

    def counted_with_group(self, ewe: Ewe) -> bool:
        """Whether a ewe's litter is known only in the account of her group: by counts only, and no lambing or lamb of hers.

        She is in no figure per ewe of the flock; her scan stands in the account of her group.
        """
        name = ewe.record.text("group") if ewe.record else None
        return name is not None and self.by_count(name) and not ewe.delivered

    @property
    def in_the_book(self) -> tuple[Record, ...]:
        """The groups recorded by ewe or lamb."""
        return tuple(row for row in self.rows.values() if row["how_recorded"] is not HowRecorded.COUNTS_ONLY)


def group_name(ewe: Ewe | None, on: date | None = None) -> str | None:
    """The group a ewe runs with on a day: the one she was turned out to by then, else that on Ewes.

    Without a day the group she was turned out to counts, whenever that was.
    """
    if ewe is None:
        return None
    if ewe.lambing is not None and (name := ewe.lambing.text("turned_out_to")):
        out = ewe.lambing.day("turned_out_on")
        if on is None or out is None or out <= on:
            return name
    return ewe.record.text("group") if ewe.record else None


def ewe_with(flock: Flock, lamb: Lamb, on: date | None = None) -> Ewe | None:
    """The ewe whose group a lamb runs with: the one rearing it; its mother where it has none; a pet runs with none.

    On a day before it was moved a lamb ran with its own ewe.
    """
    if on is not None and lamb.moved_on is not None and on < lamb.moved_on and lamb.own_ewe is not None:
        return flock.ewe(lamb.own_ewe)
    if lamb.rearer is not None:
        return flock.rearer(lamb)
    return None if lamb.reared_by is RearedBy.PET else flock.ewe(lamb.own_ewe)


def on_the_bottle(lamb: Lamb, on: date) -> bool:
    """Whether a lamb is a pet by the end of a day; one without a day written was so from birth."""
    return lamb.reared_by is RearedBy.PET and (lamb.own_ewe is None or lamb.moved_on is None or lamb.moved_on <= on)


def born_on(flock: Flock, lamb: Lamb) -> date | None:
    """The day a lamb was born: the day its mother lambed."""
    mother = flock.mother(lamb)
    return None if mother is None else mother.lambed_on


def weaned_on(groups: Groups, ewe: Ewe | None) -> date | None:
    """The day the lambs of a ewe's group were weaned."""
    return groups.day(group_name(ewe), "weaning")


def lost_after_weaning(groups: Groups, ewe: Ewe | None, lamb: Lamb) -> bool:
    """Whether a lamb left only after the weaning day of the group of the ewe it ran with, or after it was weighed at weaning:
    she had reared it by then.
    """
    weaned = weaned_on(groups, ewe)
    after = weaned is not None and lamb.left_on is not None and lamb.left_on > weaned
    return after or lamb.weighing(Weighed.WEANING) is not None
