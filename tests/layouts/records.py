"""The records of a season as text, one line each: by it a file of an older layout is shown to read as it did."""

from datetime import date, time

from template_builder.layout.choices import Choice
from workbook.season.season import Season


def records(season: Season) -> str:
    """Sheet, row and every value with the id of its column; list values by their name in the code, dates in ISO."""
    return "".join(
        f"{sheet} {row.row}: {'; '.join(f'{id}={_word(value)}' for id, value in sorted(row.values.items()))}\n"
        for sheet, rows in sorted(season.records.items()) for row in rows
    )


def _word(value: object) -> str:
    if isinstance(value, Choice):
        return f"{type(value).__name__}.{value.name}"
    return value.isoformat() if isinstance(value, date | time) else repr(value)
