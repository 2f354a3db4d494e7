"""The evaluator of live formulas: what each sign and function gives, the same in LibreOffice, and what it refuses."""

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
import xlsxwriter
from office import taken

from template_builder.live.columns import LiveColumn, LiveSheet
from template_builder.live.evaluator.compiling import Place
from template_builder.live.evaluator.grammar import FUNCTIONS, NotInTheLanguage, functions_in, parse
from template_builder.live.evaluator.meaning import CellValue, Fault
from template_builder.live.evaluator.ranges import Area, Range
from template_builder.live.evaluator.reckoning import Formula, Language, Reckoning

# A column of odd cells, and three columns side by side, as they stand below in LibreOffice too.
MIXED: tuple[CellValue, ...] = (
    3, "3", None, "", "Ewe", "  two   words ", 0.1, 2.5, "?", "A*", "AB", 46106.125, 3, -1.5, "~x", "ewe",
)
KEYS: tuple[CellValue, ...] = (5, 1, "", 3, 3, 9_007_199_254_740_990, None, 0.3)
SUMS: tuple[CellValue, ...] = (10, 20, 30, 40, "50", 60, 70, 80)
TABLE: tuple[tuple[CellValue, ...], ...] = ((1, "", None), (2, "x", 7), (None, None, None))


LAST = ',"error")'


def m(number: int) -> str:
    return f"INDEX(some_mixed,{number})"


