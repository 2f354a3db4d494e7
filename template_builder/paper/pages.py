"""One paper sheet being written: A4 across at full size, its whole width, headings on every page, rows for a pencil."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from template_builder.files.look import (
    PAPER_HEADING,
    PAPER_NOTE,
    PAPER_TITLE,
    PRINT_PAGE,
    PRINT_ROW_HEIGHT,
    RULED,
    RULED_SMALL,
    SIZE_SMALL,
    Style,
)
from template_builder.files.room import LINE_HEIGHT, lines_needed
from template_builder.files.strict import LayoutFault
from template_builder.files.writer import Book
from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import Column
from template_builder.layout.whole import column_at

# The sum of column widths in pixels of 1/96 inch. A4 is 1,123 across, less the margins 1,075; spreadsheet programs print a
# column up to 7 per cent wider than it is on the screen, and a pixel too many would go on a page of its own.
PAGE_PIXELS = 1000
SIDE = 0.25  # inches of margin at the left and right: what printers leave blank anyway
MILLIMETRE = 96 / 25.4  # pixels
NOTES_AT_LEAST = 50 * MILLIMETRE  # on the sheets of the shed

TICK = "\u2610"
BLANK = "_" * 18  # to write on
NAME = RULED.with_(bold=True, indent=1)
MIDDLE = RULED.with_(align="center")
MIDDLE_SMALL = RULED_SMALL.with_(align="center")
SMALL = RULED_SMALL.with_(indent=1)
WORDS = RULED.with_(indent=1)
TITLE_HEIGHT, HEADING_HEIGHT = 28.0, 27.0
_TITLE_PIXELS = 170  # room for the name of the sheet, the note stands beside it
_EDGES, _A_CHARACTER, _INDENT = 5, 7, 8  # pixels: what a cell's edges take, a character of its width, a step of indent
REST = 0  # pixels of a column that takes what the others leave

# Long numbers: the last six digits are what is read in the shed, the beginning tells apart what ends alike. A lamb without a
# tag is called by its ewe's number and its own: 826001234567890-2.
_LONG = re.compile(r"(.{3,}?)((?:\d ?){5}\d(?:-\d+)?)")
_DIGIT, _CAPITAL = 0.51, 0.68  # widths, as parts of the size of type
_LONGEST_NAME = 150  # pixels: a longer one takes two lines of small type
_PIXELS_A_POINT = 96 / 72


class PaperColumn(NamedTuple):
    """A column on paper: its heading, its width in pixels, and the columns of the workbook that are typed from it."""

    title: str
    pixels: int
    of: tuple[str, ...] = ()

    @property
    def characters(self) -> float:
        """Its width as a spreadsheet counts it."""
        return (self.pixels - _EDGES) / _A_CHARACTER


def asked(address: str, pixels: int, *also: str, unit: WeightUnit = WeightUnit.KG) -> PaperColumn:
    """A column of the workbook on paper, in the words of its heading on the screen; `also` is typed from it."""
    return PaperColumn(column_at(address).in_unit(unit).title, pixels, (address, *also))


def in_words(column: Column) -> str:
    """A heading without what stands in brackets, for boxes that say so themselves."""
    return column.title.partition(" (")[0]


def filled(columns: Iterable[PaperColumn], pixels: int = PAGE_PIXELS) -> tuple[PaperColumn, ...]:
    """The columns as wide as the page: those of no width share what the others leave."""
    given = tuple(columns)
    sharing = [place for place, column in enumerate(given) if column.pixels == REST]
    left = pixels - sum(column.pixels for column in given)
    shares = {place: left // len(sharing) + (number < left % len(sharing)) for number, place in enumerate(sharing)}
    return tuple(column._replace(pixels=shares.get(place, column.pixels)) for place, column in enumerate(given))


def name_pixels(names: Iterable[str], style: Style = NAME, least: int = 62) -> int:
    """How wide a column must be for these names, the beginning of long ones in small type; `least` to be written in."""
    return min(max(least, *(_name_pixels(name, style) for name in names), 0), max(_LONGEST_NAME, least))


def text_pixels(texts: Iterable[str], least: int, most: int, style: Style = RULED) -> int:
    """How wide a column must be for these words in one size; what is wider than `most` takes two lines of small type."""
    return min(max(least, *(round(_wide(text) * style.size * _PIXELS_A_POINT) + 2 * _EDGES for text in texts), 0), most)


def _name_pixels(name: str, style: Style) -> int:
    small, large = parted(name)
    points = _wide(small) * _smaller(style).size + _wide(large) * style.size
    return round(points * _PIXELS_A_POINT) + _EDGES + style.indent * _INDENT


def _smaller(style: Style) -> Style:
    """How the beginning of a long name looks beside its end: two thirds as large."""
    return style.with_(size=max(SIZE_SMALL, style.size * 2 // 3), bold=False)


def _wide(text: str) -> float:
    return sum(_CAPITAL if sign.isupper() else _DIGIT for sign in text)


def parted(name: str) -> tuple[str, str]:
    """The beginning of a long number, in small type, and its end, which is what people read and say; of other names all."""
    found = _LONG.fullmatch(name)
    return (found[1], found[2]) if found else ("", name)


class Paper:
    """A tab to print. `row` is the next row; rows are written in blocks that no page break cuts."""

    def __init__(
        self, book: Book, tab: str, columns: Sequence[PaperColumn], *, note: str, footer: str, title: str = "",
        cells: Style | Sequence[Style] = RULED,
    ) -> None:
        self.columns = tuple(columns)
        self.widths = tuple(column.characters for column in columns)
        if (pixels := sum(column.pixels for column in columns)) != PAGE_PIXELS:
            raise LayoutFault(f"{tab}: columns of {pixels} pixels are not the width of a page ({PAGE_PIXELS})")
        self.page = book.page(tab)
        styles = [cells] * len(self.widths) if isinstance(cells, Style) else cells
        for number, (width, style) in enumerate(zip(self.widths, styles, strict=True), start=1):
            self.page.width(number, width, style=style)
        self.footer = footer
        self.row, self.top = 1, 0.0
        self._title(title or tab, note)
        self.page.raw.hide_gridlines(2)
        self.page.protect()

    def _title(self, title: str, note: str) -> None:
        placed = [sum(column.pixels for column in self.columns[:number]) for number in range(1, len(self.columns) + 1)]
        split = next(number for number, pixels in enumerate(placed, start=1) if pixels >= _TITLE_PIXELS)
        self.page.across(1, 1, split, title, PAPER_TITLE)
        self.page.across(1, split + 1, len(self.widths), note, PAPER_NOTE)
        self._head(max(TITLE_HEIGHT, height_for(note, sum(self.widths[split:]), least=0.0)))

    def headings(self, titles: Sequence[str] = (), height: float = HEADING_HEIGHT, style: Style = PAPER_HEADING) -> int:
        """A row of headings, those of the columns unless said otherwise; it stands on every page. Returns its number."""
        for number, text in enumerate(titles or [column.title for column in self.columns], start=1):
            self.page.text(self.row, number, text, style)
        return self._head(height)

    def _head(self, height: float) -> int:
        self.page.height(self.row, height)
        self.row += 1
        self.top += height
        self.used = self.top
        self.page.print_setup(repeat=(1, self.row - 1), footer=self.footer, side=SIDE, centred=True)
        self.page.freeze(self.row)
        return self.row - 1

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

    def line(self, height: float = PRINT_ROW_HEIGHT) -> int:
        """The number of one new row."""
        (row,) = self.block([height])
        return row

    @property
    def room(self) -> float:
        """Points of rows that this page still holds."""
        return PRINT_PAGE - self.used

    def rest_of_page(self, style: Style = RULED, least: int = 0) -> None:
        """Empty rows to the end of the page, and on the next one where fewer than `least` are left; `style` is that of the first
        cell."""
        rows = int(self.room // PRINT_ROW_HEIGHT)
        for _ in range(rows if rows >= least else rows + int((PRINT_PAGE - self.top) // PRINT_ROW_HEIGHT)):
            self.page.blank(self.line(), 1, style)

    def new_page(self) -> None:
        self.page.page_break(self.row)
        self.used = self.top

    def cell(self, row: int, column: int, text: str, style: Style = RULED, last: int = 0) -> None:
        """Write a few words, over several columns up to `last` where given; in small type where they need it."""
        characters = sum(self.widths[column - 1:max(last, column)])
        if lines_needed(text, characters, style) > 1:
            style = style.with_(size=SIZE_SMALL, wrap=True)
        self.page.across(row, column, max(last, column), text, style)

    def name(self, row: int, column: int, name: str, style: Style = NAME, last: int = 0) -> None:
        """Write what an animal is called: of a long number the end large, the beginning small."""
        small, large = parted(name)
        room = sum(one.pixels for one in self.columns[column - 1:max(last, column)])
        if not small or _name_pixels(name, style) > room:
            self.cell(row, column, name, style, last)
        else:
            if last > column:
                self.page.across(row, column, last, "", style)
            self.page.in_two_sizes(row, column, small, large, _smaller(style), style)

    def finish(self) -> None:
        """Print what was written and nothing beside it."""
        self.page.print_area((1, 1), (self.row - 1, len(self.widths)))


def to_fill_in(addresses: Sequence[str]) -> str:
    """Headings with room to write beside each, for the head of a sheet."""
    return "   ".join(f"{column_at(address).title} {BLANK}" for address in addresses)


def height_for(text: str, characters: float, least: float = PRINT_ROW_HEIGHT) -> float:
    """How high a row must be for this text in small type; never lower than a pencil needs."""
    return max(least, lines_needed(text, characters, SMALL) * LINE_HEIGHT * SIZE_SMALL + 3)
