"""What the same work costs at the least: each floor is a process of its own, `python floors.py NAME FILE [...]`.

Imports stand inside the floor that needs them, so that each pays for its own only.
"""

import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from xml.parsers import expat

TEXTS = "xl/sharedStrings.xml"
A_DAY = 45_000.5  # a date and time as stored
SHEETS = "xl/worksheets/sheet"


def dict_of_cells(path: str) -> dict[str, dict[str, tuple[str, str, str]]]:
    """Unzip, parse, and keep every cell of every sheet: reference -> its kind, style and stored value."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    _parse(parts[TEXTS], {})
    sheets: dict[str, dict[str, tuple[str, str, str]]] = {}
    for name, data in parts.items():
        if name.startswith(SHEETS):
            _parse(data, sheets.setdefault(name, {}))
    return sheets


def _parse(data: bytes, cells: dict[str, tuple[str, str, str]]) -> None:
    at = ("", "n", "")
    value: list[str] = []

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal at
        if tag == "c":
            at = attributes["r"], attributes.get("t", "n"), attributes.get("s", "")
            value.clear()

    def end(tag: str) -> None:
        if tag == "c":
            cells[at[0]] = at[1], at[2], "".join(value)

    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, value.append
    parser.Parse(data, True)


def openpyxl_normal(path: str) -> None:
    from openpyxl import load_workbook

    load_workbook(path)


def openpyxl_read_only(path: str) -> None:
    from openpyxl import load_workbook

    for sheet in load_workbook(path, read_only=True, data_only=True):
        for _ in sheet.iter_rows(values_only=True):
            pass


def openpyxl_save(path: str, target: str) -> None:
    from openpyxl import load_workbook

    load_workbook(path).save(target)


def pandas_read(path: str) -> None:
    import pandas

    pandas.read_excel(path, sheet_name=None)


def cells_for_writing(target: str, *paths: str) -> None:
    """Put down the cells of workbooks as plain values, formulas as the values they have, for the floor that writes them."""
    import marshal

    from openpyxl import load_workbook

    sheets = {}
    for sheet in (sheet for path in paths for sheet in load_workbook(path, data_only=True)):
        cells = [cell for row in sheet.iter_rows() for cell in row if cell.has_style or cell.value is not None]
        sheets[sheet.title] = [(cell.row - 1, cell.column - 1, _plain(cell.value)) for cell in cells]
    Path(target).write_bytes(marshal.dumps(sheets))


def _plain(value: object) -> int | float | str | None:
    """A value as it is stored: a date or time is a number."""
    return value if value is None or isinstance(value, int | float | str) else A_DAY


def xlsxwriter_write(cells: str, target: str) -> None:
    """Write the same cells without anything else: no table, no drop-down, one format."""
    import marshal

    import xlsxwriter

    with xlsxwriter.Workbook(target) as book:
        plain = book.add_format({"border": 1})
        for title, rows in marshal.loads(Path(cells).read_bytes()).items():
            sheet = book.add_worksheet(title)
            for row, column, value in rows:
                if value is None:
                    sheet.write_blank(row, column, value, plain)
                elif isinstance(value, str):
                    sheet.write_string(row, column, value, plain)
                else:
                    sheet.write_number(row, column, value, plain)


FLOORS: dict[str, Callable[..., object]] = {
    "dict": dict_of_cells, "normal": openpyxl_normal, "read-only": openpyxl_read_only, "save": openpyxl_save,
    "pandas": pandas_read, "cells": cells_for_writing, "xlsxwriter": xlsxwriter_write,
}

if __name__ == "__main__":
    FLOORS[sys.argv[1]](*sys.argv[2:])
