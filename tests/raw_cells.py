"""Cells of a season workbook as someone might have left them, for the case files of reading rules.

A cell in a table is typed as a person types it: a number in a number or date column, an ISO date in a date column, text
elsewhere. `"7"` is text, `num 826012000000000` a number, `date 2026-04-03` a date,
`=1+1 gives 2` a formula, `#N/A` an error. Actions:
"delete sheet T", "copy sheet T", "delete column T!C", "head T!C as words", "blank head T!C", "swap heads T!C T!E",
"forget names T", "merge T!A4:A6", "hide T!A5:A6", "copy column T!C to T!AZ", "write T!A9 as words",
"stretch T!A9 to 40000" (characters), "layout 1" (the version it was built with), "lists of Lambs in D4:D9 E4:E9" (the
cells left with a drop-down).
"""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from case_files import FILE, Case

from template_builder.build import Plan, build
from template_builder.files.opening import Cell, Cells, Line, open_cells
from template_builder.files.stored import text_of
from template_builder.layout.addresses import letters
from template_builder.layout.columns import Column, Kind
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW, HEADING_ROW, META_TAB

_PLACE = re.compile(r"(.+)!([A-Z]+)(\d*)")
_GIVES = re.compile(r"(=.+) gives (.+)")
_TYPED = (Kind.WHOLE, Kind.NUMBER, Kind.DATE, Kind.MOMENT, Kind.SETTING)


@cache
def empty() -> Cells:
    """The cells of a season workbook as built, with nothing filled in."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / FILE
        build(path, Plan("Case", {"season": [{"row_key": "year", "value": 2026}]}))
        return open_cells(path)


def cells(case: Case) -> Cells:
    """The workbook of a case: its tables filled in, then its actions taken."""
    book = empty()
    for sheet in SHEETS:
        if sheet.title in case.tables:
            headings, *lines = case.tables[sheet.title]
            columns = {column.title: (number, column) for number, column in enumerate(sheet, start=1)}
            for row, line in enumerate(lines, start=FIRST_ROW):
                for heading, text in zip(headings, line, strict=True):
                    number, column = columns[heading]
                    if text:
                        book = _put(book, sheet.title, row, typed(number, column, text))
    for action in case.actions:
        book = _act(book, action)
    return book


def typed(number: int, column: Column, text: str) -> Cell:
    """A cell as the spreadsheet stores what was typed."""
    if found := _GIVES.fullmatch(text):
        return Cell(number, _number(found[2]), formula=found[1])
    if text.startswith("#"):
        return Cell(number, text, error=True)
    if text.startswith('"'):
        return Cell(number, text.strip('"'))
    if text.startswith("num "):
        return Cell(number, _number(text.removeprefix("num ")))
    if text.startswith("date "):
        return Cell(number, datetime.fromisoformat(text.removeprefix("date ")))
    if column.kind not in _TYPED:
        return Cell(number, text)
    try:
        return Cell(number, datetime.fromisoformat(text))
    except ValueError:
        return Cell(number, _number(text))


def _number(text: str) -> int | float | str:
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text


def _put(book: Cells, tab: str, row: int, cell: Cell) -> Cells:
    lines = dict(book.tabs[tab])
    lines[row] = tuple(sorted([*(old for old in lines.get(row, ()) if old.column != cell.column), cell]))
    return replace(book, tabs={**book.tabs, tab: tuple(sorted(lines.items()))})


def _column(name: str) -> int:
    return next(number for number in range(1, 200) if letters(number) == name)


def _place(text: str) -> tuple[str, int, int]:
    found = _PLACE.fullmatch(text)
    assert found, text
    return found[1], _column(found[2]), int(found[3] or HEADING_ROW)


def _head(book: Cells, place: str, text: str) -> Cells:
    tab, column, _ = _place(place)
    return _put(book, tab, HEADING_ROW, Cell(column, text))


def _only(book: Cells, tab: str, keep: Callable[[int, Cell], bool]) -> Cells:
    lines: tuple[Line, ...] = tuple((row, tuple(cell for cell in line if keep(row, cell))) for row, line in book.tabs[tab])
    return replace(book, tabs={**book.tabs, tab: lines})


def _text(book: Cells, place: str) -> str:
    tab, column, row = _place(place)
    return next(str(cell.value) for cell in dict(book.tabs[tab])[row] if cell.column == column)


def _act(book: Cells, action: str) -> Cells:
    match action.split(" "):
        case ["delete", "sheet", *words]:
            tab = " ".join(words)
            names = {name: cell for name, cell in book.names.items() if cell[0] != tab}
            return replace(book, tabs={old: lines for old, lines in book.tabs.items() if old != tab}, names=names)
        case ["copy", "sheet", *words]:
            tab = " ".join(words)
            return replace(book, tabs={**book.tabs, f"{tab} (2)": book.tabs[tab]})
        case ["delete", "column", place]:
            tab, column, _ = _place(place)
            names = {name: cell for name, cell in book.names.items() if cell[:2] != (tab, column)}
            return _only(replace(book, names=names), tab, lambda _, cell: cell.column != column)
        case ["layout", version]:
            return _put(book, META_TAB, 1, Cell(2, int(version)))
        case ["lists", "of", tab, "in", *areas]:
            return replace(book, lists={**book.lists, tab: tuple(areas)})
        case ["stretch", place, "to", number]:
            tab, column, row = _place(place)
            return _put(book, tab, row, Cell(column, text_of("x" * int(number))))
        case ["head", place, "as", *words]:
            return _head(book, place, " ".join(words))
        case ["blank", "head", place]:
            tab, column, row = _place(place)
            return _only(book, tab, lambda number, cell: (number, cell.column) != (row, column))
        case ["swap", "heads", one, other]:
            first, second = _text(book, one), _text(book, other)
            return _head(_head(book, one, second), other, first)
        case ["forget", "names", *words]:
            return replace(book, names={name: cell for name, cell in book.names.items() if cell[0] != " ".join(words)})
        case ["merge", place]:
            tab, _, cells_merged = place.partition("!")
            return replace(book, merged={tab: (cells_merged,)})
        case ["hide", place]:
            tab, _, rows = place.partition("!")
            first, last = (int(end.lstrip("A")) for end in rows.split(":"))
            return replace(book, hidden_rows={tab: tuple(range(first, last + 1))})
        case ["copy", "column", place, "to", target]:
            (tab, source, _), (_, column, _) = _place(place), _place(target)
            for number, line in book.tabs[tab]:
                for cell in line:
                    if cell.column == source:
                        book = _put(book, tab, number, cell._replace(column=column))
            return book
        case ["swap", "rows", tab, one, other]:
            places = {int(one): int(other), int(other): int(one)}
            lines = sorted((places.get(number, number), line) for number, line in book.tabs[tab])
            return replace(book, tabs={**book.tabs, tab: tuple(lines)})
        case ["write", place, "as", *words]:
            tab, column, row = _place(place)
            return _put(book, tab, row, Cell(column, " ".join(words)))
    raise ValueError(f"not understood: do: {action}")
