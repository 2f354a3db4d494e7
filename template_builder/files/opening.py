"""Open a workbook file: the guard first, then its cells in one pass. The rest of the program never sees the file."""

import re
from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from xml.parsers import expat

from template_builder.files.guard import Inspected, Unreadable, inspect
from template_builder.files.lists import list_areas
from template_builder.files.progress import Tell, silent
from template_builder.files.stored import (
    EPOCH,
    EPOCH_1904,
    Cell,
    Line,
    Shows,
    column_number,
    defined_names,
    lines,
    shared_strings,
    styles_of,
)

_NAMED_CELL = re.compile(r"'?((?:[^']|'')+?)'?!\$([A-Z]{1,3})\$(\d+)")
_BROKEN = (expat.ExpatError, ValueError, IndexError, OverflowError)


@dataclass(frozen=True)
class Cells:
    """All cells of a workbook: `tabs` title -> lines (row number, its cells), `names` defined name -> (tab, column, row)."""

    file: str
    tabs: Mapping[str, tuple[Line, ...]]
    names: Mapping[str, tuple[str, int, int]] = field(default_factory=dict)
    merged: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    hidden_rows: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    lists: Mapping[str, tuple[str, ...] | None] = field(default_factory=dict)  # ranges with a drop-down; None: not known
    notes: tuple[str, ...] = ()
    epoch: datetime = EPOCH  # from when the workbook counts days
    undated: bool = False  # no style of the file shows any number as a date

    @property
    def bare_days(self) -> datetime | None:
        """From when bare numbers count days, where no style of the file shows any as a date."""
        return self.epoch if self.undated else None


def open_cells(path: Path, unread: Container[str] = (), tell: Tell = silent) -> Cells:
    """Every cell of the workbook at `path`, formulas with the value last computed. Raises Unreadable with one sentence.

    Tabs named in `unread` are listed without their cells.
    """
    inspected = inspect(path)
    try:
        return _read(inspected, unread, tell)
    except _BROKEN as error:
        raise Unreadable(
            f"{path.name} could not be read to the end ({error}): open it in a spreadsheet program, "
            "save a fresh copy as .xlsx and use that."
        ) from error


def _read(inspected: Inspected, unread: Container[str], tell: Tell) -> Cells:
    stored = inspected.stored
    strings = shared_strings(stored[inspected.texts_part]) if inspected.texts_part else []
    styles = styles_of(stored[inspected.styles_part]) if inspected.styles_part else []
    epoch = EPOCH_1904 if inspected.date1904 else EPOCH
    tabs: dict[str, tuple[Line, ...]] = {}
    for number, (title, part) in enumerate(inspected.sheet_parts.items(), start=1):
        tell(f"Reading {inspected.path.name}, sheet {number} of {len(inspected.sheet_parts)}")
        tabs[title] = () if title in unread else lines(stored[part], strings, styles, epoch)
    targets = defined_names(stored[inspected.book_part])
    names = {name: cell for name, target in targets.items() if (cell := _named_cell(target))}
    lists = {title: list_areas(stored[part]) for title, part in inspected.sheet_parts.items() if title not in unread}
    return Cells(
        inspected.path.name, tabs, names, inspected.merged, inspected.hidden_rows, lists, inspected.notes, epoch,
        undated=Shows.DATE not in styles,
    )


def _named_cell(target: str) -> tuple[str, int, int] | None:
    """The one cell a defined name stands for; None for a range, a constant or a cell that was deleted."""
    found = _NAMED_CELL.fullmatch(target)
    try:
        return (found[1].replace("''", "'"), column_number(found[2]), int(found[3])) if found else None
    except ValueError:
        return None


__all__ = ["Cell", "Cells", "Line", "open_cells"]
