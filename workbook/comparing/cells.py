"""How figures of a group stand in cells: in their unit, from ranges met in print, blank with why."""

from typing import Any

import pandas as pd

from template_builder.files.look import BODY, STRONG, WRAPPED
from template_builder.files.tab import Cell
from workbook.comparing.measures import MEASURE
from workbook.output.summary.figure_cells import OTHER_UNIT, PER_CENT
from workbook.output.summary.phrases import SHARE_UNIT

SMALL = WRAPPED.with_(size=9)
SHARE, OTHER = (style.with_(size=9, indent=0, bold=False) for style in (PER_CENT, OTHER_UNIT))
COUNT = BODY.with_(number_format="#,##0", align="right", size=9, valign="top")
LETTER = STRONG.with_(align="center", valign="top")
NONE_IN_PRINT = "none met"
PRINTED = ("Published ranges come from other breeds, years and places: beside, not a target. "
           f"\u201c{NONE_IN_PRINT}\u201d: none was read that counts the same way.")
PLACE = BODY.with_(align="center", size=9, valign="top")


def rows_of(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """The rows of a frame by column."""
    return [{str(name): value for name, value in row.items()} for row in frame.to_dict("records")]


def written(figures: pd.DataFrame) -> pd.DataFrame:
    """The rows of figures that at least one of the farms in them recorded."""
    return figures[figures.groupby("figure")["denominator"].transform("count") > 0]


def known(value: Any) -> bool:
    """Whether a cell of a frame holds something."""
    return value is not None and not pd.isna(value)


def figure(value: Any, unit: str, *, bold: bool = False) -> Cell:
    """A figure in its unit; an empty cell where there is none."""
    style = (SHARE if unit == SHARE_UNIT else OTHER).with_(bold=bold)
    return Cell(float(value) if known(value) else None, style)


def count(value: Any) -> Cell:
    return Cell(float(value) if known(value) else None, COUNT)


def place(at: object, farms: object) -> Cell:
    """"3 of 12", counted from the lowest."""
    return Cell(f"{at} of {farms}" if known(at) else None, PLACE)


def published(id: str) -> tuple[str, str]:
    """The range met in print and its source; that there is none where none was read that counts the same way."""
    measure = MEASURE[id]
    if measure.published is None:
        return NONE_IN_PRINT, measure.instead
    low, high, source = measure.published
    digits = 2 if high < 3 else 1 if high % 1 or low % 1 else 0
    return f"{low:.{digits}f} to {high:.{digits}f}", source
