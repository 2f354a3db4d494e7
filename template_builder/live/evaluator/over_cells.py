"""How the functions that look through cells are made into Python: looking up, counting and summing."""

from collections.abc import Callable

from template_builder.live.evaluator.compiling import (
    BLANK,
    HANDLERS,
    NUMERIC,
    PYTHON,
    TEXT,
    TRUTH,
    WHOLE,
    Code,
    Compiler,
    means,
    only,
)
from template_builder.live.evaluator.grammar import Node, NotInTheLanguage, walk

_COUNTED = {"<": "below", "<=": "up_to", ">=": "at_least", ">": "above", "=": "equal"}
_WORDS = {"": "('', None)", "~?": "('?',)"}  # counted among cells side by side: nothing, or just a question mark
_ALL = 0  # in INDEX: all rows, or all columns
Parts = tuple[Node, ...]


def is_call(node: Node, *calls: str) -> bool:
    return node.sort == "call" and node.says in calls


def says(node: Node, value: object) -> bool:
    return node.sort in ("number", "text") and node.says == value


def refused(function: str, why: str) -> NotInTheLanguage:
    return NotInTheLanguage(f"{function}: {why}")


@means("ROWS")
def _rows(make: Compiler, parts: Parts) -> Code:
    (node,) = parts
    if make.reads(str(node.says)).shape == "area":
        return Code(f"{make.range(node, 'area')}.rows", WHOLE)
    return Code(f"len({make.range(node)}.cells)", WHOLE)


@means("COLUMNS")
def _columns(make: Compiler, parts: Parts) -> Code:
    (node,) = parts
    if node.sort == "cells":
        return Code(f"len({make.side_by_side(node)[0]})", WHOLE)
    return Code(f"len({make.range(node, 'area')}.columns)", WHOLE)


@means("ROW")
def _row(make: Compiler, parts: Parts) -> Code:
    (node,) = parts
    if not (is_call(node, "INDEX") and len(node.parts) == 3 and says(node.parts[1], 1)):
        raise refused("ROW", "of the first cell of an area only, or of a column of one inside SUMPRODUCT")
    return Code(f"{make.range(node.parts[0], 'area')}.top", WHOLE)


@means("INDEX")
def _index(make: Compiler, parts: Parts) -> Code:
    if len(parts) != 2:
        raise refused("INDEX", "a row or column of an area stands where one value belongs")
    name, place = parts
    if name.sort == "cells":
        (beside, kinds), code = make.side_by_side(name), make.number(place)
        return Code(f"at_beside({beside}, {code.python})", kinds, risky=True)
    if make.is_k(place):
        return make.beside_column(make.named(name))
    cells, code = make.range(name), make.number(place)
    return Code(f"{cells}.at({code.python})", make.reads(str(name.says)).kinds, risky=True)


@means("MATCH")
def _match(make: Compiler, parts: Parts) -> Code:
    found = matched(make, parts)
    if found:
        value, cells = found
        return Code(f"{cells}.match({value.python})", WHOLE, risky=True)
    value, where = make.code(parts[0]), parts[1]
    cells = make.side_by_side(where)[0] if where.sort == "cells" else _row_of_area(make, where)
    return Code(f"match_beside({value.python}, {cells})", WHOLE, risky=True)


def matched(make: Compiler, parts: Parts) -> tuple[Code, str] | None:
    """What is looked for in which column, where it is a column."""
    value, where, exact = parts
    if not says(exact, 0):
        raise refused("MATCH", "finds what is the same only")
    return (make.code(value), make.range(where)) if where.sort == "name" else None


def _row_of_area(make: Compiler, node: Node) -> str:
    if not (is_call(node, "INDEX") and len(node.parts) == 3 and says(node.parts[2], _ALL)):
        raise refused("MATCH", "looks through a column, a row of an area or cells side by side")
    return f"{make.range(node.parts[0], 'area')}.row({make.number(node.parts[1]).python})"


