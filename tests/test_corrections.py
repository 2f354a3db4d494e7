"""Lists that the program wrote, read back: answers on To correct, open conflicts, ewes that left."""

import pytest

from template_builder.files.opening import Cell, Cells, Line
from template_builder.layout.columns import Sheet
from template_builder.layout.sheets.conflicts import CONFLICTS
from template_builder.layout.sheets.left import LEFT
from workbook.reading.corrections import corrections


def row_of(number: int, *values: object) -> Line:
    return number, tuple(Cell(column, value) for column, value in enumerate(values, start=1) if value is not None)


@pytest.mark.parametrize(("sheet", "words"), [
    (CONFLICTS, {"sheet": "Lambs", "cell": "D4", "row_name": "0412-1", "column": "Born", "stands": "alive"}),
    (LEFT, {"ewe": "0412", "season": "2025", "how": "culled"}),
])
def test_what_the_program_listed_is_read_from_sheets_without_habits(sheet: Sheet, words: dict[str, str]) -> None:
    headings = row_of(3, *(sheet.column(id).title for id in words))
    found = corrections(Cells("season.xlsx", {sheet.title: (headings, row_of(4, *words.values()))}))
    first = next(iter(words))
    assert [(words, f"{sheet.title}!A4")] == [(dict(record.values), str(record.at(first))) for record in found[sheet.id]]
