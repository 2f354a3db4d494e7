"""Compare a marked copy with the file it was made from: but for marks, nothing may differ.

This reads both files afresh and knows nothing of how the copy was made.
"""

import posixpath
import re
import zipfile
from collections.abc import Mapping
from io import BytesIO

from template_builder.files.package import CONTENT_TYPES
from workbook.output.marking.marks import NOTE_START, is_own_test
from workbook.output.marking.markup import Markup, Node
from workbook.output.marking.package import Package
from workbook.output.marking.relations import Links, workbook_part
from workbook.output.marking.rules_in_sheet import CELLS, FORMATS, NOTES_DRAWING, ORDER
from workbook.output.marking.stored import encoding_of

GROWING = frozenset({"fonts", "fills", "borders", "cellXfs", "dxfs"})  # lists of styles that may have more at their end
LINKS_KIND = ".rels"
_PRIORITY = re.compile(rb"""(\spriority\s*=\s*["'])-?\d+""")
_SELECTED = re.compile(rb"""\stabSelected\s*=\s*["'][^"']*["']""")
_ACTIVE = re.compile(rb"""\sactiveTab\s*=\s*["'][^"']*["']""")
_NO_VIEW = re.compile(rb"<(?:\w+:)?bookViews><(?:\w+:)?workbookView\s*/></(?:\w+:)?bookViews>")
_SHAPE = re.compile(rb"<v:shape\b.*?</v:shape>", re.DOTALL)
NOTE_BOX = b'ObjectType="Note"'


def difference(before: bytes, after: bytes, own_tab: str) -> str | None:
    """What is not the same in two workbooks, in words; None where they differ by marks alone. `own_tab` is the marks' list."""
    with zipfile.ZipFile(BytesIO(after)) as archive:
        damaged = archive.testzip()
    if damaged:
        return f"the part {damaged}"
    old, new = Package(before), Package(after)
    lost = [name for name in old.names if name not in new]
    if lost:
        return f"the part {lost[0]}"
    return _compared(old, new, own_tab)


def _compared(old: Package, new: Package, own_tab: str) -> str | None:
    old_tabs, new_tabs = _tabs(old), _tabs(new)
    kept = {tab: part for tab, part in new_tabs.items() if tab != own_tab}
    if list(kept.items()) != [(tab, part) for tab, part in old_tabs.items() if tab != own_tab]:
        return "the sheets or their order"
    titles = {part: tab for tab, part in kept.items()}
    for name in old.names:
        if old.read(name) != new.read(name) and name != new_tabs[own_tab]:
            found = _part_differs(old, new, name, titles, own_tab, new_tabs[own_tab])
            if found:
                return found
    return None


def _tabs(package: Package) -> Mapping[str, str]:
    """The sheets of a workbook in their order, each with its part."""
    book = workbook_part(package)
    links = Links(package, book)
    sheets = Markup(package.markup(book)).root.child("sheets")
    found: dict[str, str] = {}
    for sheet in sheets.children if sheets else ():
        id = next((value for name, value in sheet.attributes.items() if name.endswith(" id")), "")
        found[sheet.attributes.get("name", "")] = links.of_id(id) or ""
    return found


def _part_differs(old: Package, new: Package, name: str, titles: Mapping[str, str], own_tab: str, own: str) -> str | None:
    """What is not the same in a part whose bytes differ. Only some kinds of part may differ at all."""
    if name in titles:
        found = _sheet_differs(old.markup(name), new.markup(name))
        return found and f"{found} of the sheet {titles[name]}"
    folder, file = posixpath.split(own)
    if name == posixpath.join(folder, "_rels", f"{file}{LINKS_KIND}"):
        return None
    if name.endswith(LINKS_KIND) or name == CONTENT_TYPES:
        return None if _all_kept(old.markup(name), new.markup(name)) else f"the part {name}"
    book = workbook_part(new)
    if name == book:
        was, now = (_book_entries(package.markup(name), own_tab) for package in (old, new))
        return None if was == now else "the names or settings of the workbook"
    if name == Links(new, book).of_kind("styles"):
        return None if _styles_kept(old.markup(name), new.markup(name)) else "the looks of cells"
    root = Markup(new.markup(name)).root if name.endswith(".xml") else None
    if root is not None and root.name == "comments":
        return None if _notes(old.markup(name)) == _notes(new.markup(name)) else f"the notes in {name}"
    if name.endswith(".vml"):
        return None if _boxes_kept(old.read(name), new.read(name)) else f"the drawing {name}"
    return f"the part {name}"


