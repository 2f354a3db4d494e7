"""One tab being filled from the top down: titles, prose, tables, each row as high as its text needs."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from functools import lru_cache
from typing import NamedTuple

from template_builder.files.look import (
    CELL_LINK,
    DATE,
    HEADING,
    LINK,
    MOMENT,
    PRINT_PAGE,
    PROSE,
    SECTION,
    SUBTITLE,
    TITLE,
    TITLE_HEIGHT,
    WRAPPED,
    Style,
)
from template_builder.files.room import DIGIT_PIXELS, EDGE_PIXELS, FREE_ROW, LINE_HEIGHT, LINE_READ, height_needed, over_the_paper
from template_builder.files.writer import Book, Page
from template_builder.layout.choices import Choice
from template_builder.layout.columns import NotKnown, Value
from template_builder.layout.words import EARLIEST_YEAR, shown

OFF_PAGE = 250.0
DIGIT_SPACE = "_0"  # in a number format: a space as wide as a digit
MOST_LINKS = 65_000  # a sheet holds a few more
HIGHER_FOR_FILTER = 14.0  # room for the filter buttons under a heading


class Link(NamedTuple):
    """A cell of this workbook to jump to."""

    sheet: str
    cell: str


class FileLink(NamedTuple):
    """A file to open, as seen from the folder of this workbook."""

    path: str


@dataclass(frozen=True)
class Cell:
    """A value with a style or link of its own; `formula` is what works it out in the workbook, "" for a plain value, where
    {row} stands for the row it is written in.

    One written `elsewhere`, as with all cells of its column at once, only makes its row as high as it needs.
    """

    value: Value
    style: Style | None = None
    link: Link | FileLink | None = None
    formula: str = ""
    elsewhere: bool = False


Shown = Value | Cell


class Head(NamedTuple):
    """A column of a table: its heading and how its cells look."""

    title: str
    style: Style = WRAPPED


@lru_cache(maxsize=1024)
def at_top(style: Style) -> Style:
    """The same style with its text at the top of the cell, so that a row reads level."""
    return style.with_(valign="top") if style.valign == Style().valign else style


@lru_cache(maxsize=1024)
def linked(style: Style) -> Style:
    """The same style in the look of a link."""
    return style.with_(colour=CELL_LINK.colour, underline=True)


@lru_cache(maxsize=1024)
def dated(style: Style, like: Style) -> Style:
    """The same style showing a date as `like` does, unless it has a number format of its own."""
    return style if style.number_format else style.with_(number_format=like.number_format, align="center")


@lru_cache(maxsize=1024)
def padded(style: Style) -> Style:
    """The same style with a space at the cell's edge, where its text or number stands there.

    Right of a number it is part of the number format: LibreOffice leaves out an indent beside a cell of another format.
    """
    if not style.border or style.indent or style.align == "center":
        return style
    if style.align == "right" and style.number_format:
        parts = style.number_format.split(";")
        return style.with_(number_format=";".join(part.removesuffix(DIGIT_SPACE) + DIGIT_SPACE for part in parts))
    return style.with_(indent=1, align=style.align or "left")


@lru_cache(maxsize=1024)
def of_number(style: Style) -> Style:
    """The same style for a number: at the right unless it has a place, and not wrapped, as LibreOffice forgets the space at the
    edge of a number that might wrap."""
    return style.with_(wrap=False, align=style.align or "right")


class Tab:
    """A page written downwards; `row` is the next row to write. `widths` are those of its columns, in characters."""

    def __init__(
        self, book: Book, title: str, widths: Sequence[float], footer: str, *, read: bool = False, spaced: bool = False,
    ) -> None:
        """`read` says that this tab is read and not typed in: it takes the paper's whole width, text a space from the edge.

        `spaced` asks for that space alone.
        """
        self.page: Page = book.page(title)
        self.widths = over_the_paper(widths) if read else tuple(widths)
        self.read = read
        self.spaced = read or spaced
        self.footer = footer
        self.row = 1
        self.links = 0
        self.printed = True
        self.used = 0.0  # points of the printed page that are filled
        self.heights: list[float] = []  # of all rows so far, in points
        for column, width in enumerate(self.widths, start=1):
            self.page.width(column, width)
        self.page.print_setup(footer=footer)

    def title(self, text: str, *lines: str) -> None:
        """The title of the tab and the lines under it."""
        self.page.title_row(self.row, text, TITLE)
        self._next(TITLE_HEIGHT)
        for line in lines:
            self.prose(line, SUBTITLE.with_(wrap=True))

    def section(self, text: str, note: str = "") -> None:
        """A heading within the tab, with a free row above it."""
        self._high(FREE_ROW)
        self.page.title_row(self.row, text, SECTION)
        self._next(TITLE_HEIGHT)
        if note:
            self.prose(note)

    def prose(self, text: str, style: Style = PROSE, link: Link | None = None, *, formula: str = "") -> None:
        """A paragraph over all columns; `formula` is what works it out in the workbook, "" for plain text."""
        self.page.across(self.row, 1, len(self.widths), text, style)
        if formula:
            self.page.formula(self.row, 1, formula, text, style)
        if link:
            self.page.link(self.row, 1, link.sheet, link.cell, text, LINK.with_(wrap=True))
        self._high(self._prose_height(text, style))

    def _prose_height(self, text: str, style: Style) -> float:
        return self._needed([(text, self._joined(1, len(self.widths)), style)])

    def _needed(self, cells: Iterable[tuple[str, float, Style]]) -> float:
        return height_needed(cells, LINE_READ if self.read else LINE_HEIGHT)

    def table(self, heads: Sequence[Head], rows: Sequence[Sequence[Shown]], *, name: str = "", empty: str = "") -> int:
        """A table; with a `name` it can be filtered. Returns the row of its headings.

        Without rows it only says `empty`, and returns 0. Rows may be shorter than the headings: what follows is written later.
        """
        if not rows:
            self.prose(empty or "Nothing recorded.", SUBTITLE.with_(wrap=True))
            return 0
        top = self.row
        self._headings(heads, filtered=bool(name))
        for row in rows:
            self.line(row, [head.style for head in heads[:len(row)]])
        if name:
            titles = [head.title for head in heads]
            self.page.table(name, (top, 1), (self.row - 1, len(heads)), titles, HEADING)
        return top

    def _headings(self, heads: Sequence[Head], *, filtered: bool) -> None:
        height = self._heading_height(heads) + (HIGHER_FOR_FILTER if filtered else 0.0)
        self.page.headings(self.row, [head.title for head in heads], HEADING, height)
        self._next(height)

    def _heading_height(self, heads: Sequence[Head]) -> float:
        shown = zip(heads, range(1, len(self.widths) + 1), strict=False)
        return self._needed((head.title, self.width_of(column), HEADING) for head, column in shown)

    def line(self, cells: Sequence[Shown], styles: Sequence[Style]) -> None:
        """One row of a table."""
        for column, (cell, style) in enumerate(zip(cells, styles, strict=True), start=1):
            self.put(column, cell, style)
        self._high(self._line_height(cells, styles))

    def _line_height(self, cells: Sequence[Shown], styles: Sequence[Style]) -> float:
        worn = [self._worn(*of) for of in map(_of, cells, styles)]
        texts = [shown(cell.value if isinstance(cell, Cell) else cell) for cell in cells]
        return self._needed(zip(texts, map(self.width_of, range(1, len(texts) + 1)), worn, strict=True))

    def spread(
        self, cells: Sequence[Shown], spans: Sequence[tuple[int, int]], style: Style | None, *, height: float = 0.0,
    ) -> None:
        """A row whose cells each take several columns of the tab, first and last given; headings without a style.

        It is as high as its text needs, or `height`.
        """
        worn = style or HEADING
        for cell, (first, last) in zip(cells, spans, strict=True):
            self.page.across(self.row, first, last, "", self._worn(*_of(cell, worn)) if style else worn)
            if style:
                self.put(first, cell, worn)
            else:
                self.page.text(self.row, first, _text(cell), worn)
        self._high(height or self.spread_height(cells, spans, style))

    def spread_height(self, cells: Sequence[Shown], spans: Sequence[tuple[int, int]], style: Style | None) -> float:
        """How high a row of such cells is."""
        return self._needed(
            (_text(cell), self._joined(first, last), self._worn(*_of(cell, style or HEADING)))
            for cell, (first, last) in zip(cells, spans, strict=True))

    def _joined(self, first: int, last: int) -> float:
        """The width of a cell over these columns; the edges between them are room for its text."""
        return sum(self.widths[first - 1:last]) + (last - first) * EDGE_PIXELS / DIGIT_PIXELS

    def _worn(self, style: Style, value: Value) -> Style:
        """How a cell looks on this tab: from the top, and text read here a space from the edge."""
        if isinstance(value, int | float):
            style = of_number(style)
        return at_top(padded(style) if self.spaced and (isinstance(value, str | Choice | NotKnown) or style.align) else style)

    def fits(self, points: float) -> bool:
        """Whether a row so high still fits on this printed page."""
        return self.used + points <= PRINT_PAGE

    def free(self, points: float = FREE_ROW) -> None:
        """Leave a row free."""
        self._high(points)

    def width_of(self, column: int) -> float:
        """The width of a column; those right of the page (for the screen only), and hidden ones, never make a row higher."""
        return self.widths[column - 1] or OFF_PAGE if column <= len(self.widths) else OFF_PAGE

    def put(self, column: int, cell: Shown, style: Style) -> Style:
        """Write one cell of the current row and say which style it wears."""
        value, link = (cell.value, cell.link) if isinstance(cell, Cell) else (cell, None)
        if isinstance(cell, Cell) and cell.style:
            style = cell.style
        if isinstance(cell, Cell) and cell.elsewhere:
            return at_top(style)
        style = self._worn(style, value)
        if link and value is not None and self.links < MOST_LINKS:
            self.links += 1
            style = linked(style)
            if isinstance(link, FileLink):
                self.page.file_link(self.row, column, link.path, shown(value), style)
            else:
                self.page.link(self.row, column, link.sheet, link.cell, shown(value), style)
        else:
            link = None
        if isinstance(cell, Cell) and cell.formula and isinstance(value, str | int | float):
            self.page.formula(self.row, column, cell.formula.replace("{row}", str(self.row)), value, style)
        elif not (link and isinstance(value, str)):  # a number is written over the text of its link and stays a number
            style = write(self.page, self.row, column, value, style)
        return style

    def _high(self, points: float) -> None:
        self.page.height(self.row, points)
        self._next(points)

    def _next(self, points: float) -> None:
        """Go on to the next row, and on paper to the next page where this row did not fit."""
        self.row += 1
        self.heights.append(points)
        self.used = self.used + points if self.used + points <= PRINT_PAGE else points

    def paper_ends(self) -> None:
        """Print what has been written so far; what follows is for the screen only, and breaks no page."""
        self.page.print_area((1, 1), (self.row - 1, len(self.widths)))
        self.printed = False

    def new_page(self) -> None:
        """Begin a new printed page with the next row."""
        if self.printed:
            self.page.page_break(self.row)
        self.used = 0.0

    @contextmanager
    def kept_together(self) -> Iterator[None]:
        """What is written meanwhile begins on a new printed page if it would not fit on the rest of this one.

        Longer than a page, it begins on a new one unless that would leave most of this one empty, and goes on where each is full.
        """
        first, used = len(self.heights), self.used
        yield
        points = sum(self.heights[first:])
        if not self.printed or used + points <= PRINT_PAGE:
            return
        row = self.row - (len(self.heights) - first)
        self.used = used if points > PRINT_PAGE and used < PRINT_PAGE / 2 else PRINT_PAGE
        for number, height in enumerate(self.heights[first:], start=row):
            if self.used + height > PRINT_PAGE:
                self.page.page_break(number)
                self.used = 0.0
            self.used += height

    def heads_stay(self, top: int, *, one_page_wide: bool = False) -> None:
        """Keep the heading row in sight, on the screen and on paper; a table without rows (0) has none."""
        if top:
            self.page.freeze(top + 1)
            self.heads_repeated(top, one_page_wide=one_page_wide)

    def heads_repeated(self, top: int, *, one_page_wide: bool = False) -> None:
        """Print the heading row again on every page after its own: of a table that is not the first of its tab."""
        if top:
            self.page.print_setup(repeat=(top, top), footer=self.footer, one_page_wide=one_page_wide)


def _of(cell: Shown, style: Style) -> tuple[Style, Value]:
    """The style of a cell, its own or that of its column, and its value."""
    return (cell.style or style, cell.value) if isinstance(cell, Cell) else (style, cell)


def _text(cell: Shown) -> str:
    return shown(cell.value if isinstance(cell, Cell) else cell)


def write(page: Page, row: int, column: int, value: Value, style: Style) -> Style:
    """Write a value by its type, dates as dates; the style it came to wear is returned. An hour nobody wrote is not shown."""
    if isinstance(value, date) and value.year < EARLIEST_YEAR:
        value = shown(value)
    if isinstance(value, date | time):
        hour = value.time() if isinstance(value, datetime) else None
        style = dated(style, MOMENT if isinstance(value, time) or (hour and hour != time()) else DATE)
    page.value(row, column, value, style, shown)
    return style
