"""The file to print and write on with a pencil: what is still to come of a season, a tab for each kind of sheet."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

from template_builder.files.progress import Tell, silent
from template_builder.files.told import Told
from template_builder.files.writer import Book, new_book
from template_builder.layout.columns import Start
from template_builder.layout.sheets.later import WEIGHTS
from template_builder.layout.words import shown
from template_builder.paper.animals import PaperFlock
from template_builder.paper.counting import write_counts, write_weighing
from template_builder.paper.feeding import write_feeding, write_weeks
from template_builder.paper.handling import write_handling
from template_builder.paper.look_up import write_look_up
from template_builder.paper.one_row import write_running_in_one_row, write_shed_in_one_row
from template_builder.paper.pen_cards import write_pen_cards
from template_builder.paper.shed import write_running, write_shed
from template_builder.paper.tonight import write_tonight

__all__ = ["NothingToPrint", "anything_to_print", "write_paper"]

Write = Callable[[Book, PaperFlock, str], None]


class NothingToPrint(Told):
    """A season without ewes and groups; the sentence says what to do."""


def anything_to_print(flock: PaperFlock, start: Start) -> bool:
    """Whether a flock has any use for paper yet."""
    return next(_sheets(flock, start), None) is not None


def write_paper(
    path: Path, flock: PaperFlock, title: str, start: Start, moment: date | None = None, *, force: bool = False,
    tell: Tell = silent,
) -> None:
    """Write what a flock can use; each page prints the title and the moment. NothingToPrint, WriteError."""
    sheets = list(_sheets(flock, start))
    if not sheets:
        raise NothingToPrint(f"{path.name}: there is nothing to print: no ewes on Ewes and no groups on Groups.")
    footer = f"{title}, as of {shown(moment)}" if moment else title
    with new_book(path, title=f"{title}: to print", force=force, tell=tell) as book:
        for write in sheets:
            write(book, flock, footer)


def _sheets(flock: PaperFlock, start: Start) -> Iterator[Write]:
    """What there is a use for, in the order of the tabs: a flock known by its counts has no ewes, one outdoors no pens."""
    if flock.feeding.groups:
        yield write_feeding
    if flock.feeding.due:
        yield write_weeks
    if flock.tonight:
        yield write_tonight
    yield from _at_lambing(flock, start)
    if flock.ewes:
        yield write_look_up
    if flock.to_lamb and start is Start.INDOORS:
        yield write_pen_cards
    if flock.ewes:
        yield write_handling
    if flock.ewes or flock.groups:
        yield write_counts
        if WEIGHTS.shown(start):
            yield write_weighing


def _at_lambing(flock: PaperFlock, start: Start) -> Iterator[Write]:
    """A day book is written at each lambing, wherever the ewes are; the other sheets only indoors, or in one row."""
    day_book = flock.lines is not None
    if start is Start.OUTDOORS and not day_book:
        return
    simple = start is Start.SIMPLE
    if flock.to_lamb and not day_book:
        yield write_shed_in_one_row if simple else lambda book, flock, footer: write_shed(book, flock, footer, start)
    if flock.to_lamb or flock.lines:
        yield write_running_in_one_row if simple else lambda book, flock, footer: write_running(book, flock, footer, start)
