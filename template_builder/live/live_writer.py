"""How live cells are written: every formula with its value, locked, on protected pages."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil

from template_builder.files import look
from template_builder.files.room import FREE_ROW, PRINT_PIXELS, in_pixels
from template_builder.files.strict import LayoutFault
from template_builder.files.writer import Book, Page
from template_builder.layout.addresses import letters
from template_builder.layout.widths import width_for
from template_builder.live.blocks import BLOCKS, Block, rows_in
from template_builder.live.columns import CELLS, K, LiveCell, LiveColumn, LiveSheet, LiveValue, LiveValues

_BLOCK = {block.sheet.id: block for block in BLOCKS}
_NAMED = {"ewe": "ewes.ewe", "lamb": "animals"}  # columns of live pages that name an animal, and the entries they repeat
_SHORT = 5  # digits of a number that words naming a ewe have room for
_BOLDER = 1.07  # how much wider bold digits are
NARROW = 9.0  # characters: a column of numbers
_PER_CENT = 100
_LOCKED = look.PLAIN.with_(locked=True)


@dataclass(frozen=True)
class LiveWriter:
    """A workbook to which live cells are written, each with the value it has now."""

    book: Book
    last_rows: Mapping[str, int]
    values: LiveValues
    footer: str
    longest: Mapping[str, int] = field(default_factory=dict)

    def cell(self, page: Page, row: int, column: int, cell: LiveCell, style: look.Style) -> None:
        (value,) = self._values(CELLS, cell.id, 1)
        page.formula(row, column, f"={cell.formula}", value, style.with_(locked=True))
        self.book.define(cell.name, page.title, (row, column))

    def _values(self, id: str, column: str, rows: int) -> Sequence[LiveValue]:
        """What the cells of a column show; nothing where the formulas were not worked out, and then none of them."""
        values = self.values.get(id, {}).get(column, ()) if self.values else [""] * rows
        if len(values) != rows:
            raise LayoutFault(f"{id}.{column}: {len(values)} values for {rows} live cells")
        return values

    def block(self, page: Page, block: Block, *, plain: bool = False, ruled: bool = True) -> None:
        """All rows of a block, each beside its number."""
        sheet = block.sheet
        count = rows_in(block, self.last_rows)
        for number in range(count):
            page.number(block.top + number, sheet.places[K], number + 1, _LOCKED)
        for column in sheet.columns:
            if column.formula:
                style = _LOCKED if plain else _spaced(column.style if ruled else column.style.with_(border="")).with_(locked=True)
                values = self._values(sheet.id, column.id, count)
                page.formulas(block.top, sheet.places[column.id], sheet.formula(column).format(row=block.top), values, style)
            elif plain:
                for number, value in enumerate(self._values(sheet.id, column.id, count) if self.values else ()):
                    page.number(block.top + number, sheet.places[column.id], int(value), _LOCKED)

    def page(self, tab: str, title: str, words: str) -> Page:
        page = self.book.page(tab)
        page.title_row(1, title, look.TITLE.with_(locked=True))
        page.text(2, 1, words, look.SUBTITLE.with_(locked=True))
        page.print_setup(footer=self.footer, one_page_wide=True)
        page.raw.hide_gridlines(2)
        page.protect()
        return page

    def width(self, column: LiveColumn) -> float:
        """As declared, and wide enough for the longest number of a ewe or lamb in its type."""
        longest = self.longest.get(_NAMED.get(column.id, ""), 0)
        wider = column.style.size / look.SIZE_BODY * (_BOLDER if column.style.bold else 1.0)
        more = column.ewes_named * max(0, self.longest.get("ewes.ewe", 0) - _SHORT)
        return width_for(round(longest * wider), column.width + more)

    def shown(self, page: Page, sheet: LiveSheet, *, ruled: bool = True, heading: float = look.HEADING_HEIGHT) -> None:
        """A block people read: its headings, the columns without one hidden.

        Unless `ruled`, a row has lines only while it is filled, so that empty ones are white on paper.
        """
        block = _BLOCK[sheet.id]
        top, last = block.top, block.top + rows_in(block, self.last_rows) - 1
        page.width(sheet.places[K], NARROW, hidden=True)
        for column in sheet.columns:
            place = sheet.places[column.id]
            page.width(place, self.width(column), hidden=not column.title)
            page.text(top - 1, place, column.title, look.HEADING.with_(locked=True)) if column.title else None
            if column.style.number_format == look.MOMENT_FORMAT:
                page.day_alone((top, place), (last, place), look.DATE_FORMAT)
        page.height(top - 1, heading)
        self.block(page, block, ruled=ruled)
        if not ruled:
            self._lines_where_filled(page, block)

    def print_list(self, page: Page, sheet: LiveSheet, lines: int, scale: int, *, above: float = 0.0) -> None:
        """Print the tab at this size, its last list a page full at a time and as far as the page on which so many lines end.

        Every line where there are none yet; on the first page `above` takes so many points.
        """
        block = _BLOCK[sheet.id]
        points = look.PRINT_PAGE * _PER_CENT / scale - look.HEADING_HEIGHT
        first, a_page = int((points - above) / FREE_ROW), int(points / FREE_ROW)
        rows = rows_in(block, self.last_rows)
        pages = ceil(((lines or rows) - first) / a_page)
        page.print_setup(repeat=(block.top - 1, block.top - 1), footer=self.footer, scale=scale)
        for number in range(pages):
            page.page_break(block.top + first + number * a_page)
        page.print_area((1, 1), (block.top - 1 + min(rows, first + max(0, pages) * a_page), max(sheet.places.values())))

    def scale(self, *sheets: LiveSheet) -> int:
        """The size, in per cent, at which the widest of all columns of these lists, below one another, fit a page."""
        widths = {sheet.places[column.id]: self.width(column) for sheet in sheets for column in sheet.columns if column.title}
        across = sum(map(in_pixels, widths.values()))
        return min(_PER_CENT, int(_PER_CENT * PRINT_PIXELS / across))

    def _lines_where_filled(self, page: Page, block: Block) -> None:
        first, *_, last = (block.sheet.places[column.id] for column in block.sheet.columns if column.title)
        lines = {"type": "formula", "criteria": f'=${letters(first)}{block.top}<>""',
                 "format": self.book.format(look.Style(border=look.LINE))}
        page.condition((block.top, first), (block.top + rows_in(block, self.last_rows) - 1, last), lines)


def _spaced(style: look.Style) -> look.Style:
    """Words with a space at the cell's edge; numbers and dates stand in the middle of theirs."""
    return style if style.align else style.with_(align="left", indent=1)