def _sheet_differs(old: bytes, new: bytes) -> str | None:
    before, after = Markup(old, closed=(CELLS,)), Markup(new, closed=(CELLS,))
    if encoding_of(old) != encoding_of(new):
        return "the encoding"
    pairs = {name: (_named(before, name), _named(after, name)) for name in {*_names(before), *_names(after)}}
    for name, (was, now) in pairs.items():
        if name == NOTES_DRAWING and not was:
            continue
        if name == "sheetViews":  # only one sheet is the one the workbook opens on
            was, now = ([_SELECTED.sub(b"", source) for source in sources] for sources in (was, now))
        if name == "extLst":
            was, now = _without_priorities(was), _without_priorities(now)
        if was != now and name != FORMATS:
            return "the cells" if name == CELLS else f"the {name}"
    if _rules(before) != _rules(after):
        return "the conditional formats"
    places = [ORDER.index(name) for name in _names(after) if name in ORDER]
    return None if places == sorted(places) else "the order of elements"


def _names(sheet: Markup) -> list[str]:
    return [child.name for child in sheet.root.children]


def _named(markup: Markup, name: str) -> list[bytes]:
    return [markup.source(child) for child in markup.root.named(name)]


def _without_priorities(sources: list[bytes]) -> list[bytes]:
    return [_PRIORITY.sub(rb"\1", source) for source in sources]


def _rules(sheet: Markup) -> list[tuple[int, str, bytes]]:
    """The conditional formats that are not marks: their rank among each other, their cells, and how they are written."""
    rules = [
        (int(rule.attributes.get("priority", "0")), block.attributes.get("sqref", ""), sheet.source(rule))
        for block in sheet.root.named(FORMATS) for rule in block.named("cfRule")
        if not any(is_own_test(formula.text) for formula in rule.named("formula"))
    ]
    ranks = {priority: rank for rank, priority in enumerate(sorted({priority for priority, _, _ in rules}))}
    return [(ranks[priority], cells, _PRIORITY.sub(rb"\1", source)) for priority, cells, source in rules]


def _all_kept(old: bytes, new: bytes) -> bool:
    """Whether everything in a list of links or of parts is still in it."""
    return set(_entries(old)) <= set(_entries(new))


def _entries(data: bytes) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
    return [(node.name, tuple(sorted(node.attributes.items()))) for node in Markup(data).root.children]


def _book_entries(data: bytes, own: str) -> list[bytes]:
    """What the list of sheets says, entry by entry, but for the marks' list and what is printed of it."""
    book = Markup(data)
    entries: list[bytes] = []
    for child in book.root.children:
        if child.name == "sheets":
            entries += [book.source(sheet) for sheet in child.children if sheet.attributes.get("name") != own]
        elif child.name == "definedNames":
            entries += [book.source(name) for name in child.children if not name.text.startswith(f"'{own}'!")]
        elif child.name != "bookViews" or len(child.children) > 1 or _view(book, child):
            entries.append(_view(book, child) if child.name == "bookViews" else book.source(child))
    return entries


def _view(book: Markup, views: Node) -> bytes:
    """How the workbook is looked at, but for the sheet it opens on; nothing where that is all that is said."""
    said = _ACTIVE.sub(b"", book.source(views))
    return b"" if _NO_VIEW.fullmatch(said) else said


def _styles_kept(old: bytes, new: bytes) -> bool:
    """Whether each list of styles begins as it was, and the rest is the same."""
    before, after = Markup(old), Markup(new)
    return all(_list_kept(before, was, after) for was in before.root.children)


def _list_kept(before: Markup, was: Node, after: Markup) -> bool:
    now = after.root.child(was.name)
    if now is None or was.name not in GROWING:
        return now is not None and before.source(was) == after.source(now)
    entries = [before.source(child) for child in was.children]
    return entries == [after.source(child) for child in now.children[:len(entries)]] and (
        _but_for_count(was) == _but_for_count(now)
    )


def _but_for_count(node: Node) -> dict[str, str]:
    return {name: value for name, value in node.attributes.items() if name != "count"}


def _notes(data: bytes) -> dict[str, str]:
    """What people's notes say, by cell."""
    listed = Markup(data).root.child("commentList")
    texts = {note.attributes.get("ref", ""): _lines(note) for note in (listed.named("comment") if listed else ())}
    return {cell: text for cell, text in texts.items() if text}


def _lines(note: Node) -> str:
    text = "".join(node.text for node in note.walk() if node.name == "t")
    return "\n".join(line for line in text.split("\n") if line.strip() and not line.startswith(NOTE_START))


def _boxes_kept(old: bytes, new: bytes) -> bool:
    """Whether every shape that is no box of a note is still in a drawing, as it was written."""
    return all(shape in new for shape in _SHAPE.findall(old) if NOTE_BOX not in shape)
