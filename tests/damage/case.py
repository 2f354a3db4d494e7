"""A case of damage: what was done to the workbook, what must be read from it, and every problem that must be told."""

import zipfile
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from template_builder.layout.choices import Choice
from template_builder.layout.columns import NOT_KNOWN
from template_builder.layout.sheets import SHEETS
from template_builder.layout.words import shown
from workbook.reading.season_file import Reading
from workbook.season.row_names import row_name

Steps = Sequence[Sequence[object]]
# Rows by sheet, each with the name a person calls it by and its values.
Rows = dict[str, list[tuple[str, dict[str, object]]]]
Edit = Callable[[Rows], None]


@dataclass(frozen=True)
class InOffice:
    """Steps taken in LibreOffice, then saved as .xlsx, by way of another form where `by` names one."""

    steps: Steps = ()
    by: str = ""
    save_as: str = ".xlsx"


@dataclass(frozen=True)
class OnFile:
    """A change of the file itself: from the undamaged workbook to the damaged one."""

    change: Callable[[Path, Path], None]


@dataclass(frozen=True)
class Case:
    """`said` lists every problem as "R104 Lambs!D4"; `reads` turns the rows as they were into the rows as they must be read."""

    name: str
    done: InOffice | OnFile
    said: tuple[str, ...] = ()
    reads: tuple[Edit, ...] = ()
    refused: str = ""
    own_columns: tuple[str, ...] = ()
    own_sheets: tuple[str, ...] = ()
    file: str = "season.xlsx"


def rows_of(reading: Reading) -> Rows:
    """Every row of a season that holds something, in the order of the file."""
    return {sheet.id: [(row_name(row), dict(row.values)) for row in reading.season.rows(sheet.id)] for sheet in SHEETS}


def expected(before: Rows, case: Case) -> Rows:
    """What must be read of a damaged workbook."""
    after = deepcopy(before)
    for edit in case.reads:
        edit(after)
    return after


def unordered(rows: Rows) -> dict[str, Counter[str]]:
    """Rows for comparing: their values, whatever their order and however they are called."""
    return {sheet: Counter(_plain(values) for _, values in found) for sheet, found in rows.items()}


def _plain(values: dict[str, object]) -> str:
    return "; ".join(f"{id}={value!r}" for id, value in sorted(values.items()))


def differences(before: Rows, after: Rows) -> list[str]:
    """What reads otherwise than before, in words: one line for each cell, row or column."""
    told: list[str] = []
    for sheet in SHEETS:
        old, new = unordered({"": before[sheet.id]})[""], unordered({"": after[sheet.id]})[""]
        gone = [row for row in before[sheet.id] if (old - new)[_plain(row[1])]]
        come = [row for row in after[sheet.id] if (new - old)[_plain(row[1])]]
        told += _told(sheet.title, gone, come)
    return told


def _told(title: str, gone: list[tuple[str, dict[str, object]]], come: list[tuple[str, dict[str, object]]]) -> list[str]:
    if len(gone) > MOST_TOLD and not come:
        return [f"{title}: {len(gone)} rows are not read"]
    if len(gone) != len(come):
        return [*(f"{title} {name} is not read" for name, _ in gone), *(f"{title} {name} is read as well" for name, _ in come)]
    changes = Counter(
        (id, _words(old.get(id)), _words(new.get(id))) for (_, old), (_, new) in zip(gone, come, strict=True)
        for id in {**old, **new} if old.get(id) != new.get(id)
    )
    return [f"{title} {id.removeprefix('+')}: {new} for {old}" + (f", {times} rows" if times > 1 else "")
            for (id, old, new), times in list(changes.items())[:MOST_TOLD]] + (
        [f"{title}: {len(changes) - MOST_TOLD} more"] if len(changes) > MOST_TOLD else [])


MOST_TOLD = 4


def _words(value: object) -> str:
    if value is None:
        return "nothing"
    if value is NOT_KNOWN:
        return "not known"
    if isinstance(value, Choice):
        return value.label
    return f"“{value}”" if isinstance(value, str) else shown(value)  # type: ignore[arg-type]


def put(sheet: str, name: str, **values: object) -> Edit:
    """Other values in the row of this name; None for a blank cell."""

    def edit(rows: Rows) -> None:
        row = next(found for called, found in rows[sheet] if called == name)
        for id, value in values.items():
            if value is None:
                row.pop(id, None)
            else:
                row[id] = value

    return edit


def column(sheet: str, id: str, value: object = None) -> Edit:
    """One value in a whole column; None for a column that is not read."""

    def edit(rows: Rows) -> None:
        for _, row in rows[sheet]:
            if value is None:
                row.pop(id, None)
            else:
                row[id] = value

    return edit


def no_row(sheet: str, name: str) -> Edit:
    """The row of this name is gone."""

    def edit(rows: Rows) -> None:
        rows[sheet] = [row for row in rows[sheet] if row[0] != name]

    return edit


def no_rows(sheet: str) -> Edit:
    """Nothing of a sheet is read."""
    return lambda rows: rows[sheet].clear()


def new_row(sheet: str, **values: object) -> Edit:
    """A row that was not there before."""
    return lambda rows: rows[sheet].append(("", dict(values)))


def turned(sheet: str, id: str) -> Edit:
    """One column upside down beside the others."""

    def edit(rows: Rows) -> None:
        values = [row[id] for _, row in rows[sheet]]
        for (_, row), value in zip(rows[sheet], reversed(values), strict=True):
            row[id] = value

    return edit


def later(days: int) -> Edit:
    """Every date so many days later."""

    def edit(rows: Rows) -> None:
        for found in rows.values():
            for _, row in found:
                row.update({id: value + timedelta(days=days) for id, value in row.items() if isinstance(value, date)})

    return edit


def part_of(path: Path, tab: str) -> str:
    """The part of a sheet in a workbook as built: sheets are numbered in the order of their tabs."""
    with zipfile.ZipFile(path) as archive:
        book = archive.read("xl/workbook.xml").decode()
    before = book.index(f'name="{tab}"')
    return f"xl/worksheets/sheet{book.count('<sheet ', 0, before)}.xml"


def edited(source: Path, target: Path, changes: Mapping[str, Callable[[str], str] | None]) -> None:
    """The workbook with some parts changed as text; None leaves a part out."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            change = changes.get(name, _as_it_is)
            if change is not None:
                new.writestr(name, change(old.read(name).decode()).encode() if change is not _as_it_is else old.read(name))


def _as_it_is(text: str) -> str:
    return text
