"""Faults to plant in the raw XML of a sound workbook, each with the one rule it must be found by."""

import zipfile
from pathlib import Path
from typing import NamedTuple

from validity.parts import CONTENT_TYPES, WORKBOOK, Broken

SEASON, SUMMARY = "season", "summary"
FORMULAS_ALLOWED = "Groups"  # the sheet that may hold formulas while these are planted
_STRINGS, _STYLES = "xl/sharedStrings.xml", "xl/styles.xml"
_GROUPS, _GROUPS_TABLE, _GROUPS_LINKS = (
    "xl/worksheets/sheet13.xml", "xl/tables/table8.xml", "xl/worksheets/_rels/sheet13.xml.rels",
)
_META = "xl/worksheets/sheet32.xml"
_FRONT, _DECISIONS = "xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml"
_RAM_IN = "'Groups'!$C$3</definedName>"
_MANY_LINKS = '<hyperlink ref="A5" location="\'To correct\'!A1"/>' * 65_531


class Edit(NamedTuple):
    """Text of a part, and what stands in its place afterwards: the first time it is found only."""

    part: str
    old: str
    new: str


class Planted(NamedTuple):
    rule: Broken
    book: str
    edits: tuple[Edit, ...]


def plant(fault: Planted, source: Path, target: Path) -> Path:
    """A copy of a workbook with the fault in it; AssertionError where the text to change is not there."""
    with zipfile.ZipFile(source) as file:
        parts = {name: file.read(name).decode("utf-8") for name in file.namelist()}
    for edit in fault.edits:
        assert edit.old in parts[edit.part], f"{edit.part} has no {edit.old}"
        parts[edit.part] = parts[edit.part].replace(edit.old, edit.new, 1)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in parts.items():
            file.writestr(name, content)
    return target


def _one(rule: Broken, book: str, part: str, old: str, *new: str) -> list[Planted]:
    return [Planted(rule, book, (Edit(part, old, text),)) for text in new]


def _name(rule: Broken, *new: str) -> list[Planted]:
    """A defined name that stands for something else."""
    return _one(rule, SEASON, WORKBOOK, _RAM_IN, *(f"{text}</definedName>" for text in new))


def _titled(rule: Broken, *new: str) -> list[Planted]:
    return _one(rule, SUMMARY, WORKBOOK, 'name="Lambs"', *(f'name="{text}"' for text in new))


def _heading(rule: Broken, old: str, new: str) -> list[Planted]:
    """A heading changed in the cell and in the table alike."""
    edits = (Edit(_STRINGS, f">{old}</t>", f">{new}</t>"), Edit(_GROUPS_TABLE, f'name="{old}"', f'name="{new}"'))
    return [Planted(rule, SEASON, edits)]


def _added(rule: Broken, *new: str, behind: str = "</sheetData>") -> list[Planted]:
    """Something put behind the cells of a sheet."""
    return _one(rule, SEASON, _GROUPS, behind, *(behind + text for text in new))


def _cell(rule: Broken, *new: str) -> list[Planted]:
    return _one(rule, SEASON, _GROUPS, "</sheetData>", *(f'<row r="20">{text}</row></sheetData>' for text in new))


def _condition(formula: str, style: str = "") -> str:
    rule = f'<cfRule type="expression" priority="1"{style}><formula>{formula}</formula></cfRule>'
    return f'<conditionalFormatting sqref="A4">{rule}</conditionalFormatting>'


def _checks(rule: Broken, *new: str) -> list[Planted]:
    """The formula of a validation that is something else."""
    return _one(rule, SEASON, _GROUPS, "AND(O4&gt;=DATE(1995,1,1))", *new)


