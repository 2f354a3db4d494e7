"""What a workbook of an older layout does not have yet: told once, in one note."""

from collections.abc import Iterator, Sequence

from template_builder.files.opening import Cells
from template_builder.layout.columns import Sheet
from template_builder.layout.policy import RETIRED, RULES, WEIGHTS, SelectionRule, Weight
from template_builder.layout.settings import SETTINGS, Setting
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import LAYOUT_VERSION
from workbook.reading.problems import reading_problem
from workbook.rules.rule import Problem
from workbook.season.cells import CellRef, titled


def older(cells: Cells, version: int) -> list[Problem]:
    """One note where the workbook is older than the layout of this program; nothing where it is not."""
    if version >= LAYOUT_VERSION:
        return []
    place = CellRef(cells.file, next(iter(cells.tabs)), 0, 0)
    new = "; ".join(since(version)) or "nothing that it lacks"
    gone = "; ".join(f"on Policy the row {row.title}" for row in RETIRED if row.until > version)
    text = f"this workbook has layout {version}, the newest is {LAYOUT_VERSION}. New since: {new}"
    text += f". No longer used: {gone}" if gone else ""
    return [reading_problem("older-layout", place, text, str(version))]


def since(version: int) -> Iterator[str]:
    """Columns, list values, settings, rules and weights that came after a layout version, in words, sheet by sheet."""
    for sheet in SHEETS:
        if sheet.since > version:
            yield f"the sheet {sheet.title}"
        elif new := [*_columns(sheet, version), *_values(sheet, version), *_rows(sheet, version)]:
            yield f"on {sheet.title} {', '.join(new)}"


def _columns(sheet: Sheet, version: int) -> Iterator[str]:
    yield from (f"the column {titled(column)}" for column in sheet.own_columns if column.since > version)


def _values(sheet: Sheet, version: int) -> Iterator[str]:
    """The values new in lists that were there before."""
    settings: Sequence[Setting] = SETTINGS if sheet.id == "season" else ()
    lists = [(titled(column), column.choices) for column in sheet.own_columns if column.since <= version]
    lists += [(setting.title, setting.choices) for setting in settings if setting.since <= version]
    for title, choices in lists:
        yield from (f"“{choice.label}” under {title}" for choice in choices or () if choice.since > version)


def _rows(sheet: Sheet, version: int) -> Iterator[str]:
    """Settings on Season, selection rules and score weights on Policy."""
    fixed: dict[str, tuple[Setting | SelectionRule | Weight, ...]] = {"season": SETTINGS, "policy": (*RULES, *WEIGHTS)}
    yield from (f"the row {row.title}" for row in fixed.get(sheet.id, ()) if row.since > version)
