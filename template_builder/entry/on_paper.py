"""How an entry sheet prints: whole rows on as few pages as stay easy to read."""

from template_builder.files.look import PRINT_CHARACTERS
from template_builder.files.writer import Page
from template_builder.layout.whole import HEADING_ROW, TITLE_ROW

UPRIGHT_CHARACTERS = 76.0  # the widest page that prints at full size on portrait A4
SHRUNK_AT_MOST = 1.5  # times as wide as a page: type of 11 points then prints as 7 or more
_PER_CENT = 100


def set_up(page: Page, footer: str, across: float, *, lead: int, always: bool) -> None:
    """Headings on every page. `across` is how wide the columns in sight are, in characters.

    Narrow sheets print upright, others shrunk to one page across (`always` whatever their width) where that stays easy to read.
    The widest print as small as that, on several pages side by side, each of them beginning with the `lead` columns.
    """
    repeat = (TITLE_ROW, HEADING_ROW)
    if always or across <= SHRUNK_AT_MOST * PRINT_CHARACTERS:
        page.print_setup(repeat=repeat, footer=footer, one_page_wide=True, portrait=across <= UPRIGHT_CHARACTERS)
    else:
        page.print_setup(repeat=repeat, footer=footer, repeat_columns=lead, scale=round(_PER_CENT / SHRUNK_AT_MOST))
