"""A formula made into a Python function that works out all cells of its column.

Two functions are made of one formula. The quick one takes it that no cell it reads holds an error; where an error comes up all
the same, or a column holds one, the careful one goes row by row and lets errors be values. What a part of a formula can be
(a whole number, words, ...) is known beforehand, so that most signs become the signs of Python.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import reduce
from operator import or_
from typing import NamedTuple

from template_builder.live.evaluator import meaning, ranges
from template_builder.live.evaluator.grammar import COMPARING, Node, NotInTheLanguage, parse, walk
from template_builder.live.evaluator.meaning import CellValue, Fault

WHOLE, REAL, TEXT, TRUTH, BLANK = (1 << bit for bit in range(5))
NUMERIC, COUNTABLE, ENTRY = WHOLE | REAL, WHOLE | TRUTH, WHOLE | REAL | TEXT | BLANK
PYTHON = {"=": "==", "<>": "!="}
NOW = "NOW()"  # the name of the moment
K = "k"


def only(allowed: int, kinds: int) -> bool:
    """Whether a value of these kinds can be of the kinds allowed and no other."""
    return not kinds & ~allowed


class Place(NamedTuple):
    """What a name stands for: "cell", "column" or "area", and which sorts of values can stand there (the sum of the above)."""

    shape: str
    kinds: int = ENTRY


class Code(NamedTuple):
    """Python for a part of a formula, what it can give, and whether it can end in an error."""

    python: str
    kinds: int
    risky: bool = False


Reads = Callable[[str], Place]
Handler = Callable[["Compiler", tuple[Node, ...]], Code]


@dataclass(frozen=True)
class Compiled:
    """A formula ready to be worked out: the columns read row by row, everything else it looks at, and its two functions."""

    kinds: int
    beside: tuple[str, ...]
    counted: tuple[str, ...]  # areas whose rows are counted beside its own rows
    used: tuple[str, ...]
    quick: Callable[..., list[CellValue]]
    careful: Callable[..., list[CellValue | Fault]]


_BODY = """def column(rows, beside, used):
    {used} = used
    found = []
    add = found.append
    for {names} in zip(range(1, rows + 1){beside}):
        {add}
    return found