@means("COUNT")
def _count(make: Compiler, parts: Parts) -> Code:
    (counted,) = parts
    if counted.sort == "cells":
        return Code(f"numbers_beside({make.side_by_side(counted)[0]})", WHOLE)
    return Code(f"len({make.range(counted)}.numbers)", WHOLE)


@means("SUM")
def _sum(make: Compiler, parts: Parts) -> Code:
    (added,) = parts
    if added.sort == "cells":
        cells, kinds = make.side_by_side(added)
        total = "total_beside" if make.careful or not only(NUMERIC, kinds) else "sum"
        return Code(f"{total}({cells})", kinds & NUMERIC | WHOLE, risky=True)
    kinds = make.reads(str(added.says)).kinds
    return Code(f"{make.range(added)}.total", kinds & NUMERIC | WHOLE, risky=True)


@means("COUNTA")
def _counta(make: Compiler, parts: Parts) -> Code:
    (node,) = parts
    if node.sort == "name":
        return Code(f"{make.range(node, make.reads(str(node.says)).shape)}.filled", WHOLE)
    if not is_call(node, "INDEX") or not make.is_k(node.parts[1]):
        raise refused("COUNTA", "counts a range, or cells of its own row")
    if len(node.parts) == 2:
        cell = make.code(node)
        python = f"is_filled(lambda: {cell.python})" if make.careful else f"{cell.python} is not None"
        return Code(f"int({python})", WHOLE)
    name = str(node.parts[0].says)
    make.range(node.parts[0], "area")
    return Code(make.counted.setdefault(name, f"a{len(make.counted)}"), WHOLE)


def _ranked(name: str, method: str) -> Callable[[Compiler, Parts], Code]:
    def made(make: Compiler, parts: Parts) -> Code:
        if parts[0].sort == "cells":
            (cells, kinds), place = make.side_by_side(parts[0]), make.number(parts[1])
            return Code(f"{method}_beside({cells}, {place.python})", kinds & NUMERIC, risky=True)
        kinds = make.reads(str(parts[0].says)).kinds
        cells, place = make.range(parts[0]), make.number(parts[1])
        return Code(f"{cells}.{method}({place.python})", kinds & NUMERIC, risky=True)

    return made


HANDLERS["LARGE"], HANDLERS["SMALL"] = _ranked("LARGE", "largest"), _ranked("SMALL", "smallest")


def _criterion(make: Compiler, node: Node) -> tuple[str, Code]:
    """What is counted: numbers that are the same, more or less, never words that a person wrote."""
    if node.sort == "sign" and node.says == "&" and node.parts[0].says in _COUNTED:
        return str(node.parts[0].says), make.number(node.parts[1])
    if node.sort == "text":
        sign = str(node.says).rstrip("0123456789-")
        figures = str(node.says).removeprefix(sign)
        if sign in _COUNTED and figures.removeprefix("-").isdigit():
            return sign, Code(str(int(figures)), WHOLE)
        raise refused("COUNTIF", f"{node.says!r} is not counted")
    code = make.code(node)
    if not only(NUMERIC | TRUTH, code.kinds):
        raise refused("COUNTIF", "counts numbers only")
    return "=", code


@means("COUNTIF")
def _countif(make: Compiler, parts: Parts) -> Code:
    if parts[0].sort == "cells" and parts[1].sort == "text" and parts[1].says in _WORDS:
        return Code(f"words_beside({make.side_by_side(parts[0])[0]}, {_WORDS[str(parts[1].says)]})", WHOLE)
    sign, code = _criterion(make, parts[1])
    if parts[0].sort == "cells":
        if sign != "=":
            raise refused("COUNTIF", "side by side only what is the same is counted")
        cells, kinds = make.side_by_side(parts[0])
        if kinds == code.kinds == WHOLE:
            return Code(f"{cells}.count({code.python})", WHOLE, code.risky)
        return Code(f"count_beside({cells}, {code.python})", WHOLE, code.risky)
    return Code(f"{make.range(parts[0])}.{_COUNTED[sign]}({code.python})", WHOLE, code.risky)


