"""One paper sheet being written: A4 landscape at full size, headings on every page, rows high enough for a pencil."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from template_builder.files.look import (
    PAPER_HEADING,
    PAPER_NOTE,
    PAPER_TITLE,
    PRINT_CHARACTERS,
    PRINT_PAGE,
    PRINT_ROW_HEIGHT,
    RULED,
    SIZE_SMALL,
    Style,
)
from template_builder.files.tab import LINE_HEIGHT, lines_needed
from template_builder.files.writer import Book, LayoutFault
from template_builder.layout.choices import WeightUnit
from template_builder.layout.weights import KG
from template_builder.layout.whole import column_at

Cells = tuple[str, str]

TICK = "\u2610"
BLANK = "_" * 18  # to write on
NAME = RULED.with_(bold=True, indent=1)
TITLE_HEIGHT, HEADING_HEIGHT = 28.0, 36.0
_TITLE_CHARACTERS = 21.0  # room for the name of the sheet, the note stands beside it


class PaperColumn(NamedTuple):
    """A column on paper: its short heading, its width, and the columns of the workbook that are typed from it."""

    title: str
    characters: float
    of: tuple[str, ...] = ()


def in_unit(columns: Sequence[PaperColumn], unit: WeightUnit) -> tuple[PaperColumn, ...]:
    """The columns with weights headed by the unit of the workbook."""
    return tuple(column._replace(title=unit.label) if column.title == KG else column for column in columns)


class Paper:
    """A tab to print. `row` is the next row; rows are written in blocks that no page break cuts."""

    def __init__(
        self, book: Book, tab: str, columns: Sequence[PaperColumn], *, title: str, note: str, footer: str,
        cells: Style = RULED, headings: bool = True, heading_height: float = HEADING_HEIGHT,
    ) -> None:
        self.widths = tuple(column.characters for column in columns)
        if sum(self.widths) > PRINT_CHARACTERS:
            raise LayoutFault(f"{tab}: {sum(self.widths):g} characters are wider than a page ({PRINT_CHARACTERS:g})")
        self.page = book.page(tab)
        for number, width in enumerate(self.widths, start=1):
            self.page.width(number, width, style=cells)
        self._title(title, note)
        self.row, self.top = 2, TITLE_HEIGHT
        if headings:
            self.page.headings(2, [column.title for column in columns], PAPER_HEADING, heading_height)
            self.row, self.top = 3, TITLE_HEIGHT + heading_height
        self.page.print_setup(repeat=(1, self.row - 1), footer=footer)
        self.page.freeze(self.row)
        self.page.raw.hide_gridlines(2)
        self.page.protect()
        self.used = self.top

    def _title(self, title: str, note: str) -> None:
        split = next(n for n in range(1, len(self.widths) + 1) if sum(self.widths[:n]) >= _TITLE_CHARACTERS)
        self.page.across(1, 1, split, title, PAPER_TITLE)
        self.page.across(1, split + 1, len(self.widths), note, PAPER_NOTE)
        self.page.height(1, TITLE_HEIGHT)

    def block(self, heights: Sequence[float]) -> range:
        """The numbers of so many new rows, kept together on one page."""
        if self.used + sum(heights) > PRINT_PAGE:
            self.new_page()
        first = self.row
        for height in heights:
            self.page.height(self.row, height)
            self.row += 1
        self.used += sum(heights)
        return range(first, self.row)

    def rest_of_page(self, row: Cells) -> Iterator[Cells]:
        """The same row again and again, as long as one more fits on this page."""
        while self.used + PRINT_ROW_HEIGHT <= PRINT_PAGE:
            yield row

    def new_page(self) -> None:
        self.page.page_break(self.row)
        self.used = self.top

    def cell(self, row: int, column: int, text: str, style: Style = RULED, last: int = 0) -> None:
        """Write a few words, over several columns up to `last` where given; in small type where they need it."""
        characters = sum(self.widths[column - 1:max(last, column)])
        if lines_needed(text, characters, style) > 1:
            style = style.with_(size=SIZE_SMALL, wrap=True)
        self.page.across(row, column, max(last, column), text, style)

    def finish(self) -> None:
        """Print what was written and nothing beside it."""
        self.page.print_area((1, 1), (self.row - 1, len(self.widths)))


def to_fill_in(addresses: Sequence[str]) -> str:
    """Headings with room to write beside each, for the head of a sheet."""
    return "   ".join(f"{column_at(address).title} {BLANK}" for address in addresses)


def height_for(text: str, characters: float) -> float:
    """How high a row must be for this text in small type; never lower than a pencil needs."""
    lines = lines_needed(text, characters, PAPER_NOTE)
    return max(PRINT_ROW_HEIGHT, lines * LINE_HEIGHT * SIZE_SMALL + 3)
