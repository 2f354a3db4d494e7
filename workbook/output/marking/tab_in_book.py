"""Where the sheet "To correct" stands in a workbook: its entry in the list of sheets, and what is printed of it on every page."""

import re

from template_builder.layout.sheets.to_correct import TO_CORRECT
from workbook.output.marking.markup import RELATIONS, Markup, escaped
from workbook.output.marking.package import Package
from workbook.output.marking.relations import EMPTY_LINKS, Links, state_type
from workbook.output.marking.tab import PRINTED_ON_EVERY_PAGE

SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"

SELECTED = re.compile(rb"""\stabSelected\s*=\s*["'](?:1|true)["']""")
VIEWS_WITHIN = 8_192  # bytes: how a sheet is looked at stands near the beginning of its part

# The order of what comes before the names in a workbook: ISO/IEC 29500-1, CT_Workbook.
BOOK_ORDER = (
    "fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups",
    "externalReferences", "definedNames",
)


def set_tab(package: Package, book: str, part: str | None, data: bytes) -> str:
    """Put the sheet "To correct" in: in its old place, else as the last, since other things count sheets by position.

    Gives the name of its part. The workbook opens there.
    """
    part = _put_in(package, book, part, data)
    package.write(book, _opening_there(Markup(package.markup(book))))
    return part


def _opening_there(book: Markup) -> bytes:
    """The workbook opening on the sheet "To correct"."""
    sheets, views = book.root.child("sheets"), book.root.child("bookViews")
    titles = [sheet.attributes.get("name") for sheet in sheets.children] if sheets else []
    if views is None:
        p = book.prefix
        book.insert(book.place(BOOK_ORDER, "bookViews"),
                    f'<{p}bookViews><{p}workbookView activeTab="{titles.index(TO_CORRECT.title)}"/></{p}bookViews>')
        return book.result()
    for view in views.children:
        book.set_attribute(view, "activeTab", str(titles.index(TO_CORRECT.title)))
    return book.result()


def not_open(sheet: bytes) -> bytes:
    """The part of a sheet that is not the one the workbook opens on; two open at once would be typed in together."""
    if SELECTED.search(sheet, 0, VIEWS_WITHIN) is None:
        return sheet
    return SELECTED.sub(b"", sheet, count=1)


def _put_in(package: Package, book: str, part: str | None, data: bytes) -> str:
    if part is not None:
        package.write(part, data)
        links = Links(package, part)
        if links.nodes:  # what pointed away from the old sheet has no counterpart in the new one
            package.write(links.name, EMPTY_LINKS.encode("ascii"))
        return part
    part = package.free_name("xl/worksheets/sheet", ".xml")
    package.write(part, data)
    state_type(package, part, SHEET_TYPE)
    id = Links(package, book).add("worksheet", part)
    package.write(book, _listed(Markup(package.markup(book)), id))
    return part


def _listed(book: Markup, link: str) -> bytes:
    """The list of sheets with the sheet "To correct" as its last, its headings to be printed on every page."""
    sheets = book.root.child("sheets")
    if sheets is None:
        raise ValueError("no list of sheets")
    p, title, position = book.prefix, escaped(TO_CORRECT.title), len(sheets.children)
    number = max(int(sheet.attributes.get("sheetId", "0")) for sheet in sheets.children) + 1
    book.append(sheets, f'<{p}sheet xmlns:r="{RELATIONS}" name="{title}" sheetId="{number}" r:id="{link}"/>')
    name = (
        f'<{p}definedName name="_xlnm.Print_Titles" localSheetId="{position}">{escaped(PRINTED_ON_EVERY_PAGE)}</{p}definedName>'
    )
    names = book.root.child("definedNames")
    if names is not None:
        book.append(names, name)
    else:
        book.insert(book.place(BOOK_ORDER, "definedNames"), f"<{p}definedNames>{name}</{p}definedNames>")
    return book.result()
