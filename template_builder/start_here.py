"""The first page of a season workbook: what to do when, how to write, cautions, whom to call."""

from collections.abc import Iterable, Iterator

from template_builder.files.look import FILL_IN, STRONG
from template_builder.files.tab import Cell, Head, Link, Tab
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_NIGHT, CAUTIONS, HOW_TO_WRITE, IN_ONE_ROW, UNHIDE, YEAR
from template_builder.layout.columns import Start
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW, LAYOUT_VERSION, START_TAB, WATCH_TAB

_WIDTHS = (27.0, 76.0, 25.0)
_WHEN = Head("When", STRONG.with_(wrap=True, valign="top"))
_LINKED = (WATCH_TAB, *(sheet.title for sheet in SHEETS))  # tabs that every workbook has
CALL = ("Vet", "Vet, out of hours", "Farm", "Helper")


Line = tuple[str, str, str]  # when, what to do, on which sheets


def write_start_here(book: Book, title: str, built: str, start: Start = Start.INDOORS) -> None:
    """Write the page. `built` says from what and when the workbook was made; no line speaks of a sheet hidden in this start."""
    tab = Tab(book, START_TAB, _WIDTHS, title)
    tab.title(title, f"{built} Layout version {LAYOUT_VERSION}.")
    tab.section("Take care")
    for caution in CAUTIONS:
        tab.prose(f"\u2022 {caution}")
    tab.section("At night, in this order")
    night = enumerate(_used(AT_NIGHT, start), start=1)
    numbered = [(f"{number}. {when}", words, _linked(where)) for number, (when, words, where) in night]
    tab.table((_WHEN, Head("What to do"), Head("Where")), numbered)
    tab.section("Whom to call")
    tab.table((Head("Who", STRONG), Head("Name and number", FILL_IN)), [(who, Cell(None, FILL_IN)) for who in CALL])
    tab.section("What to do when")
    year = [(when, words, _linked(where)) for when, words, where in _used(YEAR, start)]
    tab.table((_WHEN, Head("What to do"), Head("On which sheet")), year)
    tab.section("How to write")
    tab.table((Head("Write", STRONG), Head("For")), (*HOW_TO_WRITE, *([UNHIDE] if start is Start.SIMPLE else [])))
    tab.page.print_setup(portrait=True, footer=title, one_page=True)
    tab.page.raw.hide_gridlines(2)
    tab.page.open_here()


def _used(lines: Iterable[Line], start: Start) -> Iterator[Line]:
    """The lines that name a sheet in sight, or none at all, in the words of this start."""
    hidden = {sheet.title for sheet in SHEETS if not sheet.shown(start)}
    for when, words, where in lines:
        seen = [name for name in where.split(", ") if name not in hidden]
        if seen:
            yield when, IN_ONE_ROW.get(when, words) if start is Start.SIMPLE else words, ", ".join(seen)


def _linked(where: str) -> Cell:
    """The name of a sheet as a link to it; several names, or none, are words alone."""
    return Cell(where, link=Link(where, f"A{FIRST_ROW}") if where in _LINKED else None)
