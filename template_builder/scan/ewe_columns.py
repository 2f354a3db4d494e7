"""All columns of a list by ewe: those of a scan, and what earlier seasons say of a ewe, as Ewes has it."""

from template_builder.layout.sheets.ewes import EWES
from template_builder.scan.columns import SCAN_COLUMNS, ScanColumn

# The history columns of Ewes, by their own headings or any given with --columns.
HISTORY_KINDS = {column.id: column for column in EWES.own_columns if column.of_past and column.indoors}
HISTORY = tuple(ScanColumn(column.id, column.title.split(" (")[0].lower(), column.title.lower().replace(",", ""))
                for column in HISTORY_KINDS.values())
EWE_COLUMNS = (*SCAN_COLUMNS, *HISTORY)
LABELS = {**{column.name: column.label for column in EWE_COLUMNS}, "history": "history"}
