"""XML edited by cutting text in: the bytes between the cuts are never touched.

What is cut in is plain ASCII with character references, which reads the same in every encoding a workbook part uses;
a part in UTF-16 is turned into UTF-8 first.
"""

import codecs
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from xml.parsers import expat

from template_builder.files.parsed import MAIN

RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"

_UTF16_MARKS = ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_UTF16_STARTS = ((b"<\0", "utf-16-le"), (b"\0<", "utf-16-be"))
_ENCODING = re.compile(r"""(<\?xml[^>]*?)\s+encoding\s*=\s*["'][^"']*["']""")
_TAG = re.compile(rb"""<([^\s/>]+)(?:[^"'>]|"[^"]*"|'[^']*')*>""")
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def as_utf8(data: bytes) -> bytes:
    """The same part in an encoding in which ASCII stands as it is."""
    for mark, encoding in _UTF16_MARKS:
        if data.startswith(mark):
            return _recoded(data[len(mark):], encoding)
    for start, encoding in _UTF16_STARTS:
        if data.startswith(start):
            return _recoded(data, encoding)
    return data


def _recoded(data: bytes, encoding: str) -> bytes:
    return _ENCODING.sub(r"\1", data.decode(encoding), count=1).encode("utf-8")


def escaped(text: str) -> str:
    """Text for XML, in attributes too; what XML cannot hold becomes a question mark."""
    plain = _NOT_XML.sub("?", text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
    return plain.replace("\r", "&#13;").replace("\n", "&#10;").replace("\t", "&#9;")


def ascii_bytes(text: str) -> bytes:
    """Markup as ASCII, every other character as a reference."""
    return text.encode("ascii", "xmlcharrefreplace")


@dataclass(eq=False)
class Node:
    """An element and where it stands: `start` to `end` with its tags, `inner` to `inner_end` without them.

    `name` is the local name in the spreadsheet's main namespace, "namespace name" in any other. `text` is the text that
    stands directly inside.
    """

    name: str
    attributes: dict[str, str]
    start: int
    inner: int = 0
    inner_end: int = 0
    end: int = 0
    text: str = ""
    children: list["Node"] = field(default_factory=list)

    @property
    def local(self) -> str:
        return self.name.rpartition(" ")[2]

    @property
    def empty_tag(self) -> bool:
        """Whether it is written as one tag, <a/>."""
        return self.inner == self.end

    def named(self, name: str) -> list["Node"]:
        """The children of that name."""
        return [child for child in self.children if child.name == name]

    def child(self, name: str) -> "Node | None":
        """The first child of that name."""
        return next(iter(self.named(name)), None)

    def walk(self) -> Iterator["Node"]:
        """This element and all inside it, in the order of the text."""
        yield self
        for child in self.children:
            yield from child.walk()


class _Builder:
    """Builds the nodes of a part; what stands inside elements named in `closed` is passed over."""

    def __init__(self, data: bytes, closed: frozenset[str]) -> None:
        self.data, self.closed = data, closed
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.open: list[Node] = []
        self.root: Node | None = None
        self.closing = ""
        self._listen()

    def build(self) -> Node:
        self.parser.Parse(self.data, True)
        if self.root is None:
            raise ValueError("no root element")
        return self.root

    def _listen(self) -> None:
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        node = Node(name.removeprefix(f"{MAIN} "), attributes, self.parser.CurrentByteIndex)
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.root = self.root or node
        self.open.append(node)
        if node.name in self.closed:
            self.closing = name
            self.parser.StartElementHandler = self.parser.CharacterDataHandler = None
            self.parser.EndElementHandler = self._end_inside

    def _end_inside(self, name: str) -> None:
        if name == self.closing:  # called for every cell of a sheet, so this is all it does
            self._listen()
            self._end(name)

    def _end(self, name: str) -> None:
        node, at = self.open.pop(), self.parser.CurrentByteIndex
        tag = _TAG.match(self.data, node.start)
        if tag is None:
            raise ValueError(f"no tag at byte {node.start}")
        node.inner = tag.end()
        one_tag = tag[0].endswith(b"/>")
        node.inner_end = node.inner if one_tag else at
        node.end = node.inner if one_tag else self.data.index(b">", at) + 1

    def _text(self, text: str) -> None:
        self.open[-1].text += text


class Markup:
    """An XML part and the cuts to be made in it. Positions are those of the part as it was."""

    def __init__(self, data: bytes, closed: Iterable[str] = ()) -> None:
        self.data = data
        self.root = _Builder(data, frozenset(closed)).build()
        self._cuts: list[tuple[int, int, bytes]] = []
        prefix, colon, _ = self.raw_name(self.root).partition(":")
        self.prefix = prefix + colon if colon else ""

    def raw_name(self, node: Node) -> str:
        """The name of an element as written, with its prefix."""
        tag = _TAG.match(self.data, node.start)
        return tag[1].decode("ascii", "replace") if tag else ""

    def source(self, node: Node) -> bytes:
        """An element as written."""
        return self.data[node.start:node.end]

    def replace(self, start: int, end: int, text: str) -> None:
        self._cuts.append((start, end, ascii_bytes(text)))

    def insert(self, at: int, text: str) -> None:
        self.replace(at, at, text)

    def remove(self, node: Node) -> None:
        self.replace(node.start, node.end, "")

    def append(self, node: Node, text: str) -> None:
        """Add text at the end of an element. Once an element: <a/> is opened up for it."""
        if node.empty_tag:
            self.replace(node.end - 2, node.end, f">{text}</{self.raw_name(node)}>")
        else:
            self.insert(node.inner_end, text)

    def set_attribute(self, node: Node, name: str, value: str) -> None:
        """Give an attribute of the element, written without a prefix, another value; add it where it is missing."""
        tag = self.data[node.start:node.inner]
        found = re.search(rb"""\s%b\s*=\s*(["'])(.*?)\1""" % name.encode("ascii"), tag, re.DOTALL)
        if found:
            self.replace(node.start + found.start(2), node.start + found.end(2), escaped(value))
        else:
            at = node.start + 1 + len(self.raw_name(node))
            self.insert(at, f' {name}="{escaped(value)}"')

    def place(self, order: Sequence[str], name: str) -> int:
        """Where a child of the root with this name belongs: behind all that come before it, in front of others of its name."""
        before = set(order[:order.index(name)])
        ends = [child.end for child in self.root.children if child.name in before]
        return ends[-1] if ends else self.root.inner

    def result(self) -> bytes:
        """The part with all cuts made; cuts at one place stand in the order they were asked for."""
        pieces: list[bytes] = []
        at = 0
        for start, end, text in sorted(self._cuts, key=lambda cut: cut[:2]):
            if start < at:
                raise ValueError("two cuts overlap")
            pieces += (self.data[at:start], text)
            at = end
        return b"".join([*pieces, self.data[at:]])