# Formula -> value. Errors are asked for through IFERROR, as programs name them differently.
CASES: dict[str, CellValue] = {
    # blank, empty words and 0
    f'IF({m(3)}="",1,0)': 1, f"IF({m(3)}=0,1,0)": 1, f'IF({m(4)}="",1,0)': 1, f"IF({m(4)}=0,1,0)": 0, f"{m(3)}+1": 1,
    f'{m(3)}&"|"': "|", f"N({m(3)})": 0, f"N({m(5)})": 0, f"{m(3)}": 0, f'IF({m(3)}<>"?",1,0)': 1,
    f"IF(0={m(3)},1,0)": 1, f"IF({m(1)}>{m(3)},1,0)": 1, f'IF(""={m(3)},1,0)': 1, f"IF({m(5)}>{m(3)},1,0)": 1,
    # words and numbers
    f'{m(2)}+"2.5"': 5.5, f"IF({m(1)}<\"5\",1,0)": 1, 'IF(7<"5",1,0)': 1, '0*-1.5&""': "0", '3&""': "3",
    '999999999999999&""': "999999999999999",
    f"IF({m(1)}={m(2)},1,0)": 0, f"IF({m(1)}<{m(5)},1,0)": 1, f"{m(2)}+1": 4, f'IFERROR({m(5)}+1,"error")': "error",
    f'IFERROR({m(4)}+1,"error")': "error", f"IF(ISNUMBER({m(2)}),1,0)": 0, f"IF(ISNUMBER({m(7)}),1,0)": 1,
    f'IF({m(5)}="eWE",1,0)': 1, f"IF({m(5)}={m(16)},1,0)": 1, 'IF("B">"a",1,0)': 1, f'{m(8)}&""': "2.5",
    f'{m(12)}&""': "46106.125",
    f'{m(1)}&"-"&{m(1)}': "3-3", '"say ""so"""': 'say "so"', '10/4&""': "2.5", '1/3&""': "0.333333333333333",
    # numbers that reckoning with fractions leaves a hair apart
    "IF(0.1+0.2=0.3,1,0)": 1, "0.3-0.1-0.2": 0, "IF(0.3-0.1-0.2=0,1,0)": 1, "IF(0.2-(0.3-0.1)=0,1,0)": 1,
    "IF(-0.2-(0.1-0.3)=0,1,0)": 1, "IF(0.2-(-0.2)=0.4,1,0)": 1, "INT((0.1+0.7)*10)": 8, "INT(-1.5)": -2, "IF(0.1+0.2>0.3,1,0)": 0,
    "IF(9007199254740990=9007199254740989,1,0)": 0, f"INT({m(14)})": -2, "INT(2.99999)": 2, "INT(7/2)": 3, "INT(-7/2)": -4,
    'IFERROR(INT(7/COUNTIF(some_keys,99)),"error")': "error",
    "ROUND(2.5,0)": 3, "ROUND(-2.5,0)": -3, "ROUND(46106.125*1440,0)": 66_392_820, 'IFERROR(1/0,"error")': "error",
    'IFERROR(INT(7/0),"error")': "error", "MAX(7)": 7, "MAX(2,5)-MIN(2,5)": 3, f"MIN({m(5)},4)": 4, f"MAX({m(5)},-4)": -4,
    "SQRT(6.25)": 2.5, "SQRT(0)": 0, f'IFERROR(SQRT({m(14)}),"error")': "error",
    # order of signs
    "1+2*3": 7, "(1+2)*3": 9, "8/4/2": 1, "5-2-1": 2, '1+1&"a"': "2a", "IF(1+1=2,1,0)": 1, "-3+5": 2, "2-(-3)": 5,
    # yes and no
    "IF(AND(1=1,2=2,3=3),1,0)": 1, "IF(AND(1=1,2=3),1,0)": 0, "IF(OR(1=2,2=2),1,0)": 1, "IF(NOT(1=2),1,0)": 1,
    'IFERROR(IF(AND(1=2,1/0=1),1,0),"error")': "error", 'IFERROR(IF(OR(1=1,1/0=1),1,0),"error")': "error",
    'IFERROR(IF(AND(1=2,"x"+1=1),1,0),"error")': "error",
    "IF(AND(SMALL(some_keys,5),SMALL(some_sums,1)),1,0)": 1,  # 5 and 10 are both something, though they share no digit in twos
    'IF(1=2,1/0,"fine")': "fine", "IF(1=1,7)": 7, "(1=1)*(2=2)+(1=2)": 1, "IF(2,1,0)": 1, "IF(TRUE,1,0)+IF(FALSE,1,0)": 1,
    # words
    f"TRIM({m(6)})": "two words", f'TRIM({m(6)}&"")': "two words", f"TRIM({m(3)})": "", f"TRIM({m(1)})": "3",
    'MID("; one; two",3,250)': "one; two", 'MID("abc",9,2)': "", 'IFERROR(MID("abc",0,2),"error")': "error",
    'MID("abc",2,0)': "", 'IFERROR(MID("abc",2,-1),"error")': "error",
    'SUBSTITUTE("a~b~","~","~~")': "a~~b~~", f'SUBSTITUTE("ab",{m(3)}&"","x")': "ab",
    'RIGHT("0412",2)': "12", 'RIGHT("0412",9)': "0412", 'RIGHT("0412",0)': "", 'IFERROR(RIGHT("ab",-1),"error")': "error",
    f"RIGHT({m(12)},3)": "125", f"RIGHT({m(3)},3)": "", 'LEN("two words")': 9, f"LEN({m(3)})": 0, f"LEN({m(8)})": 3,
    "DAY(46106.99)": 25, "MONTH(46106)": 3, "DAY(61)": 1, "MONTH(61)": 3, f"MONTH({m(12)})": 3,
    'IFERROR(DAY("soon"),"error")': "error", 'HYPERLINK("#asked!A"&1,"row "&1)': "row 1",
    f'HYPERLINK("#asked!A"&({m(1)}+1),"row "&({m(1)}+1))': "row 4",
    'IFERROR(HYPERLINK("#asked!A"&1/0,"row"),"error")': "error",
    # looking up
    "MATCH(3,some_mixed,0)": 1, 'MATCH("EWE",some_mixed,0)': 5, 'MATCH("A~*",some_mixed,0)': 10,
    'MATCH("a?",some_mixed,0)': 10, 'MATCH("a*b",some_mixed,0)': 11, 'MATCH("~~x",some_mixed,0)': 15,
    'MATCH("~?",some_mixed,0)': 9,
    'IFERROR(MATCH("nobody",some_mixed,0),-1)': -1, 'IFERROR(MATCH(99,some_mixed,0)+1,"error")': "error",
    'IFERROR("MATCH",1)': "MATCH", "INT(IFERROR(MATCH(99,some_mixed,0),0.5))": 0,
    "MATCH(0.1+0.2,some_keys,0)": 8, 'IFERROR(INDEX(some_mixed,17),"error")': "error",
    'IFERROR(INDEX(some_mixed,-1),"error")': "error",
    "MATCH(2,INDEX(some_table,2,0),0)": 1, "MATCH(7,INDEX(some_table,2,0),0)": 3,
    # counting and ranking
    "COUNT(some_keys)": 6, "COUNTA(some_keys)": 7, "ROWS(some_keys)": 8, "COUNTIF(some_keys,3)": 2, "COUNTIF(some_keys,0)": 0,
    'COUNTIF(some_keys,">3")': 2, 'COUNTIF(some_keys,">=3")': 4, 'COUNTIF(some_keys,"<3")': 2, 'COUNTIF(some_keys,"<=3")': 4,
    'COUNTIF(some_keys,">="&2+1)': 4, 'COUNTIF(some_keys,"<"&9007199254740990)': 5, "COUNTIF(some_keys,0.1+0.2)": 1,
    "SMALL(some_keys,1)": 0.3, "SMALL(some_keys,3)": 3, "LARGE(some_keys,2)": 5, 'IFERROR(SMALL(some_keys,7),"error")': "error",
    'IFERROR(LARGE(some_keys,0),"error")': "error", "SUM(some_sums)": 310, "SUMIF(some_keys,3,some_sums)": 40,
    "SUMIF(some_keys,1,some_sums)": 20, "SUMIF(some_keys,77,some_sums)": 0, 'COUNTIFS(some_keys,">=3",some_sums,40)': 1,
    'COUNTIFS(some_keys,">="&(1+2),some_sums,">"&(1+2))+(1+2)': 6,
    "SUMPRODUCT((LEN(INDEX(some_mixed,0))=3)*(LEN(INDEX(some_mixed,0))>2))": 4,
    "SUMIF(INDEX(some_keys,2):INDEX(some_keys,MIN(1+3,8)),3,INDEX(some_sums,2):INDEX(some_sums,MIN(1+3,8)))": 40,
    "SUMIF(INDEX(some_keys,4):INDEX(some_keys,5),3,INDEX(some_sums,4):INDEX(some_sums,5))": 40,
    'IFERROR(SUMIF(INDEX(some_keys,7):INDEX(some_keys,9),3,INDEX(some_sums,7):INDEX(some_sums,9)),"error")': "error",
    'COUNTIFS(some_keys,3,some_sums,">0")': 1, "COUNTA(some_table)": 5, "ROWS(some_table)": 3, "COLUMNS(some_table)": 3,
    "ROW(INDEX(some_table,1,1))": 1,
    'SUMPRODUCT((INDEX(some_table,0,1)<>"")+(INDEX(some_table,0,3)<>""))': 3,
    'SUMPRODUCT(((INDEX(some_table,0,1)<>"")+(INDEX(some_table,0,2)<>"")>0)*(ROW(INDEX(some_table,0,1))>=2))': 1,
    'SUMPRODUCT((RIGHT(INDEX(some_mixed,0),1)="e")*1)': 2, 'SUMPRODUCT((RIGHT("00"&INDEX(some_mixed,0),2)="03")*1)': 3,
    'SUMPRODUCT((INDEX(some_keys,0)=3)*(ROWS(some_keys)))': 16, "SUMPRODUCT((INDEX(some_keys,0)=INDEX(some_keys,4))*1)": 2,
    'IFERROR(SUMPRODUCT((INDEX(some_errors,0)=4)*1),"error")': "error",
    # an error in a cell
    'IFERROR(1+INDEX(some_errors,2),"error")': "error", 'IF(ISNUMBER(INDEX(some_errors,2)),"yes","no")': "no",
    "COUNT(some_errors)": 2, "COUNTA(some_errors)": 3, "COUNTIF(some_errors,4)": 2, "MATCH(4,some_errors,0)": 1,
    'IFERROR(SUM(some_errors),"error")': "error", 'IFERROR(SMALL(some_errors,1),"error")': "error",
    'IFERROR(SUMIF(some_errors,4,some_errors),"error")': 8, 'IFERROR(IF(INDEX(some_errors,2)="",1,2),"error")': "error",
    'IFERROR(IF(AND(1=2,INDEX(some_errors,2)=1),1,2),"error")': "error",
    "IF(INDEX(some_errors,1)=4,7,INDEX(some_errors,2))": 7, f"IFERROR(1/0,{m(1)}+1)+({m(1)}+1)": 8,
}
# AND looks at all it is given: an error in its second part is one, whatever the first says.
CASES |= {f'IFERROR(IF(AND(1=2,({formula[len("IFERROR("):-len(LAST)]})=1),1,0){LAST}': "error"
          for formula, value in CASES.items() if formula.startswith("IFERROR(") and formula.endswith(LAST) and value == "error"}
