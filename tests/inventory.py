"""What a workbook holds, taken from its raw XML: what no spreadsheet library would show in full."""

import posixpath
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
OWN_TAB = "To correct"
OWN_TEST = 'n("to correct")'
OWN_LINE = "To correct:"
# Elements of a sheet that count one by one, wherever they stand, those of later versions (sparklines, x14 formats) included.
FEATURES = frozenset({
    "dataValidation", "hyperlink", "mergeCell", "col", "pane", "sheetProtection", "autoFilter", "sparkline",
    "tablePart", "drawing", "pageSetup", "pageMargins", "brk", "oddFooter", "oddHeader", "ignoredError", "tabColor", "f",
})


class Mark(NamedTuple):
    """One mark: the sheet, the cell, the rule's test."""

    sheet: str
    cell: str
    test: str


class Book:
    """The parts of a workbook and its sheets."""

    def __init__(self, path: Path) -> None:
        with zipfile.ZipFile(path) as archive:
            self.parts = {name: archive.read(name) for name in archive.namelist()}
        self.sheets = dict(self._sheets())

    def _sheets(self) -> Iterator[tuple[str, str]]:
        targets = self.targets("xl/workbook.xml")
        for sheet in ElementTree.fromstring(self.parts["xl/workbook.xml"]).iter(f"{MAIN}sheet"):
            yield sheet.attrib["name"], targets[sheet.attrib[LINK]]

    def targets(self, part: str) -> dict[str, str]:
        """The parts that a part links to, by the id of the link."""
        folder, name = posixpath.split(part)
        links = self.parts.get(f"{folder}/_rels/{name}.rels")
        if links is None:
            return {}
        return {
            link.attrib["Id"]: posixpath.normpath(posixpath.join("/", folder, link.attrib["Target"]))[1:]
            for link in ElementTree.fromstring(links) if link.attrib.get("TargetMode") != "External"
        }

    def tree(self, sheet: str) -> ElementTree.Element:
        return ElementTree.fromstring(self.parts[self.sheets[sheet]])

    def notes(self, sheet: str) -> dict[str, str]:
        """Every note of a sheet by cell."""
        found = {}
        for part in self.targets(self.sheets[sheet]).values():
            if part.endswith(".xml") and b"<comments" in self.parts[part] or b":comments" in self.parts[part][:500]:
                for note in ElementTree.fromstring(self.parts[part]).iter(f"{MAIN}comment"):
                    found[note.attrib["ref"]] = "".join(text.text or "" for text in note.iter(f"{MAIN}t"))
        return found

    def boxes(self, sheet: str) -> int:
        """How many boxes of notes are drawn for a sheet."""
        drawn = [self.parts[part] for part in self.targets(self.sheets[sheet]).values() if part.endswith(".vml")]
        return sum(part.count(b'ObjectType="Note"') for part in drawn)

    def marks(self) -> list[Mark]:
        """Every mark, sheet by sheet."""
        return [
            Mark(sheet, block.attrib["sqref"], formula.text or "")
            for sheet in self.sheets for block in self.tree(sheet).iter(f"{MAIN}conditionalFormatting")
            for formula in block.iter(f"{MAIN}formula") if OWN_TEST in (formula.text or "").casefold()
        ]


def inventory(path: Path) -> dict[str, Counter[str]]:
    """Everything but marks, by kind: of each sheet its cells and features, of the workbook its names, tables and other parts."""
    book = Book(path)
    found: dict[str, Counter[str]] = {}
    for sheet in book.sheets:
        if sheet != OWN_TAB:
            tree = book.tree(sheet)
            found[f"{sheet}: cells"] = Counter(_shown(row) for row in tree.iter(f"{MAIN}row"))
            found[f"{sheet}: formats in order"] = Counter(f"{rank} {rule}" for rank, rule in enumerate(_formats(tree)))
            found[f"{sheet}: notes"] = Counter(f"{cell} {text}" for cell, text in _others_notes(book, sheet).items())
            for feature in FEATURES:
                found[f"{sheet}: {feature}"] = Counter()
            for element in tree.iter():
                feature = element.tag.rpartition("}")[2]
                if feature in FEATURES:
                    found[f"{sheet}: {feature}"][_shown(element)] += 1
    tree = ElementTree.fromstring(book.parts["xl/workbook.xml"])
    names = [name for name in tree.iter(f"{MAIN}definedName") if OWN_TAB not in (name.text or "")]
    found["names"] = Counter(_shown(name) for name in names)
    for kind in ("tables", "charts", "drawings", "media", "theme", "sharedStrings", "docProps"):
        parts = {name: data for name, data in book.parts.items() if kind in name and not name.endswith(".vml")}
        found[kind] = Counter(f"{name} {data!r}" for name, data in parts.items())
    return found


def _formats(tree: ElementTree.Element) -> list[str]:
    """The sheet's own conditional formats by priority, written out without it."""
    rules = []
    for block in tree.iter():
        if block.tag.rpartition("}")[2] == "conditionalFormatting":
            cells = block.attrib.get("sqref", "")
            for rule in block:
                if rule.tag.endswith("cfRule") and not any(OWN_TEST in (part.text or "").casefold() for part in rule.iter()):
                    priority = int(rule.attrib.pop("priority", "0"))
                    rules.append((priority, f"{cells} {_shown(rule)}"))
    return [text for _, text in sorted(rules)]


def _others_notes(book: Book, sheet: str) -> dict[str, str]:
    notes = {
        cell: "\n".join(line for line in text.split("\n") if line.strip() and not line.startswith(OWN_LINE))
        for cell, text in book.notes(sheet).items()
    }
    return {cell: text for cell, text in notes.items() if text}


def _shown(element: ElementTree.Element) -> str:
    return ElementTree.canonicalize(ElementTree.tostring(element, encoding="unicode"))
