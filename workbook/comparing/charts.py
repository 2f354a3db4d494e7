"""A funnel plot: farms as points with their letters, limits as lines over the number of animals. Its numbers are out of sight."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from template_builder.files.look import DEEP, FONT, INK, LINE, PAPER, QUIET, RUST, SIZE_SMALL
from template_builder.files.tab import Tab
from template_builder.files.writer import Book, Page
from template_builder.layout.group_tabs import POINTS
from workbook.comparing.funnels import Funnel, Standing, drawn, highest, most_drawn, words
from workbook.results.statistics.funnel import Outside
from workbook.results.statistics.proportions import PER_CENT

WIDTH, HEIGHT = 960, 490  # pixels
ROWS = 25  # of 15 points each that a picture covers
ALARM_LINE: Mapping[str, object] = {"color": RUST, "width": 1.25, "dash_type": "dash"}
WARN_LINE: Mapping[str, object] = {"color": QUIET, "width": 1.25, "dash_type": "round_dot"}
LINES: tuple[tuple[str, Mapping[str, object]], ...] = (  # the group's share and its limits, as they stand in columns
    ("Group", {"color": INK, "width": 1.5}), ("99.8 % limits", ALARM_LINE), ("95 % limits", WARN_LINE),
    ("95 % limits above", WARN_LINE), ("99.8 % limits above", ALARM_LINE),
)
NOT_IN_LEGEND = [3, 4]  # a line that looks as one that is
MOST_LETTERS = 30  # with more farms only those outside a limit carry theirs
BLOCK = 10  # columns that one funnel takes on the hidden tab
SMALL = {"name": FONT, "size": SIZE_SMALL, "color": INK, "bold": False}


class Pictures:
    """Draws funnels on a tab, their numbers on a hidden one. `only` draws one farm's point alone, by its letter."""

    def __init__(self, book: Book, tab: Tab, only: str = "") -> None:
        self.book, self.tab, self.only = book, tab, only
        self.points: Page = book.page(POINTS)
        self.points.raw.hide()
        self.column = 1

    def draw(self, funnel: Funnel) -> None:
        """Title, words and picture of one funnel, on a page of their own."""
        with self.tab.kept_together():
            self.tab.section(funnel.title, words(funnel) if not self.only else own_words(funnel, self.only))
            chart = self._chart(funnel)
            self.tab.page.place(self.tab.row, 1, chart, width=WIDTH, height=HEIGHT, words=self._words(funnel))
            for _ in range(ROWS):
                self.tab.free()

    def _words(self, funnel: Funnel) -> str:
        said = own_words(funnel, self.only) if self.only else words(funnel)
        return f"Funnel plot. {funnel.title}, in per cent over {funnel.measure.of}. {said}"

    def _chart(self, funnel: Funnel) -> Any:
        chart = self.book.chart("scatter", "straight")
        shown = [farm for farm in funnel.farms if self.only in ("", farm.letter)]
        at, last = self.column, self._write_lines(funnel, shown)
        for place, (name, line) in enumerate(LINES):
            chart.add_series({
                "name": name, "categories": self.points.area((2, at), (last, at)),
                "values": self.points.area((2, at + 1 + place), (last, at + 1 + place)),
                "line": line, "marker": {"type": "none"},
            })
        self._farms(chart, shown, at + BLOCK - 3)
        self.column += BLOCK
        self._dress(chart, funnel, shown)
        return chart

    def _write_lines(self, funnel: Funnel, shown: Sequence[Standing]) -> int:
        """The limits over the number of animals, in columns from the current one on; gives the last row."""
        for place, title in enumerate((funnel.measure.of, *(name for name, _ in LINES))):
            self.points.text(1, self.column + place, title)
        row = 1
        for row, (animals, limits) in enumerate(drawn(funnel, shown), start=2):
            numbers = (funnel.share, *limits)
            for place, number in enumerate((animals, *(PER_CENT * one for one in numbers))):
                self.points.number(row, self.column + place, number)
        return row

    def _farms(self, chart: Any, shown: Sequence[Standing], at: int) -> None:
        for row, farm in enumerate(shown, start=2):
            self.points.number(row, at, farm.of)
            self.points.number(row, at + 1, PER_CENT * farm.share)
            self.points.text(row, at + 2, farm.letter)
        lettered = _lettered(shown)
        labels = [{"value": farm.letter} if farm.letter in lettered else {"delete": True} for farm in shown]
        chart.add_series({
            "name": "Farms" if not self.only else "Your farm",
            "categories": self.points.area((2, at), (len(shown) + 1, at)),
            "values": self.points.area((2, at + 1), (len(shown) + 1, at + 1)), "line": {"none": True},
            "marker": {"type": "circle", "size": 5, "fill": {"color": DEEP}, "border": {"color": PAPER}},
            "data_labels": {"value": True, "custom": labels, "position": "above", "font": {**SMALL, "bold": True}},
        })

    def _dress(self, chart: Any, funnel: Funnel, shown: Sequence[Standing]) -> None:
        number = {"num_font": SMALL, "name_font": SMALL, "line": {"color": QUIET}}
        most, top = _round_up(most_drawn(shown)), min(100.0, _round_up(highest(funnel, shown)))
        chart.set_x_axis({**number, "name": funnel.measure.of, "min": 0, "max": most, "num_format": "#,##0",
                          "major_gridlines": {"visible": False}})
        chart.set_y_axis({**number, "name": "per cent", "min": 0, "max": top, "num_format": "0",
                          "major_gridlines": {"visible": True, "line": {"color": LINE, "width": 0.5}}})
        chart.set_title({"name": funnel.title, "name_font": {"name": FONT, "size": 11, "color": INK}, "overlay": False})
        chart.set_legend({"position": "bottom", "font": SMALL, "delete_series": NOT_IN_LEGEND})
        chart.set_chartarea({"border": {"none": True}})
        chart.show_hidden_data()


def _lettered(farms: Sequence[Standing]) -> set[str]:
    """The farms that carry their letter: all, or of many those that stand apart, so that letters can be read."""
    return {farm.letter for farm in farms if len(farms) <= MOST_LETTERS or farm.where is not Outside.INSIDE}


def own_words(funnel: Funnel, letter: str) -> str:
    """Where one farm lies in a funnel, in sentences that tell of no other."""
    own = next((farm for farm in funnel.farms if farm.letter == letter), None)
    if own is None:
        return f"You are not among the {len(funnel.farms)} farms of this figure."
    low, high = PER_CENT * own.limits.low_warn, PER_CENT * own.limits.high_warn
    return (f"You: {own.lost:,.0f} of {own.of:,.0f} {funnel.measure.of}, {PER_CENT * own.share:.1f} %. {len(funnel.farms)} farms "
            f"together: {PER_CENT * funnel.share:.1f} %. Of so many animals {low:.1f} to {high:.1f} % lies inside the 95 % "
            f"limits: you are {own.where.value}.")


def _round_up(number: float) -> float:
    """A round number not below this one, for the end of an axis."""
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 10 ** 9) if number / step <= 10)
    return float(-(-number // step) * step)


def all_in(funnels: Iterable[Funnel], letter: str) -> list[Funnel]:
    """The funnels in which a farm stands."""
    return [funnel for funnel in funnels if any(farm.letter == letter for farm in funnel.farms)]