# Whatever is made of an error is one, and AND sees that too.
ERROR = "SMALL(some_keys,99)"
MADE_OF_IT = (
    *(part for sign in ("+", "-", "*", "/", "&", "=", "<>", "<", ">=") for part in (f"({ERROR}{sign}1)", f"(1{sign}{ERROR})")),
    f"NOT({ERROR})", f"N({ERROR})", f"INT({ERROR})", f"INT({ERROR}/2)", f"ROUND({ERROR},0)", f"SQRT({ERROR})", f"MAX(1,{ERROR})",
    f"MIN({ERROR},1)", f"LEN({ERROR})", f"TRIM({ERROR})", f"RIGHT({ERROR},1)", f"MID({ERROR},1,1)", f"DAY({ERROR})",
    f'SUBSTITUTE("a",{ERROR},"b")', f"IF({ERROR},1,1)", f"IF(1=1,{ERROR},1)", f"IF(1=2,1,{ERROR})", f"IFERROR(1/0,{ERROR})",
    f"COUNTIF(some_keys,{ERROR})", f"INDEX(some_mixed,{ERROR})", f"MATCH({ERROR},some_mixed,0)",
    f"SUMPRODUCT((INDEX(some_keys,0)={ERROR})*1)", f"SUMIF(some_keys,{ERROR},some_sums)",
    f"AND(1=2,{ERROR}=1)", f"OR(1=1,{ERROR}=1)",
)
CASES |= {f'IFERROR(IF(AND(1=2,{part}=1),1,0){LAST}': "error" for part in MADE_OF_IT}
ERRORS = (4, Fault("#DIV/0!"), 4)


