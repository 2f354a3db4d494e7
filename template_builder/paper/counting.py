"""Counts through a gate and weighings, to write down where they are made."""

from itertools import chain, repeat

from template_builder.files.look import PRINT_ROW_HEIGHT, RULED
from template_builder.files.writer import Book
from template_builder.layout.choices import Stage
from template_builder.layout.whole import COUNTS_TAB, WEIGHING_TAB
from template_builder.paper.animals import PaperFlock
from template_builder.paper.pages import Paper, PaperColumn, in_unit, to_fill_in

SPARE_COUNTS = 6  # at least; then what is left of the page
WEIGHING_ROWS = 34  # two pages; print more where needed
SIDE_BY_SIDE = 3
COUNTS = (
    PaperColumn("Date", 13, ("counts.date",)),
    PaperColumn("Group", 20, ("counts.group",)),
    PaperColumn("Stage", 12, ("counts.stage",)),
    PaperColumn("Lambs", 10, ("counts.lambs",)),
    PaperColumn("Ewes", 10, ("counts.ewes",)),
    PaperColumn("Counted by", 14),
    PaperColumn("Notes", 32, ("counts.notes",)),
)
_ONE = (
    PaperColumn("Animal", 14, ("weights.animal",)),
    PaperColumn("kg", 8, ("weights.kg",)),
    PaperColumn("Notes", 15, ("weights.notes",)),
)
WEIGHING = _ONE * SIDE_BY_SIDE
ON_THE_HEAD = ("weights.date", "weights.occasion")  # the same for all animals of a sheet
_WEIGHING_NOTE = f"{to_fill_in(ON_THE_HEAD)}   Animal: a lamb's tag, a lamb as 1042-2, or a ewe."


def write_counts(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the sheet: a line for each group and stage, the rest of the page to spare."""
    paper = Paper(book, COUNTS_TAB, COUNTS, title="Counts", footer=title,
                  note="Heads through a gate. Write what you counted, even where it does not agree with the book.")
    group, stage = (place for place, column in enumerate(COUNTS, start=1) if column.title in ("Group", "Stage"))
    expected = [(name, one.label) for one in Stage for name in flock.groups]
    for name, words in chain(expected, repeat(("", ""), SPARE_COUNTS), paper.rest_of_page(("", ""))):
        (row,) = paper.block([PRINT_ROW_HEIGHT])
        paper.cell(row, group, name, RULED)
        paper.cell(row, stage, words, RULED)
    paper.finish()


def write_weighing(book: Book, flock: PaperFlock, title: str) -> None:
    """Write empty lines for weighings, three side by side."""
    paper = Paper(book, WEIGHING_TAB, in_unit(WEIGHING, flock.unit), title="Weighing", note=_WEIGHING_NOTE, footer=title)
    for _ in range(WEIGHING_ROWS):
        (row,) = paper.block([PRINT_ROW_HEIGHT])
        paper.cell(row, 1, "", RULED)
    paper.finish()
