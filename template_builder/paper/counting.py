"""Counts through a gate and weighings, to write down where they are made."""

from template_builder.files.look import PRINT_ROW_HEIGHT
from template_builder.files.writer import Book
from template_builder.layout.paper_tabs import COUNTING, WEIGHING
from template_builder.paper.animals import PaperFlock, PaperLamb
from template_builder.paper.pages import (
    MIDDLE_SMALL,
    REST,
    WORDS,
    Paper,
    PaperColumn,
    asked,
    filled,
    name_pixels,
    text_pixels,
    to_fill_in,
)
from template_builder.paper.side_by_side import LISTED, Lists, set_out, shaded

SPARE_COUNTS = 6  # at least; then what is left of the page
EMPTY_LINES = 30  # of each list to weigh, where no lamb is known by name: two pages; print more where needed
_ANIMAL_TO_WRITE, _NOTES_AT_LEAST, _WIDEST_GROUP = 100, 90, 300  # pixels
ON_THE_HEAD = ("weights.date", "weights.occasion")  # the same for all animals of a sheet
_WEIGHING_NOTE = f"{to_fill_in(ON_THE_HEAD)}   Animal: a lamb's tag, a lamb as 1042-2, or a ewe."


def count_columns(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The columns of Counts, groups as wide as their names."""
    group = text_pixels(flock.groups, least=150, most=_WIDEST_GROUP)
    widths = {"date": 110, "group": group, "stage": 100, "lambs": 90, "ewes": 90, "notes": REST}
    return filled(asked(f"counts.{column}", pixels) for column, pixels in widths.items())


def write_counts(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the sheet: a line for each group and stage not counted yet, the rest of the page to spare."""
    paper = Paper(book, COUNTING, count_columns(flock), footer=footer,
                  note="Heads through a gate. Write what you counted, even where it does not agree with the book.")
    paper.headings()
    for group, stage in flock.counts:
        row = paper.line()
        paper.cell(row, 2, group, WORDS)
        paper.cell(row, 3, stage.label, WORDS)
    paper.rest_of_page(least=SPARE_COUNTS)
    paper.finish()


def one_list(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The columns of one list of a weighing."""
    return (
        asked("weights.animal", name_pixels((lamb.name for lamb in flock.lambs), least=_ANIMAL_TO_WRITE)), asked("ewes.mark", 60),
        asked("weights.kg", 56, unit=flock.unit), asked("weights.notes", REST),
    )


def write_weighing(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the lambs that are here in mark order; where none is known by name, empty lines."""
    columns, lists = set_out(one_list(flock), _NOTES_AT_LEAST)
    paper = Paper(book, WEIGHING, columns, note=_WEIGHING_NOTE, footer=footer, cells=shaded(columns, lists))
    paper.headings()

    def lamb(row: int, before: int, lamb: PaperLamb) -> None:
        paper.name(row, before + 1, lamb.name, LISTED)
        paper.cell(row, before + 2, lamb.mark, MIDDLE_SMALL)

    Lists(paper, lists, lamb, lambda _: PRINT_ROW_HEIGHT).add(flock.lambs)
    paper.rest_of_page(LISTED, least=0 if flock.lambs else EMPTY_LINES)
    paper.finish()
