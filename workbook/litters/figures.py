"""The flock's figures, each with numerator, denominator, interval and definition."""

from dataclasses import dataclass

from workbook.cells import CellRef


@dataclass(frozen=True)
class Figure:
    """One figure. `value` is None where it is not defined; `low` and `high` are in the unit of the value.

    `rows` are the places it rests on (numerator rows), `provisional` says why it may still change.
    """

    id: str
    label: str
    value: float | None
    unit: str
    numerator: float | None
    denominator: float | None
    definition: str
    low: float | None = None
    high: float | None = None
    few: bool = False
    so_far: bool = False
    rows: tuple[CellRef, ...] = ()
