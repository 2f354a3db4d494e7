"""Ways a file is changed without a spreadsheet program: one cell stored otherwise, a part edited, openpyxl's own saving."""

import re
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import NamedTuple
from xml.sax.saxutils import escape

from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from damage.case import OnFile, edited, part_of

Cell = tuple[str, object]


class Formula(str):
    """The text of a formula, "=1+1", in a cell that `typed` writes; what it gave stands after a |."""


class Error(str):
    """An error value such as "#N/A"."""


class Dated(NamedTuple):
    """A day number in a cell that looks like another cell of the sheet, one that shows dates."""

    day: float
    like: str


def typed(*cells: Cell) -> OnFile:
    """Cells ("Lambs!F4", value) as a spreadsheet program stores what was typed, pasted or computed in them; None empties one."""

    def change(source: Path, target: Path) -> None:
        changes: dict[str, Callable[[str], str]] = {}
        for tab in dict.fromkeys(place.partition("!")[0] for place, _ in cells):
            here = [(place.partition("!")[2], value) for place, value in cells if place.startswith(f"{tab}!")]
            changes[part_of(source, tab)] = partial(_with_cells, here)
        edited(source, target, changes)

    return OnFile(change)


def _with_cells(cells: list[Cell], sheet: str) -> str:
    for place, value in cells:
        sheet = _with_cell(sheet, place, value)
    return sheet


def _with_cell(sheet: str, place: str, value: object) -> str:
    """The sheet with one cell replaced, or put at the end of its row where there was none."""
    number = place.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    found = re.search(rf'<c r="{place}"([^>]*?)(/>|>.*?</c>)', sheet)
    style = re.search(r's="\d+"', found[1]) if found else None
    if isinstance(value, Dated):
        style, value = re.search(rf'(?<=<c r="{value.like}") s="\d+"', sheet), value.day
    stored = _stored(place, value, f" {style[0].strip()}" if style else "")
    if found:
        return sheet[: found.start()] + stored + sheet[found.end():]
    row = re.search(rf'<row r="{number}"[^>]*>.*?(?=</row>)', sheet)
    if row:
        return sheet[: row.end()] + stored + sheet[row.end():]
    return sheet.replace("</sheetData>", f'<row r="{number}">{stored}</row></sheetData>')


def _stored(place: str, value: object, style: str) -> str:
    match value:
        case None:
            return ""
        case Formula():
            formula, _, gave = value.partition("|")
            return f'<c r="{place}"{style}><f>{escape(formula[1:])}</f><v>{gave}</v></c>'
        case Error():
            return f'<c r="{place}"{style} t="e"><v>{value}</v></c>'
        case bool():
            return f'<c r="{place}"{style} t="b"><v>{int(value)}</v></c>'
        case datetime():
            return f'<c r="{place}"{style}><v>{(value - datetime(1899, 12, 30)).total_seconds() / 86_400:.10g}</v></c>'
        case int() | float():
            return f'<c r="{place}"{style}><v>{float(value):.17g}</v></c>'
        case _:
            return f'<c r="{place}"{style} t="inlineStr"><is><t xml:space="preserve">{escape(str(value))}</t></is></c>'


def raw(part: str, change: Callable[[str], str]) -> OnFile:
    """One part of the file changed as text; a part is named by its tab or by itself."""

    def whole(source: Path, target: Path) -> None:
        edited(source, target, {part if "/" in part else part_of(source, part): change})

    return OnFile(whole)


def by_openpyxl(change: Callable[[Workbook], None]) -> OnFile:
    """Opened, changed and saved by openpyxl."""

    def whole(source: Path, target: Path) -> None:
        book = load_workbook(source)
        change(book)
        book.save(target)

    return OnFile(whole)


def made(data: Callable[[bytes], bytes]) -> OnFile:
    """The bytes of the file themselves changed."""
    return OnFile(lambda source, target: None if target.write_bytes(data(source.read_bytes())) else None)
