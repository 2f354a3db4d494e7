"""The tab Turnout as people see it."""

from template_builder.files import look
from template_builder.layout.whole import TURNOUT_TAB
from template_builder.live.live_writer import LiveWriter
from template_builder.live.turnout import BY_EWE, BY_EWE_TOP, BY_GROUP_TOP, IN_GROUPS, TURNOUT_HEAD
from template_builder.plan.turnout import LITTERS

NOTE = ("Ewes with as many lambs of like age go out together: feed, handling and weighing then suit all of them. Common "
        "practice; fields, weather and your adviser decide.")
OF_COUNTS = ("Groups recorded by counts only: how many can have two lambs or more, from the last count before weaning; no ewe "
             "has more than she was scanned with. As scanned, where lambs have died there are fewer.")
_HEAD = 2  # from this row on it speaks of ewes by number


def write_turnout(writer: LiveWriter, *, by_tally_alone: bool = False) -> None:
    """The tab: ewes by lambs at their side and age, and below them groups known by their counts.

    Of a flock known by tallies alone only those are in sight.
    """
    page = writer.page(TURNOUT_TAB, "", "")
    left = BY_EWE.places["words"]
    page.text(1, left, "Turnout: who goes out together", look.TITLE)
    writer.cell(page, _HEAD, left, TURNOUT_HEAD, look.SECTION)
    page.text(3, left, NOTE, look.SUBTITLE)
    writer.shown(page, BY_EWE)
    for row, words in enumerate(LITTERS, start=BY_EWE_TOP):
        page.text(row, left, words, look.STRONG.with_(locked=True, align="left", indent=1))
    page.text(BY_GROUP_TOP - 2, left, OF_COUNTS, look.SUBTITLE)
    writer.shown(page, IN_GROUPS, ruled=False)
    for row in range(_HEAD, BY_GROUP_TOP - 2) if by_tally_alone else ():
        page.height(row, look.ROW_HEIGHT, hidden=True)
    page.print_setup(footer=writer.footer, one_page_wide=True)
