"""The page Tonight: the look-up of a ewe, whom to call, cautions, and below them the flock's alarms and who needs a look."""

from template_builder.files import look
from template_builder.files.writer import Page
from template_builder.layout.cautions import AT_A_GLANCE
from template_builder.layout.whole import TONIGHT_TAB
from template_builder.live.blocks import TONIGHT_TOP
from template_builder.live.live_writer import LiveWriter
from template_builder.live.look_up import ANSWER, ASKED, CALLS, LINKS, LOOK_UP
from template_builder.live.settings_cells import NOW
from template_builder.live.tonight import NOT_LISTED, SIZE_TOLD, TONIGHT, TONIGHT_HEAD

TOLD_LINES, LINE_POINTS = 2, 11.5
_WHOM_SHORT, _WHOM_WIDER = 5, 6.2  # where a number is longer, the column is wider
_FACT = look.PLAIN.with_(size=SIZE_TOLD, wrap=True, valign="top", locked=True)
_FACT_LABEL = look.PLAIN.with_(size=SIZE_TOLD, colour=look.QUIET, valign="top", locked=True)
_FACT_LINK = _FACT.with_(colour=look.LINK.colour, underline=True)
_LINES = {"look_up_lambed": 2, "look_up_trouble": 2}  # texts that take more than one
_ASK_SIZE = 14
_ASK_HEIGHT, _ANSWER_HEIGHT, _HEAD_HEIGHT = 20.0, 15.0, 15.0
_LABEL, _VALUE = TONIGHT.places["whom"], TONIGHT.places["told"]


def write_tonight(writer: LiveWriter) -> None:
    """The look-up, whom to call, the cautions, the list: three columns, as wide as a phone."""
    page = writer.page(TONIGHT_TAB, TONIGHT_TAB, "")
    _ask(writer, page)
    row = 3
    for cell in (*LOOK_UP, CALLS):
        page.text(row, _LABEL, cell.words, _FACT_LABEL)
        writer.cell(page, row, _VALUE, cell, _FACT)
        page.height(row, LINE_POINTS * _LINES.get(cell.id, 1))
        row += 1
    for place, link in zip((_LABEL, _VALUE), LINKS, strict=True):
        writer.cell(page, row, place, link, _FACT_LINK.with_(wrap=place == _VALUE))
    page.text(row + 1, _LABEL, AT_A_GLANCE, look.SMALL.with_(colour=look.INK, bold=True))
    for below in (row, row + 1):
        page.height(below, LINE_POINTS)
    _listed(writer, page)
    below = TONIGHT_TOP + TONIGHT.rows
    writer.cell(page, below, _VALUE, NOT_LISTED, look.PAPER_NOTE)
    page.height(below, 4 * LINE_POINTS)
    writer.cell(page, below + 1, _VALUE, NOW, look.SMALL.with_(number_format=look.AS_OF_FORMAT, align="left"))
    page.day_alone((below + 1, _VALUE), (below + 1, _VALUE), look.AS_OF_DAY_FORMAT)
    # A ewe is looked up on the screen: without her the list stands on one page, its type nearly as large as there.
    page.print_setup(portrait=True, footer=writer.footer, one_page_wide=True, pages_high=1)
    page.print_area((row - 1, _LABEL), (below + 1, _VALUE))


def _ask(writer: LiveWriter, page: Page) -> None:
    """The one cell that takes a number, and under it whose it is."""
    page.blank(1, _VALUE, look.FILL_IN.with_(size=_ASK_SIZE, bold=True, number_format=look.TEXT_FORMAT, align="left"))
    writer.book.define(ASKED, page.title, (1, _VALUE))
    told = {"input_title": "Which ewe?", "input_message": "Her number as on Ewes, or its last digits where one ewe fits."}
    page.validate((1, _VALUE), (1, _VALUE), {"validate": "any", **told})
    writer.cell(page, 2, _LABEL, ANSWER, look.SECTION)
    page.height(1, _ASK_HEIGHT)
    page.height(2, _ANSWER_HEIGHT)


def _listed(writer: LiveWriter, page: Page) -> None:
    writer.shown(page, TONIGHT)
    if writer.longest.get("ewes.ewe", 0) > _WHOM_SHORT:
        page.width(_LABEL, _WHOM_WIDER)
    writer.cell(page, TONIGHT_TOP - 1, _VALUE, TONIGHT_HEAD, look.HEADING)
    page.height(TONIGHT_TOP - 1, _HEAD_HEIGHT)
    for number in range(TONIGHT.rows):
        page.height(TONIGHT_TOP + number, TOLD_LINES * LINE_POINTS)
