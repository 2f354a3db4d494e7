"""The sheet "To correct" of a marked copy: one row for each problem or habit. A season workbook as built has no such sheet."""

from template_builder.layout.columns import Column, Kind, Sheet

TO_CORRECT = Sheet(
    id="to_correct",
    title="To correct",
    one_row_for="a problem or habit",
    purpose=(
        "Correct each cell on its own sheet; its mark goes when its value changes. Where a problem is right as written, say so "
        "in the last column: who looked, and why it is right. Errors cannot be answered, only corrected. A slip made often is "
        "one row: the + at its left shows each cell, and an answer in that row answers all of them. Then save and check again."
    ),
    own_columns=(
        Column("rule", "Rule", Kind.IDENTIFIER, "The rule's number.", width=7),
        Column("severity", "Kind", Kind.TEXT, "Error, warning or note.", width=9, aliases=("Severity",)),
        Column("sheet", "Sheet", Kind.TEXT, "The sheet it is on.", width=11),
        Column("cell", "Cell", Kind.IDENTIFIER, "The cell; click to go there.", width=8),
        Column("row_name", "About", Kind.IDENTIFIER, "The ewe, lamb or group it is about.", width=11, aliases=("Row",)),
        Column("value", "Value found", Kind.IDENTIFIER, "What is written there.", width=13),
        Column("message", "What is wrong", Kind.TEXT, "What is wrong.", width=42),
        Column("fix", "What to do", Kind.TEXT, "What to do.", width=38),
        Column("answer", "Right as written (who, why)", Kind.TEXT, "Who looked into it, and why it is right.", width=28),
        Column("line", "Line", Kind.IDENTIFIER, "Hidden: which row a closed-up row belongs to.", width=8),
    ),
)
CORRECT_IT = "correct it"  # stands in the answer of an error


def part_of(line: str) -> str:
    """What stands under Line of a row that belongs to the one with this number, wherever it is sorted to."""
    return f"of {line}"
