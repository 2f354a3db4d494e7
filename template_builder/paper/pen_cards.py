"""Pen cards to cut out and hang on the hurdle, six to a page."""

from collections.abc import Sequence

from template_builder.files.look import PRINT_ROW_HEIGHT, RULED_SMALL, SIZE_CARD, Style
from template_builder.files.writer import Book
from template_builder.layout.whole import PEN_CARDS_TAB
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import NAME, TICK, Paper, PaperColumn

SIDE_BY_SIDE = 3
_LABEL, _FIELD, _GAP = 11.5, 23.5, 2.5
_HIGHER = {"Lambs": 18.0}  # points more: room for a tag each
_CUT = 12.0  # points between two cards, one above the other
PEN_CARDS = tuple(
    PaperColumn(title, width)
    for card in range(SIDE_BY_SIDE)
    for title, width in (("label", _LABEL), ("field", _FIELD), *((("gap", _GAP),) if card < SIDE_BY_SIDE - 1 else ()))
)
_SPAN = 3  # columns from one card to the next
_NAME_HEIGHT = 30.0
_NAME = NAME.with_(size=SIZE_CARD)
_FIELDS = RULED_SMALL.with_(indent=1)
_PRINTED = NAME
_TO_WRITE = (
    ("Pen", ""), ("Lambed", ""), ("Lambs", ""), ("First day", f"{TICK} sucked  {TICK} both sides  {TICK} navel"),
    ("Next day", f"{TICK} all full  {TICK} both sides  {TICK} out"), ("Treated, notes", ""),
)


def write_pen_cards(book: Book, flock: PaperFlock, title: str) -> None:
    """Write a card for each ewe still to lamb, in the order of the build."""
    if not flock.to_lamb:
        return
    paper = Paper(book, PEN_CARDS_TAB, PEN_CARDS, title="Pen cards", footer=title, cells=Style(locked=True), headings=False,
                  note="Cut along the gaps. One card per pen: write when she lambed, each lamb's tag or mark, and tick.")
    for first in range(0, len(flock.to_lamb), SIDE_BY_SIDE):
        _row_of_cards(paper, flock.to_lamb[first:first + SIDE_BY_SIDE])
    paper.finish()


def _row_of_cards(paper: Paper, ewes: Sequence[PaperEwe]) -> None:
    heights = [PRINT_ROW_HEIGHT + _HIGHER.get(words, 0.0) for words, _ in _TO_WRITE]
    rows = paper.block([_NAME_HEIGHT, PRINT_ROW_HEIGHT, *heights, _CUT])
    for card, ewe in enumerate(ewes):
        label = card * _SPAN + 1
        paper.cell(rows[0], label, f"Ewe {ewe.name}", _NAME, label + 1)
        told = [f"Scanned {ewe.scanned or 'not'}", f"due {ewe.due}" if ewe.due else "", ewe.mark, ewe.warning]
        paper.cell(rows[1], label, ", ".join(filter(None, told)), _PRINTED, label + 1)
        for row, (words, boxes) in zip(rows[2:], _TO_WRITE, strict=False):
            paper.cell(row, label, words, _FIELDS)
            paper.cell(row, label + 1, boxes, _FIELDS)
