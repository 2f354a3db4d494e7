"""A page of a scanning list: filled lines of cells, wherever they came from."""

from dataclasses import dataclass
from pathlib import Path

from template_builder.files.told import Told
from template_builder.scan.cells import Cell


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
