"""On which day a ewe lambs: the chance of each day, from what is known of her mating."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil, erf, floor, sqrt
from typing import NamedTuple

from template_builder.layout.settings import SETTING

REACH = 5.0  # SDs of gestation either side of the mean that are looked at; less than one ewe in a million lies beyond
ROUNDS = 3  # rounds of heats counted where it is not written when the ram came out; house rule
MOST_ROUNDS = 12  # a ram is not with the ewes for longer than that; more is a slip in a date
YEARS = range(1950, 2200)  # dates outside are slips


@dataclass(frozen=True)
class ExpectedEwe:
    """What is known of a ewe that may lamb. `scanned` None is not scanned, 0 is empty. The ram dates are her group's."""

    mated_on: date | None = None
    ram_in: date | None = None
    ram_out: date | None = None
    due: date | None = None
    scanned: int | None = None
    lambed_on: date | None = None


@dataclass(frozen=True)
class Spread:
    """The settings a forecast is made with: days, share in lamb per heat, days in a pen by litter size, pens there are."""

    gestation: float
    spread: float
    cycle: int
    conception: float
    pen_days: tuple[float, float, float]
    pens: int | None = None

    @classmethod
    def of(cls, values: Mapping[str, object]) -> "Spread":
        """From values by setting id; one that is missing, no number or beyond its limits takes its default."""
        pens = values.get("pens")
        return cls(
            gestation=_number(values, "gestation"),
            spread=_number(values, "gestation_spread"),
            cycle=max(round(_number(values, "cycle")), 1),
            conception=_number(values, "conception"),
            pen_days=(_number(values, "pen_days_1"), _number(values, "pen_days_2"), _number(values, "pen_days_3")),
            pens=int(pens) if isinstance(pens, int | float) else None,
        )

    def pen_days_of(self, scanned: int | None) -> float:
        """Days in a pen by lambs scanned; a ewe that was not scanned is taken to bear twins."""
        return self.pen_days[1 if scanned is None else min(max(scanned, 1), len(self.pen_days)) - 1]


def _number(values: Mapping[str, object], id: str) -> float:
    setting, value = SETTING[id], values.get(id)
    if isinstance(value, int | float) and (setting.least or 0) <= value <= (setting.most or value):
        return float(value)
    assert isinstance(setting.default, int | float), f"setting {id} has no number for a default"
    return float(setting.default)


class Days(NamedTuple):
    """The chance of lambing on day `first` (counted from the year 1), on the day after, and so on; `never` the rest."""

    first: int
    chances: tuple[float, ...]
    never: float = 0.0

    def on(self, day: int) -> float:
        place = day - self.first
        return self.chances[place] if 0 <= place < len(self.chances) else 0.0

    def in_pen(self, day: int, stay: float) -> float:
        """The chance that she stands in a pen that day, the lambing day being the first of her stay; half days count half."""
        whole = floor(stay)
        return sum(self.on(day - back) for back in range(whole)) + (stay - whole) * self.on(day - whole)

    @property
    def middle(self) -> float:
        """The mean day."""
        return sum(place * chance for place, chance in enumerate(self.chances, start=self.first)) / sum(self.chances)

    def in_lamb(self) -> "Days":
        """The same for a ewe known to be in lamb."""
        total = sum(self.chances)
        return Days(self.first, tuple(chance / total for chance in self.chances))

    def not_before(self, day: int) -> "Days | None":
        """The same for a ewe that had not lambed by the evening before `day`; None where she should have by now."""
        kept = self.chances[max(day - self.first, 0):]
        left = sum(kept) + self.never
        return Days(max(day, self.first), tuple(chance / left for chance in kept), self.never / left) if sum(kept) else None


def days_of(ewe: ExpectedEwe, spread: Spread) -> Days | None:
    """When she lambs, from the best that is known: her mating, a due day of her own, her ram, else any due day.

    None where no date says. For a ewe scanned in lamb the chances add up to 1; for one not scanned they add up to the
    chance that she is in lamb.
    """
    found = _unscanned(ewe, spread)
    return found.in_lamb() if found and ewe.scanned else found


def _unscanned(ewe: ExpectedEwe, spread: Spread) -> Days | None:
    if mated := usable(ewe.mated_on):
        return _around(mated + spread.gestation, spread)
    ram_in, ram_out, due = usable(ewe.ram_in), usable(ewe.ram_out), usable(ewe.due)
    if due and not (ram_in and due - ram_in in (spread.gestation, SETTING["gestation"].default)):
        return _around(due, spread)
    return _from_ram(ram_in, ram_out, spread) if ram_in and (ram_out is None or ram_out >= ram_in) else None


def usable(day: date | None) -> int | None:
    """A date as a count of days; None for one that can only be a slip."""
    return day.toordinal() if day is not None and day.year in YEARS else None


def _around(centre: float, spread: Spread) -> Days:
    """One heat: normal around a day, cut into days at midnight. She holds to it with the share in lamb per heat."""
    first, chances = _normal(centre, spread.spread)
    return Days(first, tuple(spread.conception * chance for chance in chances), 1 - spread.conception)


def _normal(centre: float, sd: float) -> tuple[int, tuple[float, ...]]:
    """A normal distribution rounded to days: for each day the difference of its error function half a day either side, of all."""
    if sd <= 0:
        return round(centre), (1.0,)
    first, last = floor(centre - REACH * sd), ceil(centre + REACH * sd)
    below = [erf((day - 0.5 - centre) / (sd * sqrt(2))) for day in range(first, last + 2)]
    chances = [later - earlier for earlier, later in zip(below, below[1:], strict=False)]
    total = sum(chances)
    return first, tuple(chance / total for chance in chances)


def _from_ram(ram_in: int, ram_out: int | None, spread: Spread) -> Days:
    """In heat on any day of a round alike; so many hold in the first, of the others so many in the next, till he is out."""
    last = (ram_out if ram_out is not None else ram_in + ROUNDS * spread.cycle - 1) - ram_in
    mated = [
        spread.conception * (1 - spread.conception) ** (day // spread.cycle) / spread.cycle
        for day in range(min(last + 1, MOST_ROUNDS * spread.cycle))
    ]
    first, scatter = _normal(spread.gestation, spread.spread)
    chances = [0.0] * (len(mated) + len(scatter) - 1)
    for day, share in enumerate(mated):
        for more, chance in enumerate(scatter):
            chances[day + more] += share * chance
    return Days(ram_in + first, tuple(chances), 1 - sum(mated))
