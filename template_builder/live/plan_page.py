"""The tab Plan as people see it."""

from template_builder.files import look
from template_builder.layout.whole import PLAN_TAB
from template_builder.live.live_writer import LiveWriter
from template_builder.live.plan import AHEAD_TOP, CALENDAR, FEEDING, LIST_TOP, PLAN_HEAD, PLAN_TO_SEE_TO, PLANNED, READY_TOP
from template_builder.live.plan_ahead import AHEAD_HEAD, FORESEEN
from template_builder.live.plan_ready import READY
from template_builder.plan.calendar import COUNTED_BACK

NOTE = f"Change a scan, a due day, Feeding group on Ewes or a day on Season and all of this moves. {COUNTED_BACK}"
_LEADS = 4  # from this row on it speaks of ewes by number
# In points; the blocks share their columns, and the last has the widest.
_HEADINGS = ((FEEDING, 32.0), (READY, 32.0), (CALENDAR, 20.0), (PLANNED, look.HEADING_HEIGHT), (FORESEEN, 32.0))


def write_plan(writer: LiveWriter, *, by_tally_alone: bool = False) -> None:
    """The tab: groups, calendar, and below them the ewes, whose headings stand on each further printed page.

    Of a flock known by tallies alone only what to have ready is in sight.
    """
    page = writer.page(PLAN_TAB, "", "")
    left = FEEDING.places["title"]
    page.text(1, left, "Plan: before lambing", look.TITLE)
    writer.cell(page, 2, left, PLAN_HEAD, look.SECTION)
    writer.cell(page, 3, left, PLAN_TO_SEE_TO, look.SECTION)
    page.text(_LEADS, left, NOTE, look.SUBTITLE)
    page.link(5, left, PLAN_TAB, f"D{LIST_TOP}", "To the list of ewes, thin ones with many lambs first", look.LINK)
    page.link(5, FEEDING.places["last"], PLAN_TAB, f"D{AHEAD_TOP}", "To the ewes to plan for", look.LINK)
    writer.cell(page, AHEAD_TOP - 2, left, AHEAD_HEAD, look.SECTION)
    for sheet, height in _HEADINGS:
        writer.shown(page, sheet, ruled=False, heading=height)
    if by_tally_alone:
        for row in (*range(_LEADS, READY_TOP - 1), *range(READY_TOP + READY.rows, LIST_TOP + writer.last_rows[PLANNED.rows_of])):
            page.height(row, look.ROW_HEIGHT, hidden=True)
    page.print_setup(repeat=(LIST_TOP - 1, LIST_TOP - 1), footer=writer.footer, one_page_wide=True)
