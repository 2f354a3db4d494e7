"""The look-up list: every ewe here by number, with scan, due day, mark, pen and what to look out for."""

from template_builder.files.writer import Book
from template_builder.layout.paper_tabs import LOOK_UP
from template_builder.layout.warning import WARNED_OF
from template_builder.layout.whole import column_at
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import MIDDLE, MIDDLE_SMALL, REST, SMALL, Paper, PaperColumn, asked, height_for, name_pixels
from template_builder.paper.side_by_side import LISTED, Lists, set_out, shaded

_NAME_AT_LEAST, _WARNING_AT_LEAST = 50, 84  # pixels
_STYLES = (MIDDLE, MIDDLE, MIDDLE_SMALL, MIDDLE)  # scan, due day, mark, pen


def one_list(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The columns of one list; as many lists stand side by side as the width holds."""
    return (
        asked("ewes.ewe", name_pixels(flock.names, least=_NAME_AT_LEAST)), asked("ewes.scanned", 52), asked("ewes.due", 46),
        asked("ewes.mark", 56), asked("lambing.pen", 36), PaperColumn(column_at(WARNED_OF[0]).title, REST, WARNED_OF),
    )


def write_look_up(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the list; each page is read down its columns."""
    columns, lists = set_out(one_list(flock), _WARNING_AT_LEAST)
    paper = Paper(book, LOOK_UP, columns, footer=footer, cells=shaded(columns, lists),
                  note="By ewe number, down each column. Scanned 0 is empty, blank is not scanned.")
    paper.headings()

    def ewe(row: int, before: int, ewe: PaperEwe) -> None:
        paper.name(row, before + 1, ewe.name, LISTED)
        for column, (text, style) in enumerate(zip((ewe.scanned, ewe.due, ewe.mark, ewe.pen), _STYLES, strict=True), start=2):
            paper.cell(row, before + column, text, style)
        paper.cell(row, before + len(columns) // lists, ewe.warning, SMALL)

    warning = columns[len(columns) // lists - 1].characters
    Lists(paper, lists, ewe, lambda ewe: height_for(ewe.warning, warning)).add(flock.ewes)
    paper.finish()
