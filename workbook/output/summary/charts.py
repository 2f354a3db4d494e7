"""The days of lambing that are drawn: ewes lambed, and beside them those expected."""

from collections import Counter
from datetime import date, timedelta

from workbook.results.pipeline import Result
from workbook.season.season import Season

WORTH_DRAWING = 0.1  # ewes expected: the thin tails of a forecast are left off
MOST_DAYS = 70  # more days than this are not shown side by side; the days around most lambings are


def lambings_per_day(season: Season) -> tuple[list[tuple[date, int]], int]:
    """Ewes lambed on each day from first to last, and how many ewes have a lambing date outside the days shown.

    Where dates lie further apart than fit (a slip of the pen is enough), the days around the middle lambing are shown.
    """
    days = Counter(ewe.lambed_on for ewe in season.flock.ewes.values() if ewe.lambed and ewe.lambed_on)
    known = sorted(day for day in days.elements() if day)
    if not known:
        return [], 0
    middle = known[len(known) // 2]
    kept = [day for day in known if abs((day - middle).days) <= MOST_DAYS // 2]
    span = (kept[-1] - kept[0]).days
    shown = [kept[0] + timedelta(days=number) for number in range(span + 1)]
    return [(day, days[day]) for day in shown], len(known) - len(kept)


def beside_forecast(result: Result) -> tuple[list[tuple[date, int | None, float | None]], int]:
    """Days with ewes lambed and ewes expected, and how many lambings lie outside. A day to come has no ewes lambed.

    The days lambed on and those the forecast is worth drawing for; the days lambed on alone where that is too long.
    """
    lambed, outside = lambings_per_day(result.season)
    expected = {day.date: day.expected for day in result.forecast.days} if result.forecast else {}
    worth = [day for day, ewes in expected.items() if ewes >= WORTH_DRAWING]
    ends = [day for day, _ in lambed] + worth
    if lambed and (max(ends) - min(ends)).days > MOST_DAYS:
        ends = [day for day, _ in lambed]
    if not ends:
        return [], outside
    counts, today = dict(lambed), result.season.as_of.date()
    days = [min(ends) + timedelta(days=number) for number in range((max(ends) - min(ends)).days + 1)]
    return [
        (day, counts.get(day, 0 if day <= today else None), expected.get(day, 0.0) if expected else None) for day in days
    ], outside
