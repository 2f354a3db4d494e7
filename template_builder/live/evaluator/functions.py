"""How each function of formulas is made into Python; a way of using it that live cells do not need is a mistake."""

from collections.abc import Callable

from template_builder.live.evaluator.compiling import (
    HANDLERS,
    NOW,
    NUMERIC,
    REAL,
    TEXT,
    TRUTH,
    WHOLE,
    Code,
    Compiler,
    any_risky,
    means,
    only,
)
from template_builder.live.evaluator.grammar import FUNCTIONS, NotInTheLanguage
from template_builder.live.evaluator.over_cells import Parts, is_call, matched, refused, says


@means("IF")
def _if(make: Compiler, parts: Parts) -> Code:
    asked = make.truth(parts[0])
    with make.perhaps():
        then = make.code(parts[1])
    with make.perhaps():
        otherwise = make.code(parts[2]) if len(parts) > 2 else Code("False", TRUTH)
    return Code(f"({then.python} if {asked.python} else {otherwise.python})", then.kinds | otherwise.kinds,
                any_risky((asked, then, otherwise)))


@means("IFERROR")
def _iferror(make: Compiler, parts: Parts) -> Code:
    """Quickly: as if there were no error; one that comes up sends the whole column the careful way."""
    asked, otherwise = parts
    if is_call(asked, "MATCH") and otherwise.sort == "number" and isinstance(otherwise.says, int):
        found = matched(make, asked.parts)
        if found:
            value, cells = found
            place = Code(f"{cells}.place({value.python}, {otherwise.says})", WHOLE, value.risky)
            return Code(f"or_else(lambda: {place.python}, lambda: {otherwise.says})", WHOLE) if make.careful else place
    if not make.careful:
        first = make.code(asked)
        with make.perhaps():
            return Code(first.python, first.kinds | make.code(otherwise).kinds, first.risky)
    first, second = make.code(asked), make.code(otherwise)
    return Code(f"or_else(lambda: {first.python}, lambda: {second.python})", first.kinds | second.kinds, second.risky)


def _all_or_any(sign: str) -> Callable[[Compiler, Parts], Code]:
    """AND and OR look at all their arguments: an error in any is an error, even where the others settle it."""
    word = {"&": "and", "|": "or"}[sign]

    def made(make: Compiler, parts: Parts) -> Code:
        first = make.truth(parts[0])
        with make.perhaps():
            rest = [make.truth(part) for part in parts[1:]]
        if not any_risky(rest):
            return Code("(" + f" {word} ".join(code.python for code in (first, *rest)) + ")", TRUTH, first.risky)
        every = [first, *(make.truth(part) for part in parts[1:])]
        return Code("(" + f" {sign} ".join(code.python for code in every) + ")", TRUTH, risky=True)

    return made


HANDLERS["AND"], HANDLERS["OR"] = _all_or_any("&"), _all_or_any("|")


@means("NOT")
def _not(make: Compiler, parts: Parts) -> Code:
    (asked,) = parts
    code = make.truth(asked)
    return Code(f"(not {code.python})", TRUTH, code.risky)


@means("ISNUMBER")
def _isnumber(make: Compiler, parts: Parts) -> Code:
    (asked,) = parts
    code = make.code(asked)
    if make.careful:
        return Code(f"is_number_there(lambda: {code.python})", TRUTH)
    return Code(f"({code.python}.__class__ in NUMBERS)", TRUTH, code.risky)


@means("N")
def _n(make: Compiler, parts: Parts) -> Code:
    (asked,) = parts
    code = make.code(asked)
    return code if only(NUMERIC, code.kinds) else Code(f"n({code.python})", code.kinds & NUMERIC | WHOLE, code.risky)


@means("INT")
def _int(make: Compiler, parts: Parts) -> Code:
    """Of a quotient of whole numbers the whole part is taken without a fraction in between."""
    (asked,) = parts
    if (asked.sort, asked.says) == ("sign", "/") and id(asked) not in make.bound:
        above, below = asked.parts
        if below.sort == "number" and below.says:
            one, other = make.number(above), make.number(below)
            made = "({} // {})" if one.kinds == other.kinds == WHOLE else "floor({} / {})"
            return Code(made.format(one.python, other.python), WHOLE, one.risky)
    code = make.number(asked)
    return code if code.kinds == WHOLE else Code(f"floor({code.python})", WHOLE, code.risky)


