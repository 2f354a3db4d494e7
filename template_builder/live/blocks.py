"""Where every block of formulas stands, and the names by which formulas find cells: all derived from the declarations."""

from collections.abc import Container, Iterable, Iterator, Mapping
from typing import NamedTuple

from template_builder.layout.alerts import ALERTS, URGENCIES
from template_builder.layout.columns import Column, Sheet
from template_builder.layout.whole import (
    FIRST_ROW,
    PLAN_TAB,
    PROGRESS_TAB,
    SET_ON_TAB,
    SHEET,
    STATUS_TAB,
    TONIGHT_TAB,
    TURNOUT_TAB,
    list_name,
)
from template_builder.live.below import ALL, ALL_BELOW, BELOW, LAST_AND_BELOW, LOOKED_AT
from template_builder.live.cases import GOING_ROUND
from template_builder.live.columns import LiveCell, LiveSheet, names_in
from template_builder.live.evaluator.grammar import NotInTheLanguage
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.ewe_block import EWES
from template_builder.live.ewe_facts import ABORTED_LOOKS
from template_builder.live.flock_alarm import ALARMS
from template_builder.live.flock_alarm import BEHIND as BEHIND_THE_ALARMS
from template_builder.live.laid import ASTRAY, HOW_MANY
from template_builder.live.lamb_block import LAMB_LINKS
from template_builder.live.look_up import ANSWER, ASKED, CALLS, IDENTITY, LINKS, LOOK_UP
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
from template_builder.live.plan_ahead import AHEAD, AHEAD_CELLS, AHEAD_HEAD, FORESEEN, PAIRS
from template_builder.live.plan_block import LITTERS, PLAN, PLAN_CELLS, TO_DO, WEEK_BY_WEEK
from template_builder.live.plan_ready import COUNTS, READY, READY_CELLS, SIZES
from template_builder.live.progress import BY_DAY, BY_SIZE, FIRST_SHOWN, TOTALS
from template_builder.live.row_links import CHECKS, GROUPS, LAMBING_LINKS, TREATMENTS
from template_builder.live.set_on import ROOM, SPARE
from template_builder.live.settings_cells import CELLS, NOW
from template_builder.live.status import EWE_STATUS
from template_builder.live.tonight import LEFT_FOR_LATER, NOT_LISTED, TO_LOOK_AT, TONIGHT, TONIGHT_HEAD
from template_builder.live.turnout import (
    BY_COUNT,
    BY_EWE,
    BY_EWE_TOP,
    BY_GROUP_TOP,
    COUNTED,
    IN_GROUPS,
    OUT,
    TURNOUT_CELLS,
    TURNOUT_HEAD,
)

CELLS_TAB, ALERTS_TAB = "_live", "_alerts"
TOP = 5  # all blocks begin in the same row
TONIGHT_TOP = 13  # but tonight's list, which stands below the look-up
BY_DAY_TAB = f"_{BY_DAY.id}"


class Block(NamedTuple):
    """A block of formulas on its tab; the first of its rows is `top`."""

    sheet: LiveSheet
    tab: str
    top: int


_BEHIND = (EWES, LAMB_LINKS, LAMBING_LINKS, CHECKS, TREATMENTS, GROUPS, ASTRAY, PLAN, WEEK_BY_WEEK, LITTERS, TO_DO, SIZES, COUNTS,
           AHEAD, PAIRS, GOING_ROUND, ALARMS, OUT, COUNTED, BY_COUNT, BY_DAY)
HIDDEN = tuple(Block(sheet, f"_{sheet.id}", TOP) for sheet in _BEHIND)
SHOWN = (
    Block(TONIGHT, TONIGHT_TAB, TONIGHT_TOP),
    Block(ROOM, SET_ON_TAB, TOP), Block(SPARE, SET_ON_TAB, TOP), Block(EWE_STATUS, STATUS_TAB, TOP),
    Block(BY_SIZE, PROGRESS_TAB, TOP),
    Block(BY_EWE, TURNOUT_TAB, BY_EWE_TOP), Block(IN_GROUPS, TURNOUT_TAB, BY_GROUP_TOP),
    Block(FEEDING, PLAN_TAB, FEEDING_TOP), Block(READY, PLAN_TAB, READY_TOP), Block(CALENDAR, PLAN_TAB, CALENDAR_TOP),
    Block(FORESEEN, PLAN_TAB, AHEAD_TOP), Block(PLANNED, PLAN_TAB, LIST_TOP),
)
BLOCKS = (*HIDDEN, *SHOWN)
HIDDEN_CELLS = (
    *CELLS, *HOW_MANY, ABORTED_LOOKS, *BELOW, ALL_BELOW, FIRST_SHOWN, TO_LOOK_AT, LEFT_FOR_LATER, *IDENTITY, *PLAN_CELLS,
    *READY_CELLS, *AHEAD_CELLS, *TURNOUT_CELLS, *BEHIND_THE_ALARMS,
)
SINGLE_CELLS: tuple[LiveCell, ...] = (
    NOW, PLAN_HEAD, PLAN_TO_SEE_TO, AHEAD_HEAD, TURNOUT_HEAD, TONIGHT_HEAD, NOT_LISTED, ANSWER, *LOOK_UP, *LINKS, CALLS,
    *HIDDEN_CELLS,
    *(cell for _, cells in TOTALS for cell in cells),
)

