"""The page of rules, printed from their declarations, and the part of it that speaks of one rule."""

import re
from collections.abc import Mapping
from importlib.resources import files

import workbook.reading.problems
import workbook.rules.checks  # noqa: F401 - these two declare all rules
from template_builder.layout.settings import Setting
from template_builder.layout.sheets import SHEETS
from template_builder.layout.words import shown
from workbook.rules.rule import FAMILIES, REGISTRY, Limit, Rule, Severity

PAGE = "RULES.md"
HEADING = "### "
INTRODUCTION = """# Rules

Every rule that a season workbook is checked by. `lambing-workbook explain C101` prints one of them.

- **error**: a figure resting on it is not to be trusted.
- **warning**: likely a slip; it is still counted as written.
- **note**: worth knowing.

Row 4 is the first row below the headings. A warning or note that is right as written can be answered on the sheet Answers.
"""
SEVERITIES = {Severity.ERROR: "Error", Severity.WARNING: "Warning", Severity.NOTE: "Note"}

_TITLES = {sheet.address(column): (sheet.title, column.title) for sheet in SHEETS for column in sheet}


def page(examples: Mapping[str, str]) -> str:
    """The whole page, by family and id. `examples` gives for each rule a small sheet that makes it fire, as text."""
    parts = [INTRODUCTION]
    for letter, title in FAMILIES.items():
        rules = [rule for id, rule in sorted(REGISTRY.items()) if id.startswith(letter)]
        if rules:
            parts += [f"## {title}\n", *(entry(rule, examples.get(rule.id, "")) for rule in rules)]
    return "\n".join(parts)


def entry(rule: Rule, example: str) -> str:
    """What the page says of one rule. An empty example is left out."""
    lines = [f"{HEADING}{rule.id} {rule.slug}", "", f"{SEVERITIES[rule.severity]}: {rule.title}.", ""]
    lines += [f"- Why it matters: {rule.why}", f"- What to do: {rule.fix}", f"- Source: {rule.source}"]
    if rule.uses:
        lines.append(f"- Looks at: {_columns(rule.uses)}")
    lines += [f"- Limit: {_limit(limit)}" for limit in rule.limits]
    if example:
        lines += ["", "```text", example, "```"]
    return "\n".join(lines) + "\n"


def section(rule: str) -> str | None:
    """What the shipped page says of a rule, called by its id or its slug; None where there is no such rule."""
    wanted = rule.strip().casefold()
    text = files("workbook.rules").joinpath(PAGE).read_text(encoding="utf-8")
    for part in re.split(rf"^(?={HEADING})|^## .+\n", text, flags=re.MULTILINE):
        heading = part.partition("\n")[0]
        if heading.startswith(HEADING) and wanted in heading.removeprefix(HEADING).casefold().split():
            return part.strip() + "\n"
    return None


def _columns(uses: tuple[str, ...]) -> str:
    """Columns by sheet, in words: "Ewes (Ewe, Scanned on), Lambing (Lambed on)"."""
    by_sheet: dict[str, list[str]] = {}
    for address in uses:
        sheet, title = _TITLES[address]
        by_sheet.setdefault(sheet, []).append(title.split(" (")[0])
    return ", ".join(f"{sheet} ({', '.join(titles)})" for sheet, titles in by_sheet.items())


def _limit(limit: Setting | Limit) -> str:
    """A limit with its unit, where to change it and where it comes from."""
    if isinstance(limit, Limit):
        unit = limit.unit.removesuffix("s") if limit.value == 1 else limit.unit
        return f"{f'{limit.title}: {limit.value:g} {unit}'.strip()}. {limit.why} ({limit.source})"
    return f"{limit.title}: {shown(limit.default)} {limit.unit}, which can be changed on Season. {limit.why} ({limit.source})"
