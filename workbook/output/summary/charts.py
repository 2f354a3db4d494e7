"""Pictures of numbers that stand in the same workbook: horizontal bars with their values, from zero, and the days of lambing."""

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from template_builder.files.look import CHART_PATTERNS, CHART_SERIES, FONT, INK, PAPER, SIZE_SMALL
from template_builder.files.writer import Book, Page
from workbook.results.pipeline import Result
from workbook.season.season import Season

WORTH_DRAWING = 0.1  # ewes expected: the thin tails of a forecast are left off
GAP = 40  # per cent of a bar's width
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


def bar_chart(
    book: Book, title: str, page: Page, rows: tuple[int, int], column: int, *, series: int = 1, number: str = "0",
    unseen: bool = False,
) -> Any:
    """Horizontal bars with their values, from the top down and from zero: labels in `column`, numbers in the columns after it.

    Series are named by the heading row just above and differ by pattern as well as by colour; `unseen` says that the cells
    are hidden.
    """
    chart, (first, last) = book.chart("bar"), rows
    for place in range(series):
        values = column + 1 + place
        chart.add_series({
            "name": [page.title, first - 2, values - 1], "categories": page.area((first, column), (last, column)),
            "values": page.area((first, values), (last, values)), "gap": GAP, **_fill(place),
            "data_labels": {"value": True, "num_format": number, "font": {"name": FONT, "size": SIZE_SMALL, "color": INK}},
        })
    small = {"name": FONT, "size": SIZE_SMALL, "color": INK, "bold": False}
    chart.set_title({"name": title, "name_font": {"name": FONT, "size": 11, "color": INK}, "overlay": False})
    chart.set_x_axis({"visible": False, "min": 0, "major_gridlines": {"visible": False}})
    chart.set_y_axis({"reverse": True, "num_font": small, "line": {"none": True}, "major_tick_mark": "none", "text_axis": True})
    chart.set_legend({"position": "bottom"} if series > 1 else {"none": True})
    chart.set_chartarea({"border": {"none": True}})
    if unseen:
        chart.show_hidden_data()
    return chart


def bar_words(title: str, numbers: Sequence[tuple[str, float]]) -> str:
    """What a picture shows, for whoever cannot see it."""
    return f"{title}: {', '.join(f'{label} {number:g}' for label, number in numbers)}"


def _fill(place: int) -> dict[str, Any]:
    colour, pattern = CHART_SERIES[place], CHART_PATTERNS[place]
    border = {"color": INK, "width": 0.75}
    if pattern == "solid":
        return {"fill": {"color": colour}, "border": border}
    return {"pattern": {"pattern": pattern, "fg_color": colour, "bg_color": PAPER}, "border": border}
