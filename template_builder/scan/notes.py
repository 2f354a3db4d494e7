"""What was taken for granted in a scanning list, said so that a person can object."""

from collections import Counter
from collections.abc import Sequence

from template_builder.scan.ewe_columns import LABELS
from template_builder.scan.lines import ScanRow, Table
from template_builder.scan.numbers import ewe_key

LINES_NAMED = 10  # a note names so many lines and counts the rest


def row_notes(rows: Sequence[ScanRow], table: Table, sheet: str | None) -> list[str]:
    """Remarks on the rows of one table; `sheet` where the list stands on more than one."""
    notes = []
    kept = {row.line: row for row in rows if row.sheet == sheet}
    lines = [line for line in table.below if line.number in kept]
    if blank := [line.number for line in lines if kept[line.number].scanned is None and table.count(line) is None]:
        notes.append(f"taken as not scanned, because no count stands beside the ewe: {_named(blank, table)}")
    for column in ("ewe", "official_tag"):
        if column in table.headings.places and any(isinstance(table.cell(line, column), (int, float)) for line in lines):
            notes.append(f"each {_called(column)} is stored as a number in the sheet: zeros in front may have been lost")
    notes += [note for column in table.dated.values() for note in column.notes]
    notes += table.counted.notes
    return [f"sheet “{sheet}”: {note}" for note in notes] if sheet else notes


def _called(column: str) -> str:
    return "ewe's number" if column == "ewe" else LABELS[column]


def zeros_notes(rows: Sequence[ScanRow]) -> list[str]:
    """Ewes that may be one, their zeros in front lost in one place."""
    bare = [ewe_key(row.ewe).lstrip("0") for row in rows]
    repeated = {key for key, times in Counter(bare).items() if key and times > 1}
    alike: dict[str, list[str]] = {}
    for key, row in zip(bare, rows, strict=True):
        if key in repeated:
            alike.setdefault(key, []).append(row.ewe)
    return [
        f"ewes {' and '.join(ewes)} differ only by zeros in front; check that they are not one ewe" for ewes in alike.values()
    ]


def _named(numbers: list[int], table: Table) -> str:
    unit = table.page.unit if len(numbers) == 1 else f"{table.page.unit}s"
    more = len(numbers) - LINES_NAMED
    return f"{unit} {', '.join(map(str, numbers[:LINES_NAMED]))}" + (f" and {more} more" if more > 0 else "")
