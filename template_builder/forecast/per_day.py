"""The lambing forecast: ewes lambing and pens needed each day, with how far chance alone may take them from it.

Each ewe has a chance of lambing on each day; the number of ewes on one day is a sum of unequal chances, whose distribution
is worked out, not simulated. Ewes are taken to lamb independently of each other. That twins and triplets come a few days
before singles (149.8, 147.4, 146.7 days in 1,291 gestations of hair sheep) is left out.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate
from math import ceil
from statistics import median_low

from template_builder.forecast.chances import number_of
from template_builder.forecast.lambing_days import Days, ExpectedEwe, Spread, days_of, usable
from template_builder.layout.words import shown, so_many

LOW, HIGH = 0.1, 0.9  # one season in ten lies below, one in ten above
HALF_A_EWE = 0.5  # fewer ewes than this to come are none
FARTHEST = 150  # days from the middle of all others: a date beyond is a slip
ROUNDING = 1e-9  # shares this near to each other are equal
DIGITS = 6  # of an expected number; two days that differ by less are alike, and the earlier is named


@dataclass(frozen=True)
class Day:
    """One day: ewes lambing (expected, low, high), pens (expected, and enough in nine of ten), share of ewes lambed by then.

    `lambed` counts the ewes recorded as lambing that day, None for a day still to come.
    """

    date: date
    expected: float
    low: int
    high: int
    pens: float
    pens_high: int
    share: float
    lambed: int | None = None


@dataclass(frozen=True)
class LeftOut:
    """Ewes the days do not count, by why."""

    empty: int = 0
    undated: int = 0
    far: int = 0
    overdue: int = 0


@dataclass(frozen=True)
class Forecast:
    """All days in order, the day most ewes are expected on, the day most pens are needed, and in `words` what to read first.

    `ewes` were counted; `expected` of them should lamb, which is fewer where some were not scanned (`unscanned`). A forecast
    brought up to date looks ahead: its peak, its fullest day, `expected` and `words` are of the days from today on.
    """

    days: tuple[Day, ...]
    peak: Day | None
    fullest: Day | None
    ewes: int
    expected: float
    unscanned: int
    left_out: LeftOut
    words: tuple[str, ...]

    @property
    def unplaced(self) -> int:
        """Ewes without any date to go by, or with one that can only be a slip."""
        return self.left_out.undated + self.left_out.far


Group = tuple[Days, float]  # when, and days in a pen


def forecast(ewes: Iterable[ExpectedEwe], spread: Spread, today: date | None = None) -> Forecast:
    """The forecast of a flock. With `today` it is brought up to date: a ewe that has lambed counts on her day, and one that
    has not may lamb from today on.

    `ewes` in any order; ewes that died or left before lambing are not among them.
    """
    listed = list(ewes)
    placed, left = _placed(listed, spread, usable(today))
    groups, left["far"] = _near(placed)
    lambed = Counter(ewe.lambed_on for ewe in listed if ewe.lambed_on)
    days = tuple(_days(groups, lambed, today))
    ahead = tuple(day for day in days if today is None or day.date >= today)
    made = Forecast(
        days=days,
        peak=max(ahead, key=lambda day: round(day.expected, DIGITS), default=None),
        fullest=max(ahead, key=lambda day: (round(day.pens, DIGITS), day.pens_high), default=None),
        ewes=sum(groups.values()),
        expected=round(sum(day.expected for day in ahead), DIGITS),
        unscanned=sum(number for (chances, _), number in groups.items() if chances.never),
        left_out=LeftOut(**left),
        words=(),
    )
    return replace(made, words=tuple(_words(made, ahead, spread, today)))


def _placed(ewes: list[ExpectedEwe], spread: Spread, today: int | None) -> tuple[Counter[Group], Counter[str]]:
    """Ewes that lamb in the same way, counted together, and how many are left out, by why."""
    groups: Counter[Group] = Counter()
    left: Counter[str] = Counter()
    for ewe, number in Counter(_same(ewe) for ewe in ewes).items():
        days, otherwise = _when(ewe, spread, today)
        if days is None:
            left[otherwise] += number
        else:
            groups[days, spread.pen_days_of(ewe.scanned)] += number
    return groups, left


def _when(ewe: ExpectedEwe, spread: Spread, today: int | None) -> tuple[Days | None, str]:
    """When she lambs, and why she would be left out where no day is found."""
    lambed = usable(ewe.lambed_on)
    if today and lambed and lambed <= today:
        return Days(lambed, (1.0,)), ""
    if ewe.scanned == 0:
        return None, "empty"
    found = days_of(ewe, spread)
    if found is None:
        return None, "undated"
    return found.not_before(today) if today else found, "overdue"


def _same(ewe: ExpectedEwe) -> ExpectedEwe:
    """The ewe with a scan that can be: below zero counts as not scanned."""
    return ewe if ewe.scanned is None or ewe.scanned >= 0 else replace(ewe, scanned=None)


def _near(groups: Counter[Group]) -> tuple[Counter[Group], int]:
    """The groups without those that lamb far from all others, and how many ewes those hold."""
    if not groups:
        return groups, 0
    middle = median_low(days.middle for (days, _), number in groups.items() for _ in range(number))
    near = Counter({group: number for group, number in groups.items() if abs(group[0].middle - middle) <= FARTHEST})
    return near, sum(groups.values()) - sum(near.values())


def _days(groups: Mapping[Group, int], lambed: Mapping[date, int], today: date | None) -> Iterator[Day]:
    """Every day from the first that a ewe may lamb on to the last that a pen may be needed."""
    if not groups:
        return
    first = min(days.first for days, _ in groups)
    last = max(days.first + len(days.chances) - 1 + max(ceil(stay) - 1, 0) for days, stay in groups)
    total = sum(number * sum(days.chances) for (days, _), number in groups.items())
    so_far = 0.0
    for ordinal in range(first, last + 1):
        lambing = [(number, days.on(ordinal)) for (days, _), number in groups.items()]
        penned = [(number, days.in_pen(ordinal, stay)) for (days, stay), number in groups.items()]
        expected = sum(number * chance for number, chance in lambing)
        so_far += expected
        count, day = number_of(lambing), date.fromordinal(ordinal)
        yield Day(
            day, expected, count.quantile(LOW), count.quantile(HIGH), sum(number * chance for number, chance in penned),
            number_of(penned).quantile(HIGH), min(so_far / total, 1.0),
            lambed.get(day, 0) if today is None or day <= today else None,
        )


def _words(made: Forecast, ahead: Sequence[Day], spread: Spread, today: date | None) -> Iterator[str]:
    """The forecast in sentences, the most useful first."""
    peak, fullest = made.peak, made.fullest
    if not made.days:
        yield "No forecast: no ewe in lamb has a mating date, ram dates or a due date."
    elif peak is None or fullest is None or made.expected < HALF_A_EWE:
        yield "No more ewes are expected to lamb."
    else:
        most = round(peak.expected, DIGITS)
        yield (f"Most ewes lamb about {shown(peak.date)}: {most:.0f} expected that day, {peak.low} to {peak.high} in eight "
               "seasons out of ten.")
        yield (f"Half of the {made.expected:.0f} ewes {'expected' if today is None else 'still'} to lamb will have done so by "
               f"{_by(made, ahead, 0.5)}, nine in ten by {_by(made, ahead, HIGH)}.")
        yield f"Pens: {_pens(fullest, spread)}"
    yield from _left_out(made, today)


def _by(made: Forecast, ahead: Sequence[Day], share: float) -> str:
    """The first day by which this share of the ewes ahead will have lambed."""
    reached = accumulate(day.expected for day in ahead)
    return shown(next(day.date for day, ewes in zip(ahead, reached, strict=True) if ewes >= share * made.expected - ROUNDING))


def _pens(fullest: Day, spread: Spread) -> str:
    need = (f"{fullest.pens:.0f} full on {shown(fullest.date)}, the fullest day; {fullest.pens_high} are enough that day in nine "
            f"seasons out of ten")
    if spread.pens is None:
        return f"{need}."
    short = fullest.pens_high - spread.pens
    return f"{need}. You have {spread.pens}" + (f": {short} short." if short > 0 else ": enough.")


def _left_out(made: Forecast, today: date | None) -> Iterator[str]:
    left = made.left_out
    if left.undated:
        yield f"{so_many(left.undated, 'ewe')} without any date to go by: not in the forecast. Write a mating, ram or due date."
    if left.far:
        yield f"{so_many(left.far, 'ewe')} due months away from all others: not in the forecast. Check the dates."
    if left.overdue and today:
        yield (f"{so_many(left.overdue, 'ewe')} should have lambed before {shown(today)}: not in the forecast. "
               "Write what became of them.")
    if made.unscanned:
        yield (f"{so_many(made.unscanned, 'ewe')} not scanned: counted with the chance of being in lamb, and penned as if with "
               "twins.")
    if left.empty:
        yield f"{so_many(left.empty, 'ewe')} scanned empty: not in the forecast."
