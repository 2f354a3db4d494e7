"""What a person put on cells beside their values: colours, notes, and words beside titles; carried into the merged workbook."""

import re
import warnings
import zipfile
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from template_builder.files import look
from template_builder.files.guard import inspect
from template_builder.files.look import SMALL, Style
from template_builder.files.opening import Cells
from template_builder.files.writer import Book, Page
from template_builder.layout.addresses import letters
from template_builder.layout.columns import OWN
from template_builder.layout.whole import HEADING_ROW, HIDDEN_TABS, LAYOUT_VERSION
from workbook.merging.own_sheets import OwnSheet
from workbook.merging.seasons import Merged
from workbook.output.marking.marks import NOTE_START
from workbook.reading.anchors import Anchored, anchor

_FILL = re.compile(rb"<(?:\w+:)?fgColor\s([^>]*)/?>")
_RGB = re.compile(rb'rgb\s*=\s*"(?:FF|00)?([0-9A-Fa-f]{6})"')
NOWHERE = ("", 0, 0)  # tab, row and column of what has no cell in the merged workbook
_EMPTY = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData/></worksheet>'
_COMMENTS = re.compile(rb"comments?\d*\.xml")
_OWN_COLOURS = {
    value[1:].upper() for value in vars(look).values() if isinstance(value, str) and re.fullmatch("#[0-9A-F]{6}", value)}


@dataclass(frozen=True)
class OwnMark:
    """A colour or a note on a cell, or words beside a title: where it goes in the merged workbook and where it stood.

    A note without a place there has no tab.
    """

    tab: str
    row: int
    column: int
    source: str
    fill: str = ""
    note: str = ""
    words: str = ""

    @property
    def cell(self) -> str:
        return f"{self.tab}!{letters(self.column)}{self.row}"

    @property
    def told(self) -> str:
        return ", ".join(part for part in (self.words, self.note, self.fill and f"filled {self.fill}") if part)


def own_marks(
    paths: Sequence[Path], copies: Sequence[Cells], merged: Merged, sheets: Sequence[OwnSheet] = (),
) -> tuple[OwnMark, ...]:
    """All of them, in the order of the copies. Copies are opened with openpyxl only where they have colours or notes at all."""
    found: list[OwnMark] = []
    titles = {place: sheet.title for sheet in sheets for place in sheet.tabs}
    for path, cells in zip(paths, copies, strict=True):
        anchored, _ = anchor(cells, LAYOUT_VERSION)
        by_tab = {one.tab: one for one in anchored.values()}
        found += (mark for one in anchored.values() for mark in _words(cells, one))
        if has_own_looks(path):
            found += _looks(path, cells.file, _Places(cells.file, by_tab, merged, titles))
    return tuple(found)


def _words(cells: Cells, found: Anchored) -> Iterator[OwnMark]:
    """Words a person wrote in the rows of the title, the keys and the headings, beside what the program wrote there."""
    keys = {found.sheet.address(column) for column in found.sheet}
    for number, line in cells.tabs[found.tab]:
        if not found.is_head(number, line):
            continue
        for cell in line:
            is_heading = number == found.heading_row and (cell.column in found.places.values() or cell.column in found.own)
            is_ours = cell.column <= found.sheet.lead + 1 or cell.value in (found.sheet.title, found.sheet.purpose, *keys)
            if isinstance(cell.value, str) and cell.value.strip() and not is_heading and not is_ours:
                source = f"{cells.file} {found.tab}!{letters(cell.column)}{number}"
                yield OwnMark(found.sheet.title, number, cell.column, source, words=cell.value)


def has_own_looks(path: Path) -> bool:
    """Whether a workbook has notes, or fills in colours that are not the program's; told from its parts, without opening it."""
    inspected = inspect(path)
    styles = inspected.stored.get(inspected.styles_part or "", b"")
    for fill in _FILL.findall(styles):
        rgb = _RGB.search(fill)
        if b"theme" in fill or (rgb and rgb[1].decode().upper() not in _OWN_COLOURS):
            return True
    return bool(_COMMENTS.search(path.read_bytes()))  # the names of parts stand in the file as they are


