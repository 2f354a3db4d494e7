"""The feeding groups, to sort the ewes by in the race, and what falls due before lambing, to hang on the wall."""

from itertools import groupby

from template_builder.files.look import PRINT_ROW_HEIGHT, RULED
from template_builder.files.writer import Book
from template_builder.layout.paper_tabs import FEEDING, WEEKS
from template_builder.layout.words import so_many
from template_builder.paper.animals import PaperFlock, day_of
from template_builder.paper.pages import (
    BLANK,
    MIDDLE,
    MIDDLE_SMALL,
    NAME,
    REST,
    SMALL,
    TICK,
    WORDS,
    Paper,
    PaperColumn,
    asked,
    filled,
    height_for,
    name_pixels,
)
from template_builder.paper.side_by_side import LISTED, Lists, set_out
from template_builder.plan.calendar import COUNTED_BACK, TASKS
from template_builder.plan.feeding import Fed, FeedingGroup, FeedingPlan

_NAME_AT_LEAST, _SEE_TO_AT_LEAST, _TITLE_PIXELS = 50, 84, 230  # pixels
_TITLE = NAME.with_(border="")
_TOLD = SMALL.with_(border="", indent=0)
_WEEK_STYLES = (MIDDLE.with_(bold=True), MIDDLE, WORDS, WORDS, MIDDLE, MIDDLE, WORDS)
_NOTE = "As on Plan. Tick a ewe when she is marked or sorted into her group."

WEEK_COLUMNS = filled((
    PaperColumn("Week of", 90), PaperColumn("Due on", 100), PaperColumn("What falls due", 366), PaperColumn("Feeding group", 190),
    PaperColumn("Ewes", 56), PaperColumn("Done", 56), PaperColumn("Notes", REST),
))


def one_list(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The columns of one list; two stand side by side where the numbers leave room."""
    names = (ewe.name for group in flock.feeding.groups for ewe in group.ewes)
    return (
        PaperColumn("", 26), asked("ewes.ewe", name_pixels(names, least=_NAME_AT_LEAST)), asked("ewes.scanned", 50),
        asked("ewes.due", 46), asked("ewes.mark", 54), PaperColumn("Group, pen", 70), PaperColumn("Condition", 56),
        PaperColumn("To see to", REST),
    )


def write_feeding(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the groups one after the other; one that does not fit below another begins on a page of its own."""
    plan = flock.feeding
    columns, lists = set_out(one_list(flock), _SEE_TO_AT_LEAST)
    one = len(columns) // lists
    paper = Paper(book, FEEDING, columns, note=_NOTE, footer=footer,
                  cells=[LISTED if number % one == 1 else RULED for number in range(len(columns))])
    paper.headings()
    where, see_to = columns[one - 3].characters, columns[one - 1].characters
    listed: Lists[Fed] = Lists(
        paper, lists, lambda row, before, ewe: _ewe(paper, plan, ewe, row, before),
        lambda ewe: max(height_for(ewe.where, where), height_for(plan.to_see_to(ewe), see_to)))
    for group in plan.groups:
        _heading(paper, plan, group, -(-len(group.ewes) // lists))
        listed.add(group.ewes)
    paper.finish()


def _ewe(paper: Paper, plan: FeedingPlan, ewe: Fed, row: int, before: int) -> None:
    due = day_of(ewe.in_lamb.due) if ewe.in_lamb.due else ""
    condition = "" if ewe.condition is None else f"{ewe.condition:g}"
    paper.cell(row, before + 1, TICK, MIDDLE)
    paper.name(row, before + 2, ewe.name, LISTED)
    told = (f"{ewe.in_lamb.scanned}", due, ewe.mark, ewe.where, condition)
    styles = (MIDDLE, MIDDLE, MIDDLE_SMALL, MIDDLE_SMALL, MIDDLE)
    for column, (text, style) in enumerate(zip(told, styles, strict=True), start=before + 3):
        paper.cell(row, column, text, style)
    pressing = plan.thin(ewe) or plan.fat(ewe)
    paper.cell(row, before + 3 + len(told), plan.to_see_to(ewe), SMALL.with_(bold=pressing))


def _heading(paper: Paper, plan: FeedingPlan, group: FeedingGroup, rows: int) -> None:
    """The name of a group over its rows, and beside it how many they are and by what mark they are known."""
    pixels = [sum(column.pixels for column in paper.columns[:number]) for number in range(1, len(paper.columns) + 1)]
    split = next(number for number, wide in enumerate(pixels, start=1) if wide >= _TITLE_PIXELS)
    told = " ".join((_told(plan, group), mark_of(plan, group)))
    height = height_for(told, sum(paper.widths[split:]), PRINT_ROW_HEIGHT)
    needed = height + rows * PRINT_ROW_HEIGHT
    if paper.used > paper.top and needed > paper.room:
        paper.new_page()
    row = paper.line(height)
    paper.page.across(row, 1, split, group.title, _TITLE)
    paper.page.across(row, split + 1, len(paper.widths), told, _TOLD)


def _told(plan: FeedingPlan, group: FeedingGroup) -> str:
    """How many ewes and lambs, when they are due, and how many to see to."""
    counts = f"{so_many(len(group.ewes), 'ewe')}, {so_many(group.lambs, 'lamb')} scanned"
    if group.first and group.last:
        counts += f", due {day_of(group.first)} to {day_of(group.last)}" if group.first != group.last else (
            f", due {'from ' if len(group.ewes) > 1 else ''}{day_of(group.first)}")
    thin, fat = sum(map(plan.thin, group.ewes)), sum(map(plan.fat, group.ewes))
    more = [*([f"{thin} thin"] if thin else []), *([f"{fat} fat with a single"] if fat else [])]
    return f"{counts}{'; ' if more else ''}{', '.join(more)}."


def mark_of(plan: FeedingPlan, group: FeedingGroup) -> str:
    """The mark that tells a group from the others; where there is none, those its ewes bear and room to write a new one."""
    others = {mark for other in plan.groups if other is not group for mark in other.marks}
    mark, *more = group.marks
    if mark and not more and mark not in others:
        return f"Mark: {mark}."
    borne = ", ".join(f"{mark or 'none'} {ewes}" for mark, ewes in group.marks.items())
    return f"{f'Marks: {borne}. ' if any(group.marks) else ''}Mark for this group: {BLANK}"


def write_weeks(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write what falls due by day, a box beside each; a strong line stands where a week begins."""
    paper = Paper(book, WEEKS, WEEK_COLUMNS, note=f"{COUNTED_BACK} Ewes: how many of each group.", footer=footer)
    paper.headings()
    for number, (week, falls_due) in enumerate(groupby(flock.feeding.due, key=lambda due: due.week)):
        for place, due in enumerate(falls_due):
            row, ruled = paper.line(), bool(number) and place == 0
            texts = ("" if place else day_of(week), f"{due.on:%a} {day_of(due.on)}", TASKS[due.task], due.group, str(due.ewes),
                     TICK, "")
            for column, (text, style) in enumerate(zip(texts, _WEEK_STYLES, strict=True), start=1):
                paper.cell(row, column, text, style.with_(rule_above=ruled))
    paper.finish()
