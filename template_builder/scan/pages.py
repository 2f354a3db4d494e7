"""A page of a scanning list: filled lines of cells, wherever they came from."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from template_builder.files.told import Told
from template_builder.scan.cells import Cell, text_of

LONGEST_CELL = 120  # characters; nothing a list says of a ewe is longer, and a long text in every cell must not fill the memory
MOST_QUOTED, MOST_QUOTED_CELL = 400, 80  # characters of a line and of a cell as they are told to a person


class ScanListError(Told):
    """A list that could not be read at all; the sentence names the file and says what to do."""

    def __init__(self, path: Path, sentence: str) -> None:
        super().__init__(f"{path.name}: {sentence}.")


@dataclass(frozen=True)
class Line:
    """A filled line of a list: its number as an editor or a spreadsheet shows it, its cells, and its text as found."""

    number: int
    cells: tuple[Cell, ...]
    text: str


@dataclass(frozen=True)
class Page:
    """A text file or one sheet of a workbook; blank lines are left out."""

    name: str | None  # the sheet; None for a text file
    lines: tuple[Line, ...]
    notes: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """What a line is called where the list is opened."""
        return "line" if self.name is None else "row"


def found_text(cells: Sequence[Cell]) -> str:
    """A line of a workbook as it is told to a person: its cells with commas, long ones and long lines cut."""
    parts = [text if len(text) <= MOST_QUOTED_CELL else text[:MOST_QUOTED_CELL] + "..." for text in map(text_of, cells)]
    return quoted_line(", ".join(parts).rstrip(", "))


def quoted_line(text: str) -> str:
    """A line as it is told to a person, cut where it is very long."""
    return text if len(text) <= MOST_QUOTED else text[:MOST_QUOTED] + "..."


def as_cell(text: str) -> str:
    """A cell's text, cut where it is longer than any that matters."""
    return text if len(text) <= LONGEST_CELL else text[:LONGEST_CELL] + "..."
