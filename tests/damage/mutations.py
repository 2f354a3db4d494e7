"""Damage at random, for fuzzing: what people, programs and bad lines do to the cells and to the bytes of a workbook."""

import io
import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, time

from hypothesis import strategies as st

from template_builder.files.opening import Cell, Cells, Line
from template_builder.layout.sheets import SHEETS

Damage = Callable[[Cells], Cells]
TABS = [sheet.title for sheet in SHEETS]
MOST_ROW, MOST_COLUMN = 16, 28

nasty = st.one_of(
    st.sampled_from([
        "", " ", "?", "\N{NO-BREAK SPACE}", "0412", "412", "7001", "0412-1", "Total", "sum", "Ewe", "Lamb tag", "lambs.tag",
        "ewes.ewe",
        "=1+1", "+1", "@x", "1e999", "nan", "4,5 kg", "~60", "2+1", "12/3", "31/2", "29 Feb", "3 March", "2.30", "12.03", "25:61",
        "yes",
        "x", "?" * 40_000, "\ud7ff", "\x00", "_x000D_", "UK 0123456 00412", "8.26E+14", "died", "0" * 400, "-" * 9, "9999-12-31",
        0, -1, 1, 4.5, 0.5, 2026, 46_000, 10**15, 10**20, -1e300, 1e300, True, False,
        datetime(1900, 1, 1), datetime(2026, 4, 3), datetime(9999, 12, 31, 23, 59), time(2, 30),
    ]),
    st.text(max_size=12), st.integers(), st.floats(allow_nan=False, allow_infinity=False), st.datetimes(), st.times(),
)
places = st.tuples(st.sampled_from(TABS), st.integers(1, MOST_ROW), st.integers(1, MOST_COLUMN))


def _lines(cells: Cells, tab: str, change: Callable[[int, tuple[Cell, ...]], Line | None]) -> Cells:
    """The workbook with each line of a tab changed, or left out for None; in the order of its rows."""
    if tab not in cells.tabs:
        return cells
    lines = [changed for number, row in cells.tabs[tab] if (changed := change(number, row)) and changed[1]]
    return replace(cells, tabs={**cells.tabs, tab: tuple(sorted(lines, key=lambda line: line[0]))})


def put(place: tuple[str, int, int], cell: Cell) -> Damage:
    tab, row, column = place

    def damage(cells: Cells) -> Cells:
        if tab not in cells.tabs:
            return cells
        rows = dict(cells.tabs[tab])
        others = [other for other in rows.get(row, ()) if other.column != column]
        rows[row] = tuple(sorted([*others, cell._replace(column=column)], key=lambda one: one.column))
        return replace(cells, tabs={**cells.tabs, tab: tuple(sorted(rows.items()))})

    return damage


def no_column(tab: str, column: int) -> Damage:
    def damage(cells: Cells) -> Cells:
        gone = _lines(cells, tab, lambda number, row: (number, tuple(cell for cell in row if cell.column != column)))
        return replace(gone, names={name: at for name, at in cells.names.items() if at[:2] != (tab, column)})

    return damage


def no_row(tab: str, row: int) -> Damage:
    def damage(cells: Cells) -> Cells:
        gone = _lines(cells, tab, lambda number, found: None if number == row else (number - (number > row), found))
        names = {name: (at[0], at[1], at[2] - (at[0] == tab and at[2] > row)) for name, at in cells.names.items()
                 if (at[0], at[2]) != (tab, row)}
        return replace(gone, names=names)

    return damage


def moved(tab: str, down: int, right: int, with_names: bool) -> Damage:
    def damage(cells: Cells) -> Cells:
        pushed = _lines(cells, tab, lambda number, row: (
            number + down, tuple(cell._replace(column=cell.column + right) for cell in row)))
        names = {name: (at[0], at[1] + right, at[2] + down) if at[0] == tab else at for name, at in cells.names.items()}
        return replace(pushed, names=names) if with_names else pushed

    return damage


def swapped(tab: str, one: int, other: int) -> Damage:
    """Two columns change places; names stay behind, as when cells are cut and pasted one by one."""
    places = {one: other, other: one}

    def change(number: int, row: tuple[Cell, ...]) -> Line:
        there = (cell._replace(column=places.get(cell.column, cell.column)) for cell in row)
        return number, tuple(sorted(there, key=lambda cell: cell.column))

    return lambda cells: _lines(cells, tab, change)


