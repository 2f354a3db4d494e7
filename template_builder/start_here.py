"""The first page of a season workbook: what to do when, how to write, cautions, whom to call."""

from template_builder.files.look import FILL_IN, STRONG
from template_builder.files.tab import Cell, Head, Link, Tab
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_NIGHT, CAUTIONS, HOW_TO_WRITE, YEAR
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW, LAYOUT_VERSION, START_TAB, WATCH_TAB

_WIDTHS = (27.0, 76.0, 25.0)
_WHEN = Head("When", STRONG.with_(wrap=True, valign="top"))
_LINKED = (WATCH_TAB, *(sheet.title for sheet in SHEETS))  # tabs that every workbook has
CALL = ("Vet", "Vet, out of hours", "Farm", "Helper")


def write_start_here(book: Book, title: str, built: str) -> None:
    """Write the page. `built` says from what and when the workbook was made."""
    tab = Tab(book, START_TAB, _WIDTHS, title)
    tab.title(title, f"{built} Layout version {LAYOUT_VERSION}.")
    tab.section("Take care")
    for caution in CAUTIONS:
        tab.prose(f"\u2022 {caution}")
    tab.section("At night, in this order")
    numbered = [(f"{number}. {when}", words, _linked(where)) for number, (when, words, where) in enumerate(AT_NIGHT, start=1)]
    tab.table((_WHEN, Head("What to do"), Head("Where")), numbered)
    tab.section("Whom to call")
    tab.table((Head("Who", STRONG), Head("Name and number", FILL_IN)), [(who, Cell(None, FILL_IN)) for who in CALL])
    tab.section("What to do when")
    tab.table((_WHEN, Head("What to do"), Head("On which sheet")), [(when, words, _linked(where)) for when, words, where in YEAR])
    tab.section("How to write")
    tab.table((Head("Write", STRONG), Head("For")), HOW_TO_WRITE)
    tab.page.print_setup(portrait=True, footer=title, one_page=True)
    tab.page.raw.hide_gridlines(2)
    tab.page.open_here()


def _linked(where: str) -> Cell:
    """The name of a sheet as a link to it; several names, or none, are words alone."""
    return Cell(where, link=Link(where, f"A{FIRST_ROW}") if where in _LINKED else None)
