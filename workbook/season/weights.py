"""Weights without a unit of their own: what Season says of them, or the heading, holds for these alone."""

from template_builder.layout.weights import has_unit
from workbook.season.cells import Record


def bare_weight(row: Record, column: str) -> float | None:
    """The weight of a cell in kg, where it is written without a unit; None for a blank and for one that says its unit."""
    written = row.written(column)
    return None if isinstance(written, str) and has_unit(written) else row.number(column)


def weight_in_words(row: Record, column: str) -> str:
    """A weight in kg, and beside it what was typed where that is something else."""
    written, kg = row.written(column), row.number(column) or 0
    return f"{kg:g} kg" if written == kg else f"{round(kg, 2):g} kg (typed as {written})"
