"""What a formula may be: functions that every spreadsheet program knows, plain ranges, nothing that counts by tag."""

import re
from collections.abc import Iterator
from functools import cache

from validity.parts import MAIN, Broken, Finding, Package, place

LONGEST_FORMULA, LONGEST_LITERAL = 8_192, 255

# Known to Excel 2007 and later, LibreOffice 7.4 and Gnumeric alike, without a prefix, and without dynamic arrays.
_SAFE = """
    SUM COUNT COUNTA COUNTBLANK COUNTIF COUNTIFS SUMIF SUMIFS AVERAGEIF AVERAGEIFS INDEX MATCH VLOOKUP IF IFERROR AND OR
    SUMPRODUCT MEDIAN PERCENTILE STDEV ROUND MIN MAX LARGE SMALL DATE EDATE WEEKNUM DATEDIF TEXT TRIM LEN HYPERLINK NOW TODAY
    ROW ROWS COLUMNS MOD INT SQRT ABS NOT N ISNUMBER LEFT RIGHT MID SUBSTITUTE DAY MONTH TRUE FALSE
"""
SAFE_FUNCTIONS = frozenset(_SAFE.split())

# Functions whose criterion matches text: programs differ on whether "0412" and "412" are one tag, and "*" is a wildcard.
# For each the position, from 0, of its first criterion and the step to the next.
CRITERIA = {
    "COUNTIF": (1, 2), "COUNTIFS": (1, 2), "SUMIF": (1, 9), "SUMIFS": (2, 2), "AVERAGEIF": (1, 9), "AVERAGEIFS": (2, 2),
}
_COMPARED = re.compile(r'"(<|>|<=|>=)"&.+')  # compared by size: matches numbers alone
_RECKONED = re.compile(r"\$?[A-Z]{1,3}\$?\d+[-+]\d+")  # a cell with a number added: never text, so never a tag
_CONSTANT = re.compile(r'-?\d+(\.\d+)?|"[^"]*"|TRUE|FALSE')
_ROW = re.compile(r"live_found")  # the row of the ewe looked up on Tonight: always a number
_NO_TAG = (_COMPARED, _CONSTANT, _RECKONED, _ROW)

LOST = "#REF!"
_TEXT = re.compile(r'"(?:[^"]|"")*"')
_SHEET = re.compile(r"'(?:[^']|'')*'")
_FUNCTION = re.compile(r"([A-Za-z_][\w.]*)\(")
_STRUCTURED = re.compile(r"\w\[|\[[@#]")
_NAMED_SHEET = re.compile(r"('(?:[^']|'')*'|[^\s'!,()&=<>+*/:;^-][^'!,()&=<>+*/:;^]*)!")
_TWO_SHEETS = re.compile(r"![^,()]*:[^,()]*!")


def formulas(package: Package) -> Iterator[tuple[str, str]]:
    """Every formula with its place: of cells, validations, conditional formats and defined names."""
    for sheet in package.sheets:
        for reference, cell in sheet.cells.items():
            if (formula := cell.findtext(f"{MAIN}f")) is not None:
                yield f"{sheet.title}!{reference}", formula
        for kind, names in (("dataValidation", ("formula1", "formula2")), ("cfRule", ("formula",))):
            for rule in sheet.tree.iter(f"{MAIN}{kind}"):
                for formula in (found.text or "" for name in names for found in rule.findall(f"{MAIN}{name}")):
                    if not _TEXT.fullmatch(formula):  # the items of a list, written in place
                        yield f"{sheet.title}, {kind} {rule.get('sqref', '')}".rstrip(), formula
    for name, _, formula in package.names:
        yield f"name {name}", formula


def functions_in(formula: str) -> list[str]:
    """The functions of a formula, as often as they stand in it."""
    return [found.upper() for found in _FUNCTION.findall(_bare(formula))]


def criteria_in(formula: str) -> list[str]:
    """Each criterion given to a COUNTIF, SUMIF or their like."""
    found = []
    for call in _FUNCTION.finditer(formula):
        if call[1].upper() in CRITERIA:
            given = _arguments(formula[call.end():])
            first, step = CRITERIA[call[1].upper()]
            found += given[first::step]
    return found


