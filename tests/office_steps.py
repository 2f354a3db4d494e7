"""Run by the system's Python: open workbooks in LibreOffice, take steps, save them. Reads one JSON order from stdin.

Steps: ["insert_columns", tab, before, number], ["delete_columns", tab, first, number], ["move_column", tab, from, to],
["copy_column", tab, from, to], ["number_column", tab, before, first row, last row], ["insert_rows", tab, before, number],
["delete_rows", tab, first, number], ["hide_rows", tab, first, number], ["rename", tab, new name], ["delete_sheet", tab],
["move_sheet", tab, place],
["copy_sheet", tab, new, place], ["insert_sheet", new, place], ["sort", tab, column, first row],
["sort_column", tab, column, first row], ["filter", tab, range, column, text], ["merge", tab, range], ["clear", tab, range],
["copy", tab, range, to cell], ["cut", tab, range, to cell], ["set", tab, cell, text or number], ["formula", tab, cell, formula],
["count_from_1904", tab], ["recalculate"] everything, ["calculate"] what has changed, ["timed", step, ...] for the seconds they
took, ["read", tab, range], ["contents", tab] as {cell: value}, ["reopen"] the file as it was, ["timed_reopen"] for the seconds
that took. Columns and rows count from 1. An order holds jobs, each a source, a target ("" for none; its ending says the form) and
steps. What was read or timed goes to stdout as one JSON list, in order: rows of values with "" for blank and the shown text of an
error.
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
from com.sun.star.sheet import TableFilterField  # type: ignore[import-not-found]
from com.sun.star.sheet.FilterOperator import EQUAL  # type: ignore[import-not-found]
from com.sun.star.table import CellAddress, CellRangeAddress, TableSortField  # type: ignore[import-not-found]
from com.sun.star.util import Date  # type: ignore[import-not-found]

START_SECONDS = 90
ANY_CONTENT = 1 | 2 | 4 | 16  # numbers, dates, text, formulas
FILTERS = {
    ".xlsx": "Calc MS Excel 2007 XML", ".xls": "MS Excel 97", ".ods": "calc8", ".csv": "Text - txt - csv (StarCalc)",
}
ERRORS = 4  # com.sun.star.sheet.FormulaResult.ERROR


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


def read(sheet, area):  # type: ignore[no-untyped-def]
    found = sheet.getCellRangeByName(area)
    rows = [list(row) for row in found.getDataArray()]
    errors = found.queryFormulaCells(ERRORS).getRangeAddresses()
    for error in errors:
        for row in range(error.StartRow, error.EndRow + 1):
            for column in range(error.StartColumn, error.EndColumn + 1):
                place = found.RangeAddress
                rows[row - place.StartRow][column - place.StartColumn] = sheet.getCellByPosition(column, row).String
    return rows


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
    """The result of a step that has one, else None."""
    if step[0] == "recalculate":
        document.calculateAll()
        return None
    if step[0] == "calculate":
        document.calculate()
        return None
    if step[0] == "timed":
        start = time.perf_counter()
        for one in step[1:]:
            take(document, one)
        return time.perf_counter() - start
    what, tab, *rest = step
    if what == "read":
        return read(document.Sheets.getByName(tab), *rest)
    if what == "contents":
        return contents(document.Sheets.getByName(tab))
    if what == "insert_sheet":
        document.Sheets.insertNewByName(tab, rest[0])
        return None
    sheet = document.Sheets.getByName(tab)
    if what == "insert_columns":
        sheet.Columns.insertByIndex(rest[0] - 1, rest[1])
    elif what == "number_column":
        sheet.Columns.insertByIndex(rest[0] - 1, 1)
        for row in range(rest[1], rest[2] + 1):
            sheet.getCellByPosition(rest[0] - 1, row - 1).Value = row
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
    elif what == "set":
        cell = sheet.getCellRangeByName(rest[0])
        if isinstance(rest[1], str):
            cell.String = rest[1]
        else:
            cell.Value = rest[1]
    elif not more(document, sheet, what, rest):
        raise ValueError(f"no such step: {what}")
    return None


def more(document, sheet, what, rest):  # type: ignore[no-untyped-def]
    if what == "delete_columns":
        sheet.Columns.removeByIndex(rest[0] - 1, rest[1])
    elif what == "insert_rows":
        sheet.Rows.insertByIndex(rest[0] - 1, rest[1])
    elif what == "copy_column":
        _, last_row = used(sheet)
        source = sheet.getCellRangeByPosition(rest[0] - 1, 0, rest[0] - 1, last_row)
        sheet.copyRange(sheet.getCellByPosition(rest[1] - 1, 0).CellAddress, source.RangeAddress)
    elif what == "sort_column":
        sort_column(sheet, *rest)
    elif what == "merge":
        sheet.getCellRangeByName(rest[0]).merge(True)
    elif what == "move_sheet":
        document.Sheets.moveByName(sheet.Name, rest[0])
    elif what == "copy_sheet":
        document.Sheets.copyByName(sheet.Name, rest[0], rest[1])
    elif what == "hide_rows":
        for row in range(rest[0] - 1, rest[0] - 1 + rest[1]):
            sheet.Rows.getByIndex(row).IsVisible = False
    elif what == "filter":
        filtered(sheet, *rest)
    elif what == "formula":
        sheet.getCellRangeByName(rest[0]).Formula = rest[1]
    elif what == "clear":
        sheet.getCellRangeByName(rest[0]).clearContents(ANY_CONTENT)
    elif what in ("copy", "cut"):
        place = sheet.getCellRangeByName(rest[1]).getCellByPosition(0, 0).CellAddress
        put = sheet.copyRange if what == "copy" else sheet.moveRange
        put(place, sheet.getCellRangeByName(rest[0]).RangeAddress)
    elif what == "count_from_1904":
        document.NullDate = Date(1, 1, 1904)
    else:
        return False
    return True


def sort_column(sheet, column, first_row):  # type: ignore[no-untyped-def]
    _, last_row = used(sheet)
    field = TableSortField()
    field.Field, field.IsAscending = 0, False
    area = sheet.getCellRangeByPosition(column - 1, first_row - 1, column - 1, last_row)
    area.sort((
        value("SortFields", uno.Any("[]com.sun.star.table.TableSortField", (field,))), value("ContainsHeader", False),
    ))


def filtered(sheet, area, column, text):  # type: ignore[no-untyped-def]
    cells = sheet.getCellRangeByName(area)
    descriptor = cells.createFilterDescriptor(True)
    field = TableFilterField()
    field.Field, field.Operator, field.IsNumeric, field.StringValue = column - 1, EQUAL, False, text
    descriptor.setFilterFields((field,))
    descriptor.ContainsHeader = True
    cells.filter(descriptor)


def opened(desktop, source):  # type: ignore[no-untyped-def]
    return desktop.loadComponentFromURL(Path(source).as_uri(), "_blank", 0, (value("Hidden", True),))


def done(desktop, job):  # type: ignore[no-untyped-def]
    """The results of one job's steps."""
    document = opened(desktop, job["source"])
    results = []
    for step in job["steps"]:
        if step[0] in ("reopen", "timed_reopen"):
            document.close(True)
            start = time.perf_counter()
            document = opened(desktop, job["source"])
            if step[0] == "timed_reopen":
                results.append(time.perf_counter() - start)
        else:
            results.append(take(document, step))
    if job["target"]:
        target = Path(job["target"])
        document.storeToURL(target.as_uri(), (value("FilterName", FILTERS[target.suffix]),))
    document.close(True)
    return results


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
            results = [result for job in order["jobs"] for result in done(desktop, job)]
            print(json.dumps([result for result in results if result is not None]))  # noqa: T201 - the answer to the order
            desktop.terminate()
        finally:
            try:
                office.wait(timeout=20)
            except subprocess.TimeoutExpired:
                office.kill()


main()
