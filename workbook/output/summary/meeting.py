"""Meeting: the tab the workbook opens on, which prints as the pack for the selection meeting.

The sections stand in `SECTIONS` in the order they are printed: a section more is a line more there.
"""

from collections.abc import Mapping

from template_builder.files.tab import Tab
from template_builder.files.writer import Book
from template_builder.layout.summary_tabs import MEETING
from workbook.output.summary.flock_ahead import ewe_lambs_to_pick, flock_next_year, next_ewes_to_go
from workbook.output.summary.gaps import biggest_gaps
from workbook.output.summary.headline import headline_figures
from workbook.output.summary.losses_by_litter import losses_by_litter
from workbook.output.summary.pack import WIDTHS, Area, Around, Section, write_sections
from workbook.output.summary.page_one import write_page_one
from workbook.output.summary.still_open import still_open
from workbook.output.summary.to_decide import ewes_added, ewes_not_known, ewes_to_decide, ewes_to_keep, mark_verdicts

SECTIONS = (
    Section("to_decide", "Ewes to decide", ewes_to_decide),
    Section("added", "Ewes added to these", ewes_added),
    Section("not_known", "Ewes nothing was recorded of", ewes_not_known),
    Section("keep", "Ewes to keep", ewes_to_keep),
    Section("next_year", "The flock next year", flock_next_year),
    Section("next_to_go", "Next ewes to go", next_ewes_to_go),
    Section("replacements", "Ewe lambs to pick", ewe_lambs_to_pick),
    Section("still_open", "What is missing and what is provisional", still_open),
    Section("losses", "Lambs lost, by stage and litter size", losses_by_litter),
    Section("gaps", "In lambs, not per cent", biggest_gaps),
    Section("figures", "Headline figures", headline_figures),
)


def write_meeting(book: Book, around: Around, footer: str) -> Mapping[str, Area]:
    """Write the tab. Gives where the table of each section stands, by its id, so that formulas can be written over it."""
    tab = Tab(book, MEETING, WIDTHS, footer, read=True)
    write_page_one(book, tab, around.result, around.live)
    tab.new_page()
    areas = write_sections(tab, SECTIONS, around)
    for id in ("to_decide", "added"):
        if id in areas:
            mark_verdicts(tab.page, areas[id])
    tab.page.print_area((1, 1), (tab.row - 1, len(WIDTHS)))
    return areas
