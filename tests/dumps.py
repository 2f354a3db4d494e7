"""A workbook as text: every cell of every tab, so that two can be compared and a difference read."""

from datetime import date
from pathlib import Path

from template_builder.files.opening import open_cells
from template_builder.layout.addresses import letters
from template_builder.layout.whole import HIDDEN_TABS


def dump(path: Path) -> str:
    """One line a cell: tab, cell, value; dates in ISO, formulas with their value. Blocks behind live pages are left out."""
    cells = open_cells(path, unread=HIDDEN_TABS)
    lines = []
    for tab, rows in cells.tabs.items():
        for row, line in rows:
            for cell in line:
                value = cell.value.isoformat() if isinstance(cell.value, date) else cell.value
                lines.append(f"{tab}!{letters(cell.column)}{row}: {value}{f' <- {cell.formula}' if cell.formula else ''}")
    return "\n".join(lines) + "\n"