"""
_CAREFUL = """try:
            add({python})
        except Fault as fault:
            add(fault)"""
_KNOWN: dict[str, object] = {**vars(meaning), **vars(ranges)}


def compiled(formula: str, own: Mapping[str, str], reads: Reads) -> Compiled:
    """A formula compiled. `own` gives the name for each cell it writes ("$C{row}"); `reads` says what a name stands for."""
    tree = parse(formula)
    quick = Compiler(tree, own, reads, careful=False)
    code = quick.result(tree)
    careful = Compiler(tree, own, reads, careful=True)
    careful.beside, careful.counted, careful.used = quick.beside, quick.counted, quick.used
    return Compiled(code.kinds & ~BLANK | (WHOLE if code.kinds & BLANK else 0), tuple(quick.beside), tuple(quick.counted),
                    tuple(quick.used), quick.function(code), careful.later(tree))


class Compiler:
    """One formula being made into Python."""

    def __init__(self, tree: Node, own: Mapping[str, str], reads: Reads, *, careful: bool) -> None:
        self.own, self.reads, self.careful = own, reads, careful
        self.beside: dict[str, str] = {}
        self.counted: dict[str, str] = {}
        self.used: dict[str, str] = {}
        self.times = Counter() if careful else Counter(id(node) for node in walk(tree))
        self.bound: dict[int, Code] = {}

    def result(self, tree: Node) -> Code:
        """The whole formula; a blank at its end is 0."""
        code = self.code(tree)
        return Code(f"blank_as_0({code.python})", code.kinds, code.risky) if code.kinds & BLANK else code

    def function(self, code: Code) -> Callable[..., list[CellValue]]:
        add = _CAREFUL.format(python=code.python) if self.careful else f"add({code.python})"
        zipped = [*self.beside.values(), *self.counted.values()]
        source = _BODY.format(
            used=f"[{', '.join(self.used.values())}]", names=", ".join([K, *zipped]) + ",", beside=", *beside" if zipped else "",
            add=add)
        space: dict[str, object] = {}
        exec(compile(source, "<formula>", "exec"), _KNOWN, space)  # noqa: S102  # made from a formula of this program
        made: Callable[..., list[CellValue]] = space["column"]  # type: ignore[assignment]
        return made

    def later(self, tree: Node) -> Callable[..., list[CellValue | Fault]]:
        """The careful function, made when it is first needed."""
        made: list[Callable[..., list[CellValue]]] = []

        def column(*given: object) -> list[CellValue | Fault]:
            if not made:
                made.append(self.function(self.result(tree)))
            return [*made[0](*given)]

        return column

    def code(self, node: Node) -> Code:
        """Python for a node; what stands twice and is worked out anyway is worked out once."""
        if id(node) in self.bound:
            return self.bound[id(node)]
        made = self._made(node)
        if self.times[id(node)] > 1 and node.sort in ("call", "sign") and not made.python.isidentifier():
            name = f"t{len(self.bound)}"
            self.bound[id(node)] = Code(name, made.kinds)
            return Code(f"({name} := {made.python})", made.kinds, made.risky)
        return made

    @contextmanager
    def perhaps(self) -> Iterator[None]:
        """A part that may not be worked out: what it alone works out is not known afterwards."""
        bound = self.bound
        self.bound = dict(bound)
        yield
        self.bound = bound

    def _made(self, node: Node) -> Code:
        match node.sort:
            case "number":
                return Code(repr(node.says), WHOLE if isinstance(node.says, int) else REAL)
            case "text":
                return Code(repr(node.says), TEXT)
            case "truth":
                return Code(str(node.says).title(), TRUTH)
            case "cell":
                return self.cell(node)
            case "name":
                return self._name(str(node.says))
            case "sign":
                return self._sign(str(node.says), *node.parts)
            case "call":
                return HANDLERS[str(node.says)](self, node.parts)
        raise NotInTheLanguage("cells side by side stand where one value belongs")

    def _read(self, python: str, kinds: int) -> Code:
        return Code(f"checked({python})", kinds, risky=True) if self.careful else Code(python, kinds)

    def cell(self, node: Node) -> Code:
        """A cell of the same row."""
        if self.is_k(node):
            return Code(K, WHOLE)
        return self.beside_column(self._own(node))

    def is_k(self, node: Node) -> bool:
        """Whether a cell holds the number of its own row."""
        return node.sort == "cell" and self._own(node) == K

    def _own(self, node: Node) -> str:
        if str(node.says) not in self.own:
            raise NotInTheLanguage(f"{node.says} is no cell of this row")
        return self.own[str(node.says)]

    def beside_column(self, name: str) -> Code:
        place = self.reads(name)
        return self._read(self.beside.setdefault(name, f"c{len(self.beside)}"), place.kinds)

    def side_by_side(self, node: Node) -> tuple[str, int]:
        """Cells side by side as they are, errors unread, and what they can be."""
        places = list(self.own)
        first, last = (places.index(str(part.says)) for part in node.parts)
        names = [self.own[place] for place in places[first:last + 1]]
        cells = [self.beside.setdefault(name, f"c{len(self.beside)}") for name in names]
        return f"({', '.join(cells)},)", reduce(or_, (self.reads(name).kinds for name in names))

    def _name(self, name: str) -> Code:
        place = self.reads(name)
        if place.shape != "cell":
            raise NotInTheLanguage(f"{name} are many cells where one value belongs")
        return self._read(self.use(name), place.kinds)

    def use(self, name: str) -> str:
        return self.used.setdefault(name, f"u{len(self.used)}")

    def range(self, node: Node, shape: str = "column") -> str:
        """The Python name of a range or an area."""
        return self.use(self.named(node, shape))

    def named(self, node: Node, shape: str = "column") -> str:
        """The name of a range or an area."""
        if node.sort != "name" or self.reads(str(node.says)).shape != shape:
            raise NotInTheLanguage(f"{node.says!r} is no {shape} of cells")
        return str(node.says)

    def number(self, node: Node) -> Code:
        """A value where a number is needed."""
        code = self.code(node)
        if only(NUMERIC | TRUTH, code.kinds):
            return code
        return Code(f"number_of({code.python})", NUMERIC, risky=True)

    def text(self, node: Node) -> Code:
        """A value where words are needed."""
        code = self.code(node)
        return code if code.kinds == TEXT else Code(f"text_of({code.python})", TEXT, code.risky)

    def truth(self, node: Node) -> Code:
        """A value where yes or no is needed."""
        code = self.code(node)
        if code.kinds & TEXT:
            return Code(f"truth_of({code.python})", TRUTH, risky=True)
        return code if code.kinds == TRUTH else Code(f"bool({code.python})", TRUTH, code.risky)

    def _sign(self, sign: str, left: Node, right: Node) -> Code:
        if sign in COMPARING:
            return self._compared(sign, self.code(left), self.code(right))
        if sign == "&":
            one, other = self.text(left), self.text(right)
            return Code(f"({one.python} + {other.python})", TEXT, one.risky or other.risky)
        one, other = self.number(left), self.number(right)
        risky = one.risky or other.risky
        if sign == "/":
            safe = right.sort == "number" and right.says
            return Code(f"({one.python} / {other.python})" if safe else f"divided({one.python}, {other.python})", REAL,
                        risky or not safe)
        if only(COUNTABLE, one.kinds | other.kinds):
            return Code(f"({one.python} {sign} {other.python})", WHOLE, risky)
        made = {"+": "plus({}, {})", "-": "minus({}, {})", "*": "({} * {})"}[sign]
        return Code(made.format(one.python, other.python), NUMERIC, risky)

    def _compared(self, sign: str, one: Code, other: Code) -> Code:
        risky, both = one.risky or other.risky, one.kinds | other.kinds
        python = PYTHON.get(sign, sign)
        plain = only(COUNTABLE, both)
        if sign in PYTHON:
            plain = plain or (only(WHOLE | TEXT, both) and WHOLE in (one.kinds, other.kinds))
            for text, value in ((one, other), (other, one)):
                if text.python == "''":
                    if value.kinds & BLANK:
                        return Code(f"({value.python} {'in' if sign == '=' else 'not in'} ('', None))", TRUTH, risky)
                    plain = True
                elif text.python.startswith("'") and text.python.upper() == text.python.lower():
                    plain = True
        if plain:
            return Code(f"({one.python} {python} {other.python})", TRUTH, risky)
        return Code(f"(compared({one.python}, {other.python}) {python} 0)", TRUTH, risky)


HANDLERS: dict[str, Handler] = {}


def means(name: str) -> Callable[[Handler], Handler]:
    """Declare how a function of formulas is made into Python."""
    def keep(handler: Handler) -> Handler:
        HANDLERS[name] = handler
        return handler

    return keep


def any_risky(codes: Sequence[Code]) -> bool:
    """Whether any of these can end in an error."""
    return any(code.risky for code in codes)