def _arguments(rest: str) -> list[str]:
    """The arguments of a call, from behind its opening bracket on."""
    arguments, depth, quoted = [""], 0, ""
    for letter in rest:
        if quoted:
            quoted = "" if letter == quoted else quoted
        elif letter in "\"'":
            quoted = letter
        elif letter == ")" and depth == 0:
            break
        elif letter == "," and depth == 0:
            arguments.append("")
            continue
        depth += {"(": 1, ")": -1}.get(letter, 0) if not quoted else 0
        arguments[-1] += letter
    return [argument.strip() for argument in arguments]


def _bare(formula: str) -> str:
    """A formula without its texts and quoted sheet titles."""
    return _SHEET.sub("S", _TEXT.sub('""', formula))


def formula_findings(package: Package) -> Iterator[Finding]:
    for where, formula in formulas(package):
        broken, by_text = _judged(formula)
        yield from (Finding(rule, where, what) for rule, what in broken)
        title = where.rpartition("!")[0]
        yield from (
            Finding(Broken.CRITERION_MAY_BE_A_TAG, where, given) for given in by_text if not _is_a_number(package, title, given)
        )


@cache
def _judged(formula: str) -> tuple[tuple[tuple[Broken, str], ...], tuple[str, ...]]:
    """What is wrong with a formula wherever it stands, and its criteria that might match text; thousands of cells share one."""
    bare = _bare(formula)
    longest = max((len(text) for text in _TEXT.findall(formula)), default=0) - len('""')
    found = [
        (rule, formula)
        for rule, broken in (
            (Broken.FORMULA_OVER_8192_CHARACTERS, len(formula) > LONGEST_FORMULA),
            (Broken.TEXT_IN_A_FORMULA_OVER_255_CHARACTERS, longest > LONGEST_LITERAL),
            (Broken.FORMULA_OUT_OF_BALANCE, not balanced(bare)),
            (Broken.STRUCTURED_REFERENCE, bool(_STRUCTURED.search(bare))),
            (Broken.ARGUMENTS_PARTED_BY_A_SEMICOLON, ";" in bare),
            (Broken.RANGE_NAMES_ITS_SHEET_TWICE, bool(_TWO_SHEETS.search(bare))),
            (Broken.REFERENCE_LOST, LOST in bare),
        )
        if broken
    ]
    found += [(Broken.FUNCTION_NOT_SAFE, name) for name in functions_in(formula) if name not in SAFE_FUNCTIONS]
    by_text = [given for given in criteria_in(formula) if not any(kind.fullmatch(given) for kind in _NO_TAG)]
    return tuple(found), tuple(by_text)


def _is_a_number(package: Package, title: str, given: str) -> bool:
    """Whether a criterion is a cell of the same sheet in which a number was written, such as the number of a row."""
    cells = next((sheet.cells for sheet in package.sheets if sheet.title == title), {})
    cell = cells.get(given.replace("$", ""))
    return cell is not None and cell.get("t", "n") == "n" and cell.find(f"{MAIN}f") is None and bool(cell.findtext(f"{MAIN}v"))


def balanced(bare: str) -> bool:
    """Whether brackets and quotation marks close in order, in a formula without its texts."""
    depth = 0
    for letter in bare:
        depth += {"(": 1, ")": -1}.get(letter, 0)
        if depth < 0:
            return False
    return depth == 0 and '"' not in bare.replace('""', "") and "'" not in bare


def sheets_named(formula: str) -> list[str]:
    """The titles of the sheets a formula names, as they are written: quoted or not."""
    return _NAMED_SHEET.findall(_TEXT.sub('""', formula).replace(LOST, ""))


def needs_quotes(title: str) -> bool:
    """Whether a sheet title has to stand in quotation marks within a formula."""
    return not re.fullmatch(r"[^\W\d][\w.]*", title) or looks_like_a_cell(title)


def looks_like_a_cell(name: str) -> bool:
    """Whether a name could be taken for a cell, in either way of writing them."""
    return place(name) is not None or bool(re.fullmatch(r"R\d*(C\d*)?|C\d*", name, re.IGNORECASE))
