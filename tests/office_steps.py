"""Run by the system's Python: open a workbook in LibreOffice, take steps, save it. Reads one JSON order from stdin.

Steps: ["insert_columns", tab, before, number], ["move_column", tab, from, to], ["rename", tab, new name],
["delete_sheet", tab], ["sort", tab, column, first row], ["set", tab, cell, text or number], ["delete_rows", tab, first, number],
["recalculate", tab] (every formula anew), ["read", tab] (prints {"tab": {"cell": value}} as a line of JSON).
Columns and rows count from 1.
"""

import json
import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path

import uno  # type: ignore[import-not-found]  # comes with LibreOffice, not from the registry
from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]
from com.sun.star.table import CellAddress, CellRangeAddress, TableSortField  # type: ignore[import-not-found]

START_SECONDS = 90


def value(name, content):  # type: ignore[no-untyped-def]
    made = PropertyValue()
    made.Name, made.Value = name, content
    return made


def connect(pipe):  # type: ignore[no-untyped-def]
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    until = time.monotonic() + START_SECONDS
    while True:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            if time.monotonic() > until:
                raise
            time.sleep(0.3)


def used(sheet):  # type: ignore[no-untyped-def]
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    return cursor.RangeAddress.EndColumn, cursor.RangeAddress.EndRow


def sort(sheet, column, first_row):  # type: ignore[no-untyped-def]
    last_column, last_row = used(sheet)
    field = TableSortField()
    field.Field, field.IsAscending = column - 1, False
    area = sheet.getCellRangeByPosition(0, first_row - 1, last_column, last_row)
    area.sort((
        value("SortFields", uno.Any("[]com.sun.star.table.TableSortField", (field,))), value("ContainsHeader", False),
    ))


def move_column(sheet, source, target):  # type: ignore[no-untyped-def]
    _, last_row = used(sheet)
    sheet.Columns.insertByIndex(target - 1, 1)
    source += source >= target
    moved = CellRangeAddress()
    moved.Sheet = sheet.RangeAddress.Sheet
    moved.StartColumn = moved.EndColumn = source - 1
    moved.StartRow, moved.EndRow = 0, last_row
    place = CellAddress()
    place.Sheet, place.Column, place.Row = moved.Sheet, target - 1, 0
    sheet.moveRange(place, moved)
    sheet.Columns.removeByIndex(source - 1, 1)


def contents(sheet):  # type: ignore[no-untyped-def]
    last_column, last_row = used(sheet)
    rows = sheet.getCellRangeByPosition(0, 0, last_column, last_row).getDataArray()
    return {
        f"{letters(column)}{row}": cell
        for row, line in enumerate(rows, start=1) for column, cell in enumerate(line, start=1) if cell != ""
    }


def letters(column):  # type: ignore[no-untyped-def]
    before, last = divmod(column - 1, 26)
    return (letters(before) if before else "") + chr(ord("A") + last)


def take(document, step):  # type: ignore[no-untyped-def]
    what, tab, *rest = step
    sheet = document.Sheets.getByName(tab)
    if what == "insert_columns":
        sheet.Columns.insertByIndex(rest[0] - 1, rest[1])
    elif what == "delete_rows":
        sheet.Rows.removeByIndex(rest[0] - 1, rest[1])
    elif what == "move_column":
        move_column(sheet, *rest)
    elif what == "delete_sheet":
        document.Sheets.removeByName(tab)
    elif what == "rename":
        sheet.Name = rest[0]
    elif what == "sort":
        sort(sheet, *rest)
    elif what == "recalculate":
        document.calculateAll()
    elif what == "read":
        print(json.dumps({tab: contents(sheet)}))  # noqa: T201 - read by the test that gave the order
    elif what == "set":
        cell = sheet.getCellRangeByName(rest[0])
        if isinstance(rest[1], str):
            cell.String = rest[1]
        else:
            cell.Value = rest[1]
    else:
        raise ValueError(f"no such step: {what}")


def main() -> None:
    order = json.load(sys.stdin)
    pipe = f"lambing{uuid.uuid4().hex}"
    with tempfile.TemporaryDirectory() as profile:
        office = subprocess.Popen(
            [order["office"], f"-env:UserInstallation={Path(profile).as_uri()}", "--headless", "--norestore",
             f"--accept=pipe,name={pipe};urp;"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        try:
            context = connect(pipe)
            desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
            document = desktop.loadComponentFromURL(Path(order["source"]).as_uri(), "_blank", 0, (value("Hidden", True),))
            for step in order["steps"]:
                take(document, step)
            document.storeToURL(Path(order["target"]).as_uri(), (value("FilterName", "Calc MS Excel 2007 XML"),))
            document.close(True)
            desktop.terminate()
        finally:
            try:
                office.wait(timeout=20)
            except subprocess.TimeoutExpired:
                office.kill()


main()