@means("COUNTIFS")
def _countifs(make: Compiler, parts: Parts) -> Code:
    asked = []
    for where, criterion in zip(parts[::2], parts[1::2], strict=True):
        sign, code = _criterion(make, criterion)
        asked.append(f"({make.range(where)}, lambda x, y={code.python}: x {PYTHON.get(sign, sign)} y)")
    return Code(f"count_rows({', '.join(asked)})", WHOLE, risky=make.careful)


@means("SUMIF")
def _sumif(make: Compiler, parts: Parts) -> Code:
    sign, code = _criterion(make, parts[1])
    if sign != "=":
        raise refused("SUMIF", "sums what is the same only")
    if parts[0].sort == "rows":
        return _sum_of_rows(make, code, parts[0], parts[2])
    kinds = make.reads(str(parts[2].says)).kinds
    return Code(f"{make.range(parts[0])}.summed({code.python}, {make.range(parts[2])})", kinds & NUMERIC | WHOLE, risky=True)


def _sum_of_rows(make: Compiler, asked: Code, where: Node, summed: Node) -> Code:
    """SUMIF over some rows of two columns: the same of both."""
    ends = {tuple(index.parts[1] for index in node.parts) for node in (where, summed)}
    searched, added = ({index.parts[0] for index in node.parts} for node in (where, summed))
    if any(len(alike) > 1 for alike in (ends, searched, added)):
        raise refused("SUMIF", "over the same rows of one column and another only")
    ((first, last),), (column,), (other,) = ends, searched, added
    kinds = make.reads(str(other.says)).kinds
    given = f"{asked.python}, {make.range(other)}, {make.number(first).python}, {make.number(last).python}"
    return Code(f"{make.range(column)}.summed_from({given})", kinds & NUMERIC | WHOLE, risky=True)


@means("SUMPRODUCT")
def _sumproduct(make: Compiler, parts: Parts) -> Code:
    """The sum over cells side by side, or over the rows of a column or an area, of what is said of each."""
    (asked,) = parts
    found: dict[int, tuple[str, str]] = {}
    with make.perhaps():
        for node in walk(asked):
            if id(node) not in found and (many := _many(make, node)):
                name, kinds = f"v{len(found)}", many[1]
                found[id(node)] = (name, many[0])
                make.bound[id(node)] = Code(f"checked({name})" if make.careful else name, kinds, risky=make.careful)
        code = make.number(asked)
    if not found:
        raise refused("SUMPRODUCT", "of many cells only")
    names, many_cells = zip(*found.values(), strict=True)
    loop = f"for {names[0]} in {many_cells[0]}" if len(names) == 1 else f"for {', '.join(names)} in zip({', '.join(many_cells)})"
    return Code(f"sum([{code.python} {loop}])", WHOLE, code.risky)


def _many(make: Compiler, node: Node) -> tuple[str, int] | None:
    """The cells of a node that stands for many, and what they can be."""
    if node.sort == "cells":
        return make.side_by_side(node)
    if is_call(node, "INDEX") and len(node.parts) == 2 and says(node.parts[1], _ALL):
        return f"{make.range(node.parts[0])}.cells", make.reads(str(node.parts[0].says)).kinds
    if is_call(node, "INDEX") and len(node.parts) == 3 and says(node.parts[1], _ALL):
        return f"{make.range(node.parts[0], 'area')}.columns[{int(node.parts[2].says) - 1}].cells", NUMERIC | TEXT | BLANK
    if is_call(node, "ROW") and is_call(node.parts[0], "INDEX") and says(node.parts[0].parts[1], _ALL):
        return f"{make.range(node.parts[0].parts[0], 'area')}.row_numbers", WHOLE
    return None
