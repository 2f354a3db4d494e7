"""Tonight's list on paper: who needs a look, most urgent first, and room to write what was found."""

from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_THE_PEN
from template_builder.layout.paper_tabs import TONIGHT
from template_builder.paper.animals import PaperFlock
from template_builder.paper.pages import MIDDLE, REST, SMALL, Paper, PaperColumn, filled, height_for, name_pixels

_STRONG = MIDDLE.with_(bold=True)
_STYLES = (MIDDLE, _STRONG, SMALL.with_(bold=True), SMALL, SMALL, SMALL, _STRONG)


def tonight_columns(flock: PaperFlock) -> tuple[PaperColumn, ...]:
    """The columns of the list on the screen, and notes."""
    return filled((
        PaperColumn("Ewe", name_pixels([look.ewe for look in flock.tonight])), PaperColumn("Pen", 40), PaperColumn("When", 48),
        PaperColumn("What", 110), PaperColumn("Why", 180), PaperColumn("Since", 84), PaperColumn("Usual next step", 220),
        PaperColumn("Call your vet", 50), PaperColumn("Notes", REST, ("ewe_check.notes",)),
    ))


def write_tonight(book: Book, flock: PaperFlock, footer: str) -> None:
    """Write the list; each row as high as its words, and room for others below."""
    paper = Paper(book, TONIGHT, tonight_columns(flock), note=AT_THE_PEN, footer=footer)
    paper.headings()
    for look in flock.tonight:
        told = (look.pen, look.when, look.what, look.why, look.since, look.next_step, look.vet)
        row = paper.line(max(height_for(words, width) for words, width in zip(told, paper.widths[1:], strict=False)))
        paper.name(row, 1, look.ewe)
        for column, (words, style) in enumerate(zip(told, _STYLES, strict=True), start=2):
            paper.cell(row, column, words, style)
    paper.rest_of_page()
    paper.finish()
