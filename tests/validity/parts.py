"""A workbook as its parts: sheets in order, their trees and relationships, tables, styles, shared strings."""

import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from pathlib import Path
from typing import NamedTuple
from xml.etree.ElementTree import Element, ParseError, fromstring

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
PACKAGE = "{http://schemas.openxmlformats.org/package/2006/relationships}"
TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}"
WORKBOOK = "xl/workbook.xml"
CONTENT_TYPES = "[Content_Types].xml"
LAST_COLUMN, LAST_ROW = 16_384, 1_048_576  # XFD1048576
_CELL = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9]\d{0,6})")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


class Broken(StrEnum):
    """A rule that a workbook breaks."""

    ARGUMENTS_PARTED_BY_A_SEMICOLON = "arguments parted by a semicolon"
    CELLS_OUT_OF_ORDER = "cells out of order"
    CONDITIONAL_STYLE_NOT_THERE = "conditional style not there"
    CRITERION_MAY_BE_A_TAG = "criterion may be a tag"
    FORMULA_GIVES_AN_ERROR = "formula gives an error"
    FORMULA_OUT_OF_BALANCE = "formula out of balance"
    FORMULA_OVER_8192_CHARACTERS = "formula over 8192 characters"
    FORMULA_WHERE_NONE_BELONGS = "formula where none belongs"
    FORMULA_WITHOUT_ITS_VALUE = "formula without its value"
    FUNCTION_NOT_SAFE = "function not safe"
    HEADER_OR_FOOTER_OVER_255_CHARACTERS = "header or footer over 255 characters"
    HEADING_BLANK = "heading blank"
    HEADING_DIFFERS_FROM_ITS_TABLE = "heading differs from its table"
    HEADING_OVER_255_CHARACTERS = "heading over 255 characters"
    HEADING_TWICE = "heading twice"
    LINK_LEADS_NOWHERE = "link leads nowhere"
    LIST_CODE_STARTS_A_FORMULA = "list code starts a formula"
    LIST_ITEM_WITH_A_COMMA = "list item with a comma"
    LIST_LEADS_NOWHERE = "list leads nowhere"
    LIST_OVER_255_CHARACTERS = "list over 255 characters"
    MORE_LINKS_THAN_A_SHEET_HOLDS = "more links than a sheet holds"
    NAME_LIKE_A_CELL = "name like a cell"
    NAME_NOT_ALLOWED = "name not allowed"
    NAME_TWICE = "name twice"
    NAME_WITHOUT_ITS_SHEET = "name without its sheet"
    NO_SHEET_TO_OPEN_ON = "no sheet to open on"
    OTHER_SHEET_NAMED_DIRECTLY = "other sheet named directly"
    PART_IS_NO_XML = "part is no XML"
    PART_WITHOUT_A_CONTENT_TYPE = "part without a content type"
    RANGE_NAMES_ITS_SHEET_TWICE = "range names its sheet twice"
    REFERENCE_LOST = "reference lost"
    RELATIONSHIP_LEADS_NOWHERE = "relationship leads nowhere"
    RELATIONSHIP_NOT_THERE = "relationship not there"
    SHEET_NOT_IN_QUOTATION_MARKS = "sheet not in quotation marks"
    SHEET_NOT_THERE = "sheet not there"
    SHEET_TITLE_NOT_ALLOWED = "sheet title not allowed"
    SHEET_TITLE_TWICE = "sheet title twice"
    STRUCTURED_REFERENCE = "structured reference"
    STYLE_NOT_THERE = "style not there"
    TABLE_NOT_AS_WIDE_AS_ITS_COLUMNS = "table not as wide as its columns"
    TEXT_IN_A_FORMULA_OVER_255_CHARACTERS = "text in a formula over 255 characters"
    TEXT_NOT_THERE = "text not there"
    TEXT_OVER_32767_CHARACTERS = "text over 32767 characters"
    VALIDATION_ERROR_OVER_225_CHARACTERS = "validation error over 225 characters"
    VALIDATION_FORMULA_OVER_255_CHARACTERS = "validation formula over 255 characters"
    VALIDATION_PROMPT_OVER_255_CHARACTERS = "validation prompt over 255 characters"
    VALIDATION_TITLE_OVER_32_CHARACTERS = "validation title over 32 characters"
    VALIDATIONS_OVERLAP = "validations overlap"


class Finding(NamedTuple):
    """A rule that is broken, the place (part, sheet or cell) and what was found there."""

    rule: Broken
    place: str
    what: str


class Area(NamedTuple):
    """A block of cells, both ends included."""

    top: int
    left: int
    bottom: int
    right: int

    def meets(self, other: "Area") -> bool:
        return (
            self.top <= other.bottom and other.top <= self.bottom and self.left <= other.right and other.left <= self.right
        )


class Relation(NamedTuple):
    target: str
    kind: str
    outside: bool