def copied_column(tab: str, source: int, target: int) -> Damage:
    return lambda cells: _lines(cells, tab, lambda number, row: (number, tuple(sorted(
        [cell for cell in row if cell.column != target]
        + [cell._replace(column=target) for cell in row if cell.column == source], key=lambda cell: cell.column))))


def turned(tab: str, first: int) -> Damage:
    """The rows from one on in the opposite order."""
    def damage(cells: Cells) -> Cells:
        numbers = [number for number, _ in cells.tabs.get(tab, ()) if number >= first]
        places = dict(zip(numbers, reversed(numbers), strict=True))
        return _lines(cells, tab, lambda number, row: (places.get(number, number), row))

    return damage


def no_tab(tab: str) -> Damage:
    return lambda cells: replace(
        cells, tabs={title: lines for title, lines in cells.tabs.items() if title != tab} or cells.tabs,
        names={name: at for name, at in cells.names.items() if at[0] != tab})


def renamed(tab: str, title: str) -> Damage:
    return lambda cells: cells if title in cells.tabs else replace(
        cells, tabs={title if old == tab else old: lines for old, lines in cells.tabs.items()},
        names={name: (title if at[0] == tab else at[0], *at[1:]) for name, at in cells.names.items()})


def copied_tab(tab: str, title: str) -> Damage:
    return lambda cells: cells if tab not in cells.tabs else replace(cells, tabs={title: cells.tabs[tab], **cells.tabs})


def forgotten(tab: str) -> Damage:
    return lambda cells: replace(cells, names={name: at for name, at in cells.names.items() if at[0] != tab})


def merge(tab: str, area: str) -> Damage:
    return lambda cells: replace(cells, merged={**cells.merged, tab: (*cells.merged.get(tab, ()), area)})


tabs, columns, rows = st.sampled_from(TABS), st.integers(1, MOST_COLUMN), st.integers(1, MOST_ROW)
titles = st.sampled_from(["Lambs (2)", "Sheet1", "LAMBS 2026", "To correct", "ewes"])
damages: st.SearchStrategy[Damage] = st.one_of(
    st.builds(put, places, st.builds(Cell, columns, nasty)),
    st.builds(put, places, st.builds(Cell, columns, nasty, st.sampled_from(["=1+1", "=SUM(A1:A9)"]))),
    st.builds(put, places, st.builds(Cell, columns, st.sampled_from(["#N/A", "#REF!", "#VALUE!"]), st.just(""), st.just(True))),
    st.builds(no_column, tabs, columns), st.builds(no_row, tabs, rows), st.builds(swapped, tabs, columns, columns),
    st.builds(moved, tabs, st.integers(0, 40), st.integers(0, 5), st.booleans()),
    st.builds(copied_column, tabs, columns, columns), st.builds(turned, tabs, rows), st.builds(no_tab, tabs),
    st.builds(renamed, tabs, titles), st.builds(copied_tab, tabs, titles), st.builds(forgotten, tabs),
    st.builds(merge, tabs, st.sampled_from(["A4:A6", "C3:D3", "A1:XFD1048576", "ZZZZ1:A", "", "A4"])),
)

_NUMBERS = re.compile(r'(?<=<v>)[^<]*|(?<= r=")[^"]*|(?<= s=")[^"]*|(?<= t=")[^"]*|(?<=<t>)[^<]*|(?<= name=")[^"]*')
written = st.sampled_from([
    "", "0", "-1", "1e999", "nan", "inf", "9" * 400, "A0", "ZZZZ9", "XFD1048577", "a1", "1.5", "1_0", "\u0663", "s", "d", "e",
    "b", "str", "inlineStr", "_xD800_", "_x0000_", "Lambs", "2026-13-45", "2026-04-03T02:30:00+02:00", "99999999",
])


def restored(data: bytes, part: int, changes: list[tuple[int, str]]) -> bytes:
    """The workbook with some values in the XML of one part overwritten: numbers, cells, styles, kinds, texts."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(target, "w") as new:
        names = [name for name in old.namelist() if name.startswith("xl/") and name.endswith(".xml")]
        chosen = names[part % len(names)]
        for name in old.namelist():
            new.writestr(name, _overwritten(old.read(name).decode(), changes) if name == chosen else old.read(name))
    return target.getvalue()


def _overwritten(text: str, changes: list[tuple[int, str]]) -> str:
    for at, value in changes:
        found = list(_NUMBERS.finditer(text))
        if found:
            chosen = found[at % len(found)]
            text = text[: chosen.start()] + value + text[chosen.end():]
    return text
