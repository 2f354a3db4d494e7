"""Write the live sheets: every formula with the value it has now, locked, with the names it needs."""

from collections.abc import Container, Mapping

from template_builder.files import look
from template_builder.files.writer import Book, Page
from template_builder.layout.whole import PROGRESS_TAB, SET_ON_TAB, STATUS_TAB
from template_builder.live.blocks import (
    ALERTS_TAB,
    BLOCKS,
    CELLS_TAB,
    HIDDEN,
    HIDDEN_CELLS,
    alert_words,
    ranges,
)
from template_builder.live.columns import LiveValues
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS
from template_builder.live.live_writer import NARROW, LiveWriter
from template_builder.live.plan_page import write_plan
from template_builder.live.progress import BY_DAY, BY_SIZE, CHARTS_END, DAYS, SIZES, TOTALS
from template_builder.live.set_on import ROOM, SPARE
from template_builder.live.status import EWE_STATUS
from template_builder.live.tonight_page import write_tonight
from template_builder.live.turnout_page import write_turnout

_TOP = {block.sheet.id: block.top for block in BLOCKS}
_WORDS, _GAP = 40.0, 3.0
_LOCKED = look.PLAIN.with_(locked=True)
_CHART = (640, 330)  # pixels
_SECOND_CHART, _LAST_CHART_ROW = 30, 48
_BETWEEN = 2  # rows from the end of one list of totals to the heading of the next


def write_live(
    book: Book, last_rows: Mapping[str, int], values: LiveValues, footer: str, day_books: Container[str] = (),
    longest: Mapping[str, int] | None = None, *, by_tally_alone: bool = False,
) -> None:
    """The pages people read, and all names (see `ranges`). `values` are those of the formulas, `longest` as for widths.

    Of a flock known by tallies alone, lists of ewes on a page it has are out of sight.
    """
    writer = LiveWriter(book, last_rows, values, footer, longest or {})
    write_tonight(writer)
    _set_on(writer)
    _status(writer)
    _progress(writer)
    write_turnout(writer)
    write_plan(writer, by_tally_alone=by_tally_alone)
    for name, (tab, first, last) in ranges(last_rows, day_books):
        book.define(name, tab, first, last)


def write_hidden(book: Book, last_rows: Mapping[str, int], values: LiveValues) -> None:
    """The blocks behind them, on hidden sheets."""
    writer = LiveWriter(book, last_rows, values, "")
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


def _set_on(writer: LiveWriter) -> None:
    page = writer.page(SET_ON_TAB, "", "")
    page.text(1, ROOM.places["ewe"], "Set on: ewes with milk and room, and lambs that could go to them", look.TITLE)
    page.text(2, ROOM.places["ewe"], f"Ewes in milk on both sides that lambed within {SET_ON_DAYS} days and have fewer than "
              f"{MOST_LAMBS} lambs. Ill and aborted ewes, and those that refused a lamb, are left out.", look.SUBTITLE)
    page.text(3, ROOM.places["ewe"], "Match lambs by age and size. Set no ewe lamb on to a ewe that aborted.", look.SUBTITLE)
    writer.shown(page, ROOM)
    writer.shown(page, SPARE)
    page.width(SPARE.first_column - 1, _GAP)
    page.freeze(_TOP[ROOM.id])


def _status(writer: LiveWriter) -> None:
    page = writer.page(STATUS_TAB, "", "")
    page.text(1, EWE_STATUS.places["ewe"], "Ewe status: where each ewe stands now", look.TITLE)
    page.text(2, EWE_STATUS.places["ewe"], "In the order of Ewes. Nothing to fill in here. Before a ewe is sent, check the "
              "medicine book: only withdrawals written in this workbook are counted.", look.SUBTITLE)
    writer.shown(page, EWE_STATUS)
    page.freeze(_TOP[EWE_STATUS.id], EWE_STATUS.places["ewe"] + 1)
    page.print_setup(repeat=(_TOP[EWE_STATUS.id] - 1, _TOP[EWE_STATUS.id] - 1), footer=writer.footer, one_page_wide=True)


def _progress(writer: LiveWriter) -> None:
    page = writer.page(PROGRESS_TAB, "Progress: the season so far",
                       "Counted from the rows laid ready, as written now. Rows below those are read by check and analyse alone.")
    page.width(1, _WORDS)
    page.width(2, NARROW)
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
