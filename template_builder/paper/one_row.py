"""Shed sheets and the running sheet of a simple start: one row for each ewe, with the columns in sight on Lambing."""

from template_builder.files.look import PRINT_CHARACTERS, PRINT_ROW_HEIGHT, RULED, SIZE_SECTION
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_THE_PEN
from template_builder.layout.choices import LambingTrouble
from template_builder.layout.columns import LINE, Start
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.whole import RUNNING_TAB, SHED_TAB
from template_builder.paper.animals import PaperFlock
from template_builder.paper.pages import NAME, Paper, PaperColumn
from template_builder.paper.shed import LINES_WITHOUT_DAY_BOOK

_EWE = PaperColumn("Ewe", 10, ("lambing.ewe",))
_LED = ("ewe", "notes")  # what stands first, and last in the room that is left
_WRITTEN = tuple(
    PaperColumn(column.title, column.characters, (LAMBING.address(column),))
    for column in LAMBING if column.shown(Start.SIMPLE) and column.id not in _LED
)


def _with_notes(*columns: PaperColumn) -> tuple[PaperColumn, ...]:
    room = PRINT_CHARACTERS - sum(column.characters for column in columns)
    return (*columns, PaperColumn("Notes", room, ("lambing.notes",)))


IN_ONE_ROW = _with_notes(
    _EWE, PaperColumn("Scan", 5, ("ewes.scanned",)), PaperColumn("Due", 7, ("ewes.due",)),
    PaperColumn("Mark", 8, ("ewes.mark",)), *_WRITTEN,
)
LINES_IN_ONE_ROW = _with_notes(PaperColumn("Line", 6, (LAMBING.address(LINE),)), _EWE, *_WRITTEN)

TROUBLES = f"Trouble, one word: {', '.join(word.label for word in LambingTrouble)}. "
_NAME = NAME.with_(size=SIZE_SECTION)
_MIDDLE = RULED.with_(align="center")


def write_in_one_row(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the shed sheet of the ewes still to lamb, but for a day book, and the running sheet of numbered lines."""
    note = TROUBLES + AT_THE_PEN
    if flock.to_lamb and not flock.lines:
        paper = Paper(book, SHED_TAB, IN_ONE_ROW, title="Shed sheet", note=note, footer=title)
        for ewe in flock.to_lamb:
            (row,) = paper.block([PRINT_ROW_HEIGHT])
            paper.cell(row, 1, ewe.name, _NAME)
            for column, text in enumerate((ewe.scanned, ewe.due, ewe.mark), start=2):
                paper.cell(row, column, text, _MIDDLE)
            paper.cell(row, len(IN_ONE_ROW), f"Warning: {ewe.warning}" if ewe.warning else "", RULED)
        paper.finish()
    if flock.to_lamb or flock.lines:
        paper = Paper(book, RUNNING_TAB, LINES_IN_ONE_ROW, title="Running sheet", note=note, footer=title)
        for line in flock.lines or range(1, LINES_WITHOUT_DAY_BOOK + 1):
            (row,) = paper.block([PRINT_ROW_HEIGHT])
            paper.cell(row, 1, str(line), _MIDDLE)
        paper.finish()
