"""What the paper sheets say of a flock, in plain words: the animals that are here, and what is still to come."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import NamedTuple

from template_builder.layout.choices import Stage, WeightUnit
from template_builder.layout.columns import LINE, Row, Value
from template_builder.layout.laying import by_number, setting_in, weights_in
from template_builder.layout.sheets.lambing import LAMBED
from template_builder.layout.warning import last_years_warning
from template_builder.layout.words import shown
from template_builder.plan.feeding import FeedingPlan, condition_at_looks, fed, feeding_plan

_GONE = ("left_on", "left_how")


class PaperEwe(NamedTuple):
    """A ewe in the few words that stand on paper."""

    name: str
    scanned: str
    lambs: int
    due: str
    mark: str
    warning: str
    pen: str = ""


class PaperLamb(NamedTuple):
    """A lamb to weigh: what it is called, and the spray mark of the ewe it goes with."""

    name: str
    mark: str


class PaperLook(NamedTuple):
    """A ewe to look at tonight, as the list on the screen has her."""

    ewe: str
    when: str
    what: str
    why: str
    since: str
    pen: str
    next_step: str
    vet: str


@dataclass(frozen=True)
class PaperFlock:
    """What is still to come, all of it in words.

    `ewes` are those here, by number; `to_lamb` those still to lamb, in the order of the build; `lines` the lines of a day book
    nobody has written on, None where rows are laid by ewe; `lambs` those here, each mark together; `counts` the groups and
    stages not counted yet; `tonight` who needs a look, most urgent first; `unit` what weights are in; `feeding` the feeding
    groups of those still to lamb.
    """

    ewes: Sequence[PaperEwe] = ()
    to_lamb: Sequence[PaperEwe] = ()
    lines: Sequence[int] | None = None
    lambs: Sequence[PaperLamb] = ()
    groups: Sequence[str] = ()
    counts: Sequence[tuple[str, Stage]] = ()
    tonight: Sequence[PaperLook] = ()
    unit: WeightUnit = WeightUnit.KG
    feeding: FeedingPlan = FeedingPlan()

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(ewe.name for ewe in self.ewes)

    @classmethod
    def of(cls, rows: Mapping[str, Sequence[Row]]) -> "PaperFlock":
        """The flock in the rows a season is built from. Lambings already written down need no sheet any more."""
        here = [row for row in rows.get("ewes", ()) if "ewe" in row and not any(column in row for column in _GONE)]
        ewes = {str(row["ewe"]): paper_ewe(row) for row in sorted(here, key=by_number)}
        lambing = rows.get("lambing", ())
        lines = tuple(line for row in lambing if isinstance(line := row.get(LINE.id), int))
        waiting = [str(row["ewe"]) for row in lambing if "ewe" in row and not any(column in row for column in LAMBED)]
        if lines:
            written = {row["ewe"] for row in lambing if "ewe" in row}
            in_lamb = (row for row in sorted(here, key=by_due) if row.get("scanned") != 0)
            waiting = [str(row["ewe"]) for row in in_lamb if row["ewe"] not in written]
        groups = tuple(dict.fromkeys(shown(row.get("group")) for row in rows.get("groups", ()) if "group" in row))
        looked = condition_at_looks(rows.get("ewe_check", ()))
        once = {row["ewe"]: row for row in reversed(here)}
        eating = [ewe for name, row in once.items() if (ewe := fed(row, looked.get(name)))]
        return cls(
            ewes=tuple(ewes.values()), to_lamb=tuple(ewes[name] for name in dict.fromkeys(waiting) if name in ewes),
            lines=lines or None, groups=groups, counts=to_count(groups), unit=weights_in(rows),
            feeding=feeding_plan(eating, partial(setting_in, rows)).of_those(set(waiting)),
        )


def to_count(groups: Sequence[str]) -> tuple[tuple[str, Stage], ...]:
    """Every group at every stage, stage by stage."""
    return tuple((group, stage) for stage in Stage for group in groups)


def by_due(row: Row) -> tuple[object, ...]:
    """For sorting rows of ewes by their due day, those without one last; within a day by number."""
    due = row.get("due")
    return (due.toordinal() if isinstance(due, date) else date.max.toordinal(), *by_number(row))


def paper_ewe(row: Row, pen: str = "") -> PaperEwe:
    """A ewe by her row of Ewes and the pen she stands in."""
    scanned = row.get("scanned")
    return PaperEwe(
        shown(row["ewe"]), shown(scanned), scanned if isinstance(scanned, int) else 0, day_of(row.get("due")),
        shown(row.get("mark")), last_years_warning(row), pen,
    )


def day_of(value: Value) -> str:
    """A date without its year, as on a wall: 12 Mar."""
    return f"{value.day} {value:%b}" if isinstance(value, date) else shown(value)


def by_mark(animal: PaperEwe | PaperLamb) -> tuple[bool, str]:
    """For sorting in mark order: marked animals first, mark by mark; within a mark they stay as they were."""
    return (not animal.mark, animal.mark.casefold())
