"""Every small change that can be made to a module: a limit moved by one, a condition dropped, a list value mistaken.

Only the span of one expression is written anew, so that a change stands on the line it is reported for. Sentences (texts
and what is written into them) and types are left alone: nothing is decided there.
"""

import ast
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

OTHER_COMPARISON: Mapping[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}
HALF = 0.5
Enums = Mapping[str, Sequence[str]]


@dataclass(frozen=True, order=True)
class Change:
    """One change of one module: where, what stood there and what stands there instead.

    `within` are the functions around it from the inside out, called as Python calls them ("Groups.of", "_udder.<locals>.
    <lambda>"); `name` is the constant or class of the module that it belongs to where no function is around it, else empty.
    """

    path: str
    line: int
    column: int
    before: str
    after: str
    start: int
    end: int
    within: tuple[str, ...] = ()
    name: str = ""

    def made_in(self, source: str) -> str:
        """The source with the change; start and end count bytes, as the parser does."""
        raw = source.encode()
        return (raw[: self.start] + self.after.encode() + raw[self.end :]).decode()

    @property
    def words(self) -> str:
        return f"{self.path}:{self.line}: {self._told}"

    @property
    def known_as(self) -> str:
        """The same wherever the module is kept and whatever stands above the change in it."""
        return f"{Path(self.path).name} {self.within[0] if self.within else self.name}: {self._told}"

    @property
    def _told(self) -> str:
        return f"{_one_line(self.before)} -> {_one_line(self.after)}"


def _one_line(text: str) -> str:
    return " ".join(text.split())


def enums(source: str) -> Enums:
    """The lists of values declared in a module, by the name of each, with the names of their values."""
    found: dict[str, list[str]] = {}
    for node in ast.parse(source).body:
        if isinstance(node, ast.ClassDef) and node.bases:
            values = [target.id for line in node.body if isinstance(line, ast.Assign)
                      for target in line.targets if isinstance(target, ast.Name)]
            if len(values) > 1:
                found[node.name] = values
    return found


def changes(path: str, source: str, lists: Enums) -> list[Change]:
    """All changes of a module, in the order of its lines."""
    return sorted(_Finder(path, source, {**lists, **enums(source)}).found)


class _Finder(ast.NodeVisitor):
    def __init__(self, path: str, source: str, lists: Enums) -> None:
        self.path, self.lists, self.raw = path, lists, source.encode()
        self.found: set[Change] = set()
        self.within: list[str] = []
        self.around: list[str] = []  # functions and classes
        self.name = ""
        self.starts = [0]
        for line in self.raw.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.visit(ast.parse(source))

    def _add(self, node: ast.expr, *instead: str) -> None:
        assert node.end_lineno is not None and node.end_col_offset is not None
        start, end = self.starts[node.lineno - 1] + node.col_offset, self.starts[node.end_lineno - 1] + node.end_col_offset
        for after in instead:
            self.found.add(Change(self.path, node.lineno, node.col_offset, self.raw[start:end].decode(), after, start, end,
                                  tuple(reversed(self.within)), "" if self.within else self.name))

    def _function(self, name: str, *parts: ast.AST | None) -> None:
        self.within.append(".".join([*self.around, name]))
        self.around += [name, "<locals>"]
        for part in parts:
            if part is not None:
                self.visit(part)
        del self.around[-2:]
        self.within.pop()

    # Where a change belongs

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        self._function(node.name, *node.decorator_list, *node.args.defaults, *node.args.kw_defaults, *node.body)

    def visit_Lambda(self, node: ast.Lambda) -> None:
        self._function("<lambda>", node.body)

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self.around.append(node.name)
        self._named(node.name, *node.body)
        self.around.pop()

    def visit_Assign(self, node: ast.Assign) -> None:
        target = node.targets[0]
        self._named(target.id if isinstance(target, ast.Name) else ast.unparse(target).strip("()").split(",")[0], node.value)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self._named(ast.unparse(node.target), node.value)

    def _named(self, name: str, *parts: ast.AST) -> None:
        outer, self.name = self.name, self.name or name
        for part in parts:
            self.visit(part)
        self.name = outer

    # What is left alone

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        """A sentence; where its parts stand in the source is not told by the parser either."""

    def visit_arg(self, node: ast.arg) -> None:
        """A type."""

    def visit_keyword(self, node: ast.keyword) -> None:
        """How wide a column is and how its cells look decides nothing; and that lists walked together are of one length is
        the program's own assertion."""
        if node.arg not in ("strict", "width", "style"):
            self.generic_visit(node)

    # The changes

    def visit_Compare(self, node: ast.Compare) -> None:
        for at, operator in enumerate(node.ops):
            other = OTHER_COMPARISON[type(operator)]()
            changed = ast.Compare(node.left, [*node.ops[:at], other, *node.ops[at + 1 :]], node.comparators)
            self._add(node, f"({ast.unparse(changed)})")
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        self._add(node, f"({ast.unparse(ast.BoolOp(other, node.values))})")
        for at in range(len(node.values)):
            rest = [*node.values[:at], *node.values[at + 1 :]]
            self._add(node, f"({ast.unparse(rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest))})")
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.Not):
            self._add(node, f"({ast.unparse(node.operand)})")
        self.generic_visit(node)

    def visit_If(self, node: ast.If) -> None:
        self._add(node.test, "False")
        self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        if not (_said(node.body) and _said(node.orelse)):
            self._add(node, f"({ast.unparse(node.body)})", f"({ast.unparse(node.orelse)})")
            self.generic_visit(node)

    def visit_comprehension(self, node: ast.comprehension) -> None:
        for condition in node.ifs:
            self._add(condition, "True")
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self._add(node, str(not value))
        elif isinstance(value, int):
            self._add(node, str(value + 1), str(value - 1))
        elif isinstance(value, float):
            step = HALF if value % 1 == 0 else value * HALF
            self._add(node, repr(value + step), repr(value - step))

    def visit_Attribute(self, node: ast.Attribute) -> None:
        values = self.lists.get(node.value.id, ()) if isinstance(node.value, ast.Name) else ()
        if node.attr in values and isinstance(node.ctx, ast.Load):
            following = dict(pairwise([*values, values[0]]))[node.attr]
            self._add(node, f"{ast.unparse(node.value)}.{following}")
        self.generic_visit(node)



def _said(node: ast.expr) -> bool:
    """Whether this is a text: which of two words a sentence uses decides nothing."""
    return isinstance(node, ast.JoinedStr) or isinstance(node, ast.Constant) and isinstance(node.value, str)


def users(source: str, name: str) -> list[str]:
    """The functions of a module that mention a name, called as Python calls them."""
    return sorted({function for function, node in _functions(ast.parse(source), ())
                   if any(name == _called(part) for part in ast.walk(node))})


def made_of(source: str, name: str) -> list[str]:
    """The constants of a module whose value mentions a name."""
    return [target.id for line in ast.parse(source).body if isinstance(line, ast.Assign)
            for target in line.targets if isinstance(target, ast.Name)
            and any(name == _called(part) for part in ast.walk(line.value))]


def _functions(node: ast.AST, around: tuple[str, ...]) -> Iterator[tuple[str, ast.AST]]:
    for child in ast.iter_child_nodes(node):
        inside = around
        if isinstance(child, ast.FunctionDef | ast.Lambda | ast.ClassDef):
            inside = (*around, "<lambda>" if isinstance(child, ast.Lambda) else child.name)
            if not isinstance(child, ast.ClassDef):
                yield ".".join(inside), child
                inside = (*inside, "<locals>")
        yield from _functions(child, inside)


def _called(node: ast.AST) -> str:
    return node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""