@dataclass(frozen=True)
class SheetPart:
    """One worksheet: its title, whether it can be seen, its part and tree, and the tables that stand on it."""

    title: str
    visible: bool
    part: str
    tree: Element
    tables: tuple[Element, ...]
    relations: Mapping[str, Relation]

    @cached_property
    def cells(self) -> Mapping[str, Element]:
        return {cell.get("r", ""): cell for cell in self.tree.iter(f"{MAIN}c")}


@dataclass(frozen=True)
class Package:
    """The parts of a workbook by name."""

    parts: Mapping[str, bytes]
    _trees: dict[str, Element] = field(default_factory=dict)

    @classmethod
    def open(cls, path: Path) -> "Package":
        with zipfile.ZipFile(path) as file:
            return cls({name: file.read(name) for name in file.namelist()})

    def tree(self, part: str) -> Element:
        """The tree of a part; an empty one where it is missing or is no XML, which is a finding of its own."""
        if part not in self._trees:
            try:
                self._trees[part] = fromstring(self.parts.get(part, b"<missing/>"))
            except ParseError as error:
                self._trees[part] = Element("broken", {"why": str(error)})
        return self._trees[part]

    def no_xml(self, part: str) -> str:
        """Why a part is no XML; blank where it is."""
        tree = self.tree(part)
        return tree.get("why", "") if tree.tag == "broken" else ""

    def relations(self, part: str) -> Mapping[str, Relation]:
        """The relationships of a part by id, their targets as names of parts."""
        folder, name = posixpath.split(part)
        tree = self.tree(posixpath.join(folder, "_rels", f"{name}.rels"))
        return {
            one.get("Id", ""): Relation(
                _target(folder, one.get("Target", "")), one.get("Type", "").rsplit("/", 1)[-1],
                one.get("TargetMode") == "External",
            )
            for one in tree.iter(f"{PACKAGE}Relationship")
        }

    @cached_property
    def sheets(self) -> tuple[SheetPart, ...]:
        return tuple(self._sheets())

    def _sheets(self) -> Iterator[SheetPart]:
        targets = self.relations(WORKBOOK)
        for sheet in self.tree(WORKBOOK).iter(f"{MAIN}sheet"):
            part = targets.get(sheet.get(f"{RELATION}id", ""), Relation("", "", False)).target
            relations = self.relations(part)
            tables = tuple(
                self.tree(one.target) for one in relations.values() if one.kind == "table" and one.target in self.parts
            )
            yield SheetPart(sheet.get("name", ""), sheet.get("state") is None, part, self.tree(part), tables, relations)

    @cached_property
    def names(self) -> tuple[tuple[str, str | None, str], ...]:
        """The defined names: name, the sheet number of one that belongs to a sheet, and what it stands for."""
        return tuple(
            (one.get("name", ""), one.get("localSheetId"), one.text or "")
            for one in self.tree(WORKBOOK).iter(f"{MAIN}definedName")
        )

    @cached_property
    def strings(self) -> tuple[str, ...]:
        return tuple(words(item) for item in self.tree("xl/sharedStrings.xml").iter(f"{MAIN}si"))

    def count(self, part: str, *path: str) -> int:
        """How many elements stand under a path of a part: the cell styles, say."""
        found: Element | None = self.tree(part)
        for name in path:
            found = None if found is None else found.find(f"{MAIN}{name}")
        return 0 if found is None else len(found)

    def text(self, cell: Element) -> str:
        """What a cell shows, where it holds text; its raw value otherwise."""
        value = cell.findtext(f"{MAIN}v") or ""
        if cell.get("t") == "s":
            return self.strings[int(value)] if value.isdigit() and int(value) < len(self.strings) else ""
        return words(cell) if cell.get("t") == "inlineStr" else value


def _target(folder: str, target: str) -> str:
    return target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))


def words(element: Element) -> str:
    """The text in an element's runs, with escaped characters such as _x000D_ put back."""
    joined = "".join(run.text or "" for run in element.iter(f"{MAIN}t"))
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), joined)


def place(cell: str) -> tuple[int, int] | None:
    """Row and column of a cell such as $C$5; None for what is no cell of a sheet."""
    found = _CELL.fullmatch(cell)
    if not found:
        return None
    column = 0
    for letter in found[1].upper():
        column = column * 26 + ord(letter) - ord("A") + 1
    row = int(found[2])
    return (row, column) if row <= LAST_ROW and column <= LAST_COLUMN else None


def areas(ranges: str) -> list[Area]:
    """The blocks of a list of ranges such as "B4:B9 D4"."""
    found = []
    for one in ranges.split():
        first, _, last = one.partition(":")
        top_left, bottom_right = place(first), place(last or first)
        if top_left and bottom_right:
            found.append(Area(*top_left, *bottom_right))
    return found
