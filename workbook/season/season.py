"""The season as recorded: all records by sheet, the settings and the policy they are judged by."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cached_property, wraps
from typing import TypeVar, cast

from template_builder.layout.choices import Action, Choice, Compare, OnOff, When
from template_builder.layout.columns import Start
from template_builder.layout.policy import RULES, WEIGHTS, SelectionRule
from template_builder.layout.settings import SETTING
from workbook.season.cells import CellRef, Record
from workbook.season.date_system import SeasonDays, days_out
from workbook.season.families import Flock
from workbook.season.joining import join

ListValue = TypeVar("ListValue", bound=Choice)
Answer = TypeVar("Answer")


@dataclass(frozen=True)
class Settings:
    """The farm's own values, each falling back to its default."""

    rows: Mapping[str, Record]

    def value(self, id: str) -> object:
        row = self.rows.get(id)
        written = None if row is None else row["value"]
        return SETTING[id].default if written is None else written

    def number(self, id: str) -> float:
        """A number that has a default; KeyError or TypeError for a setting without one."""
        value = self.value(id)
        if not isinstance(value, int | float):
            raise TypeError(f"setting {id} is not a number")
        return float(value)

    def maybe(self, id: str) -> float | None:
        """A number that may be left blank."""
        value = self.value(id)
        return float(value) if isinstance(value, int | float) else None

    def text(self, id: str) -> str:
        value = self.value(id)
        return value if isinstance(value, str) else ""

    def moment(self, id: str) -> datetime | None:
        value = self.value(id)
        if isinstance(value, datetime):
            return value
        return datetime(value.year, value.month, value.day) if isinstance(value, date) else None

    def choice(self, id: str, choices: type[ListValue]) -> ListValue:
        value = self.value(id)
        if not isinstance(value, choices):
            raise TypeError(f"setting {id} is no {choices.__name__}")
        return value

    def own(self, id: str) -> bool:
        """Whether the farm wrote its own value."""
        row = self.rows.get(id)
        return row is not None and row["value"] is not None


@dataclass(frozen=True)
class PolicyRule:
    """A selection rule as the farm has set it, and the Policy row that says so."""

    rule: SelectionRule
    place: CellRef


@dataclass(frozen=True)
class Policy:
    """The selection rules in the order of the sheet, and the numbers the scores are made with."""

    rules: tuple[PolicyRule, ...]
    weights: Mapping[str, float]


@dataclass(frozen=True)
class Season:
    """All that a season workbook holds.

    `records` by sheet id in row order; `missing` the addresses of columns not found ("lambs.tag"); `as_of` the moment
    the figures are for; `own_columns` and `own_sheets` what the person added and the program does not read; `tabs` all tabs
    in the order of the file; `left_alone` what else the file holds that is never used, such as macros, in words; `start` and
    `called` how it was built: which columns were shown at first, and the title on its pages.
    """

    file: str
    records: Mapping[str, tuple[Record, ...]]
    as_of: datetime
    missing: frozenset[str] = frozenset()
    own_columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    own_sheets: tuple[str, ...] = ()
    layout: int = 1
    tabs: tuple[str, ...] = ()
    left_alone: tuple[str, ...] = ()
    start: Start = Start.INDOORS
    called: str = "Lambing season"
    _worked_out: dict[object, object] = field(default_factory=dict, init=False, repr=False, compare=False)

    def rows(self, sheet: str) -> tuple[Record, ...]:
        """The records of a sheet, in row order; none where the sheet is missing."""
        return self.records.get(sheet, ())

    @cached_property
    def settings(self) -> Settings:
        return Settings({row.key: row for row in self.rows("season") if row.key in SETTING})

    @cached_property
    def policy(self) -> Policy:
        rows = {row.key: row for row in self.rows("policy")}
        rules = tuple(_as_set(self.file, rule, rows.get(rule.id)) for rule in RULES)
        weights = {weight.id: _limit(rows.get(weight.id), weight.limit) for weight in WEIGHTS}
        return Policy(rules, weights)

    @cached_property
    def flock(self) -> Flock:
        """Every ewe and lamb with all that was recorded about it, joined."""
        return join(self.records)

    @cached_property
    def year(self) -> int:
        """The lambing year: as set on Season; where that is blank the moment's, or the one before it while more ewes lambed then.

        No other year comes in question, however many lambings are dated in it: dates all four years out are to be found.
        """
        if written := self.settings.maybe("year"):
            return int(written)
        years = Counter(day.year for ewe in self.flock.ewes.values() if (day := ewe.lambed_on))
        this = self.as_of.year
        return this - 1 if years[this - 1] > years[this] else this

    @cached_property
    def days(self) -> SeasonDays:
        """The days a season speaks of, by its lambing year."""
        return SeasonDays.of(self.year)

    @cached_property
    def days_out(self) -> int:
        """By how many days all dates are out, 0 where they are as usual."""
        return days_out(self.records, self.days)

    @property
    def title(self) -> str:
        """Flock name and year, as far as they are set."""
        year = self.settings.maybe("year")
        return " ".join(part for part in (self.settings.text("flock"), f"{year:.0f}" if year else "") if part)


def once(work_out: Callable[[Season], Answer]) -> Callable[[Season], Answer]:
    """Work something out of a season once, however many rules and pages ask for it: the answer is kept with the season."""

    @wraps(work_out)
    def kept(season: Season) -> Answer:
        if work_out not in season._worked_out:
            season._worked_out[work_out] = work_out(season)
        return cast(Answer, season._worked_out[work_out])

    return kept


def _limit(row: Record | None, default: float) -> float:
    limit = None if row is None else row.number("limit")
    return default if limit is None else limit


def _as_set(file: str, rule: SelectionRule, row: Record | None) -> PolicyRule:
    if row is None:
        return PolicyRule(rule, CellRef(file, "Policy", 0, 0))
    own = replace(
        rule,
        limit=_limit(row, rule.limit),
        on=row.choice("on", OnOff) or rule.on,
        compare=row.choice("compare", Compare) or rule.compare,
        action=row.choice("action", Action) or rule.action,
        at_mating=row.choice("at_mating", Action) or rule.at_mating,
        when=row.choice("when", When) or rule.when,
    )
    return PolicyRule(own, row.at("limit"))
