"""Sheets of the program's own, read back: answers on To correct of a marked copy, open conflicts of a merge, ewes on Left."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime, time

from template_builder.files.opening import Cells, Line
from template_builder.layout.columns import Sheet, Value
from template_builder.layout.sheets.conflicts import CONFLICTS, MOST_VALUES, value_columns
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.sheets.to_correct import CORRECT_IT, TO_CORRECT, part_of
from template_builder.layout.words import shown
from workbook.season.cells import Record
from workbook.season.matching import fold

# Without these headings a sheet by one of the program's names is the person's own: an answer, a conflict belongs to nothing.
_NEEDED = {
    TO_CORRECT.id: frozenset({"rule", "sheet", "row_name", "value", "answer"}),
    CONFLICTS.id: frozenset({"sheet", "cell", "row_name", "column", "stands"}),
    LEFT.id: frozenset({"ewe", "season", "how"}),
}
PROGRAM_LISTS = (TO_CORRECT, CONFLICTS, LEFT)


def corrections(cells: Cells) -> Mapping[str, tuple[Record, ...]]:
    """The rows of To correct, Conflicts and Left by sheet id; none of a sheet that is not there, or is the person's own."""
    found: dict[str, tuple[Record, ...]] = {}
    for sheet in PROGRAM_LISTS:
        if (headings := _headings(cells, sheet)) is not None:
            lines = (line for line in cells.tabs[sheet.title] if line[0] > headings[0])
            records = [_record(cells.file, sheet, headings[1], line) for line in lines]
            found[sheet.id] = tuple(_each_answered(records) if sheet is TO_CORRECT else records)
    return found


def _each_answered(records: Iterable[Record]) -> Iterator[Record]:
    """The rows of single cells: an answer in the row of a habit is the answer to each of its cells that has none of its own."""
    rows = list(records)
    parts = {row.text("line") for row in rows}
    whole = {part_of(line): row for row in rows if (line := row.text("line")) and part_of(line) in parts}
    over = {id(row) for row in whole.values()}
    for row in rows:
        habit = whole.get(row.words("line"))
        if habit and habit.filled("answer") and not row.filled("answer"):
            row = replace(row, values={**row.values, "answer": habit.values["answer"]})
        if id(row) not in over:
            yield row


def is_program_tab(cells: Cells, sheet: Sheet) -> bool:
    """Whether the tab of this sheet's title is one that the program wrote."""
    return _headings(cells, sheet) is not None


def _headings(cells: Cells, sheet: Sheet) -> tuple[int, Mapping[str, int]] | None:
    """The row of the sheet's headings on its tab, and the column number of each column found there."""
    columns = (*sheet.own_columns, *(value_columns(MOST_VALUES) if sheet is CONFLICTS else ()))
    by_heading = {fold(column.title): column.id for column in columns}
    for number, line in cells.tabs.get(sheet.title, ()):
        places = {by_heading[fold(cell.value)]: cell.column for cell in line
                  if isinstance(cell.value, str) and fold(cell.value) in by_heading}
        if places.keys() >= _NEEDED[sheet.id]:
            return number, places
    return None


def _record(file: str, sheet: Sheet, places: Mapping[str, int], line: Line) -> Record:
    """A row as text throughout. What stands there by default is no answer."""
    by_column = {column: id for id, column in places.items()}
    values: dict[str, Value] = {by_column[cell.column]: _text(cell.value) for cell in line[1] if cell.column in by_column}
    if fold(str(values.get("answer", ""))) in ("", CORRECT_IT):
        values.pop("answer", None)
    return Record(sheet.id, file, sheet.title, line[0], values, places)


def _text(value: object) -> str:
    """A value as the program shows it elsewhere, so that what stands in a cell and what is said of it can be compared."""
    return shown(value) if isinstance(value, datetime | date | time | int | float) else str(value)
