"""Values in the words a person would write."""

from datetime import date, datetime, time

from template_builder.choices import Choice
from template_builder.columns import NOT_KNOWN, Value

EARLIEST_YEAR = 1900  # a spreadsheet has no earlier dates
LONGEST_TEXT = 32_767  # characters that a cell of a spreadsheet holds
CUT_OFF = " … (longer than a cell)"


def fitting(text: str) -> str:
    """As much of a text as a cell holds, with a word at its end where that is not all."""
    return text if len(text) <= LONGEST_TEXT else text[:LONGEST_TEXT - len(CUT_OFF)] + CUT_OFF


def shown(value: Value) -> str:
    """A value in the words a person would write: dates as 12 Mar 2026, list values by label."""
    match value:
        case None:
            return ""
        case str():
            return value
        case Choice():
            return value.label
        case datetime():
            return f"{value.day} {value:%b %Y %H:%M}"
        case date():
            return f"{value.day} {value:%b %Y}"
        case time():
            return f"{value:%H:%M}"
        case float():
            return f"{value:g}"
        case _ if value is NOT_KNOWN:
            return "?"
        case _:
            return str(value)
