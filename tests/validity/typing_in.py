"""What a sheet does while someone types: validations, their lists and messages, and conditional formats."""

import re
from collections.abc import Iterator
from itertools import combinations
from xml.etree.ElementTree import Element

from template_builder.layout.addresses import letters
from validity.parts import MAIN, Broken, Finding, Package, SheetPart, areas

LONGEST_PROMPT_TITLE, LONGEST_PROMPT, LONGEST_ERROR, LONGEST_FORMULA, LONGEST_LIST = 32, 255, 225, 255, 255
_TEXT = re.compile(r'"(?:[^"]|"")*"')
_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_LIMITS = (
    ("promptTitle", LONGEST_PROMPT_TITLE, Broken.VALIDATION_TITLE_OVER_32_CHARACTERS),
    ("errorTitle", LONGEST_PROMPT_TITLE, Broken.VALIDATION_TITLE_OVER_32_CHARACTERS),
    ("prompt", LONGEST_PROMPT, Broken.VALIDATION_PROMPT_OVER_255_CHARACTERS),
    ("error", LONGEST_ERROR, Broken.VALIDATION_ERROR_OVER_225_CHARACTERS),
)


def typing_findings(package: Package) -> Iterator[Finding]:
    for sheet in package.sheets:
        validations = sheet.tree.findall(f"{MAIN}dataValidations/{MAIN}dataValidation")
        for validation in validations:
            yield from _validation_findings(package, sheet, validation)
        blocks = [(number, area) for number, one in enumerate(validations) for area in areas(one.get("sqref", ""))]
        for (one, area), (other, second) in combinations(blocks, 2):
            if one != other and area.meets(second):
                both = f"{validations[one].get('sqref')} and {validations[other].get('sqref')}"
                yield Finding(Broken.VALIDATIONS_OVERLAP, sheet.title, both)
        for rule in sheet.tree.findall(f"{MAIN}conditionalFormatting/{MAIN}cfRule"):
            for formula in rule.findall(f"{MAIN}formula"):
                if "!" in _TEXT.sub("", formula.text or ""):
                    yield Finding(Broken.OTHER_SHEET_NAMED_DIRECTLY, f"{sheet.title}, conditional format", formula.text or "")


def _validation_findings(package: Package, sheet: SheetPart, validation: Element) -> Iterator[Finding]:
    where = f"{sheet.title}!{validation.get('sqref')}"
    for attribute, most, rule in _LIMITS:
        if len(validation.get(attribute, "")) > most:
            yield Finding(rule, where, validation.get(attribute, ""))
    for formula in (found.text or "" for found in validation if found.tag in (f"{MAIN}formula1", f"{MAIN}formula2")):
        if _TEXT.fullmatch(formula):
            yield from _item_findings(where, formula[1:-1])
            continue
        if len(formula) > LONGEST_FORMULA:
            yield Finding(Broken.VALIDATION_FORMULA_OVER_255_CHARACTERS, where, formula)
        if "!" in _TEXT.sub("", formula):
            yield Finding(Broken.OTHER_SHEET_NAMED_DIRECTLY, where, formula)
        if validation.get("type") == "list" and "!" not in formula:
            codes = _listed(package, formula)
            if not codes:
                yield Finding(Broken.LIST_LEADS_NOWHERE, where, formula)
            risky = [code for code in codes if code.startswith(_STARTS_FORMULA)]
            yield from (Finding(Broken.LIST_CODE_STARTS_A_FORMULA, where, code) for code in risky)


def _item_findings(where: str, listed: str) -> Iterator[Finding]:
    """A list written in place. An item with a comma falls apart there: what is left begins with a space, or is blank."""
    if len(listed) > LONGEST_LIST:
        yield Finding(Broken.LIST_OVER_255_CHARACTERS, where, listed)
    for item in listed.split(","):
        if item != item.strip() or not item:
            yield Finding(Broken.LIST_ITEM_WITH_A_COMMA, where, listed)
        if item.strip().startswith(_STARTS_FORMULA):
            yield Finding(Broken.LIST_CODE_STARTS_A_FORMULA, where, item)


def _listed(package: Package, name: str) -> list[str]:
    """The codes that stand under a defined name."""
    target = next((target for one, _, target in package.names if one.casefold() == name.casefold()), "")
    title, _, ranges = target.rpartition("!")
    sheet = next((one for one in package.sheets if one.title == title.strip("'").replace("''", "'")), None)
    if sheet is None:
        return []
    cells = [sheet.cells.get(f"{letters(column)}{row}")
             for area in areas(ranges) for row in range(area.top, area.bottom + 1) for column in range(area.left, area.right + 1)]
    return [package.text(cell) for cell in cells if cell is not None]

