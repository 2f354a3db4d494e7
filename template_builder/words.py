"""Values in the words a person would write."""

from datetime import date, datetime, time

from template_builder.choices import Choice
from template_builder.columns import NOT_KNOWN, Value

EARLIEST_YEAR = 1900  # a spreadsheet has no earlier dates


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
