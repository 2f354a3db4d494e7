"""What happens while typing: drop-downs that stop a wrong word, limits that warn and let it stand, short hints."""

from textwrap import shorten
from typing import Any

from template_builder.files.writer import ERROR_TEXT, PROMPT_TITLE
from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Column, Kind
from template_builder.layout.whole import list_name

_EARLIEST = "DATE(1995,1,1)"


def limits_of(column: Column, cell: str) -> dict[str, Any] | None:
    """The validation of a column, written for its first cell; None where anything goes. "?" always passes."""
    title = shorten(column.title, PROMPT_TITLE, placeholder=" ...")
    if column.choices:
        return {
            "validate": "list", "source": f"={list_name(column)}", "error_title": title,
            "error_message": "Choose from the list, or write ? for not known.",
        }
    inside = _inside(column, cell)
    if not inside:
        return None
    formula = f'=IF({cell}="{NOT_KNOWN.value}",TRUE,IF(ISNUMBER({cell}),AND({inside}),{_in_words(column, cell)}))'
    return {
        "validate": "custom", "value": formula, "error_type": "warning", "error_title": title,
        "error_message": f"Write {_what(column)}, or ? for not known."[:ERROR_TEXT],
    }


def _in_words(column: Column, cell: str) -> str:
    """Whether text passes: of weights that which names a unit, such as 9 lb 4 oz."""
    named = ",".join(f'SUBSTITUTE({cell},"{unit.label}","")<>{cell}' for unit in WeightUnit)
    return f"OR({named})" if column.scale else "FALSE"


def _inside(column: Column, cell: str) -> str:
    tests = []
    if column.kind is Kind.WHOLE:
        tests.append(f"{cell}=INT({cell})")
    if column.kind in (Kind.WHOLE, Kind.NUMBER):
        tests += [f"{cell}>={column.least:g}"] if column.least is not None else []
        tests += [f"{cell}<={column.most:g}"] if column.most is not None else []
    if column.kind is Kind.DATE:
        tests.append(f"{cell}>={_EARLIEST}")
    if column.kind is Kind.MOMENT:
        tests.append(f"{cell}>=0")
    return ",".join(tests)


def _what(column: Column) -> str:
    match column.kind:
        case Kind.DATE:
            return "a date such as 12 Mar 2026"
        case Kind.MOMENT:
            return "a date and time, or a time alone such as 02:30"
        case Kind.WHOLE:
            return f"a whole number, {column.limits()}"
        case _:
            return f"a number, {column.limits()}"


def told_on_entering(column: Column) -> dict[str, str]:
    """The message of a cell as one enters it: what to write, as SHEETS.md says it too."""
    return {"input_title": shorten(column.title, PROMPT_TITLE, placeholder=" ..."), "input_message": column.help}
