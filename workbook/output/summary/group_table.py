"""The accounts of the groups as a table: scanned, marked, weaned and what was lost between."""

from collections.abc import Sequence

from template_builder.files.look import STRONG, TALLY
from template_builder.files.room import FREE_ROW
from template_builder.files.tab import Cell, Head, Shown, Tab
from workbook.output.summary.places import Places
from workbook.results.litters.figures import LOST_LINES
from workbook.results.litters.group_account import GroupAccount
from workbook.results.pipeline import Result

TITLE = "By group"
NOTE = ("Lambs scanned and more = marked + lost + sold + moved, and the same from marking to weaning. Moved are lambs on the "
        "bottle or with another group, less those that came. Lost by marking are all scanned lambs not there: aborted, born "
        "dead, lost with their ewe, died, or never found.")
BY_COUNT = ("Known by counts only, and in no line of the account above and no table per ewe: {groups}. Headline figures say "
            "where these groups are taken in.")

NETTED = ("Losses by group are net of lambs nobody scanned and of strays, and leave out lambs on the bottle and of ewes in no "
          "group: {here} here, {account} in the account above.")

# Heading -> the line, or the lines whose sum stands there.
COLUMNS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Ewes to the ram", ("ewes_to_ram",)),
    ("Lambs scanned", ("scanned",)),
    ("Marked", ("marked",)),
    ("Lost by marking", ("lost_to_marking",)),
    ("Weaned", ("weaned",)),
    ("Lost to weaning", ("lost_to_weaning",)),
    ("Sold", ("sold_to_marking", "sold_to_weaning")),
    ("Moved", ("moved_by_marking", "moved_by_weaning")),
    ("More", ("more_at_marking", "more_at_weaning")),
)


def write_groups(tab: Tab, result: Result, places: Places) -> None:
    """The section, left out where there are no groups. A number not known stays blank."""
    if not result.groups:
        return
    by_count = [group.group for group in result.groups if group.by_count]
    heads = [Head("Group", STRONG), Head("How recorded"), *(Head(title, TALLY) for title, _ in COLUMNS)]
    apart = f" {BY_COUNT.format(groups=', '.join(by_count))}" if by_count and not result.by_counts_alone else ""
    apart += f" {words}" if (words := netted_words(result)) else ""
    with tab.kept_together():
        tab.section(TITLE, f"{NOTE}{apart}")
        tab.table(heads, [_row(group, places) for group in result.groups])
        tab.free(FREE_ROW / 2)
        for group in result.groups:
            tab.prose(f"{group.group}: {group.words}")


def netted_words(result: Result) -> str:
    """Why the groups with a book have lost fewer here than the account says; nothing where they have not."""
    lost = [group.lost for group in result.groups if not group.by_count]
    here, account = sum(filter(None, lost)), result.account.total(*LOST_LINES)
    return NETTED.format(here=here, account=account) if None not in lost and here < account else ""


def _row(group: GroupAccount, places: Places) -> Sequence[Shown]:
    return [
        Cell(group.group, link=places.link(group.place)), group.how_recorded or "each lamb",
        *(_number(group, lines) for _, lines in COLUMNS),
    ]


def _number(group: GroupAccount, lines: Sequence[str]) -> Cell:
    known = [number for line in lines if (number := group.lines[line]) is not None]
    return Cell(sum(known) if known else None)
