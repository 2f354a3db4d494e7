"""The tab Progress: what has come, live, and below it what is coming: the forecast, ewes and pens a day."""

from collections.abc import Mapping, Sequence
from datetime import date

from template_builder.files import look
from template_builder.files.bars import bar_chart
from template_builder.files.tab import Tab
from template_builder.files.writer import Page
from template_builder.forecast.days_chart import days_chart
from template_builder.forecast.page import WIDTHS, Limits, write_days_to_come
from template_builder.forecast.per_day import Forecast
from template_builder.layout.whole import PROGRESS_TAB
from template_builder.live.blocks import BY_DAY_TAB, TOP
from template_builder.live.columns import LiveCell
from template_builder.live.live_writer import LiveWriter
from template_builder.live.progress import BESIDE, BY_DAY, BY_SIZE, DAYS, SIZES, SO_FAR

TITLE = "Progress: what has come, and what is coming"
TOLD = "Counted from the rows laid ready, as written now. Rows below those are read by check and analyse alone."
_FIRST_LIST, _SECOND_LIST = (1, 3), (4, 6)  # the columns of the words and of the numbers
_OVER = look.HEADING.with_(border=look.DEEP, locked=True)  # over three columns as if they were one
_TOTALS_ROW, _BETWEEN = 4, 1  # where the totals begin; free rows between two lists
_SIZES_WIDTH, _SIZES_HEIGHT = 250, 300  # pixels
_COMING_ROW = 28
_DAYS_WIDTH, _DAYS_HEIGHT = 790, 335  # pixels


def write_progress(
    writer: LiveWriter, forecast: Forecast, lambed: Mapping[date, int], limits: Limits, *,
    by_tally_alone: bool = False,
) -> None:
    """Write the tab. `lambed` gives the rows of Lambing by day, `limits` what Season says, both as they stand now.

    A flock known by a tally alone has no ewes to count: of what has come nothing is shown.
    """
    tab = Tab(writer.book, PROGRESS_TAB, WIDTHS, writer.footer)
    tab.title(TITLE, TOLD)
    for lists, columns in ((SO_FAR, _FIRST_LIST), (BESIDE, _SECOND_LIST)):
        _totals(writer, tab.page, lists, columns)
    _by_size(writer, tab.page, drawn=not by_tally_alone)
    for row in range(_TOTALS_ROW - 2, _COMING_ROW) if by_tally_alone else ():
        tab.page.height(row, look.ROW_HEIGHT, hidden=True)
    tab.row = _COMING_ROW
    if forecast.days:
        if not by_tally_alone:
            tab.new_page()
        write_days_to_come(writer.book, tab, forecast, lambed, limits)
    else:
        _days_so_far(writer, tab)
    tab.page.raw.hide_gridlines(2)
    tab.page.protect()


def _totals(
    writer: LiveWriter, page: Page, lists: Sequence[tuple[str, Sequence[LiveCell]]], columns: tuple[int, int],
) -> None:
    """Lists of numbers, one below the other, each number beside what it counts."""
    words, numbers = columns
    row = _TOTALS_ROW
    for heading, cells in lists:
        for column in range(words, numbers + 1):
            page.blank(row, column, _OVER)
        page.text(row, words, heading, _OVER.with_(align="left", wrap=False, indent=1))
        for cell in cells:
            row += 1
            page.text(row, words, cell.words, look.PLAIN.with_(indent=2 if cell.words.startswith("of ") else 1, locked=True))
            writer.cell(page, row, numbers, cell, look.TALLY.with_(indent=1))
        row += _BETWEEN + 1


def _by_size(writer: LiveWriter, page: Page, *, drawn: bool) -> None:
    """Ewes lambed so far by what was scanned: the numbers, and beside them the same as bars."""
    writer.shown(page, BY_SIZE, heading=look.ROW_HEIGHT)
    first, last = TOP, TOP + len(SIZES) - 1
    for row, words in enumerate(SIZES, start=first):
        page.text(row, BY_SIZE.places["size"], words, look.BODY.with_(indent=1, locked=True))
    if not drawn:
        return
    title = "Lambed so far, by lambs scanned"
    chart = bar_chart(writer.book, title, page, (first, last), BY_SIZE.places["size"], series=2)
    page.place(row=last + 2, column=BY_SIZE.first_column, chart=chart, width=_SIZES_WIDTH, height=_SIZES_HEIGHT,
               words=f"{title}: ewes scanned and ewes lambed so far; the numbers stand in the table above it.")


def _days_so_far(writer: LiveWriter, tab: Tab) -> None:
    """Without any date to go by only the days lambed on are drawn; their numbers stand on a hidden tab."""
    title = f"Ewes lambed each day, {DAYS} days"
    chart = days_chart(writer.book, title, BY_DAY_TAB, (TOP, TOP + DAYS - 1), BY_DAY.places["day"],
                       [(BY_DAY.places["lambed"], "Ewes lambed")])
    tab.page.place(tab.row, 1, chart, width=_DAYS_WIDTH, height=_DAYS_HEIGHT,
                   words=f"{title}, from the first lambing; each ewe's day stands on Lambing.")
    tab.page.print_setup(footer=writer.footer, one_page_wide=True)
