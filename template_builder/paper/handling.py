"""Handling sheets for looking at ewes in the race: in mark order, a box to tick for each finding."""

from template_builder.files.look import MIST, PAPER_HEADING, PRINT_ROW_HEIGHT, RULED, Style
from template_builder.files.writer import Book
from template_builder.layout.whole import HANDLING_TAB, column_at
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import BLANK, NAME, Paper, PaperColumn, in_unit, to_fill_in

_BOX = 3.0
_TURNED_HEIGHT = 86.0  # the longest finding, written upwards
_TICKED = tuple(column_at(f"ewe_check.{id}") for id in ("milk", "udder", "teats", "mouth", "feet"))
_LEAD = (PaperColumn("Ewe", 9, ("ewe_check.ewe", "ewes.ewe")), PaperColumn("Mark", 7, ("ewes.mark",)))
_BOXES = tuple(
    PaperColumn(f"{column.title}: {choice.label}", _BOX, (f"ewe_check.{column.id}",))
    for column in _TICKED for choice in column.choices or ()
)
_TAIL = (
    PaperColumn("Lambs at foot", 5, ("ewe_check.lambs_at_foot",)),
    PaperColumn("Condition 0 thin 5 fat", 6.5, ("ewe_check.condition",)),
    PaperColumn("kg", 5.5, ("weights.kg",)),
    PaperColumn("Trouble, notes", 15, ("ewe_check.trouble", "ewe_check.notes")),
)
HANDLING = (*_LEAD, *_BOXES, *_TAIL)
_TURNED = PAPER_HEADING.with_(rotation=90)
_SHADED = ("milk", "teats", "feet")  # every other group of boxes, so that the eye keeps to its column
ON_THE_HEAD = ("ewe_check.date", "ewe_check.occasion")  # the same for all ewes of a sheet
_NOTE = f"{to_fill_in(ON_THE_HEAD)}   By {BLANK}   Tick what you find."


def write_handling(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the sheets; a strong line stands where the mark changes."""
    paper = Paper(book, HANDLING_TAB, in_unit(HANDLING, flock.unit), title="Handling sheet", note=_NOTE, footer=title,
                  heading_height=_TURNED_HEIGHT)
    for number, column in enumerate(_BOXES, start=len(_LEAD) + 1):
        paper.page.text(2, number, column.title, _TURNED)
        paper.page.width(number, column.characters, style=_cell(column))
    before = None
    for ewe in sorted(flock.ewes, key=_by_mark):
        (row,) = paper.block([PRINT_ROW_HEIGHT])
        changed = before is not None and before != ewe.mark
        for number, column in enumerate(HANDLING, start=1) if changed else ():
            paper.page.blank(row, number, _cell(column).with_(rule_above=True))
        paper.cell(row, 1, ewe.name, NAME.with_(rule_above=changed))
        paper.cell(row, 2, ewe.mark, RULED.with_(align="center", rule_above=changed))
        before = ewe.mark
    paper.finish()


def _cell(column: PaperColumn) -> Style:
    return RULED.with_(fill=MIST) if any(f"ewe_check.{id}" in column.of for id in _SHADED) else RULED


def _by_mark(ewe: PaperEwe) -> tuple[bool, str]:
    """Marked ewes first, mark by mark; within a mark by number, as the flock is sorted already."""
    return (not ewe.mark, ewe.mark.casefold())
