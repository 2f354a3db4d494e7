"""Headings that name another unit than Season does: which of the two holds for bare numbers is said once a column."""

from collections.abc import Iterator, Sequence

from template_builder.files.opening import Cells
from template_builder.layout.choices import WeightUnit
from template_builder.layout.weights import unit_in
from template_builder.layout.words import so_many_are
from workbook.reading.anchors import Anchored
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef, Record, titled
from workbook.season.weights import bare_weight


def other_units(cells: Cells, found: Anchored, records: Sequence[Record], unit: WeightUnit) -> Iterator[Problem]:
    """A problem for each column of weights whose heading says another unit than Season, if any number has none of its own."""
    headings = next((row for number, row in cells.tabs[found.tab] if number == found.heading_row), ())
    for column in found.sheet.own_columns:
        place = found.places.get(column.id)
        heading = next((str(cell.value) for cell in headings if cell.column == place), "")
        bare = sum(bare_weight(row, column.id) is not None for row in records) if column.scale else 0
        if place and bare and (named := unit_in(heading)) not in (None, unit):
            were = so_many_are(bare, "weight", "without a unit was", "without a unit were")
            text = f"the heading says {named}, but Season says weights are in {unit}; {were} read in {unit}"
            at = CellRef(cells.file, found.tab, found.heading_row, place)
            yield reading_problem("heading-in-other-unit", at, text, heading, row_name=titled(column))
