"""Pictures of numbers that stand in the same workbook: horizontal bars with their values, from zero, told apart in grey too."""

from collections.abc import Sequence
from typing import Any

from template_builder.files.look import CHART_PATTERNS, CHART_SERIES, FONT, INK, PAPER, SIZE_SMALL
from template_builder.files.writer import Book, Page

GAP = 40  # per cent of a bar's width


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
