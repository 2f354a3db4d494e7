"""The look-up list: every ewe by number, three side by side, with scan, mark, due day and what to look out for."""

from collections.abc import Sequence

from template_builder.files.look import PRINT_PAGE, PRINT_ROW_HEIGHT, RULED, RULED_SMALL
from template_builder.files.writer import Book
from template_builder.layout.warning import WARNED_OF
from template_builder.layout.whole import LOOK_UP_TAB
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import HEADING_HEIGHT, NAME, TITLE_HEIGHT, Paper, PaperColumn, height_for

SIDE_BY_SIDE = 3
_ONE = (
    PaperColumn("Ewe", 8.5, ("ewes.ewe",)),
    PaperColumn("Scan", 5, ("ewes.scanned",)),
    PaperColumn("Mark", 6, ("ewes.mark",)),
    PaperColumn("Due", 6.5, ("ewes.due",)),
    PaperColumn("Warning", 10.5, WARNED_OF),
)
LOOK_UP = _ONE * SIDE_BY_SIDE
_ROOM = PRINT_PAGE - TITLE_HEIGHT - HEADING_HEIGHT
_MIDDLE = RULED.with_(align="center")


def write_look_up(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the list; each page is read down its columns."""
    paper = Paper(book, LOOK_UP_TAB, LOOK_UP, title="Look-up list", footer=title,
                  note="By ewe number, down each column. Scan 0 is empty, blank is not scanned.")
    left = list(flock.ewes)
    while left:
        rows = _rows_of_page(left)
        page, left = left[:rows * SIDE_BY_SIDE], left[rows * SIDE_BY_SIDE:]
        for place in range(rows):
            (row,) = paper.block([_height(page[place::rows])])
            for number, ewe in enumerate(page[place::rows]):
                _ewe(paper, row, number * len(_ONE), ewe)
        if left:
            paper.new_page()
    paper.finish()


def _rows_of_page(left: Sequence[PaperEwe]) -> int:
    """How many rows the next page takes: as many as fit, and no more than the last ewes need."""
    rows = min(int(_ROOM // PRINT_ROW_HEIGHT), -(-len(left) // SIDE_BY_SIDE))
    while rows > 1 and sum(_height(left[place:rows * SIDE_BY_SIDE:rows]) for place in range(rows)) > _ROOM:
        rows -= 1
    return rows


def _height(ewes: Sequence[PaperEwe]) -> float:
    return max(height_for(ewe.warning, _ONE[-1].characters) for ewe in ewes)


def _ewe(paper: Paper, row: int, before: int, ewe: PaperEwe) -> None:
    paper.cell(row, before + 1, ewe.name, NAME)
    for column, text in enumerate((ewe.scanned, ewe.mark, ewe.due), start=2):
        paper.cell(row, before + column, text, _MIDDLE)
    paper.cell(row, before + len(_ONE), ewe.warning, RULED_SMALL)
