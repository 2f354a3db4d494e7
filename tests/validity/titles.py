"""Names, sheet titles, links and table headings: what must be unique, short, plain and lead somewhere."""

import re
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from xml.etree.ElementTree import Element

from validity.formulas import looks_like_a_cell, needs_quotes, sheets_named
from validity.parts import MAIN, WORKBOOK, Broken, Finding, Package, SheetPart, areas, place

LONGEST_TITLE, LONGEST_HEADING, LONGEST_NAME, MOST_LINKS, LONGEST_FOOTER = 31, 255, 255, 65_530, 255
_NAME = re.compile(r"[^\W\d][\w.\\?]*|\\[\w.\\?]*")
_CHART_RANGE = "{http://schemas.openxmlformats.org/drawingml/2006/chart}f"
_OWN = "_xlnm."  # names that belong to the file format, such as the print area


def _repeated(texts: Iterator[str] | list[str]) -> list[str]:
    return [text for text, number in Counter(texts).items() if number > 1]


def name_findings(package: Package) -> Iterator[Finding]:
    tables = [table.get("displayName", "") for sheet in package.sheets for table in sheet.tables]
    own = [name for name, _, _ in package.names if not name.startswith(_OWN)]
    for name in own + tables:
        if looks_like_a_cell(name):
            yield Finding(Broken.NAME_LIKE_A_CELL, WORKBOOK, name)
        elif not _NAME.fullmatch(name) or len(name) > LONGEST_NAME:
            yield Finding(Broken.NAME_NOT_ALLOWED, WORKBOOK, name)
    for name in _repeated([name.casefold() for name in own + tables]):
        yield Finding(Broken.NAME_TWICE, WORKBOOK, name)
    for name, _, target in package.names:
        yield from _named(package, f"name {name}", target)
        if not name.startswith(_OWN) and "!" not in target and place(target.split(":")[0]):
            yield Finding(Broken.NAME_WITHOUT_ITS_SHEET, f"name {name}", target)
    for part in package.parts:
        if part.startswith("xl/charts/") and part.endswith(".xml"):
            for element in package.tree(part).iter(_CHART_RANGE):
                yield from _named(package, part, element.text or "")


def _named(package: Package, where: str, formula: str) -> Iterator[Finding]:
    """Whether the sheets a reference names exist, in quotation marks where these are needed."""
    titles = {sheet.title.casefold() for sheet in package.sheets}
    for written in sheets_named(formula):
        title = written.strip("'").replace("''", "'")
        if title.casefold() not in titles:
            yield Finding(Broken.SHEET_NOT_THERE, where, formula)
        elif needs_quotes(title) and not written.startswith("'"):
            yield Finding(Broken.SHEET_NOT_IN_QUOTATION_MARKS, where, formula)


def sheet_findings(package: Package) -> Iterator[Finding]:
    for sheet in package.sheets:
        title = sheet.title
        if not title.strip() or len(title) > LONGEST_TITLE or re.search(r"[\[\]:*?/\\]", title) or title != title.strip("'"):
            yield Finding(Broken.SHEET_TITLE_NOT_ALLOWED, WORKBOOK, title)
        if title.casefold() == "history":
            yield Finding(Broken.SHEET_TITLE_NOT_ALLOWED, WORKBOOK, title)
        for line in chain.from_iterable(sheet.tree.iter(f"{MAIN}headerFooter")):
            if len(line.text or "") > LONGEST_FOOTER:
                yield Finding(Broken.HEADER_OR_FOOTER_OVER_255_CHARACTERS, title, line.text or "")
        yield from _link_findings(package, sheet)
        for table in sheet.tables:
            yield from _table_findings(package, sheet, table)
    for title in _repeated([sheet.title.casefold() for sheet in package.sheets]):
        yield Finding(Broken.SHEET_TITLE_TWICE, WORKBOOK, title)
    view = package.tree(WORKBOOK).find(f".//{MAIN}workbookView")
    active = int(view.get("activeTab", "0")) if view is not None else 0
    if active >= len(package.sheets) or not package.sheets[active].visible:
        yield Finding(Broken.NO_SHEET_TO_OPEN_ON, WORKBOOK, f"sheet {active + 1}")


def _link_findings(package: Package, sheet: SheetPart) -> Iterator[Finding]:
    links = sheet.tree.findall(f"{MAIN}hyperlinks/{MAIN}hyperlink")
    if len(links) > MOST_LINKS:
        yield Finding(Broken.MORE_LINKS_THAN_A_SHEET_HOLDS, sheet.title, str(len(links)))
    titles = {f"'{one.title}'".casefold() for one in package.sheets} | {one.title.casefold() for one in package.sheets}
    names = {name.casefold() for name, _, _ in package.names}
    for link in links:
        location = link.get("location")
        if location is not None:
            title, _, cell = location.replace("''", "'").rpartition("!")
            if not ((title.casefold() in titles and areas(cell)) or location.casefold() in names):
                yield Finding(Broken.LINK_LEADS_NOWHERE, f"{sheet.title}!{link.get('ref')}", location)


def _table_findings(package: Package, sheet: SheetPart, table: Element) -> Iterator[Finding]:
    where = f"table {table.get('displayName')}"
    titles = [column.get("name", "") for column in table.iter(f"{MAIN}tableColumn")]
    (area,) = areas(table.get("ref", "A1"))
    if area.right - area.left + 1 != len(titles):
        yield Finding(Broken.TABLE_NOT_AS_WIDE_AS_ITS_COLUMNS, where, table.get("ref", ""))
        return
    cells = {place(reference): cell for reference, cell in sheet.cells.items()}
    for column, title in enumerate(titles, start=area.left):
        cell = cells.get((area.top, column))
        shown = package.text(cell) if cell is not None else ""
        if shown != title:
            yield Finding(Broken.HEADING_DIFFERS_FROM_ITS_TABLE, where, f"{shown!r} in the cell, {title!r} in the table")
        if not title.strip():
            yield Finding(Broken.HEADING_BLANK, where, title)
        if len(title) > LONGEST_HEADING:
            yield Finding(Broken.HEADING_OVER_255_CHARACTERS, where, title)
    for title in _repeated([" ".join(title.casefold().split()) for title in titles if title.strip()]):
        yield Finding(Broken.HEADING_TWICE, where, title)
