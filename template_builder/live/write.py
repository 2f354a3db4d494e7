"""Write the live sheets: every formula with the value it has now, locked, with the names it needs."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field

from template_builder.files import look
from template_builder.files.writer import Book, LayoutFault, Page
from template_builder.layout.whole import PROGRESS_TAB, SET_ON_TAB, STATUS_TAB, WATCH_TAB
from template_builder.layout.widths import width_for
from template_builder.live.blocks import (
    ALERTS_TAB,
    BLOCKS,
    CELLS_TAB,
    HIDDEN,
    HIDDEN_CELLS,
    Block,
    alert_words,
    ranges,
    rows_in,
)
from template_builder.live.columns import CELLS, LiveCell, LiveColumn, LiveSheet, LiveValue, LiveValues
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS
from template_builder.live.progress import BY_DAY, BY_SIZE, CHARTS_END, DAYS, SIZES, TOTALS
from template_builder.live.set_on import ROOM, SPARE
from template_builder.live.settings_cells import NOW
from template_builder.live.watch import EWE_STATUS, WATCH, WATCH_HEAD

_NAMED = {"ewe": "ewes.ewe", "lamb": "animals"}  # columns of live pages that name an animal, and the entries they repeat
_BOLDER = 1.07  # how much wider bold digits are
_TOP = {block.sheet.id: block.top for block in BLOCKS}
_WORDS, _NUMBER, _GAP = 40.0, 9.0, 3.0
_LIST_HEIGHT = 16.5
_LIST_ZOOM = 90  # per cent: the whole list in the width of a small screen
_LOCKED = look.PLAIN.with_(locked=True)
_CHART = (640, 330)  # pixels
_SECOND_CHART, _LAST_CHART_ROW = 30, 48
_BETWEEN = 2  # rows from the end of one list of totals to the heading of the next


@dataclass(frozen=True)
class _Writer:
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

    def block(self, page: Page, block: Block, *, plain: bool = False) -> None:
        """All rows of a block, each beside its number."""
        sheet = block.sheet
        count = rows_in(block, self.last_rows)
        for number in range(count):
            page.number(block.top + number, sheet.first_column, number + 1, _LOCKED)
        for column in sheet.columns:
            if column.formula:
                style = _LOCKED if plain else _spaced(column.style).with_(locked=True)
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

    def _width(self, column: LiveColumn) -> float:
        """As declared, and wide enough for the longest number of a ewe or lamb in its type."""
        longest = self.longest.get(_NAMED.get(column.id, ""), 0)
        wider = column.style.size / look.SIZE_BODY * (_BOLDER if column.style.bold else 1.0)
        return width_for(round(longest * wider), column.width)

    def shown(self, page: Page, sheet: LiveSheet) -> None:
        """A block people read: its headings, the columns without one hidden."""
        top = _TOP[sheet.id]
        page.width(sheet.first_column, _NUMBER, hidden=True)
        for column in sheet.columns:
            place = sheet.places[column.id]
            page.width(place, self._width(column), hidden=not column.title)
            page.text(top - 1, place, column.title, look.HEADING.with_(locked=True)) if column.title else None
        page.height(top - 1, look.HEADING_HEIGHT)
        block = next(block for block in BLOCKS if block.sheet is sheet)
        self.block(page, block)


def _spaced(style: look.Style) -> look.Style:
    """Words with a space at the cell's edge; numbers and dates stand in the middle of theirs."""
    return style if style.align else style.with_(align="left", indent=1)


def write_live(
    book: Book, last_rows: Mapping[str, int], values: LiveValues, footer: str, day_books: Container[str] = (),
    longest: Mapping[str, int] | None = None,
) -> None:
    """The pages people read, and all names (see `ranges`). `values` are those of the formulas, `longest` as for widths."""
    writer = _Writer(book, last_rows, values, footer, longest or {})
    _watch(writer)
    _set_on(writer)
    _status(writer)
    _progress(writer)
    for name, (tab, first, last) in ranges(last_rows, day_books):
        book.define(name, tab, first, last)


def write_hidden(book: Book, last_rows: Mapping[str, int], values: LiveValues) -> None:
    """The blocks behind them, on hidden sheets."""
    writer = _Writer(book, last_rows, values, "")
    for block in HIDDEN:
        page = book.page(block.tab)
        for id, number in block.sheet.places.items():
            page.text(block.top - 1, number, id, look.SMALL)
        writer.block(page, block, plain=True)
        _hide(page)
    page = book.page(CELLS_TAB)
    for row, cell in enumerate(HIDDEN_CELLS, start=1):
        page.text(row, 1, cell.id, look.SMALL)
        writer.cell(page, row, 2, cell, look.PLAIN)
    _hide(page)
    page = book.page(ALERTS_TAB)
    for column, words in enumerate(alert_words().values(), start=1):
        for row, text in enumerate(words, start=1):
            page.text(row, column, text, _LOCKED)
    _hide(page)


def _hide(page: Page) -> None:
    page.protect()
    page.raw.hide()


def _watch(writer: _Writer) -> None:
    page = writer.page(WATCH_TAB, "Watch list", "")
    writer.cell(page, 2, WATCH.places["ewe"], WATCH_HEAD, look.SECTION)
    page.title_row(1, "", look.TITLE)
    page.text(1, WATCH.places["ewe"], "Watch list: ewes that need a look, most urgent first", look.TITLE)
    writer.cell(page, 3, WATCH.places["step"], NOW, look.SMALL.with_(number_format=look.AS_OF_FORMAT, align="left"))
    page.text(3, WATCH.places["ewe"], "It empties itself as you write down what you find. What it says is usual in the trade; "
              "it does not replace your vet.", look.SUBTITLE)
    writer.shown(page, WATCH)
    for number in range(WATCH.rows):
        page.height(_TOP[WATCH.id] + number, _LIST_HEIGHT)
    page.freeze(_TOP[WATCH.id])
    page.shown_at(zoom=_LIST_ZOOM)
    page.print_setup(footer=writer.footer, one_page=True)


