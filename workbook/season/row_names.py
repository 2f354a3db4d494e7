"""What a person calls a row, so that a problem with it can be found again and answered."""

from template_builder.layout.words import shown
from workbook.season.cells import Record
from workbook.season.families import called


def row_name(row: Record) -> str:
    """What a person calls a row: its lamb, its ewe, or what else it is about."""
    if row.sheet_id == "lambs":
        return called(row)
    name = next((row.text(column) for column in ("ewe", "animal", "group", "setting", "rule") if row.has(column)), None)
    given_to = shown(row["given_to"]) if row.has("given_to") else ""
    return name or given_to or f"row {row.row}"