def given() -> dict[str, Range | Area]:
    return {
        "some_mixed": Range(MIXED), "some_keys": Range(KEYS), "some_sums": Range(SUMS),
        "some_errors": Range(ERRORS), "some_table": Area([Range(column) for column in zip(*TABLE, strict=True)], 1),
    }


def value(formula: str) -> CellValue | Fault:
    """What a formula alone gives over the cells above."""
    cells = given()
    places = {name: Place("area" if isinstance(found, Area) else "column") for name, found in cells.items()}
    language = Language({"it": Formula(formula, {}, alone=True)}, places, {})
    return Reckoning(language, {}, cells.__getitem__, {}, 46106.5).cell("it")


@pytest.mark.parametrize("formula", CASES)
def test_a_formula_gives(formula: str) -> None:
    found = value(formula)
    assert CASES[formula] == (pytest.approx(found, abs=1e-12) if isinstance(found, int | float) else found)


def test_every_function_is_tried() -> None:
    tried = {name for formula in CASES for name in functions_in(formula)}
    assert {"NOW"} == FUNCTIONS - tried
    assert 46106.5 == value("NOW()")


def test_libreoffice_gives_the_same(tmp_path: Path) -> None:
    path = tmp_path / "cases.xlsx"
    with xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_numbers": False}) as book:
        sheet = book.add_worksheet("cells")
        columns = [MIXED, KEYS, SUMS, ERRORS, *zip(*TABLE, strict=True)]
        for column, cells in enumerate(columns):
            for row, cell in enumerate(cells):
                _put(sheet, row, column, cell)
        names = {"some_mixed": "A", "some_keys": "B", "some_sums": "C", "some_errors": "D"}
        for number, (name, letter) in enumerate(names.items()):
            book.define_name(name, f"=cells!${letter}$1:${letter}${len(columns[number])}")
        book.define_name("some_table", f"=cells!$E$1:$G${len(TABLE)}")
        asked = book.add_worksheet("asked")
        for row, formula in enumerate(CASES):
            asked.write_formula(row, 0, f"={formula}", None, 0)
    (rows,) = taken(path, [["recalculate"], ["read", "asked", f"A1:A{len(CASES)}"]])[-1:]
    found = dict(zip(CASES, (row[0] for row in rows), strict=True))
    unlike = {formula: (found[formula], wanted) for formula, wanted in CASES.items()
              if found[formula] != (pytest.approx(wanted, abs=1e-12) if isinstance(wanted, int | float) else wanted)}
    assert {} == unlike


def _put(sheet: xlsxwriter.worksheet.Worksheet, row: int, column: int, cell: CellValue | Fault) -> None:
    match cell:
        case "":
            sheet.write_formula(row, column, '=""', None, "")
        case str():
            sheet.write_string(row, column, cell)
        case Fault():
            sheet.write_formula(row, column, "=1/0", None, "#DIV/0!")
        case int() | float():
            sheet.write_number(row, column, cell)


