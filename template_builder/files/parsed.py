"""The XML of a workbook's parts: parsed without a DOCTYPE, and what the XML of a sheet says beside its cells."""

import re
from collections.abc import Callable
from typing import NamedTuple
from xml.parsers import expat

from template_builder.files import refusals
from template_builder.files.refusals import Refused

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
TRUE = ("1", "true")
XML_ENDINGS = (".xml", ".rels")
DOCTYPE_MARK = b"<!DOCTYPE"
ASCII_COMPATIBLE = frozenset({b"utf-8", b"utf8", b"us-ascii", b"ascii"})
XML_BEGINS = re.compile(rb"\s*<[^\0][^\0]")  # no zero bytes: not UTF-16 or UTF-32
UTF8_MARK = b"\xef\xbb\xbf"
ENCODING = re.compile(rb"encoding\s*=\s*[\"']([^\"']*)")
FIRST_TAG = re.compile(rb"<([^\s<>/:!?]{1,50}:)?[^\s<>/:!?]")  # no endless prefix: it becomes a pattern
MERGE = rb"<%bmergeCell\s(?:[^<>]*?\s)?ref\s*=\s*[\"']([^\"']*)"
HIDDEN_ROW = rb"<%brow\s(?:[^<>]*?\s)?hidden\s*=\s*[\"'](?:1|true)[\"'][^<>]*"
ROW_NUMBER = re.compile(rb"\sr\s*=\s*[\"'](\d{1,7})[\"']")

Attributes = dict[str, str]
Start = Callable[[str, Attributes], None]


class SheetFacts(NamedTuple):
    """What the XML of a sheet says that its cells do not."""

    merged: tuple[str, ...]  # ranges as written
    hidden_rows: tuple[int, ...]


def parse(data: bytes, start: Start | None = None) -> None:
    """Parse a whole part, calling `start` with "namespace name" and the attributes of each element."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartDoctypeDeclHandler = _refuse_doctype
    if start:
        parser.StartElementHandler = start
    parser.Parse(data, True)


def _refuse_doctype(name: str, system: str | None, public: str | None, has_subset: bool) -> None:
    raise Refused(refusals.DOCTYPE)


def check_whole(name: str, data: bytes) -> None:
    """Parse a part to its end. What is not called XML may be a picture: then only a DOCTYPE matters."""
    try:
        parse(data)
    except expat.ExpatError:
        if name.lower().endswith(XML_ENDINGS):
            raise


def is_ascii_compatible(data: bytes) -> bool:
    """Whether a DOCTYPE would stand in these bytes as plain ASCII, so that searching for it is enough.

    Sheets and shared strings are nearly the whole of a workbook and are parsed again on reading, so that
    searching them here saves time and loses nothing.
    """
    bare = data.removeprefix(UTF8_MARK)
    if not XML_BEGINS.match(bare):
        return False
    declaration = bare[: bare.find(b"?>") + 1] if bare.startswith(b"<?xml") else b""
    return all(encoding.lower() in ASCII_COMPATIBLE for encoding in ENCODING.findall(declaration))


def sheet_facts(data: bytes) -> SheetFacts:
    """Find merged ranges and hidden rows, by searching where the bytes allow it."""
    if is_ascii_compatible(data):
        return _facts_by_search(data)
    refs: list[str] = []
    hidden: list[int] = []

    def start(name: str, attributes: Attributes) -> None:
        if name == f"{MAIN} mergeCell":
            refs.append(attributes.get("ref", ""))
        elif name == f"{MAIN} row" and attributes.get("hidden") in TRUE:
            hidden.append(int(attributes.get("r", "0")))

    parse(data, start)
    return SheetFacts(tuple(refs), tuple(hidden))


def _facts_by_search(data: bytes) -> SheetFacts:
    """Find merges and hidden rows among tags with the prefix of the first, as a sheet uses only one."""
    first = FIRST_TAG.search(data)
    prefix = re.escape(first[1]) if first and first[1] else b""
    merged = tuple(ref.decode("utf-8", "replace") for ref in re.findall(MERGE % prefix, data))
    hidden = (ROW_NUMBER.search(found[0]) for found in re.finditer(HIDDEN_ROW % prefix, data))
    return SheetFacts(merged, tuple(int(number[1]) if number else 0 for number in hidden))
