"""The key of shared copies as a workbook."""

from pathlib import Path

from template_builder.files.progress import Tell, silent
from template_builder.files.tab import Tab
from template_builder.files.writer import new_book
from template_builder.layout.key_tab import NAMES
from workbook.sharing.key import HEADS, STAYS, Key

WIDTHS = (22.0, 26.0, 52.0)
NOTE = "What the names in a shared copy stand for. It stays on the farm: who has it and the copy has the names."


def write_key(path: Path, key: Key, *, force: bool, anew: bool, tell: Tell = silent) -> None:
    """Write the key as a workbook, so that leading zeros and long numbers stand as they are. Raises WriteError."""
    lines = [list(one) for one in key.names] + [[STAYS, what, None] for what in key.stays]
    with new_book(path, title=NAMES, force=force, anew=anew, tell=tell) as book:
        tab = Tab(book, NAMES, WIDTHS, NAMES, read=True)
        tab.title(NAMES, NOTE)
        tab.heads_stay(tab.table(HEADS, lines, name="key_of_names", empty="No names."))
