"""Cells on which merged copies did not agree, and that nobody has settled yet."""

from collections.abc import Iterator
from typing import NamedTuple

from template_builder.layout.choices import YesNo
from template_builder.layout.columns import OWN
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.conflicts import CONFLICTS, MOST_VALUES, value_columns
from template_builder.layout.words import quoted, shown
from workbook.rules.rule import BLANK, Found, Severity, declare
from workbook.season.cells import CellRef, Record, titled
from workbook.season.matching import fold
from workbook.season.row_names import row_name
from workbook.season.season import Season

OPEN_CONFLICT = "conflict-open"
_PAIRS = tuple(zip(value_columns(MOST_VALUES)[::2], value_columns(MOST_VALUES)[1::2], strict=True))


class Disputed(NamedTuple):
    """The cell a row of Conflicts is about: its row on the entry sheet, and its column there."""

    row: Record
    column: str


@declare("C166", OPEN_CONFLICT, title="Copies that were merged differ about a cell, and nobody has settled it",
         severity=Severity.ERROR, source="house rule",
         why="Nobody has said that what stands there now is right; an animal they differ on counts as gone.",
         fix="Ask who wrote them and write the right value here. Where what stands is right, write yes beside it on Conflicts.")
def conflict_open(season: Season) -> Iterator[Found]:
    for conflict in unsettled(season):
        disputed = disputed_cell(season, conflict)
        if disputed is None:
            yield Found(conflict.at("row_name"), f"{_about(conflict)}: {claims(conflict)}; its row can no longer be found",
                        conflict.words("column"), row_name=conflict.text("row_name") or row_name(conflict))
        elif as_merged(conflict, disputed):
            yield Found(disputed.row.at(disputed.column), f"{_about(conflict)}: the copies say {claims(conflict)}",
                        stands(conflict) or BLANK, (_place(conflict),), conflict.words("row_name"))


def unsettled(season: Season) -> Iterator[Record]:
    """The rows of Conflicts of which nobody has written that what stands is right."""
    return (row for row in season.rows(CONFLICTS.id) if row.filled("sheet", "column") and not is_settled(row))


def open_conflicts(season: Season) -> Iterator[tuple[Record, Disputed]]:
    """Each row of Conflicts whose cell still holds what the merge left there, with that cell."""
    for conflict in unsettled(season):
        disputed = disputed_cell(season, conflict)
        if disputed is not None and as_merged(conflict, disputed):
            yield conflict, disputed


def _about(conflict: Record) -> str:
    return f"{conflict.text('column')} of {conflict.text('row_name') or 'a row'}"


def _place(conflict: Record) -> CellRef:
    return conflict.at("row_name")


def is_settled(conflict: Record) -> bool:
    """Whether a person wrote on Conflicts that what stands is right."""
    written = fold(conflict.words("settled"))
    return written in {fold(YesNo.YES.label), "y", "ok", "right"}


def stands(conflict: Record) -> str:
    """What the merge left in the cell, in words: blank, "?" or the value before the copies were made."""
    return shown(conflict.held("stands"))


def claims(conflict: Record) -> str:
    """What the copies say, each with where it is written."""
    return " or ".join(f"“{quoted(value)}”" + (f" ({source})" if source else "") for value, source in claims_of(conflict))


def claims_of(conflict: Record) -> list[tuple[str, str]]:
    """Each value the copies say, as text, and where it is written."""
    told = ((shown(conflict.held(value.id)), conflict.words(source.id)) for value, source in _PAIRS)
    return [(value, source) for value, source in told if value]


def disputed_cell(season: Season, conflict: Record) -> Disputed | None:
    """The cell a row of Conflicts is about, wherever it has been sorted to; of rows called alike the one still as merged."""
    sheet = next((sheet for sheet in SHEETS if sheet.title == conflict.text("sheet")), None)
    if sheet is None:
        return None
    heading = conflict.words("column")
    column = next((column.id for column in sheet if titled(column) == heading), OWN + heading)
    called = fold(conflict.words("row_name"))
    found = [Disputed(row, column) for row in season.rows(sheet.id) if fold(row_name(row)) == called]
    return next((one for one in found if as_merged(conflict, one)), found[0] if found else None)


def as_merged(conflict: Record, disputed: Disputed) -> bool:
    """Whether a cell is still what the merge left there."""
    return fold(shown(disputed.row.written(disputed.column))) == fold(stands(conflict))
