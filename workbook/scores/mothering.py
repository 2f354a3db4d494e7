"""The mothering score: 0 to 100 in parts that add up, only from what is hers, only where enough was recorded."""

from dataclasses import dataclass

from workbook.cells import CellRef


@dataclass(frozen=True)
class Part:
    """One part: `points` of `most`; None where nothing was recorded for it."""

    id: str
    label: str
    points: float | None
    most: float
    reason: str
    cells: tuple[CellRef, ...] = ()


@dataclass(frozen=True)
class MotheringScore:
    """Her score of 100, None below the least coverage. `coverage` is the share of points that could be judged, in %."""

    ewe: str
    score: float | None
    coverage: float
    parts: tuple[Part, ...]
    word: str  # good, fair, poor, or "not enough recorded"
    of_class: str  # comparison with ewes of her age class and litter size, in words
