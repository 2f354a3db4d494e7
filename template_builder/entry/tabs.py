"""The tabs of a season workbook: their order, what each is for, and which a flock has no use for."""

from collections.abc import Mapping, Sequence

from template_builder.files.look import TAB_READ, TAB_SET_UP, TAB_WRITE
from template_builder.files.writer import Book
from template_builder.layout.columns import Row, Start
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.ewes import EWES
from template_builder.layout.sheets.flock import GROUPS, POLICY, SEASON
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.sheets.later import ANSWERS, COUNTS, EWE_CHECK, TREATMENTS, WEIGHTS
from template_builder.layout.whole import (
    GUIDE_TAB,
    PLAN_TAB,
    PROGRESS_TAB,
    SET_ON_TAB,
    STATUS_TAB,
    TONIGHT_TAB,
    TURNOUT_TAB,
)

# In this order, each in the colour of what it is for.
TABS: Mapping[str, str] = {
    TONIGHT_TAB: TAB_READ,
    LAMBING.title: TAB_WRITE, LAMBS.title: TAB_WRITE,
    SET_ON_TAB: TAB_READ, STATUS_TAB: TAB_READ, PROGRESS_TAB: TAB_READ,
    TURNOUT_TAB: TAB_READ,
    COUNTS.title: TAB_WRITE, WEIGHTS.title: TAB_WRITE, EWE_CHECK.title: TAB_WRITE, TREATMENTS.title: TAB_WRITE,
    PLAN_TAB: TAB_READ,
    EWES.title: TAB_SET_UP, GROUPS.title: TAB_SET_UP, SEASON.title: TAB_SET_UP, POLICY.title: TAB_SET_UP,
    GUIDE_TAB: TAB_READ, ANSWERS.title: TAB_READ,
}
# What speaks of ewes by their numbers: nothing for a flock known by a tally alone.
BY_NUMBER = (
    TONIGHT_TAB, LAMBING.title, LAMBS.title, SET_ON_TAB, STATUS_TAB, PROGRESS_TAB, WEIGHTS.title, EWE_CHECK.title, EWES.title,
    POLICY.title,
)


def out_of_sight(rows: Mapping[str, Sequence[Row]], start: Start, *, forecast: bool = False) -> frozenset[str]:
    """The tabs such a flock has no use for. They are hidden, not left out: whoever unhides one finds it ready.

    Progress of a flock known by a tally alone has something to say where there is a `forecast`. Indoors lambs are matched to
    ewes one by one, on Set on; who lambs outdoors or counts sorts whole groups, on Turnout.
    """
    unused = {sheet.title for sheet in SHEETS if not sheet.shown(start)}
    in_lamb = any(isinstance(scanned := row.get("scanned"), int) and scanned > 0 for row in rows.get(EWES.id, ()))
    if not in_lamb and not by_tally_alone(rows):
        unused.add(PLAN_TAB)
    unused.add(TURNOUT_TAB if start is Start.INDOORS and not by_tally_alone(rows) else SET_ON_TAB)
    if not rows.get(ANSWERS.id):
        unused.add(ANSWERS.title)
    unused |= set(BY_NUMBER if by_tally_alone(rows) else ()) - {PROGRESS_TAB if forecast else ""}
    return frozenset(unused)


def by_tally_alone(rows: Mapping[str, Sequence[Row]]) -> bool:
    """Whether the flock is known by the tallies of its groups, and no ewe by her number."""
    tallied = any(value is not None for row in rows.get(GROUPS.id, ()) for key, value in row.items() if key.startswith("tally_"))
    return tallied and not rows.get(EWES.id)


def finish(book: Book, hidden: frozenset[str]) -> None:
    """Colour the tabs, hide those of no use, and open on Tonight, or the guide where there is no ewe to look up."""
    opened = GUIDE_TAB if TONIGHT_TAB in hidden else TONIGHT_TAB
    for page in book.pages:
        if page.title in TABS:
            page.raw.set_tab_color(TABS[page.title])
        if page.title in hidden:
            page.hide()
        if page.title == opened:
            page.open_here()
