"""Handling sheets for looking at ewes in the race: in mark order, a box to tick for each finding."""

from collections.abc import Iterator
from itertools import groupby

from template_builder.files.look import MIST, PAPER_HEADING, RULED, Style
from template_builder.files.writer import Book
from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import Column
from template_builder.layout.paper_tabs import HANDLING
from template_builder.layout.sheets.later import EWE_CHECK
from template_builder.paper.animals import PaperFlock, by_mark
from template_builder.paper.form import NOTES, on_paper
from template_builder.paper.pages import MIDDLE_SMALL, NAME, REST, Paper, PaperColumn, asked, filled, name_pixels, to_fill_in

TICKED = ("milk", "udder", "teats", "mouth", "feet")  # a box for each word of these lists
ON_THE_HEAD = ("ewe_check.date", "ewe_check.occasion")  # the same for all ewes of a sheet
_BOX = 24  # pixels
_NARROW = {"lambs_at_foot": 44, "trouble": 66}
_GROUP_HEIGHT, _TURNED_HEIGHT = 18.0, 78.0  # the longest finding, written upwards
_TURNED = PAPER_HEADING.with_(rotation=90, bold=False)
_NOTE = f"{to_fill_in(ON_THE_HEAD)}   Tick what you find."


def handling_columns(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """Ewe and mark, then the columns of Ewe check in their order; beside them her weight, and notes."""
    printed = (column for column in EWE_CHECK if column.printed)
    asked_here = (column for column in printed if EWE_CHECK.address(column) not in (*ON_THE_HEAD, "ewe_check.ewe"))
    lead = (asked("ewe_check.ewe", name_pixels(flock.names), "ewes.ewe"), asked("ewes.mark", 56))
    found = [one for column in asked_here if column.id != NOTES for one in _asked(column, flock.unit)]
    return filled((*lead, *found, asked("weights.kg", 56, unit=flock.unit), asked(f"ewe_check.{NOTES}", REST)))


def _asked(column: Column, unit: WeightUnit) -> Iterator[PaperColumn]:
    if column.id in TICKED and column.choices:
        yield from (PaperColumn(choice.label, _BOX, (EWE_CHECK.address(column),)) for choice in column.choices)
        return
    (one,) = on_paper(EWE_CHECK, [column], unit)
    yield one._replace(pixels=_NARROW.get(column.id, one.pixels))


def write_handling(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the sheets; a strong line stands where the mark changes."""
    columns = handling_columns(flock)
    cells = _cells(columns)
    paper = Paper(book, HANDLING, columns, note=_NOTE, footer=footer, cells=cells)
    _headings(paper, cells)
    before = None
    for ewe in sorted(flock.ewes, key=by_mark):
        row = paper.line()
        changed = before is not None and before != ewe.mark
        for number, style in enumerate(cells, start=1) if changed else ():
            paper.page.blank(row, number, style.with_(rule_above=True))
        paper.name(row, 1, ewe.name, NAME.with_(rule_above=changed))
        paper.cell(row, 2, ewe.mark, MIDDLE_SMALL.with_(rule_above=changed))
        before = ewe.mark
    paper.finish()


def _parts(columns: tuple[PaperColumn, ...]) -> Iterator[tuple[str, list[int]]]:
    """The columns that belong together, by number: the boxes of one list, else each by itself. A list is named by its column."""
    numbered = enumerate(columns, start=1)
    for address, part in groupby(numbered, key=lambda one: one[1].of[0]):
        column = address.partition(".")[2]
        yield (column if column in TICKED and address.startswith(EWE_CHECK.id) else ""), [number for number, _ in part]


def _cells(columns: tuple[PaperColumn, ...]) -> list[Style]:
    """Every other list of boxes is shaded, so that the eye keeps to its column."""
    shaded: set[int] = set()
    for place, numbers in enumerate(numbers for list_of, numbers in _parts(columns) if list_of):
        shaded |= set(numbers) if place % 2 == 0 else set()
    return [RULED.with_(fill=MIST) if number in shaded else RULED for number in range(1, len(columns) + 1)]


def _headings(paper: Paper, cells: list[Style]) -> None:
    """Above the boxes of a list its name, each finding written upwards; the other headings go over both rows."""
    first = paper.headings([""] * len(paper.columns), _GROUP_HEIGHT)
    second = paper.headings([""] * len(paper.columns), _TURNED_HEIGHT)
    for list_of, numbers in _parts(paper.columns):
        if not list_of:
            for number in numbers:
                paper.page.down(first, second, number, paper.columns[number - 1].title, PAPER_HEADING)
            continue
        paper.page.across(first, numbers[0], numbers[-1], EWE_CHECK.column(list_of).title, PAPER_HEADING)
        for number in numbers:
            paper.page.text(second, number, paper.columns[number - 1].title, _TURNED.with_(fill=cells[number - 1].fill))
