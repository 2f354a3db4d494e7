"""The live cells of a workbook as LibreOffice reckons them, beside the values they were written with."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from office import taken

from template_builder.build import last_row
from template_builder.layout.addresses import letters
from template_builder.layout.alerts import ALERTS, END
from template_builder.layout.columns import Row
from template_builder.layout.sheets import SHEETS
from template_builder.live.blocks import BLOCKS, CELLS_TAB, HIDDEN_CELLS, Block, rows_in
from template_builder.live.columns import CELLS, K, LiveValue, LiveValues
from template_builder.live.formulas import LATER, SINCE

LiveRow = Mapping[str, LiveValue]
Step = Sequence[object]
Found = Mapping[str, list[dict[str, object]]]
CLOSE = 1e-6  # of a day: a tenth of a second


def in_rows(values: LiveValues) -> dict[str, list[LiveRow]]:
    """Values by block, row and column."""
    return {
        id: [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
        for id, columns in values.items()
    }


def reckoned(path: Path, rows: Mapping[str, Sequence[Row]], step: Step = ()) -> Found:
    """Every block by id as it stands once LibreOffice took the step, if any, and reckoned everything anew."""
    return reckoned_each(path, rows, [[step] if step else []], BLOCKS)[0]


def typed(path: Path, rows: Mapping[str, Sequence[Row]], steps: Sequence[Step]) -> Found:
    """The same once cells were typed, where only what hangs on them is reckoned, as it is while people work."""
    return reckoned_each(path, rows, [steps], BLOCKS, ["calculate"])[0]


def reckoned_each(
    path: Path, rows: Mapping[str, Sequence[Row]], trials: Sequence[Sequence[Step]], blocks: Sequence[Block],
    reckoning: Step = ("recalculate",),
) -> list[Found]:
    """Some blocks after each of these trials, whose steps are taken in the workbook as it was built."""
    last_rows = {sheet.id: last_row(sheet, len(rows.get(sheet.id, ()))) for sheet in SHEETS}
    reading = [["read", block.tab, _area(block, last_rows)] for block in blocks]
    reading.append(["read", CELLS_TAB, f"A1:B{len(HIDDEN_CELLS)}"])
    orders = [order for steps in trials for order in (["reopen"], *steps, reckoning, *reading)]
    results = taken(path, orders[1:])
    return [_found(blocks, results[start:start + len(reading)]) for start in range(0, len(results), len(reading))]


def _found(blocks: Sequence[Block], results: Sequence[Sequence[Sequence[object]]]) -> Found:
    *areas, cells = results
    found = {
        block.sheet.id: [dict(zip(block.sheet.places, row, strict=True)) for row in area]
        for block, area in zip(blocks, areas, strict=True)
    }
    return {**found, CELLS: [dict(cells)]}


def _area(block: Block, last_rows: Mapping[str, int]) -> str:
    places = block.sheet.places.values()
    last = block.top + rows_in(block, last_rows) - 1
    return f"{letters(min(places))}{block.top}:{letters(max(places))}{last}"


def differences(values: LiveValues, found: Found) -> list[tuple[str, int, str, object, object]]:
    """Each cell that differs: block, row, column, expected value, found value."""
    expected = in_rows(values)
    return [
        (id, number, column, wanted, row[column])
        for id, rows in found.items()
        for number, (row, wanted_row) in enumerate(zip(rows, _padded(expected[id], len(rows)), strict=True), start=1)
        for column, wanted in wanted_row.items() if column in row and column != K and not _same(wanted, row[column])
    ]


def _padded(rows: Sequence[LiveRow], count: int) -> Sequence[LiveRow]:
    assert len(rows) == count
    return rows


def _same(wanted: object, found: object) -> bool:
    if isinstance(wanted, int | float) and isinstance(found, int | float):
        return abs(wanted - found) < CLOSE
    return wanted == found


def ranked_as(number: int) -> tuple[int, int]:
    """The urgency of an alert told as one number, and since which minute."""
    return END if number >= LATER else ALERTS[number // SINCE - 1].urgency, number % SINCE
