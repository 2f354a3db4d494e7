"""Open a workbook file: the guard first, then one pass over its cells. The rest of the program never sees the file."""

import re
import zipfile
import zlib
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple
from xml.etree.ElementTree import ParseError

from openpyxl import load_workbook
from openpyxl.utils.exceptions import InvalidFileException

from workbook.guard import Inspected, Unreadable, inspect

_NAMED_CELL = re.compile(r"'?((?:[^']|'')+?)'?!\$([A-Z]{1,3})\$(\d+)")
_BROKEN = (zipfile.BadZipFile, zlib.error, KeyError, ValueError, IndexError, TypeError, ParseError, EOFError, OSError,
           InvalidFileException, AttributeError)


class Cell(NamedTuple):
    """One cell that holds something. `formula` is its text where the value was computed, `error` where it is one."""

    column: int
    value: object
    formula: str = ""
    error: bool = False


Line = tuple[int, tuple[Cell, ...]]


@dataclass(frozen=True)
class Cells:
    """All cells of a workbook: `tabs` title -> lines (row number, its cells), `names` defined name -> (tab, column, row)."""

    file: str
    tabs: Mapping[str, tuple[Line, ...]]
    names: Mapping[str, tuple[str, int, int]] = field(default_factory=dict)
    merged: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    hidden_rows: Mapping[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def open_cells(path: Path, unread: Container[str] = ()) -> Cells:
    """Every cell of the workbook at `path`, formulas with the value last computed. Raises Unreadable with one sentence.

    Tabs `unread` are only named, none of their cells read.
    """
    inspected = inspect(path)
    try:
        return _read(path, inspected, unread)
    except _BROKEN as error:
        raise Unreadable(
            f"{path.name} could not be read to the end ({type(error).__name__}): open it in a spreadsheet program, "
            "save a fresh copy as .xlsx and use that"
        ) from error


def _read(path: Path, inspected: Inspected, unread: Container[str]) -> Cells:
    with path.open("rb") as file:
        book = load_workbook(file, read_only=True)
        tabs = {sheet.title: () if sheet.title in unread else tuple(_lines(sheet)) for sheet in book.worksheets}
        names = {name: cell for name, defined in book.defined_names.items() if (cell := _named_cell(defined.attr_text))}
        book.close()
    with_formulas = {title: lines for title, lines in tabs.items() if any(cell.formula for _, row in lines for cell in row)}
    if with_formulas:
        tabs |= _computed(path, with_formulas)
    return Cells(path.name, tabs, names, inspected.merged, inspected.hidden_rows, inspected.notes)


def _lines(sheet: object) -> Iterator[Line]:
    sheet.reset_dimensions()  # type: ignore[attr-defined]  # read-only sheets have it; a stated dimension may lie
    for number, row in enumerate(sheet.iter_rows(), start=1):  # type: ignore[attr-defined]
        cells = tuple(_cell(cell) for cell in row if cell.value is not None)
        if cells:
            yield number, cells


def _cell(cell: object) -> Cell:
    kind, value = cell.data_type, cell.value  # type: ignore[attr-defined]
    column: int = cell.column  # type: ignore[attr-defined]
    if kind == "f":
        return Cell(column, None, formula=str(value))
    return Cell(column, value, error=kind == "e")


def _computed(path: Path, tabs: Mapping[str, tuple[Line, ...]]) -> dict[str, tuple[Line, ...]]:
    """The same lines with the stored value of each formula: a second pass, only over tabs that hold formulas."""
    found: dict[str, tuple[Line, ...]] = {}
    with path.open("rb") as file:
        book = load_workbook(file, read_only=True, data_only=True)
        for title, lines in tabs.items():
            wanted = {(number, cell.column) for number, row in lines for cell in row if cell.formula}
            values = {
                (number, cell.column): cell
                for number, row in _lines(book[title]) for cell in row if (number, cell.column) in wanted
            }
            found[title] = tuple(
                (number, tuple(_with_value(cell, values.get((number, cell.column))) for cell in row)) for number, row in lines
            )
        book.close()
    return found


def _with_value(cell: Cell, stored: Cell | None) -> Cell:
    if not cell.formula:
        return cell
    return cell._replace(value=stored.value if stored else None, error=bool(stored and stored.error))


def _named_cell(target: str | None) -> tuple[str, int, int] | None:
    found = _NAMED_CELL.fullmatch(target or "")
    if not found:
        return None
    column = 0
    for letter in found[2]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return found[1].replace("''", "'"), column, int(found[3])
