"""The sheet "Conflicts" of a merged workbook: one row for each cell that the copies fill in differently."""

from template_builder.layout.addresses import letters
from template_builder.layout.columns import Column, Kind, Sheet

CONFLICTS = Sheet(
    id="conflicts",
    title="Conflicts",
    one_row_for="a cell filled in differently",
    purpose=(
        "The copies say different things here. Ask who wrote them and write the right value into the cell on its own sheet. "
        "Where what stands there is right, write yes beside it, in the framed cell. Until then the cell is an error of "
        "the check, and an animal that left counts as gone. Delete this sheet when all are settled."
    ),
    own_columns=(
        Column("sheet", "Sheet", Kind.TEXT, "The sheet it is on.", width=10),
        Column("cell", "Cell", Kind.IDENTIFIER, "The cell in this workbook; click to go there.", width=7),
        Column("row_name", "About", Kind.IDENTIFIER, "The ewe, lamb or group it is about.", width=11, aliases=("Row",)),
        Column("column", "Column", Kind.TEXT, "The heading of its column.", width=15),
        Column("stands", "Stands now", Kind.TEXT, "What stands there now: the value before the copies were made, or blank.",
               width=12),
        Column("settled", "What stands is right (yes)", Kind.TEXT, "Write yes where the cell is right as it stands.", width=13),
    ),
)
MOST_VALUES = 26  # different values of one cell that are read back: more copies than anybody merges
_VALUE_WIDTH, _FROM_WIDTH = 12.0, 22.0


def value_columns(values: int) -> tuple[Column, ...]:
    """Two columns for each of so many values: the value, and the copies, cells and people it comes from."""
    return tuple(column for name in map(_letter, range(values)) for column in (
        Column(f"value_{name.casefold()}", f"Value {name}", Kind.IDENTIFIER, "As one of the copies says.", width=_VALUE_WIDTH),
        Column(f"from_{name.casefold()}", f"{name} written in", Kind.TEXT, "File, cell, and who recorded it.",
               width=_FROM_WIDTH),
    ))


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB: the letters of spreadsheet columns."""
    return letters(number + 1)