FAULTS: list[Planted] = [
    # names
    *_one(Broken.NAME_LIKE_A_CELL, SEASON, WORKBOOK, "head_groups_ram_in", "ewe2026", "XFD1048576", "R", "c", "R1C1", "r2c"),
    *_one(Broken.NAME_LIKE_A_CELL, SEASON, _GROUPS_TABLE, 'displayName="table_groups"', 'displayName="tbl1"'),
    *_one(Broken.NAME_NOT_ALLOWED, SEASON, WORKBOOK, "head_groups_ram_in", "ram in", "1st_ram", "r" * 256),
    *_one(Broken.NAME_TWICE, SEASON, WORKBOOK, "head_groups_ram_in", "HEAD_groups_ram_out", "Table_Groups"),
    *_name(Broken.NAME_WITHOUT_ITS_SHEET, "$C$3", "C3:C9"),
    *_name(Broken.SHEET_NOT_THERE, "'Gruops'!$C$3", "Gruops!$C$3"),
    *_one(Broken.SHEET_NOT_IN_QUOTATION_MARKS, SEASON, WORKBOOK, "'Ewe check'!$K$3", "Ewe check!$K$3"),
    *_name(Broken.REFERENCE_LOST, "'Groups'!#REF!", "#REF!"),
    *_name(Broken.RANGE_NAMES_ITS_SHEET_TWICE, "'Groups'!$C$3:'Groups'!$C$9"),
    # sheets, headings, links, printing
    *_titled(Broken.SHEET_TITLE_NOT_ALLOWED, "History", " ", "a/b", "a?", "[a]", "a:b", "'Method", "Method'", "M" * 32),
    *_titled(Broken.SHEET_TITLE_TWICE, "LOSSES"),
    *_one(Broken.NO_SHEET_TO_OPEN_ON, SEASON, WORKBOOK, "<workbookView ", '<workbookView activeTab="17" ',
          '<workbookView activeTab="99" '),
    *_one(Broken.HEADER_OR_FOOTER_OVER_255_CHARACTERS, SEASON, _GROUPS, "&amp;8 Planted", "x" * 256),
    *_one(Broken.LINK_LEADS_NOWHERE, SUMMARY, _FRONT, "'To correct'!A1", "'To correkt'!A1", "'To correct'!A0", "nowhere"),
    *_one(Broken.MORE_LINKS_THAN_A_SHEET_HOLDS, SUMMARY, _FRONT, "<hyperlinks>", f"<hyperlinks>{_MANY_LINKS}"),
    *_one(Broken.SHEET_NOT_THERE, SUMMARY, "xl/charts/chart1.xml", "<c:f>Scanning!", "<c:f>Scannings!"),
    *_one(Broken.HEADING_DIFFERS_FROM_ITS_TABLE, SEASON, _GROUPS_TABLE, 'name="Ram in"', 'name="Ram in "'),
    *_heading(Broken.HEADING_BLANK, "Ram breed", " "),
    *_heading(Broken.HEADING_OVER_255_CHARACTERS, "Ram breed", "R" * 256),
    *_heading(Broken.HEADING_TWICE, "Ewes scanned", "Ram in"),
    *_heading(Broken.HEADING_TWICE, "Ewes scanned", "ram  in"),
    *_one(Broken.TABLE_NOT_AS_WIDE_AS_ITS_COLUMNS, SEASON, _GROUPS_TABLE, 'ref="A3:R15"', 'ref="A3:S15"'),
    # what happens while typing
    *_one(Broken.VALIDATION_TITLE_OVER_32_CHARACTERS, SEASON, _GROUPS, 'errorTitle="Ram in"', f'errorTitle="{"t" * 33}"'),
    *_one(Broken.VALIDATION_TITLE_OVER_32_CHARACTERS, SEASON, _GROUPS, 'promptTitle="Ram in"', f'promptTitle="{"t" * 33}"'),
    *_one(Broken.VALIDATION_PROMPT_OVER_255_CHARACTERS, SEASON, _GROUPS, 'prompt="', f'prompt="{"t" * 256}'),
    *_one(Broken.VALIDATION_ERROR_OVER_225_CHARACTERS, SEASON, _GROUPS, 'error="', f'error="{"t" * 226}'),
    *_checks(Broken.VALIDATION_FORMULA_OVER_255_CHARACTERS, f"AND({'O4&gt;0,' * 50}TRUE)"),
    *_one(Broken.LIST_OVER_255_CHARACTERS, SUMMARY, _DECISIONS, '"cull,', f'"{"k" * 250},'),
    *_one(Broken.LIST_ITEM_WITH_A_COMMA, SUMMARY, _DECISIONS, '"cull,', '"keep, if you must,', '"keep,,'),
    *_one(Broken.LIST_LEADS_NOWHERE, SEASON, _GROUPS, "<formula1>list_yesno<", "<formula1>list_nothing<"),
    *_one(Broken.LIST_CODE_STARTS_A_FORMULA, SEASON, _STRINGS, "<t>yes</t>", "<t>=yes</t>", "<t>@yes</t>", "<t>-</t>"),
    *_one(Broken.LIST_CODE_STARTS_A_FORMULA, SUMMARY, _DECISIONS, '"cull,', '"+keep,'),
    *_one(Broken.VALIDATIONS_OVERLAP, SEASON, _GROUPS, 'sqref="C4:C15"', 'sqref="C4:C15 B15"', 'sqref="A1:C99"'),
    *_one(Broken.OTHER_SHEET_NAMED_DIRECTLY, SEASON, _GROUPS, "<formula1>list_yesno<", "<formula1>'_lists'!$A$1:$A$3<"),
    *_checks(Broken.OTHER_SHEET_NAMED_DIRECTLY, "O4&gt;'Ewe check'!A1"),
    *_added(Broken.OTHER_SHEET_NAMED_DIRECTLY, _condition("'_lists'!$A$1=1")),
    *_added(Broken.CONDITIONAL_STYLE_NOT_THERE, _condition("A4=1", ' dxfId="99"')),
    # formulas
    *_checks(Broken.FUNCTION_NOT_SAFE, "XLOOKUP(O4,1,1)", "_xlfn.STDEV.S(O4)", "SUMME(O4,1)", "INDIRECT(O4)"),
    *_checks(Broken.FORMULA_OUT_OF_BALANCE, "AND(O4", "AND(O4))", "AND(O4&amp;&quot;)"),
    *_added(Broken.FUNCTION_NOT_SAFE, _condition("FILTER(A4,1)")),
    *_name(Broken.FORMULA_OVER_8192_CHARACTERS, f"'Groups'!$C$3{'+1' * 4_100}"),
    *_name(Broken.TEXT_IN_A_FORMULA_OVER_255_CHARACTERS, f"'Groups'!$C$3&amp;\"{'x' * 256}\""),
    *_name(Broken.STRUCTURED_REFERENCE, "table_groups[Ram in]", "table_groups[[#This Row],[Ram in]]", "[@Ram]"),
    *_name(Broken.ARGUMENTS_PARTED_BY_A_SEMICOLON, "SUM('Groups'!$C$3;1)"),
    *_cell(Broken.CRITERION_MAY_BE_A_TAG, '<c r="A20"><f>COUNTIF(A4:A9,A4)</f><v>0</v></c>',
           '<c r="A20"><f>SUMIFS(A4:A9,B4:B9,"&gt;="&amp;B4,A4:A9,"="&amp;A4)</f><v>0</v></c>'),
    *_cell(Broken.FORMULA_WITHOUT_ITS_VALUE, '<c r="A20"><f>SUM(B4:B9)</f></c>', '<c r="A20"><f>SUM(B4:B9)</f><v/></c>'),
    *_cell(Broken.FORMULA_GIVES_AN_ERROR, '<c r="A20" t="e"><f>SUM(B4:B9)</f><v>#DIV/0!</v></c>'),
    *_one(Broken.FORMULA_WHERE_NONE_BELONGS, SEASON, _META, "</sheetData>",
          '<row r="20"><c r="A20"><f>SUM(B4:B9)</f><v>0</v></c></row></sheetData>'),
    # cells and parts
    *_one(Broken.TEXT_OVER_32767_CHARACTERS, SEASON, _STRINGS, "<t>layout</t>", f"<t>{'l' * 32_768}</t>"),
    *_cell(Broken.CELLS_OUT_OF_ORDER, '<c r="B20"/><c r="A20"/>', '<c r="A20"/><c r="A20"/>', '<c r="A21"/>', '<c r="B0"/>'),
    *_one(Broken.CELLS_OUT_OF_ORDER, SEASON, _GROUPS, "</sheetData>", '<row r="3"/></sheetData>'),
    *_cell(Broken.STYLE_NOT_THERE, '<c r="A20" s="9999"/>'),
    *_one(Broken.STYLE_NOT_THERE, SEASON, _GROUPS, ' style="', ' style="99'),
    *_one(Broken.STYLE_NOT_THERE, SEASON, _STYLES, '<xf numFmtId="0" fontId="1"', '<xf numFmtId="0" fontId="999"'),
    *_cell(Broken.TEXT_NOT_THERE, '<c r="A20" t="s"><v>99999</v></c>', '<c r="A20" t="s"/>'),
    *_one(Broken.PART_IS_NO_XML, SEASON, "xl/theme/theme1.xml", "</a:theme>", "", "\x01</a:theme>"),
    *_one(Broken.PART_WITHOUT_A_CONTENT_TYPE, SEASON, CONTENT_TYPES, "/xl/tables/table2.xml", "/xl/tables/table99.xml"),
    *_one(Broken.RELATIONSHIP_LEADS_NOWHERE, SEASON, _GROUPS_LINKS, "table8.xml", "table99.xml"),
    *_one(Broken.RELATIONSHIP_NOT_THERE, SEASON, _GROUPS, 'r:id="rId1"', 'r:id="rId9"'),
]