Range = tuple[str, tuple[int, int], tuple[int, int]]


def all_formulas() -> Iterator[str]:
    """Every formula once, with {row} for the row of the cells beside it."""
    yield from (cell.formula for cell in SINGLE_CELLS)
    yield from (block.sheet.formula(column) for block in BLOCKS for column in block.sheet.columns if column.formula)


def rows_in(block: Block, last_rows: Mapping[str, int]) -> int:
    """How many rows a block has: one for each row of its entry sheet, spare rows too."""
    return block.sheet.rows or last_rows[block.sheet.rows_of] - FIRST_ROW + 1


def ranges(last_rows: Mapping[str, int], day_books: Container[str] = ()) -> Iterator[tuple[str, Range]]:
    """Every name that formulas use, with its cells.

    `last_rows` are the last rows of the entry sheets by id; `day_books` those whose line number stands in the first column.
    """
    used = names_in(all_formulas())
    found = dict([*_entry_ranges(last_rows, day_books), *_live_ranges(last_rows), *_alert_ranges()])
    yield from ((name, cells) for name, cells in found.items() if name in used)


def _entry_ranges(last_rows: Mapping[str, int], day_books: Container[str]) -> Iterator[tuple[str, Range]]:
    for id, last in last_rows.items():
        sheet = SHEET[id]
        for number, column in enumerate(sheet.arranged(day_book=id in day_books), start=1):
            yield range_name(sheet, column), (sheet.title, (FIRST_ROW, number), (last, number))
        yield f"{id}_{ALL}", (sheet.title, (FIRST_ROW, 1), (last, len(sheet.columns)))
        yield f"{id}_{LAST_AND_BELOW}", (sheet.title, (last, 1), (last + LOOKED_AT, len(sheet.columns)))


def range_name(sheet: Sheet, column: Column) -> str:
    """The name of the rows of a column that people fill in: "lambing_ewe"."""
    return f"{sheet.id}_{column.id}"


def _live_ranges(last_rows: Mapping[str, int]) -> Iterator[tuple[str, Range]]:
    for block in BLOCKS:
        last = block.top + rows_in(block, last_rows) - 1
        for id, number in block.sheet.places.items():
            yield block.sheet.name(id), (block.tab, (block.top, number), (last, number))
        if block.sheet is EWES:
            first, *_, end = (EWES.places[raised_id(alert)] for alert in ALERTS)
            yield EWES.name("alerts"), (block.tab, (block.top, first), (last, end))


def _alert_ranges() -> Iterator[tuple[str, Range]]:
    for number, name in enumerate(alert_words(), start=1):
        yield name, (ALERTS_TAB, (1, number), (len(ALERTS), number))


def alert_words() -> dict[str, list[str]]:
    """What formulas take from each alert in words, by the name of its column: title, urgency and first step."""
    words = [
        (alert.title, URGENCIES[alert.urgency], alert.first_step) for alert in ALERTS
    ]
    names = (f"live_alerts_{id}" for id in ("title", "urgency", "step"))
    return {name: list(column) for name, column in zip(names, zip(*words, strict=True), strict=True)}


def unknown_names(formulas: Iterable[str]) -> set[str]:
    """The names in these formulas under which nothing stands."""
    entry = {name for name, _ in _entry_ranges(dict.fromkeys(SHEET, FIRST_ROW), ())}
    lists = {list_name(column) for sheet in SHEET.values() for column in sheet if column.choices}
    live = {block.sheet.name(id) for block in BLOCKS for id in block.sheet.places} | {cell.name for cell in SINGLE_CELLS}
    return names_in(formulas) - entry - lists - live - {EWES.name("alerts"), ASKED, *alert_words()}


if unknown := unknown_names(all_formulas()):
    raise NotInTheLanguage(f"live formulas look at names under which nothing stands: {sorted(unknown)}")
