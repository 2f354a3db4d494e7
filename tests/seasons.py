"""Seasons for tests, made from rows in Python: no workbook is written or read."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from template_builder.layout.columns import Row
from template_builder.layout.policy import RULES
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.conflicts import CONFLICTS, value_columns
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.sheets.to_correct import TO_CORRECT
from workbook.season.cells import Record
from workbook.season.season import Season

# Conflicts, as a merge writes it, is a list of its own; two values of a cell are enough for a test.
ALL_SHEETS = (*SHEETS, replace(CONFLICTS, own_columns=(*CONFLICTS.own_columns, *value_columns(2))), LEFT, TO_CORRECT)
FIRST_ROW = 4
RULE = {rule.id: rule for rule in RULES}
AS_OF = datetime(2026, 8, 31, 12, 0)


def season(as_of: datetime = AS_OF, file: str = "season.xlsx", **rows: Sequence[Row]) -> Season:
    """A season from rows by sheet id: season(ewes=[{"ewe": "A", "scanned": 2}], lambs=[...]).

    Rows are as the build lays them ready unless they say otherwise: issued cells do not make a lamb row touched.
    """
    given = {sheet.id: records(sheet.id, rows.get(sheet.id, ()), file) for sheet in SHEETS}
    more = {id: records(id, rows[id], file) for id in rows if id not in given}
    return Season(file, {**given, **more}, as_of)


def records(sheet_id: str, rows: Sequence[Row], file: str = "season.xlsx") -> tuple[Record, ...]:
    """Records of one sheet, in rows 4, 5, ... as in a real workbook."""
    sheet = next(sheet for sheet in ALL_SHEETS if sheet.id == sheet_id)
    places: Mapping[str, int] = {column.id: number for number, column in enumerate(sheet.columns, start=1)}
    return tuple(
        Record(sheet.id, file, sheet.title, number, {k: v for k, v in row.items() if v is not None}, places,
               frozenset(column.id for column in sheet.issued_in(row)))
        for number, row in enumerate(rows, start=FIRST_ROW)
    )
