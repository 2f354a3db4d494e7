"""Cells and the plumbing of the file: order, indexes, stored values, content types, relationships."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from validity.parts import CONTENT_TYPES, MAIN, RELATION, TYPES, Broken, Finding, Package, SheetPart, place

LONGEST_TEXT = 32_767
STYLES = "xl/styles.xml"
_STYLED = {"c": "s", "row": "s", "col": "style"}
_DXF = ("dxfId", "headerRowDxfId", "dataDxfId", "totalsRowDxfId", "headerRowBorderDxfId", "tableBorderDxfId")
_OF_A_STYLE = (("fontId", "fonts"), ("fillId", "fills"), ("borderId", "borders"), ("xfId", "cellStyleXfs"))


def cell_findings(package: Package, formula_sheets: frozenset[str]) -> Iterator[Finding]:
    for sheet in package.sheets:
        yield from _order_findings(sheet)
        yield from _index_findings(package, sheet)
        for reference, cell in sheet.cells.items():
            where = f"{sheet.title}!{reference}"
            formula = cell.find(f"{MAIN}f")
            if formula is None:
                continue
            if sheet.title not in formula_sheets:
                yield Finding(Broken.FORMULA_WHERE_NONE_BELONGS, where, formula.text or "")
            if cell.find(f"{MAIN}v") is None or not (cell.findtext(f"{MAIN}v") or cell.get("t") == "str"):
                yield Finding(Broken.FORMULA_WITHOUT_ITS_VALUE, where, formula.text or "")
            if cell.get("t") == "e":
                yield Finding(Broken.FORMULA_GIVES_AN_ERROR, where, cell.findtext(f"{MAIN}v") or "")
    for text in package.strings:
        if len(text) > LONGEST_TEXT:
            yield Finding(Broken.TEXT_OVER_32767_CHARACTERS, "xl/sharedStrings.xml", text[:40])


def _order_findings(sheet: SheetPart) -> Iterator[Finding]:
    last_row = 0
    for row in sheet.tree.iter(f"{MAIN}row"):
        number, last_column = int(row.get("r", "0")), 0
        if number <= last_row:
            yield Finding(Broken.CELLS_OUT_OF_ORDER, sheet.title, f"row {number} after row {last_row}")
        last_row = number
        for cell in row.findall(f"{MAIN}c"):
            found = place(cell.get("r", ""))
            if found is None or found[0] != number or found[1] <= last_column:
                yield Finding(Broken.CELLS_OUT_OF_ORDER, f"{sheet.title}!{cell.get('r')}", f"in row {number}")
            last_column = found[1] if found else last_column


def _index_findings(package: Package, sheet: SheetPart) -> Iterator[Finding]:
    styles, formats = package.count(STYLES, "cellXfs"), package.count(STYLES, "dxfs")
    for element in sheet.tree.iter():
        name = element.tag.removeprefix(MAIN)
        if name not in _STYLED:
            continue
        style = element.get(_STYLED[name])
        if style is not None and int(style) >= styles:
            yield Finding(Broken.STYLE_NOT_THERE, f"{sheet.title}!{element.get('r', name)}", style)
        if name == "c" and element.get("t") == "s":
            index = element.findtext(f"{MAIN}v") or "none"
            if not index.isdigit() or int(index) >= len(package.strings):
                yield Finding(Broken.TEXT_NOT_THERE, f"{sheet.title}!{element.get('r')}", index)
    for element in (*sheet.tree.iter(f"{MAIN}cfRule"), *(one for table in sheet.tables for one in table.iter())):
        for attribute in _DXF:
            if int(element.get(attribute, "-1")) >= formats:
                yield Finding(Broken.CONDITIONAL_STYLE_NOT_THERE, sheet.title, element.get(attribute, ""))


def part_findings(package: Package) -> Iterator[Finding]:
    types = package.tree(CONTENT_TYPES)
    known = {one.get("PartName", "").lstrip("/") for one in types.iter(f"{TYPES}Override")}
    endings = {one.get("Extension", "").casefold() for one in types.iter(f"{TYPES}Default")} - {"xml"}  # says nothing
    for part in package.parts:
        if part.endswith((".xml", ".rels")) and (why := package.no_xml(part)):
            yield Finding(Broken.PART_IS_NO_XML, part, why)
        if part not in known and _ending(part) not in endings and part != CONTENT_TYPES:
            yield Finding(Broken.PART_WITHOUT_A_CONTENT_TYPE, part, "")
        yield from _relation_findings(package, part)
    for element in package.tree(STYLES).findall(f"{MAIN}cellXfs/{MAIN}xf"):
        for attribute, kind in _OF_A_STYLE:
            if int(element.get(attribute, "0")) >= max(1, package.count(STYLES, kind)):
                yield Finding(Broken.STYLE_NOT_THERE, STYLES, f"{attribute} {element.get(attribute)}")


def _ending(part: str) -> str:
    return part.rpartition(".")[2].casefold()


def _relation_findings(package: Package, part: str) -> Iterator[Finding]:
    if not part.endswith(".xml") or part == CONTENT_TYPES:
        return
    relations = package.relations(part)
    for one in relations.values():
        if not one.outside and one.target not in package.parts:
            yield Finding(Broken.RELATIONSHIP_LEADS_NOWHERE, part, one.target)
    if RELATION[1:-1].encode() not in package.parts[part]:  # most parts name no relationship at all
        return
    for attribute in (value for element in package.tree(part).iter() for value in _references(element)):
        if attribute not in relations:
            yield Finding(Broken.RELATIONSHIP_NOT_THERE, part, attribute)


def _references(element: Element) -> list[str]:
    return [value for name, value in element.attrib.items() if name.startswith(RELATION)]
