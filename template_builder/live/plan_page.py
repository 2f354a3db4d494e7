"""The tab Plan as people see it, and as it is printed: what falls due, what to have ready, and the ewes, a page each at least."""

from template_builder.files import look
from template_builder.layout.whole import PLAN_TAB
from template_builder.live.ewe_block import EWES
from template_builder.live.live_writer import LiveWriter
from template_builder.live.plan import (
    AHEAD_TOP,
    CALENDAR,
    CALENDAR_TOP,
    FEEDING,
    FEEDING_TOP,
    LIST_TOP,
    PLAN_HEAD,
    PLAN_TO_SEE_TO,
    PLANNED,
    READY_TOP,
)
from template_builder.live.plan_ahead import AHEAD_HEAD, FORESEEN
from template_builder.live.plan_ready import READY
from template_builder.plan.calendar import COUNTED_BACK

NOTE = f"Change a scan, a due day, Feeding group on Ewes or a day on Season and all of this moves. {COUNTED_BACK}"
_LEADS = 4  # from this row on it speaks of ewes by number
# In points; the blocks share their columns, and the last has the widest.
_HEADINGS = ((FEEDING, 32.0), (CALENDAR, 20.0), (READY, 32.0), (PLANNED, look.HEADING_HEIGHT), (FORESEEN, 32.0))
_LINKS = ((FEEDING.places["title"], LIST_TOP, "To the list of ewes, thin ones with many lambs first"),
          (FEEDING.places["last"], AHEAD_TOP - 1, "To the ewes to plan for"),
          (FEEDING.places["thin"], READY_TOP - 1, "To what to have ready"))
_LOW = 14.25  # points: a row of the lists on the first page
SCALE = 65  # per cent: every line there can be up to the calendar's last on one page, type of 11 points as 7


def write_plan(writer: LiveWriter, *, by_tally_alone: bool = False) -> None:
    """The tab: groups and calendar, what to have ready, and below them the ewes, whose headings stand on each further page.

    Of a flock known by tallies alone only what to have ready is in sight.
    """
    page = writer.page(PLAN_TAB, "", "")
    left = FEEDING.places["title"]
    page.text(1, left, "Plan: before lambing", look.TITLE)
    writer.cell(page, 2, left, PLAN_HEAD, look.SECTION)
    writer.cell(page, 3, left, PLAN_TO_SEE_TO, look.SECTION)
    page.text(_LEADS, left, NOTE, look.SUBTITLE)
    for column, row, words in _LINKS:
        page.link(_LEADS + 1, column, PLAN_TAB, f"D{row}", words, look.LINK)
    writer.cell(page, AHEAD_TOP - 2, left, AHEAD_HEAD, look.SECTION)
    for sheet, height in _HEADINGS:
        writer.shown(page, sheet, ruled=False, heading=height)
    if by_tally_alone:
        for row in (*range(_LEADS, READY_TOP - 1), *range(READY_TOP + READY.rows, LIST_TOP + writer.last_rows[PLANNED.rows_of])):
            page.height(row, look.ROW_HEIGHT, hidden=True)
        return
    for top, sheet in ((FEEDING_TOP, FEEDING), (CALENDAR_TOP, CALENDAR)):
        for row in range(top, top + sheet.rows):
            page.height(row, _LOW)
    for row in (READY_TOP - 1, LIST_TOP - 1):  # each list that may become longer ends a page
        page.page_break(row)
    writer.print_list(page, PLANNED, _ewes(writer), min(SCALE, writer.scale(*(sheet for sheet, _ in _HEADINGS))))


def _ewes(writer: LiveWriter) -> int:
    """How many ewes the list may come to have: those in lamb, and those here that nobody has scanned."""
    listed = sum(key != "" for key in writer.values.get(PLANNED.id, {}).get("key", ()))
    ewes = writer.values.get(EWES.id, {})
    facts = zip(*(ewes.get(id, ()) for id in ("first", "gone", "scanned")), strict=False)  # all there: asked where written
    unscanned = sum((1, 0, "") == fact for fact in facts)
    return listed + unscanned
