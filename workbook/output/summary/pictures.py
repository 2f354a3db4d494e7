"""The pictures on Summary and, below them, the numbers they are drawn from."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from template_builder.files.look import ONE_DECIMAL, WHOLE
from template_builder.files.tab import Head, Shown, Tab
from template_builder.files.writer import Book
from workbook.output.summary.charts import beside_forecast, column_chart, waterfall, waterfall_floor
from workbook.output.summary.phrases import sentence
from workbook.results.litters.lamb_classes import MOTHER_NOT_KNOWN, NOT_RECORDED, NOT_WEIGHED
from workbook.results.litters.losses import TOTAL, LossTable
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT

CHART_WIDTH, CHART_HEIGHT = 375, 290  # pixels: two side by side fill a printed page
CHART_ROWS = 15  # rows of the height a spreadsheet gives by itself that one chart takes
RIGHT_HALF = 6  # the column where the second chart of a row begins
MOST_PICTURES = 4
INSTEAD = ("stage", "litter_size", "group", "ewe_age")  # losses drawn where a picture of the usual four would say nothing
NOTHING_TO_DRAW = "Nothing to draw so far."
LEFT_OUT = (TOTAL, NOT_RECORDED, NOT_WEIGHED, MOTHER_NOT_KNOWN)


class Numbers(NamedTuple):
    """The table behind one picture; values begin in the second column."""

    title: str
    heads: tuple[Head, ...]
    rows: Sequence[Sequence[Shown]]
    axis: tuple[str, str]
    stacked: bool = False
    hidden: bool = False
    values: int = 1
    line: int = 0
    note: str = ""
    floor: int = 0


def write_pictures(book: Book, tab: Tab, result: Result) -> None:
    """Two rows of two charts on a page of their own, then, on the screen only, their numbers."""
    chosen = worth_drawing(candidates(result))
    if not chosen:
        tab.section("Pictures")
        tab.prose(NOTHING_TO_DRAW)
        tab.page.print_area((1, 1), (tab.row - 1, len(tab.widths)))
        return
    tab.new_page()
    tab.section("Pictures")
    corner = tab.row
    tab.row += (len(chosen) + 1) // 2 * CHART_ROWS
    tab.paper_ends()
    tab.section("The numbers behind the pictures")
    for place, numbers in enumerate(chosen):
        row, column = corner + CHART_ROWS * (place // 2), (1, RIGHT_HALF)[place % 2]
        tab.page.place(row, column, _write_numbers(book, tab, numbers), width=CHART_WIDTH, height=CHART_HEIGHT)


def worth_drawing(found: Sequence[Numbers]) -> tuple[Numbers, ...]:
    """The first four that have something to compare: a picture of one column says nothing."""
    return tuple(numbers for numbers in found if len(numbers.rows) > 1)[:MOST_PICTURES]


def _write_numbers(book: Book, tab: Tab, numbers: Numbers) -> Any:
    """Write one table; gives the chart drawn from it."""
    tab.section(numbers.title, numbers.note)
    top = tab.table(numbers.heads, numbers.rows)
    series = range(2, 2 + numbers.values)
    return column_chart(book, numbers.title, tab.page, (top + 1, top + len(numbers.rows)), series, numbers.axis,
                        stacked=numbers.stacked, hidden=numbers.hidden, floor=numbers.floor, line=numbers.line)


def candidates(result: Result) -> tuple[Numbers, ...]:
    """All pictures there could be, the most telling first."""
    tables = {table.id: table for table in result.losses}
    return (
        _of_waterfall(result), _of_weights(tables.get("birth_weight")), _of_causes(tables.get("cause")), _of_days(result),
        *(_of_shares(tables.get(id)) for id in INSTEAD),
    )


def _of_waterfall(result: Result) -> Numbers:
    steps = waterfall(result)
    drawn = max((step.level for step in steps), default=0) >= FEW
    heads = (Head("Step"), Head("Stands on", WHOLE), Head("Lambs", WHOLE), Head("Added", WHOLE), Head("Lost or gone", WHOLE))
    floor = waterfall_floor(steps) if drawn else 0
    axis = f"Lambs (axis begins at {floor})" if floor else "Lambs"
    return Numbers("From scanning to the lambs here now", heads, steps if drawn else (), ("Step", axis),
                   stacked=True, hidden=True, values=4, floor=floor)


def _of_days(result: Result) -> Numbers:
    days, outside = beside_forecast(result)
    notes = [f"{outside} with a lambing date far from all others left out."] if outside else []
    heads: tuple[Head, ...] = (Head("Day"), Head("Ewes lambed", WHOLE))
    rows: list[tuple[Shown, ...]] = [(f"{day.day} {day:%b}", ewes) for day, ewes, _ in days]
    forecast = result.forecast is not None and bool(result.forecast.days)
    if forecast:
        heads = (*heads, Head("Ewes expected", ONE_DECIMAL))
        rows = [(*row, None if ewes is None else round(ewes, 1)) for row, (_, _, ewes) in zip(rows, days, strict=True)]
        notes += ["Expected: the forecast as it stood at scanning."]
    notes += [f"Still ahead: {' '.join(result.to_come.words)}"] if result.to_come and result.to_come.days else []
    total = sum(ewes or 0 for _, ewes, _ in days)
    return Numbers("Ewes lambed each day", heads, rows, ("Day", f"Ewes ({total} lambed)"),
                   line=3 if forecast else 0, note=" ".join(notes))


def _of_causes(table: LossTable | None) -> Numbers:
    lost = sorted(((item.loss.numerator, item.label) for item in table.classes if item.loss.numerator) if table else (),
                  key=lambda pair: -pair[0])
    total = sum(number for number, _ in lost)
    rows = [(label, number) for number, label in lost] if total >= FEW else []
    note = sentence(table.note) if table else ""
    return Numbers("Live-born lambs lost, by cause", (Head("Cause"), Head("Lambs lost", WHOLE)), rows,
                   ("Cause", f"Lambs lost ({total:g} in all)"), note=note)


def _of_weights(table: LossTable | None) -> Numbers:
    """Loss by birth weight; nothing to show unless lambs of two weights were born."""
    weighed = [item for item in (table.classes if table else ()) if item.loss.value is not None and item.label not in LEFT_OUT]
    return _of_shares(table) if len(weighed) > 1 else Numbers("", (), (), ("", ""))


def _of_shares(table: LossTable | None) -> Numbers:
    """The share of live-born lambs lost in each class of a table."""
    if table is None:
        return Numbers("", (), (), ("", ""))
    what = table.title.removeprefix("By ")
    classes = [item for item in table.classes if item.loss.value is not None and not item.loss.few and item.label != TOTAL]
    few = [item.label for item in table.classes if item.loss.denominator and item.loss.few]
    rows = [(f"{item.label} ({item.loss.denominator} lambs)", PER_CENT * (item.loss.value or 0.0)) for item in classes]
    by_stage = any(item.of_start for item in classes)
    total = max((item.loss.denominator for item in classes), default=0) if by_stage else sum(
        item.loss.denominator for item in classes)
    if by_stage:
        rows = [(item.label, PER_CENT * (item.loss.value or 0.0)) for item in classes]
    told = any(item.label not in LEFT_OUT for item in classes)
    return Numbers(f"Live-born lambs lost, by {what}", (Head(what.capitalize()), Head("Lost, %", ONE_DECIMAL)),
                   rows if told else (), (what.capitalize(), f"Lost, % of live-born ({total} lambs)"),
                   note=f"Left out, with fewer than ten lambs: {', '.join(few)}." if few else "")
