"""What an earlier index knows of files, by what is in them and not by their name."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from template_builder.files.guard import Unreadable
from template_builder.files.opening import open_cells
from workbook.many.line import KEPT_SINCE, Line, line_from
from workbook.many.tabs import FARMS, FIGURES, KEPT, KINDS, OTHER_FILES, index_title, is_index


@dataclass(frozen=True)
class Entry:
    """A file as an index keeps it: its name, the fingerprint of what is in it and of what was asked, and its line."""

    name: str
    print: str
    line: Line


def fingerprint(path: Path) -> str:
    """What is in a file as one word, the same whatever the file is called. OSError where it cannot be read."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def kept_in(index: Path) -> Mapping[str, tuple[Entry, ...]]:
    """What an earlier index at this place keeps, by fingerprint. What cannot be read is left out: it is read anew."""
    found: dict[str, tuple[Entry, ...]] = {}
    try:
        cells = open_cells(index, (FARMS, FIGURES, KINDS, OTHER_FILES)) if index.is_file() else None
    except (Unreadable, OSError):
        return found
    if cells is None or not is_index(cells.tabs):
        return found
    for _, row in cells.tabs[KEPT]:
        texts = [str(cell.value) for cell in row]
        if len(texts) == 4 and texts[0] == KEPT_SINCE:
            try:
                entry = Entry(texts[1], texts[2], line_from(texts[3]))
            except (ValueError, KeyError, TypeError, AttributeError):
                continue
            found[entry.print] = (*found.get(entry.print, ()), entry)
    return found


def is_index_of(index: Path, folder: Path) -> bool:
    """Whether what stands at this place is an index that this program wrote of the folder."""
    try:
        tabs = open_cells(index, (FIGURES, KINDS, OTHER_FILES, KEPT)).tabs if index.is_file() else {}
    except (Unreadable, OSError):
        return False
    first = next((str(cell.value) for _, row in tabs.get(FARMS, ()) for cell in row), "")
    return is_index(tabs) and first.startswith(f"{index_title(folder)}:")


def line_of(entries: tuple[Entry, ...], name: str) -> Line | None:
    """The line of a file with this content: its own, else that of one under another name, whose copies are not its own."""
    own = next((entry.line for entry in entries if entry.name == name), None)
    if own is not None or not entries:
        return own
    return replace(entries[0].line, marked="", summary="", not_written="")
