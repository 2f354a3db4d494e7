"""The sheets to print and write on with a pencil: their own tabs at the end of the season workbook."""

from collections.abc import Mapping, Sequence

from template_builder.files.writer import Book
from template_builder.layout.columns import Row, Start
from template_builder.layout.sheets.later import WEIGHTS
from template_builder.paper.animals import PaperFlock
from template_builder.paper.counting import write_counts, write_weighing
from template_builder.paper.handling import write_handling
from template_builder.paper.look_up import write_look_up
from template_builder.paper.one_row import write_in_one_row
from template_builder.paper.pen_cards import write_pen_cards
from template_builder.paper.shed import write_running, write_shed

__all__ = ["write_printed"]


def write_printed(book: Book, rows: Mapping[str, Sequence[Row]], title: str, start: Start) -> None:
    """Write the paper sheets a flock can use: counts for its groups; with ewes the others, those of each lambing not outdoors."""
    flock = PaperFlock.of(rows)
    if flock.ewes:
        _write_ewes(book, flock, title, start)
    if flock.ewes or flock.groups:
        write_counts(book, flock, title)
        if WEIGHTS.shown(start):
            write_weighing(book, flock, title)


def _write_ewes(book: Book, flock: PaperFlock, title: str, start: Start) -> None:
    if start is Start.SIMPLE:
        write_in_one_row(book, flock, title)
    elif start is Start.INDOORS or flock.lines:  # a day book is written at each lambing, wherever the ewes are
        write_shed(book, flock, title)
        write_running(book, flock, title)
    write_look_up(book, flock, title)
    if start is Start.INDOORS:
        write_pen_cards(book, flock, title)
    write_handling(book, flock, title)
