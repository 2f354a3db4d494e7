"""Hidden row keys that a sort left behind: put back beside their rows, or dropped where their row is not known."""

from collections.abc import Sequence
from dataclasses import replace

from template_builder.layout.columns import LINE, ROW_KEY, Sheet
from template_builder.layout.words import so_many_are
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef, Record, titled
from workbook.season.laid_ready import left_behind


def beside_their_rows(sheet: Sheet, rows: Sequence[Record]) -> tuple[tuple[Record, ...], list[Problem]]:
    """The rows, each with its own key, and a note where keys had stayed behind."""
    moved = left_behind(sheet, rows)
    if not moved:
        return tuple(rows), []
    first = rows[min(moved)]
    number = so_many_are(len(moved), "row", "stands", "stand")
    seen = " and ".join(titled(column).lower() for column in sheet.issued_in(first.values))
    text = (f"{number} beside the hidden key of another row, as after a sort that left the hidden column out; "
            f"rows were taken as they are seen, by {seen}")
    place = CellRef(first.file, first.tab, first.row, 0)
    return (tuple(_with_key(sheet, row, moved[position]) if position in moved else row for position, row in enumerate(rows)),
            [reading_problem("row-keys-left-behind", place, text, str(len(moved)))])


def _with_key(sheet: Sheet, row: Record, key: str | None) -> Record:
    """A row whose own key is not known was laid ready all the same."""
    values = {id: value for id, value in row.values.items() if id != ROW_KEY.id}
    issued = frozenset(column.id for column in sheet.issued_in((LINE.id,) if LINE.id in values else ()))
    return replace(row, values={**values, ROW_KEY.id: key} if key else values, issued=issued)
