"""Shed sheets and the running sheet of a simple start: one row for each ewe, with the columns in sight on Lambing."""

from template_builder.files.look import SIZE_SECTION
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_THE_PEN
from template_builder.layout.choices import LambingTrouble
from template_builder.layout.columns import Start
from template_builder.layout.paper_tabs import RUNNING, SHED
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.paper.animals import PaperFlock
from template_builder.paper.form import NOTES, on_paper, typed
from template_builder.paper.pages import (
    MIDDLE,
    MIDDLE_SMALL,
    NAME,
    REST,
    SMALL,
    Paper,
    PaperColumn,
    asked,
    filled,
    height_for,
    name_pixels,
)
from template_builder.paper.shed import EWE_DIED, running_lines

_WIDER = 1.9  # than where a ewe has several rows: there is room
TROUBLES = f"Trouble, one word: {', '.join(word.label for word in LambingTrouble)}. "
_NAME = NAME.with_(size=SIZE_SECTION)
_BESIDE = SMALL.with_(bold=True, align="right")
_DIED = SMALL.with_(align="right")


def shed_columns(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """Whose row it is, what is asked about her, notes."""
    lead = (asked("lambing.ewe", name_pixels(flock.names, _NAME)), asked("ewes.scanned", 58), asked("ewes.due", 58),
            asked("ewes.mark", 80))
    return _with_notes(lead, flock)


def running_columns(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The line, who it was, what is asked about her, notes."""
    return _with_notes((asked("lambing.line", 50), asked("lambing.ewe", 100)), flock)


def _with_notes(lead: tuple[PaperColumn, ...], flock: PaperFlock) -> tuple[PaperColumn, ...]:
    columns = on_paper(LAMBING, typed(LAMBING, Start.SIMPLE, lead=("ewe", "scanned", "due")), flock.unit)
    wider = (column._replace(pixels=round(_WIDER * column.pixels)) for column in columns)
    return filled((*lead, *wider, asked(f"lambing.{NOTES}", REST)))


def write_shed_in_one_row(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the shed sheet: a row for each ewe still to lamb, with her warning and a box where she died at the edge."""
    columns = shed_columns(flock)
    paper = Paper(book, SHED, columns, note=TROUBLES + AT_THE_PEN, footer=footer)
    paper.headings()
    for ewe in flock.to_lamb:
        beside = " ".join(filter(None, (f"Warning: {ewe.warning}" if ewe.warning else "", EWE_DIED)))
        row = paper.line(height_for(beside, paper.widths[-1]))
        paper.name(row, 1, ewe.name, _NAME)
        paper.cell(row, 2, ewe.scanned, MIDDLE)
        paper.cell(row, 3, ewe.due, MIDDLE)
        paper.cell(row, 4, ewe.mark, MIDDLE_SMALL)
        paper.cell(row, len(columns), beside, _BESIDE if ewe.warning else _DIED)
    paper.finish()


def write_running_in_one_row(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the running sheet of numbered lines."""
    paper = Paper(book, RUNNING, running_columns(flock), note=TROUBLES + AT_THE_PEN, footer=footer)
    paper.headings()
    for line in running_lines(flock):
        paper.cell(paper.line(), 1, str(line), MIDDLE)
    paper.finish()
