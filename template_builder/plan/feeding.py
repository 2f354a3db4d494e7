"""The feeding groups with their ewes and what falls due for each, as Plan shows them: from plain values, for paper."""

from collections import Counter
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from template_builder.layout.choices import FeedAs
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import in_order
from template_builder.layout.warning import last_years_warning
from template_builder.layout.words import shown
from template_builder.plan.calendar import TASKS, Due, calendar
from template_builder.plan.groups import InLamb, divide


class Fed(NamedTuple):
    """A ewe in lamb: what she is fed for, her condition when last looked at, and by what she is known among the others."""

    name: str
    in_lamb: InLamb
    condition: float | None = None
    mark: str = ""
    where: str = ""
    more: tuple[str, ...] = ()  # what else to know of her: a first lambing, last year's warning


class FeedingGroup(NamedTuple):
    """Ewes fed together, by number; its first and last due day, None where none is known."""

    title: str
    ewes: tuple[Fed, ...]
    first: date | None
    last: date | None

    @property
    def lambs(self) -> int:
        return sum(ewe.in_lamb.scanned for ewe in self.ewes)

    @property
    def marks(self) -> Mapping[str, int]:
        """How many ewes bear each mark, the most frequent first; "" is none."""
        return dict(Counter(ewe.mark for ewe in self.ewes).most_common())


@dataclass(frozen=True)
class FeedingPlan:
    """The groups in the order of Plan, what falls due for them by day, and the limits of thin and fat."""

    groups: tuple[FeedingGroup, ...] = ()
    due: tuple[Due, ...] = ()
    thin_below: float = 0.0
    fat_above: float = 5.0

    def thin(self, ewe: Fed) -> bool:
        return ewe.condition is not None and ewe.condition < self.thin_below

    def fat(self, ewe: Fed) -> bool:
        """Whether she carries one lamb and is fat: it may be large."""
        return ewe.in_lamb.scanned == 1 and ewe.condition is not None and ewe.condition > self.fat_above

    def to_see_to(self, ewe: Fed) -> str:
        """What to look out for in her, in the words of Plan."""
        lambs = ewe.in_lamb.scanned
        thin = f"thin with {lambs} lambs" if lambs > 1 else "thin"
        return "; ".join(filter(None, (thin if self.thin(ewe) else "fat with a single" if self.fat(ewe) else "", *ewe.more)))

    def of_those(self, names: Container[str]) -> "FeedingPlan":
        """The same groups with these ewes alone; a group without any is left out, and so is what falls due for it."""
        left = {group.title: group._replace(ewes=tuple(ewe for ewe in group.ewes if ewe.name in names)) for group in self.groups}
        groups = tuple(group for group in left.values() if group.ewes)
        due = tuple(one._replace(ewes=len(left[one.group].ewes)) for one in self.due if left[one.group].ewes)
        return FeedingPlan(groups, due, self.thin_below, self.fat_above)


def feeding_plan(ewes: Sequence[Fed], number: Callable[[str], float]) -> FeedingPlan:
    """The plan for these ewes; `number` gives the settings of Season."""
    by_name = sorted(ewes, key=lambda ewe: in_order(ewe.name))
    in_lamb = [ewe.in_lamb for ewe in by_name]
    division = divide(in_lamb, max(1, int(number("feeding_groups"))))
    groups = []
    for place, part in enumerate(division.parts, start=1):
        numbers = [one for one, group in enumerate(division.of_ewes) if group == place]
        days = sorted(day for one in numbers if division.weeks[one] and (day := in_lamb[one].due))
        first, last = (days[0], days[-1]) if days else (None, None)
        groups.append(FeedingGroup(part.title, tuple(by_name[one] for one in numbers), first, last))
    due = calendar(in_lamb, division, {task: number(task) for task in TASKS})
    return FeedingPlan(tuple(groups), tuple(due), number("thin_below"), number("fat_above"))


def fed(row: Row, looked: float | None = None, pen: str = "") -> Fed | None:
    """A ewe by her row of Ewes; `looked` is her condition at a later look, `pen` where she stands. None where not in lamb."""
    scanned, due, feed_as = row.get("scanned"), row.get("due"), row.get("feed_as")
    if not isinstance(scanned, int) or scanned < 1:
        return None
    at_scanning = row.get("condition")
    condition = looked if looked is not None else at_scanning if isinstance(at_scanning, int | float) else None
    first = ("first lambing",) if row.get("lambings_before") == 0 else ()
    warning = (words,) if (words := last_years_warning(row)) else ()
    where = ", ".join(filter(None, (shown(row.get("group")), pen)))
    return Fed(shown(row["ewe"]), InLamb(scanned, _day(due), feed_as if isinstance(feed_as, FeedAs) else None), condition,
               shown(row.get("mark")), where, (*first, *warning))


def condition_at_looks(checks: Sequence[Row]) -> Mapping[Value, float]:
    """The condition of each ewe at her last look on Ewe check that found one; a look without its day is the last."""
    by_day = sorted(checks, key=lambda row: _day(row.get("date")) or date.max)
    return {row.get("ewe"): score for row in by_day if isinstance(score := row.get("condition"), int | float)}


def _day(value: Value) -> date | None:
    return value.date() if isinstance(value, datetime) else value if isinstance(value, date) else None