def _looks(path: Path, file: str, places: "_Places") -> Iterator[OwnMark]:
    """Colours and notes of a copy. A colour in a row that goes nowhere is nothing; a note in one is kept to be told."""
    import openpyxl  # slow to import, and most copies have nothing of the kind

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of features it passes over; none is a colour or a note
        book = openpyxl.load_workbook(_without_blocks(path))
    for sheet in book.worksheets:
        for number, row in enumerate(sheet.iter_rows(), start=1):
            for column, cell in enumerate(row, start=1):
                fill, note = _fill(cell), _note(cell)
                place = places.of(sheet.title, number, column) if fill or note else None
                if place or note:
                    yield OwnMark(*(place or NOWHERE), f"{file} {sheet.title}!{cell.coordinate}", fill, note)


def _without_blocks(path: Path) -> BytesIO:
    """The workbook with its hidden sheets of formulas empty: they are most of the file, and nobody puts a colour there."""
    parts = inspect(path).sheet_parts
    blocks, copy = {parts.get(tab) for tab in HIDDEN_TABS}, BytesIO()
    with zipfile.ZipFile(path) as whole, zipfile.ZipFile(copy, "w") as fewer:
        for part in whole.infolist():
            fewer.writestr(part.filename, _EMPTY if part.filename in blocks else whole.read(part))
    return copy


def _fill(cell: object) -> str:
    """The colour of a cell, where it is filled in one that is not the program's: "#FFFF00"."""
    fill = getattr(cell, "fill", None)
    if fill is None or fill.fill_type != "solid" or not isinstance(fill.fgColor.rgb, str):
        return ""
    rgb = fill.fgColor.rgb[-6:].upper()
    return "" if rgb in _OWN_COLOURS else f"#{rgb}"


def _note(cell: object) -> str:
    comment = getattr(cell, "comment", None)
    lines = str(comment.text).split("\n") if comment is not None else []
    return "\n".join(line for line in lines if line.strip() and not line.startswith(NOTE_START))


@dataclass(frozen=True)
class _Places:
    """Where the cells of one copy stand in the merged workbook; `titles` are those that sheets of a person's own get there."""

    file: str
    by_tab: Mapping[str, Anchored]
    merged: Merged
    titles: Mapping[tuple[str, str], str]

    def of(self, tab: str, row: int, column: int) -> tuple[str, int, int] | None:
        """The place of a cell; None where its row or column is not in the merged workbook."""
        found = self.by_tab.get(tab)
        if found is None:
            return self.titles.get((self.file, tab), tab), row, column
        heading = (found.sheet, HEADING_ROW) if row == found.heading_row else None
        to = heading or self.merged.places.get((self.file, tab, row))
        number = self._columns(found).get(column)
        return (to[0].title, to[1], number) if to and number else None

    def _columns(self, found: Anchored) -> Mapping[int, int]:
        """The number each column of a sheet has in the merged workbook: the build writes own columns after those of the sheet."""
        own = [id for row in self.merged.rows[found.sheet.id][:1] for id in row if id.startswith(OWN)]
        numbers = {id: number for number, id in enumerate([*(one.id for one in found.sheet), *own], start=1)}
        ids = {place: id for id, place in found.places.items()} | {place: OWN + title for place, title in found.own.items()}
        return {place: numbers[id] for place, id in ids.items() if id in numbers}


def write_own_marks(book: Book, marks: Sequence[OwnMark]) -> tuple[OwnMark, ...]:
    """Put them on the cells of the merged workbook; gives those that have no cell there."""
    pages = {page.title: page for page in book.pages}
    by_cell: dict[tuple[str, int, int], list[OwnMark]] = defaultdict(list)
    for mark in marks:
        if mark.tab in pages:
            by_cell[mark.tab, mark.row, mark.column].append(mark)
    for (tab, row, column), found in by_cell.items():
        _write(pages[tab], row, column, found)
    return tuple(mark for mark in marks if mark.tab not in pages)


def _write(page: Page, row: int, column: int, found: Sequence[OwnMark]) -> None:
    if words := list(dict.fromkeys(mark.words for mark in found if mark.words)):
        page.text(row, column, " / ".join(words), SMALL)
    if notes := {mark.note: mark.source for mark in found if mark.note}:
        several = len(notes) > 1
        page.note(row, column, "\n".join(f"{note} ({source})" if several else note for note, source in notes.items()))
    if fill := next((mark.fill for mark in found if mark.fill), ""):
        page.mark(row, column, "=TRUE", Style(fill=fill))