@means("ROUND")
def _round(make: Compiler, parts: Parts) -> Code:
    asked, places = parts
    if not says(places, 0):
        raise refused("ROUND", "to whole numbers only")
    code = make.number(asked)
    return Code(f"rounded({code.python})", WHOLE, code.risky)


@means("SQRT")
def _sqrt(make: Compiler, parts: Parts) -> Code:
    (asked,) = parts
    return Code(f"square_root({make.number(asked).python})", REAL, risky=True)


def _extreme(name: str) -> Callable[[Compiler, Parts], Code]:
    """MAX and MIN: words in a cell are passed over."""
    python = {"MAX": "greatest", "MIN": "least"}[name]

    def made(make: Compiler, parts: Parts) -> Code:
        codes = [make.code(part) if part.sort == "cell" or is_call(part, "INDEX") else make.number(part) for part in parts]
        kinds = WHOLE
        for code in codes:
            kinds |= code.kinds & NUMERIC
        function = name.lower() if all(only(NUMERIC, code.kinds) for code in codes) else python
        return Code(f"{function}(({', '.join(code.python for code in codes)},))", kinds, any_risky(codes))

    return made


HANDLERS["MAX"], HANDLERS["MIN"] = _extreme("MAX"), _extreme("MIN")


@means("TRIM")
def _trim(make: Compiler, parts: Parts) -> Code:
    """TRIM makes words of whatever it is given, so `&""` inside it adds nothing."""
    (inner,) = parts
    if inner.sort == "sign" and inner.says == "&" and says(inner.parts[1], ""):
        inner = inner.parts[0]
    code = make.text(inner)
    return Code(f"trim({code.python})", TEXT, code.risky)


@means("SUBSTITUTE")
def _substitute(make: Compiler, parts: Parts) -> Code:
    _, old, _ = parts
    text, *codes = (make.text(part) for part in parts)
    given = ", ".join(code.python for code in codes)
    known = old.sort == "text" and old.says
    python = f"{text.python}.replace({given})" if known else f"substitute({text.python}, {given})"
    return Code(python, TEXT, any_risky((text, *codes)))


@means("MID")
def _mid(make: Compiler, parts: Parts) -> Code:
    text, start, length = parts
    given = f"{make.text(text).python}, {make.number(start).python}, {make.number(length).python}"
    return Code(f"mid({given})", TEXT, risky=True)


@means("RIGHT")
def _right(make: Compiler, parts: Parts) -> Code:
    text, length = parts
    return Code(f"right({make.text(text).python}, {make.number(length).python})", TEXT, risky=True)


@means("LEN")
def _len(make: Compiler, parts: Parts) -> Code:
    (asked,) = parts
    code = make.text(asked)
    return Code(f"len({code.python})", WHOLE, code.risky)


def _part_of_date(part: str) -> Callable[[Compiler, Parts], Code]:
    def made(make: Compiler, parts: Parts) -> Code:
        (asked,) = parts
        return Code(f"day_of({make.number(asked).python}).{part}", WHOLE, risky=True)

    return made


HANDLERS["DAY"], HANDLERS["MONTH"] = _part_of_date("day"), _part_of_date("month")


@means("HYPERLINK")
def _hyperlink(make: Compiler, parts: Parts) -> Code:
    """A link shows its words; where it leads to is words too."""
    target, words = make.text(parts[0]), make.text(parts[1])
    return Code(f"({target.python}, {words.python})[1]", TEXT, any_risky((target, words)))


@means("NOW")
def _now(make: Compiler, parts: Parts) -> Code:
    return Code(make.use(NOW), REAL)


if missing := FUNCTIONS ^ HANDLERS.keys():
    raise NotInTheLanguage(f"functions declared in one place only: {sorted(missing)}")
