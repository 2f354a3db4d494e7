"""Pen cards to cut out and hang on the hurdle, six to a page, in the words of the columns that are typed from them."""

from collections.abc import Sequence
from functools import cache

from template_builder.files.look import PRINT_ROW_HEIGHT, RULED_SMALL, SIZE_CARD, SIZE_SECTION, Style
from template_builder.files.writer import Book
from template_builder.layout.choices import NextDay, YesNo
from template_builder.layout.paper_tabs import PEN_CARDS
from template_builder.layout.whole import column_at
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import NAME, TICK, Paper, PaperColumn, name_pixels

SIDE_BY_SIDE = 3
_LABEL, _FIELD, _GAP = 94, 226, 20  # pixels
_HIGHER = {"lambs.tag": 18.0}  # points more: room for a tag each
_CUT = 12.0  # points between two cards, one above the other
_SPAN = 3  # columns from one card to the next
_NAME_HEIGHT = 30.0
_NAME = NAME.with_(size=SIZE_CARD)
_FIELDS = RULED_SMALL.with_(indent=1)
_ALL_WELL = YesNo.YES
# What is written on a card, her pen first, with the boxes to tick beside it.
ASKED: tuple[tuple[str, Sequence[str]], ...] = (
    ("lambing.pen", ()), ("lambing.lambed_on", ()), ("lambing.all_well", [_ALL_WELL.label]), ("lambs.tag", ()),
    ("lambing.next_day", [word.label for word in NextDay]), ("lambing.notes", ()),
)


@cache
def _fields() -> tuple[tuple[str, str], ...]:
    """The words at the left of a card and the boxes at its right."""
    return tuple((column_at(address).title, "  ".join(f"{TICK} {word}" for word in boxes)) for address, boxes in ASKED)


def card_columns() -> tuple[PaperColumn, ...]:
    """Three cards, each a word and what is written beside it, with gaps to cut along."""
    card = (PaperColumn("label", _LABEL), PaperColumn("field", _FIELD), PaperColumn("gap", _GAP))
    return (card * SIDE_BY_SIDE)[:-1]


def write_pen_cards(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write a card for each ewe still to lamb, in the order of the build."""
    paper = Paper(book, PEN_CARDS, card_columns(), footer=footer, cells=Style(locked=True),
                  note="Cut along the gaps. One card per pen: write when she lambed, each lamb's tag or mark, and tick.")
    for first in range(0, len(flock.to_lamb), SIDE_BY_SIDE):
        _row_of_cards(paper, flock.to_lamb[first:first + SIDE_BY_SIDE])
    paper.finish()


def _row_of_cards(paper: Paper, ewes: Sequence[PaperEwe]) -> None:
    heights = [PRINT_ROW_HEIGHT + _HIGHER.get(address, 0.0) for address, _ in ASKED]
    rows = paper.block([_NAME_HEIGHT, PRINT_ROW_HEIGHT, *heights, _CUT])
    for card, ewe in enumerate(ewes):
        label = card * _SPAN + 1
        _name(paper, rows[0], label, ewe)
        told = [f"Scanned {ewe.scanned or 'not'}", f"due {ewe.due}" if ewe.due else "", ewe.mark, ewe.warning]
        paper.cell(rows[1], label, ", ".join(filter(None, told)), NAME, label + 1)
        for row, (words, boxes) in zip(rows[2:], _fields(), strict=False):
            paper.page.text(row, label, words, _FIELDS)
            paper.page.text(row, label + 1, boxes, _FIELDS)
        paper.cell(rows[2], label + 1, ewe.pen, _FIELDS)


def _name(paper: Paper, row: int, label: int, ewe: PaperEwe) -> None:
    """Her number large, over the whole card; less large where it is long."""
    style = _NAME if name_pixels([ewe.name], _NAME, least=0) <= _LABEL + _FIELD else NAME.with_(size=SIZE_SECTION)
    paper.name(row, label, ewe.name, style, label + 1)
