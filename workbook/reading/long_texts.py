"""Texts longer than a cell can hold, on whichever sheet: what was cut from them is told."""

from template_builder.files.opening import Cells
from template_builder.files.stored import Cut
from template_builder.layout.words import LONGEST_TEXT
from workbook.reading.anchors import LONGEST_OWN, Anchored
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef


def long_texts(cells: Cells) -> list[Problem]:
    """A problem for each cell of which only the beginning was read."""
    return [
        _told(CellRef(cells.file, tab, number, cell.column), "text", cell.value.length, LONGEST_TEXT)
        for tab, lines in cells.tabs.items() for number, row in lines for cell in row if isinstance(cell.value, Cut)
    ]


def long_headings(cells: Cells, found: Anchored) -> list[Problem]:
    """A problem for each heading of a person's own that is longer than the heading of a table may be."""
    return [
        _told(CellRef(cells.file, found.tab, number, cell.column), "heading", len(str(cell.value)), LONGEST_OWN)
        for number, row in cells.tabs[found.tab] if number == found.heading_row
        for cell in row if cell.column in found.own and len(str(cell.value)) > LONGEST_OWN and not isinstance(cell.value, Cut)
    ]


def _told(place: CellRef, what: str, length: int, most: int) -> Problem:
    holds = "a cell" if what == "text" else "a heading"
    text = f"a {what} of {length:,} characters; {holds} holds {most:,}, and the rest was left out"
    return reading_problem("text-too-long", place, text)
