"""A formula taken apart: its text as it stands in the workbook, as a tree. What the language does not have is a mistake.

Cells are written `$C{row}` (a column of the same row) or `_ewes!$C{row}`; everything else is found by a defined name.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

# Each is known to work in LibreOffice 7.4 and Gnumeric and to be as old as the file format.
FUNCTIONS = frozenset({
    "AND", "COLUMNS", "COUNT", "COUNTA", "COUNTIF", "COUNTIFS", "DAY", "HYPERLINK", "IF", "IFERROR", "INDEX", "INT", "ISNUMBER",
    "LARGE", "LEN", "MATCH", "MAX", "MID", "MIN", "MONTH", "N", "NOT", "NOW", "OR", "RIGHT", "ROUND", "ROW", "ROWS", "SMALL",
    "SQRT", "SUBSTITUTE", "SUM", "SUMIF", "SUMPRODUCT", "TRIM",
})
_TOKEN = re.compile(
    r'\s*(?:(?P<number>\d+(?:\.\d+)?)|"(?P<text>(?:[^"]|"")*)"|(?P<cell>(?:_[a-z]+!)?\$[A-Z]+\{row\})'
    r"|(?P<word>[A-Za-z_]\w*)|(?P<sign><=|>=|<>|[-+*/&=<>(),:]))"
)
_CALL = re.compile(r"([A-Za-z][A-Za-z0-9.]*)\(")
COMPARING = ("=", "<>", "<", "<=", ">", ">=")
# From the loosest to the tightest.
_BINDING: tuple[tuple[str, ...], ...] = (COMPARING, ("&",), ("+", "-"), ("*", "/"))
_END = ("end", "")


class Node(NamedTuple):
    """A part of a formula: what sort it is, what it says, and its own parts. Equal parts of one formula are one object."""

    sort: str  # number, text, truth, name, cell, cells, rows, call, sign
    says: int | float | str
    parts: tuple["Node", ...] = ()


class NotInTheLanguage(ValueError):
    """A formula that says what live cells may not say: a mistake of this program."""


def parse(formula: str) -> Node:
    """The tree of a formula, with or without its leading "="; NotInTheLanguage where it cannot be read."""
    return _Parser(formula).whole()


def functions_in(formula: str) -> set[str]:
    """The functions that a formula calls."""
    return set(_CALL.findall(outside_quotes(formula)))


def outside_quotes(formula: str) -> str:
    """A formula without its words in quotes."""
    return "".join(formula.split('"')[::2])


def walk(node: Node) -> Iterator[Node]:
    """A node and all below it, equal parts as often as they stand there."""
    yield node
    for part in node.parts:
        yield from walk(part)


class _Parser:
    """One formula being read from the left."""

    def __init__(self, formula: str) -> None:
        self.formula = formula
        self.tokens = [*self._tokens(formula.removeprefix("=")), _END]
        self.place = 0
        self.made: dict[tuple[object, ...], Node] = {}

    def _tokens(self, text: str) -> Iterator[tuple[str, str]]:
        at = 0
        while at < len(text):
            found = _TOKEN.match(text, at)
            if found is None or found.lastgroup is None:
                raise NotInTheLanguage(f"{text[at:at + 20]!r} cannot be read in the formula {self.formula}")
            yield found.lastgroup, found[found.lastgroup]
            at = found.end()

    def whole(self) -> Node:
        node = self._joined()
        if self.tokens[self.place] != _END:
            self._refuse()
        return node

    def _refuse(self) -> None:
        raise NotInTheLanguage(f"{self.tokens[self.place][1]!r} stands where it cannot in the formula {self.formula}")

    def _node(self, sort: str, says: int | float | str, *parts: Node) -> Node:
        return self.made.setdefault((sort, says, *map(id, parts)), Node(sort, says, parts))

    def _joined(self, level: int = 0) -> Node:
        """Operands of one tightness, from the left."""
        if level == len(_BINDING):
            return self._single()
        node = self._joined(level + 1)
        while self.tokens[self.place][0] == "sign" and self.tokens[self.place][1] in _BINDING[level]:
            node = self._node("sign", self._next()[1], node, self._joined(level + 1))
        return node

    def _next(self) -> tuple[str, str]:
        self.place += 1
        return self.tokens[self.place - 1]

    def _single(self) -> Node:
        sort, says = self._next()
        match sort:
            case "number":
                return self._node("number", float(says) if "." in says else int(says))
            case "text":
                return self._node("text", says.replace('""', '"'))
            case "cell":
                return self._cells(self._node("cell", says))
            case "word":
                return self._rows(self._word(says))
        if says == "-":
            return self._negative(self._single())
        if says != "(":
            self.place -= 1
            self._refuse()
        node = self._joined()
        self._expect(")")
        return node

    def _negative(self, node: Node) -> Node:
        if node.sort == "number" and not isinstance(node.says, str):
            return self._node("number", -node.says)
        return self._node("sign", "-", self._node("number", 0), node)

    def _cells(self, first: Node) -> Node:
        """A cell, or the cells from one to another of its row."""
        if self.tokens[self.place] != ("sign", ":"):
            return first
        self.place += 1
        sort, last = self._next()
        if sort != "cell":
            self.place -= 1
            self._refuse()
        tab = str(first.says).rpartition("!")  # of two cells the second stands on the tab of the first
        return self._node("cells", "", first, self._node("cell", tab[0] + tab[1] + last))

    def _rows(self, first: Node) -> Node:
        """What a word begins; from one INDEX to another it is the rows between."""
        if self.tokens[self.place] != ("sign", ":"):
            return first
        self.place += 1
        last = self._word(str(self._next()[1]))
        if {(node.sort, node.says) for node in (first, last)} != {("call", "INDEX")}:
            self.place -= 1
            self._refuse()
        return self._node("rows", "", first, last)

    def _word(self, says: str) -> Node:
        if self.tokens[self.place] != ("sign", "("):
            return self._node("truth", says) if says in ("TRUE", "FALSE") else self._node("name", says)
        if says not in FUNCTIONS:
            raise NotInTheLanguage(f"{says} is no function of live cells, in the formula {self.formula}")
        self.place += 1
        return self._node("call", says, *self._arguments())

    def _arguments(self) -> Iterator[Node]:
        if self.tokens[self.place] == ("sign", ")"):
            self.place += 1
            return
        yield self._joined()
        while self.tokens[self.place] == ("sign", ","):
            self.place += 1
            yield self._joined()
        self._expect(")")

    def _expect(self, sign: str) -> None:
        if self._next() != ("sign", sign):
            self.place -= 1
            self._refuse()