@pytest.mark.parametrize("formula", [
    "VLOOKUP(1,some_mixed,2)", "TODAY()", "Sum(some_keys)", "1+", "(1", "1)", "IF(1=1,2", '"open', "some_keys+1", "nobody_here",
    "INDEX(nobody_here,1)", 'COUNTIF(some_keys,"ewe")', 'COUNTIF(some_keys,INDEX(some_mixed,5)&"")', "COUNTIF(some_table,1)",
    "MATCH(1,some_keys,1)", "ROUND(1.25,1)", "INDEX(some_table,1,0)", "SUMPRODUCT(1)", "ROW(some_keys)", "$A{row}+1", "A1",
    "ROW(INDEX(some_table,2,1))", "{1,2}", 'SUMIF(some_keys,">1",some_sums)', "COUNTA(INDEX(some_keys,2))",
    "MATCH(2,INDEX(some_table,2),0)", "MATCH(2,INDEX(some_table,0,2),0)", "MATCH(2,1+1,0)", 'COUNTIF(some_keys,"3")',
    'COUNTIF(some_keys,">x")', 'COUNTIF(some_keys,">")', "INDEX(some_keys,1):3", "ROWS(some_keys):INDEX(some_keys,2)",
    "SUMIF(INDEX(some_keys,1):INDEX(some_sums,2),3,INDEX(some_sums,1):INDEX(some_sums,2))",
    "SUMIF(INDEX(some_keys,1):INDEX(some_keys,2),3,INDEX(some_sums,1):INDEX(some_sums,3))",
    "SUMIF(INDEX(some_keys,1):INDEX(some_keys,2),3,some_sums)", "SUMPRODUCT(ROW(some_keys)*1)",
])
def test_what_the_language_does_not_have_is_a_mistake(formula: str) -> None:
    with pytest.raises(NotInTheLanguage):
        value(formula)


@pytest.mark.parametrize(("formula", "at"), [
    ("(1", "''"), ("1)+2", "')'"), ("1+*2", "'*'"), ("COUNT($A{row}:3)", "'3'"), ("INDEX(some_keys,1):7", "'7'"),
    ("IF(1=1 2)", "'2'"),
])
def test_a_mistake_names_the_place_where_it_is(formula: str, at: str) -> None:
    with pytest.raises(NotInTheLanguage, match=f"^{re.escape(at)} stands where it cannot"):
        parse(formula)


@pytest.mark.parametrize("formula", ['COUNTIF({seen}:{k},">1")', "INDEX(it_area,{k})"])
def test_what_a_row_may_not_ask_of_cells_side_by_side_or_of_an_area_is_a_mistake(formula: str) -> None:
    with pytest.raises(NotInTheLanguage):
        rows({"seen": "INDEX(it_typed,{k})", "asked": formula}, (1, 2))


def rows(formulas: Mapping[str, str], typed: tuple[CellValue | Fault, ...]) -> dict[str, tuple[CellValue | Fault, ...]]:
    """Columns of formulas over a column that was typed, `{typed}`, each reading the cells of its own row."""
    sheet = LiveSheet("it", tuple(LiveColumn(id, formula) for id, formula in formulas.items()), rows=len(typed))
    own = {f"${chr(64 + number)}{{row}}": "k" if id == "k" else sheet.name(id) for id, number in sheet.places.items()}
    made = {sheet.name(column.id): Formula(sheet.formula(column), own) for column in sheet.columns}
    language = Language(made, {"it_typed": Place("column"), "it_area": Place("area")}, {})
    reckoning = Reckoning(language, {}, {"it_typed": Range(typed)}.__getitem__, dict.fromkeys(made, len(typed)), 0.0)
    return {id: tuple(reckoning.column(sheet.name(id)).cells) for id in formulas}


