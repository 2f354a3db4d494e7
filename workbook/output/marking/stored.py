"""What is stored in single cells of a sheet: only their rows are taken apart, however long the sheet is."""

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple
from xml.parsers import expat

from workbook.output.marking.markup import Markup

Place = tuple[int, int]  # row, column

SHARED, INLINE, NUMBER = "s", "inlineStr", "n"
_ROW_NUMBER = re.compile(rb"""\sr\s*=\s*["'](\d+)["']""")
_ADDRESS = re.compile(r"([A-Z]{1,3})(\d+)")
_DECLARED = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")


class Stored(NamedTuple):
    """A cell's type as the file writes it (n, str, b, e, d; text of any kind is str) and its content."""

    kind: str
    text: str


def place_of(address: str) -> Place:
    """Row and column of a cell named as C5; ValueError for anything else."""
    found = _ADDRESS.fullmatch(address.replace("$", ""))
    if not found:
        raise ValueError(address)
    column = 0
    for letter in found[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(found[2]), column


def encoding_of(data: bytes) -> str:
    """The encoding a part says it is in."""
    found = _DECLARED.match(data.removeprefix(b"\xef\xbb\xbf"))
    return found[1].decode("ascii") if found else "utf-8"


def stored_cells(sheet: Markup, wanted: Iterable[Place]) -> dict[Place, Stored]:
    """What the wanted cells hold; blank cells are left out. Text in the shared list comes as its number there, kind "s"."""
    places = set(wanted)
    rows = {row for row, _ in places}
    node = sheet.root.child("sheetData")
    if node is None or not rows:
        return {}
    start = re.compile(rb"<%brow(?=[\s/>])[^>]*>" % sheet.prefix.encode("ascii"))
    tags = [*start.finditer(sheet.data, node.inner, node.inner_end)]
    ends = [tag.start() for tag in tags[1:]] + [node.inner_end]
    found: dict[Place, Stored] = {}
    number = 0
    for tag, end in zip(tags, ends, strict=True):
        stated = _ROW_NUMBER.search(tag[0])
        number = int(stated[1]) if stated else number + 1
        if number in rows:
            cells = _Row(encoding_of(sheet.data)).read(sheet.data[tag.start():end])
            found |= {(number, column): cell for column, cell in cells.items() if (number, column) in places}
    return found


class _Row:
    """Takes one row of a sheet apart. Elements go by their local names, since prefixes are declared further up."""

    def __init__(self, encoding: str) -> None:
        self.parser = expat.ParserCreate(encoding)
        self.parser.StartElementHandler, self.parser.EndElementHandler = self._start, self._end
        self.parser.CharacterDataHandler = self._text
        self.cells: dict[int, Stored] = {}
        self.column, self.kind, self.taking, self.reading_aid = 0, NUMBER, False, False

    def read(self, data: bytes) -> dict[int, Stored]:
        self.parser.Parse(b"<part>" + data + b"</part>", True)
        return self.cells

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        match name.rpartition(":")[2]:
            case "c":
                address = attributes.get("r")
                self.column = place_of(address)[1] if address else self.column + 1
                self.kind = attributes.get("t", NUMBER)
            case "v" | "t" if not self.reading_aid:
                self.taking = True
            case "rPh":
                self.reading_aid = True

    def _end(self, name: str) -> None:
        self.taking = False
        if name.rpartition(":")[2] == "rPh":
            self.reading_aid = False

    def _text(self, text: str) -> None:
        if self.taking:
            before = self.cells[self.column].text if self.column in self.cells else ""
            self.cells[self.column] = Stored("str" if self.kind == INLINE else self.kind, before + text)


def shared_texts(texts: Markup, numbers: Iterable[int]) -> Mapping[int, str]:
    """The texts with these numbers in the list of shared texts."""
    start = re.compile(rb"<%bsi(?=[\s/>])" % texts.prefix.encode("ascii"))
    starts = [tag.start() for tag in start.finditer(texts.data, texts.root.inner, texts.root.inner_end)]
    ends = [*starts[1:], texts.root.inner_end]
    encoding = encoding_of(texts.data)
    return {number: _text(texts.data[starts[number]:ends[number]], encoding) for number in set(numbers) if number < len(starts)}


def _text(data: bytes, encoding: str) -> str:
    # The last text may be followed by the list's extensions, which hold no text.
    return "".join(cell.text for cell in _Row(encoding).read(data).values())
