"""Marks in the part of one sheet: old ones out, new ones in front, the sheet's own conditional formats kept in their order."""

from collections.abc import Mapping

from template_builder.layout.addresses import letters
from workbook.output.marking.marks import is_own_test
from workbook.output.marking.markup import RELATIONS, Markup, Node, escaped
from workbook.output.marking.stored import Place

CELLS = "sheetData"
FORMATS = "conditionalFormatting"
NOTES_DRAWING = "legacyDrawing"
LATER_FORMATS = "http://schemas.microsoft.com/office/spreadsheetml/2009/9/main cfRule"
PRIORITY = "priority"

# The order of elements in a sheet: ISO/IEC 29500-1, CT_Worksheet.
ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", CELLS, "sheetCalcPr", "sheetProtection", "protectedRanges",
    "scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", FORMATS,
    "dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks",
    "customProperties", "cellWatches", "ignoredErrors", "smartTags", "drawing", NOTES_DRAWING, "legacyDrawingHF", "drawingHF",
    "picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst",
)


def own_rules(sheet: Markup) -> list[Node]:
    """The marks a sheet has from before."""
    return [rule for block in sheet.root.named(FORMATS) for rule in block.named("cfRule") if _is_own(rule)]


def _is_own(rule: Node) -> bool:
    return any(is_own_test(formula.text) for formula in rule.named("formula"))


def set_marks(sheet: Markup, tests: Mapping[Place, str], look: int) -> None:
    """Replace the marks of a sheet by these. `look` is the number of the marks' differential format."""
    old = [_priority(rule) for rule in own_rules(sheet)]
    for block in sheet.root.named(FORMATS):
        rules = block.named("cfRule")
        own = [rule for rule in rules if _is_own(rule)]
        for gone in [block] if rules and len(own) == len(rules) else own:
            sheet.remove(gone)
    for rule in _kept_rules(sheet):
        before = _priority(rule)
        after = before - sum(priority < before for priority in old) + len(tests)
        if after != before:
            sheet.set_attribute(rule, PRIORITY, str(after))
    blocks = "".join(
        _block(sheet.prefix, place, test, look, priority) for priority, (place, test) in enumerate(sorted(tests.items()), start=1)
    )
    if blocks:  # in front of the sheet's own: LibreOffice shows the first that holds, whatever the priorities say
        sheet.insert(sheet.place(ORDER, FORMATS), blocks)


def _kept_rules(sheet: Markup) -> list[Node]:
    """The sheet's own rules that have a priority, those in the extensions at its end included."""
    later = [node for block in sheet.root.named("extLst") for node in block.walk() if node.name == LATER_FORMATS]
    plain = [rule for block in sheet.root.named(FORMATS) for rule in block.named("cfRule") if not _is_own(rule)]
    return [rule for rule in (*plain, *later) if PRIORITY in rule.attributes]


def _priority(rule: Node) -> int:
    return int(rule.attributes.get(PRIORITY, "0"))


def _block(prefix: str, place: Place, test: str, look: int, priority: int) -> str:
    row, column = place
    return (
        f'<{prefix}conditionalFormatting sqref="{letters(column)}{row}"><{prefix}cfRule type="expression" dxfId="{look}" '
        f'priority="{priority}"><{prefix}formula>{escaped(test)}</{prefix}formula></{prefix}cfRule></{prefix}conditionalFormatting>'
    )


def link_notes(sheet: Markup, id: str) -> None:
    """Point the sheet to the drawing that holds the boxes of its notes."""
    link = f'<{sheet.prefix}{NOTES_DRAWING} xmlns:r="{RELATIONS}" r:id="{id}"/>'
    sheet.insert(sheet.place(ORDER, NOTES_DRAWING), link)


def notes_link(sheet: Markup) -> str | None:
    """The id of the link to the drawing of the sheet's notes, None where it has none."""
    node = sheet.root.child(NOTES_DRAWING)
    return None if node is None else node.attributes.get(f"{RELATIONS} id")