def _set_on(writer: _Writer) -> None:
    page = writer.page(SET_ON_TAB, "", "")
    page.text(1, ROOM.places["ewe"], "Set on: ewes with milk and room, and lambs that could go to them", look.TITLE)
    page.text(2, ROOM.places["ewe"], f"Ewes in milk on both sides that lambed within {SET_ON_DAYS} days and have fewer than "
              f"{MOST_LAMBS} lambs. Ill and aborted ewes, and those that refused a lamb, are left out.", look.SUBTITLE)
    page.text(3, ROOM.places["ewe"], "Match lambs by age and size. Set no ewe lamb on to a ewe that aborted.", look.SUBTITLE)
    writer.shown(page, ROOM)
    writer.shown(page, SPARE)
    page.width(SPARE.first_column - 1, _GAP)
    page.freeze(_TOP[ROOM.id])


def _status(writer: _Writer) -> None:
    page = writer.page(STATUS_TAB, "", "")
    page.text(1, EWE_STATUS.places["ewe"], "Ewe status: where each ewe stands now", look.TITLE)
    page.text(2, EWE_STATUS.places["ewe"], "In the order of Ewes. Nothing to fill in here. Before a ewe is sent, check the "
              "medicine book: only withdrawals written in this workbook are counted.", look.SUBTITLE)
    writer.shown(page, EWE_STATUS)
    page.freeze(_TOP[EWE_STATUS.id], EWE_STATUS.places["ewe"] + 1)
    page.print_setup(repeat=(_TOP[EWE_STATUS.id] - 1, _TOP[EWE_STATUS.id] - 1), footer=writer.footer, one_page_wide=True)


def _progress(writer: _Writer) -> None:
    page = writer.page(PROGRESS_TAB, "Progress: the season so far",
                       "Counted from the rows laid ready, as written now. Rows below those are read by check and analyse alone.")
    page.width(1, _WORDS)
    page.width(2, _NUMBER)
    page.width(3, _GAP)
    row = 4
    for heading, cells in TOTALS:
        page.text(row, 1, heading, look.HEADING.with_(align="left", locked=True))
        page.blank(row, 2, look.HEADING.with_(locked=True))
        for cell in cells:
            row += 1
            page.text(row, 1, cell.words, look.BODY.with_(locked=True))
            writer.cell(page, row, 2, cell, look.WHOLE)
        row += _BETWEEN
    writer.shown(page, BY_SIZE)
    for number, (words, _) in enumerate(SIZES):
        page.text(_TOP[BY_SIZE.id] + number, BY_SIZE.places["size"], words, look.BODY.with_(locked=True))
    page.width(BY_SIZE.first_column + len(BY_SIZE.columns) + 1, _GAP)
    writer.shown(page, BY_DAY)
    _charts(writer.book, page)
    page.print_setup(footer=writer.footer, one_page=True)
    page.print_area((1, 1), (max(_LAST_CHART_ROW, row - _BETWEEN), CHARTS_END))


def _charts(book: Book, page: Page) -> None:
    sizes = book.chart("column")
    top, last = _TOP[BY_SIZE.id], _TOP[BY_SIZE.id] + len(SIZES) - 1
    for number, id in enumerate(("ewes", "lambed")):
        place = BY_SIZE.places[id]
        sizes.add_series({
            "name": [page.title, top - 2, place - 1], "values": page.area((top, place), (last, place)),
            "categories": page.area((top, BY_SIZE.places["size"]), (last, BY_SIZE.places["size"])),
            "fill": {"color": look.CHART_SERIES[2 - 2 * number]}, "gap": 60,
        })
    _titled(sizes, "Lambed so far, by litter scanned", "Lambs scanned", "Ewes")
    page.place(row=last + 3, column=BY_SIZE.first_column, chart=sizes, width=_CHART[0], height=_CHART[1],
               words="Ewes scanned and ewes lambed so far, by lambs scanned; the numbers stand in the table above.")
    days = book.chart("column")
    top, last = _TOP[BY_DAY.id], _TOP[BY_DAY.id] + DAYS - 1
    days.add_series({
        "name": "Ewes lambed", "values": page.area((top, BY_DAY.places["lambed"]), (last, BY_DAY.places["lambed"])),
        "categories": page.area((top, BY_DAY.places["day"]), (last, BY_DAY.places["day"])),
        "fill": {"color": look.CHART_SERIES[0]}, "gap": 20,
    })
    _titled(days, f"Ewes lambed each day, {DAYS} days", "", "Ewes")
    days.set_legend({"none": True})
    page.place(row=_SECOND_CHART, column=BY_SIZE.first_column, chart=days, width=_CHART[0], height=_CHART[1],
               words=f"Ewes lambed on each of {DAYS} days; the numbers stand in the table beside it.")


def _titled(chart: object, title: str, across: str, up: str) -> None:
    font = {"name": look.FONT, "size": look.SIZE_BODY, "bold": True, "color": look.INK}
    chart.set_title({"name": title, "name_font": font, "overlay": False})  # type: ignore[attr-defined]  # charts are untyped
    chart.set_x_axis({"name": across, "num_format": "d mmm"})  # type: ignore[attr-defined]
    chart.set_y_axis({"name": up, "major_gridlines": {"visible": True, "line": {"color": look.LINE}}})  # type: ignore[attr-defined]
    chart.set_legend({"position": "bottom"})  # type: ignore[attr-defined]
