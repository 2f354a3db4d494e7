"""The picture of the days of lambing, from left to right as in a calendar: ewes lambed, and lines of those expected.

The one picture whose bars stand upright: no program draws a line over bars that lie.
"""

from collections.abc import Sequence
from typing import Any

from template_builder.files.look import CHART_SERIES, FONT, INK, LINE, PAPER, SIZE_SMALL
from template_builder.files.writer import Book

_WEEK = 7
# A strong line, then thin broken ones: told apart in grey too.
_LINES: tuple[dict[str, object], ...] = (
    {"line": {"color": CHART_SERIES[0], "width": 2.5}},
    {"line": {"color": CHART_SERIES[4], "width": 1.0, "dash_type": "dash"}},
    {"line": {"color": CHART_SERIES[4], "width": 1.0, "dash_type": "dash"}},
)


def days_chart(
    book: Book, title: str, tab: str, rows: tuple[int, int], days: int, drawn: Sequence[tuple[int, str]],
) -> Any:
    """Columns of numbers, each with its name, over the days in the column `days` of the same rows of that tab."""
    def series(column: int, name: str, **look: object) -> dict[str, object]:
        categories, values = ([tab, rows[0] - 1, of - 1, rows[1] - 1, of - 1] for of in (days, column))
        return {"name": name, "categories": categories, "values": values, **look}

    (seen, name), *expected = drawn
    chart, lines = book.chart("column"), book.chart("line")
    chart.add_series(series(seen, name, gap=30, fill={"color": CHART_SERIES[2]}, border={"color": INK, "width": 0.5}))
    for (column, words), look in zip(expected, _LINES, strict=False):
        lines.add_series(series(column, words, **look))
    if expected:
        chart.combine(lines)
    small = {"name": FONT, "size": SIZE_SMALL, "color": INK, "bold": False}
    chart.set_title({"name": title, "name_font": {"name": FONT, "size": 11, "color": INK}, "overlay": False})
    chart.set_x_axis({"num_font": {**small, "rotation": -45}, "num_format": "d mmm", "text_axis": True, "interval_unit": _WEEK,
                      "interval_tick": _WEEK})
    chart.set_y_axis({"name": "Ewes", "name_font": small, "num_font": small, "min": 0, "num_format": "0",
                      "major_gridlines": {"visible": True, "line": {"color": LINE, "width": 0.5}}})
    chart.set_legend({"position": "bottom", "font": small})
    chart.set_chartarea({"border": {"color": LINE}, "fill": {"color": PAPER}})
    chart.show_hidden_data()
    return chart
