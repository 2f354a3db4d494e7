"""Ewes and lambs that need another look, most urgent first, each with what the trade usually does next."""

from dataclasses import dataclass
from datetime import datetime

from workbook.cells import CellRef


@dataclass(frozen=True)
class ProblemEwe:
    """Why a ewe needs a look. `urgency` 1 is now, 2 today, 3 soon, 4 at the end of the season."""

    ewe: str
    name: str
    alert: str
    urgency: int
    why: str
    since: datetime | None
    next_step: str
    call_vet: bool
    pen: str
    cells: tuple[CellRef, ...]
