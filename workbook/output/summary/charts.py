"""The pictures on Summary, drawn from small tables that stand in sight in the same workbook."""

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from template_builder.files.look import CHART_PATTERNS, CHART_SERIES, FONT, INK, LINE, PAPER, SIZE_SMALL
from template_builder.files.writer import Book, Page
from workbook.results.litters.figures import NOTHING
from workbook.results.litters.lines import ALL
from workbook.results.pipeline import Result
from workbook.season.season import Season

FLOOR_SHARE, FLOOR_STEP = 0.85, 50
WORTH_DRAWING = 0.1  # ewes expected: the thin tails of a forecast are left off
GAP = 40  # per cent of a column's width
MOST_DAYS = 70  # more days than this do not fit side by side; the days around most lambings are shown

# Steps of the waterfall: what it is called, the lines of the account it is the sum of, and whether it is a level (0),
# lambs added (+1) or lambs lost or gone (-1).
STEPS: tuple[tuple[str, tuple[str, ...], int], ...] = (
    ("scanned", ("scanned",), 0),
    ("not seen at scanning", ("more_than_scanned", "born_unscanned"), 1),
    ("aborted or mummified", ("aborted_scanned",), -1),
    ("lost with the ewe", ("lost_with_ewe",), -1),
    ("fewer than scanned", ("fewer",), -1),
    ("never lambed", ("never_lambed",), -1),
    ("born", ("born",), 0),
    ("born dead", ("born_dead",), -1),
    ("born alive", ("born_alive",), 0),
    ("died", ("died",), -1),
    ("missing", ("missing", "short"), -1),
    ("sold alive", ("sold",), -1),
    ("present", ("present",), 0),
)


class Step(NamedTuple):
    """One column of the waterfall: where it floats, and its height as a level, a gain or a loss."""

    label: str
    base: int
    level: int
    gain: int
    loss: int


def waterfall(result: Result) -> list[Step]:
    """Scanned to present, step by step; steps without a lamb are left out. A negative loss is a gain.

    Lambs still to be born are no loss: they are not in the picture, and the first column says so. Of a workbook nobody has
    written in there is nothing to draw.
    """
    if result.stage == NOTHING:
        return []
    steps: list[Step] = []
    height = 0
    for label, lines, direction in STEPS:
        number = sum(result.account.lines.get(line, {}).get(ALL, 0) for line in lines)
        if direction == 0:
            ahead = result.account.total("to_lamb") if lines == ("scanned",) else 0
            height = number - ahead
            number, label = height, f"{label}, less {ahead} to come" if ahead else label
            steps.append(Step(label, 0, number, 0, 0))
            continue
        change = direction * number
        if change:
            steps.append(Step(label, min(height, height + change), 0, max(change, 0), max(-change, 0)))
        height += change
    return steps


def waterfall_floor(steps: Sequence[Step]) -> int:
    """Where the axis of the waterfall begins: below its lowest step, so that small steps can be seen; 0 for few lambs."""
    lowest = min((step.base or step.level for step in steps), default=0)
    return int(lowest * FLOOR_SHARE) // FLOOR_STEP * FLOOR_STEP


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


def column_chart(
    book: Book, title: str, page: Page, rows: tuple[int, int], values: Sequence[int], axis: tuple[str, str],
    *, stacked: bool = False, hidden: bool = False, floor: int = 0, line: int = 0,
) -> Any:
    """A column chart over rows `rows` of a page: labels in the first column, a series in each of the columns `values`.

    Series are named by the heading row just above and differ by pattern as well as by colour. `hidden` says that the
    first series only lifts the others up and is not seen. The axis begins at `floor`. `line` is a further column, drawn
    as a line over the others.
    """
    chart = book.chart("column", "stacked" if stacked else "")
    first, last = rows
    for place, column in enumerate(values):
        chart.add_series({
            "name": [page.title, first - 2, column - 1],
            "categories": page.area((first, 1), (last, 1)),
            "values": page.area((first, column), (last, column)),
            "gap": GAP,
            **(_nothing() if hidden and place == 0 else _pale() if line else _fill(place - hidden)),
        })
    if line:
        chart.combine(_line(book, page, rows, line))
    _dress(chart, title, axis, floor)
    legend: dict[str, object] = {"position": "bottom"} if hidden or line else {"none": True}
    chart.set_legend({**legend, "delete_series": [0]} if hidden else legend)
    return chart


def bar_chart(book: Book, title: str, page: Page, rows: tuple[int, int], column: int) -> Any:
    """Horizontal bars with their values, from the top down: labels in `column`, numbers in the next one."""
    chart, (first, last) = book.chart("bar"), rows
    chart.add_series({
        "name": [page.title, first - 2, column], "categories": page.area((first, column), (last, column)),
        "values": page.area((first, column + 1), (last, column + 1)), "gap": GAP, **_fill(0),
        "data_labels": {"value": True, "font": {"name": FONT, "size": SIZE_SMALL, "color": INK}},
    })
    small = {"name": FONT, "size": SIZE_SMALL, "color": INK, "bold": False}
    chart.set_title({"name": title, "name_font": {"name": FONT, "size": 11, "color": INK}, "overlay": False})
    chart.set_x_axis({"visible": False, "min": 0, "major_gridlines": {"visible": False}})
    chart.set_y_axis({"reverse": True, "num_font": small, "line": {"none": True}, "major_tick_mark": "none", "text_axis": True})
    chart.set_legend({"none": True})
    chart.set_chartarea({"border": {"none": True}})
    return chart


def _line(book: Book, page: Page, rows: tuple[int, int], column: int) -> Any:
    chart, (first, last) = book.chart("line"), rows
    chart.add_series({
        "name": [page.title, first - 2, column - 1], "categories": page.area((first, 1), (last, 1)),
        "values": page.area((first, column), (last, column)), "line": {"color": INK, "width": 2.25},
    })
    return chart


def _nothing() -> dict[str, Any]:
    return {"fill": {"none": True}, "border": {"none": True}}


def _pale() -> dict[str, Any]:
    """Columns with a line drawn over them: light enough for it to be seen, in greyscale too."""
    return {"fill": {"color": CHART_SERIES[2]}, "border": {"color": INK, "width": 0.5}}


def _fill(place: int) -> dict[str, Any]:
    colour, pattern = CHART_SERIES[place], CHART_PATTERNS[place]
    border = {"color": INK, "width": 0.75}
    if pattern == "solid":
        return {"fill": {"color": colour}, "border": border}
    return {"pattern": {"pattern": pattern, "fg_color": colour, "bg_color": PAPER}, "border": border}


def _dress(chart: Any, title: str, axis: tuple[str, str], floor: int) -> None:
    small = {"name": FONT, "size": SIZE_SMALL, "color": INK, "bold": False}
    chart.set_title({"name": title, "name_font": {"name": FONT, "size": 11, "color": INK}, "overlay": False})
    chart.set_x_axis({"name": axis[0], "name_font": small, "num_font": {**small, "rotation": -45}, "text_axis": True})
    chart.set_y_axis({
        "name": axis[1], "name_font": small, "num_font": small, "min": floor, "num_format": "0",
        "major_gridlines": {"visible": True, "line": {"color": LINE, "width": 0.5}},
    })
    chart.set_chartarea({"border": {"color": LINE}})
