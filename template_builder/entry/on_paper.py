"""How an entry sheet prints: whole rows on as few pages as stay easy to read."""

from collections.abc import Sequence

from template_builder.files.room import PRINT_PIXELS, in_pixels
from template_builder.files.writer import Page
from template_builder.layout.whole import HEADING_ROW, TITLE_ROW

UPRIGHT_CHARACTERS = 76.0  # the widest page that prints at full size on portrait A4
SHRUNK_AT_MOST = 1.5  # times as wide as a page: type of 11 points then prints as 7 or more
WIDEST = SHRUNK_AT_MOST * PRINT_PIXELS
_PER_CENT = 100


def set_up(page: Page, footer: str, widths: Sequence[float], *, lead: int, always: bool) -> None:
    """Headings on every page. `widths` are those of the columns to be printed, in characters, 0 of one out of sight.

    Narrow sheets print upright, others shrunk to one page across (`always` whatever their width) where that stays easy to read.
    The widest print as small as that, on pages side by side that are about as wide, each beginning with the `lead` columns.
    """
    repeat = (TITLE_ROW, HEADING_ROW)
    pixels = [width and in_pixels(width) for width in widths]
    if always or sum(pixels) <= WIDEST:
        page.print_setup(repeat=repeat, footer=footer, one_page_wide=True, portrait=sum(widths) <= UPRIGHT_CHARACTERS)
        return
    page.print_setup(repeat=repeat, footer=footer, repeat_columns=lead, scale=round(_PER_CENT / SHRUNK_AT_MOST))
    for column in parted(pixels, lead, WIDEST):
        page.page_break_before(column)


def parted(widths: Sequence[float], lead: int, page: float) -> list[int]:
    """The columns at which pages side by side begin, so that the widest of them is as narrow as it can be.

    As few pages as a page so wide needs, each with the `lead` columns; a column wider than a page has one to itself.
    """
    led = sum(widths[:lead])
    columns = [(number, width) for number, width in enumerate(widths[lead:], start=lead + 1) if width]
    rest = sum(width for _, width in columns)
    few = _begun(columns, page - led)
    room = rest / max(1, len(few) + 1)
    while len(begun := _begun(columns, room)) > len(few):
        room += 1.0
    return begun


def _begun(columns: Sequence[tuple[int, float]], room: float) -> list[int]:
    """The columns that do not fit beside those before them."""
    begun, used = [], 0.0
    for number, width in columns:
        if used and used + width > room:
            begun.append(number)
            used = 0.0
        used += width
    return begun
