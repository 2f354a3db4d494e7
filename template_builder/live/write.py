"""Write the live sheets: every formula with the value it has now, locked, with the names it needs."""

from collections.abc import Container, Mapping

from template_builder.files import look
from template_builder.files.room import FREE_ROW
from template_builder.files.writer import Book, Page
from template_builder.layout.whole import SET_ON_TAB, STATUS_TAB
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
from template_builder.live.ewe_block import EWES
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS
from template_builder.live.live_writer import LiveWriter
from template_builder.live.plan_page import write_plan
from template_builder.live.set_on import ROOM, SPARE
from template_builder.live.status import EWE_STATUS
from template_builder.live.tonight_page import write_tonight
from template_builder.live.turnout_page import write_turnout

_TOP = {block.sheet.id: block.top for block in BLOCKS}
_GAP = 3.0
_LOCKED = look.PLAIN.with_(locked=True)


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
    write_status(writer)
    write_turnout(writer, by_tally_alone=by_tally_alone)
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


def write_status(writer: LiveWriter) -> None:
    """The tab Ewe status: a line for each row of Ewes."""
    page = writer.page(STATUS_TAB, "", "")
    page.text(1, EWE_STATUS.places["ewe"], "Ewe status: where each ewe stands now", look.TITLE)
    page.text(2, EWE_STATUS.places["ewe"], "In the order of Ewes. Nothing to fill in here. Before a ewe is sent, check the "
              "medicine book: only withdrawals written in this workbook are counted.", look.SUBTITLE)
    writer.shown(page, EWE_STATUS)
    page.freeze(_TOP[EWE_STATUS.id], EWE_STATUS.places["ewe"] + 1)
    above = look.TITLE_HEIGHT + (_TOP[EWE_STATUS.id] - 3) * FREE_ROW
    named = [row for row, name in enumerate(writer.values.get(EWES.id, {}).get("name", ()), start=1) if name != ""]
    writer.print_list(page, EWE_STATUS, max(named, default=0), writer.scale(EWE_STATUS), above=above)