BESIDE = {
    "seen": "INDEX(it_typed,{k})", "safe": 'IFERROR({seen}+0,"?")', "number": "IF(ISNUMBER({seen}),1,0)",
    "twice": 'IF({seen}+{k}>2,{seen}+{k},-({seen}+{k}))', "many": '{k}*10+COUNTIF({seen}:{twice},3)',
    "unread": 'SUMPRODUCT(NOT(ISNUMBER({seen}:{safe}))*({seen}:{safe}<>""))', "least": "SMALL({number}:{twice},1)",
    "most": "LARGE({number}:{twice},1)", "picked": "INDEX({seen}:{twice},{k})",
    "beyond": 'IFERROR(INDEX({seen}:{twice},5),"none")', "total": "SUM({seen}:{number})",
    "filled": "COUNTA(INDEX(it_typed,{k}))",
    "wrong": 'IFERROR(IF(AND({k}=99,INDEX({seen}:{twice},5)=1),1,0),"?")',
    "nowhere": 'IFERROR(IF(AND({k}=99,MATCH(99,{seen}:{twice},0)=1),1,0),"?")',
    "too_few": 'IFERROR(IF(AND({k}=99,LARGE({number}:{twice},5)=1),1,0),"?")',
    "words": 'COLUMNS({seen}:{safe})-COUNT({seen}:{safe})-COUNTIF({seen}:{safe},"")-COUNTIF({seen}:{safe},"~?")',
}


def test_columns_are_worked_out_row_by_row() -> None:
    assert {
        "seen": (1, 3, 0), "safe": (1, 3, 0), "number": (1, 1, 1), "twice": (-2, 5, 3), "many": (10, 22, 31), "unread": (0, 0, 0),
        "least": (-2, 1, 1), "most": (1, 5, 3), "picked": (1, 3, 1), "beyond": ("none",) * 3,
        "wrong": ("?",) * 3, "nowhere": ("?",) * 3, "too_few": ("?",) * 3,
        "total": (3, 7, 1), "filled": (1, 1, 0), "words": (0, 0, 0),
    } == rows(BESIDE, (1, 3, None))


def test_among_cells_side_by_side_what_is_a_hair_from_a_number_is_counted() -> None:
    formulas = {"seen": "INDEX(it_typed,{k})", "many": "COUNTIF({seen}:{seen},3)"}
    assert (1, 1, 0) == rows(formulas, (3, 3 - 2.0**-51, 2.999))["many"]


def test_an_error_stays_in_its_row_and_spreads_there() -> None:
    fault = Fault("#N/A")
    found = rows(BESIDE, (1, fault, "x"))
    assert (1, fault, "x") == found["seen"] and (1, "?", "?") == found["safe"] and (1, 0, 0) == found["number"]
    assert (-2, fault, Fault("#VALUE!")) == found["twice"]
    assert (10, 20, 30) == found["many"]
    assert (0, fault, 2) == found["unread"]
    assert (-2, fault, Fault("#VALUE!")) == found["least"]
    assert (1, fault, Fault("#VALUE!")) == found["most"]
    assert (1, "?", 0) == found["picked"]
    assert ("?",) * 9 == (*found["wrong"], *found["nowhere"], *found["too_few"])
    assert (3, fault, 0) == found["total"] and (0, 1, 1) == found["words"]
    assert (0, 0) == rows(BESIDE, ("", "?"))["words"]
    assert (1, 1, 0, 1) == rows(BESIDE, (1, fault, None, ""))["filled"]


@pytest.mark.parametrize(("place", "cells"), [(0, None), (1, (1, "")), (2, (2, "x")), (3, None)])
def test_an_area_has_no_row_above_its_first_or_below_its_last(place: int, cells: tuple[CellValue, ...] | None) -> None:
    area = Area([Range((1, 2)), Range(("", "x"))], 4)
    if cells is None:
        with pytest.raises(Fault, match="#REF!"):
            area.row(place)
    else:
        assert cells == area.row(place)


def test_a_column_read_below_its_end_is_an_error() -> None:
    assert (1, Fault("#REF!")) == tuple(rows({"seen": "INDEX(it_typed,{k})", "next": "INDEX(it_typed,{k}+1)"}, (0, 1))["next"])


class Searched(Range):
    """A column that counts how often it is looked through."""

    times = 0

    def match(self, value: CellValue) -> int:
        self.times += 1
        return super().match(value)


def test_what_a_formula_says_twice_is_worked_out_once() -> None:
    column, formula = Searched(KEYS), Formula("IF(MATCH(3,some_keys,0)>1,MATCH(3,some_keys,0)*2,0)", {}, alone=True)
    language = Language({"it": formula}, {"some_keys": Place("column")}, {})
    assert (8, 1) == (Reckoning(language, {}, {"some_keys": column}.__getitem__, {}, 0.0).cell("it"), column.times)


def test_equal_parts_of_a_formula_are_one() -> None:
    tree = parse("IF(1+2=3,1+2,4)")
    assert tree.parts[0].parts[0] is tree.parts[1]
