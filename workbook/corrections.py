"""The sheet "To correct" read back from a marked copy: what has been answered there counts as on the sheet Answers."""

from collections.abc import Mapping

from template_builder.columns import Value
from template_builder.sheets.to_correct import CORRECT_IT, TO_CORRECT
from workbook.cells import Record
from workbook.links import fold
from workbook.opening import Cells, Line

_BY_HEADING = {fold(column.title): column.id for column in TO_CORRECT.own_columns}
_NEEDED = frozenset({"rule", "sheet", "row_name", "value", "answer"})  # without these an answer belongs to nothing


def corrections(cells: Cells) -> Mapping[str, tuple[Record, ...]]:
    """The rows of the sheet by its id; nothing where the file has no such sheet, or one of the person's own by that name."""
    lines = cells.tabs.get(TO_CORRECT.title, ())
    for number, (row, line) in enumerate(lines):
        places = {_BY_HEADING[fold(cell.value)]: cell.column for cell in line
                  if isinstance(cell.value, str) and fold(cell.value) in _BY_HEADING}
        if places.keys() >= _NEEDED:
            return {TO_CORRECT.id: tuple(_record(cells.file, places, line) for line in lines[number + 1:] if line[0] > row)}
    return {}


def _record(file: str, places: Mapping[str, int], line: Line) -> Record:
    """A row as text throughout. What stands there by default is no answer."""
    by_column = {column: id for id, column in places.items()}
    values: dict[str, Value] = {by_column[cell.column]: str(cell.value) for cell in line[1] if cell.column in by_column}
    if fold(str(values.get("answer", ""))) in ("", CORRECT_IT):
        values.pop("answer", None)
    return Record(TO_CORRECT.id, file, TO_CORRECT.title, line[0], values, places)
