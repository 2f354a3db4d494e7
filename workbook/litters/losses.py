"""Where live-born lambs were lost: by stage, cause, litter size, birth weight, help, age of ewe, ram and group."""

from dataclasses import dataclass

from workbook.cells import CellRef
from workbook.proportions import Proportion


@dataclass(frozen=True)
class LossClass:
    """One class of a table: lambs lost of live-born lambs in it. `of_start`: of those alive when the stage began."""

    label: str
    loss: Proportion
    of_start: Proportion | None = None
    rows: tuple[CellRef, ...] = ()


@dataclass(frozen=True)
class LossTable:
    """Losses of live-born lambs split one way. `note` says what was not recorded ("causes for 31 of 44 dead")."""

    id: str
    title: str
    classes: tuple[LossClass, ...]
    note: str = ""
