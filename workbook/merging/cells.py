"""One cell as several copies have it: taken where they agree, a conflict where they do not."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from typing import NamedTuple

from template_builder.layout.columns import OWN, Kind, Value
from template_builder.layout.whole import SHEET
from template_builder.layout.words import shown
from workbook.season.cells import CellRef, Record
from workbook.season.matching import fold


@dataclass(frozen=True)
class Claim:
    """One value for a cell, the cells of the copies that say so, and who recorded it as far as that is written."""

    value: Value
    cells: tuple[CellRef, ...]
    recorded_by: tuple[str, ...] = ()
    said: str = ""  # where it is written, as an earlier merge said

    @property
    def source(self) -> str:
        """Where it is written, in words: "day.xlsx Lambing!G5, by AB"."""
        if self.said:
            return self.said
        by = f", by {' and '.join(self.recorded_by)}" if self.recorded_by else ""
        return "; ".join(f"{cell.file} {cell}" for cell in self.cells) + by


class Settled(NamedTuple):
    """The value that stands, None for blank, and the claims where nobody but a person can choose."""

    value: Value
    claims: tuple[Claim, ...] = ()


class Before(NamedTuple):
    """What a cell held before the copies were made, None for blank, and what makes another the same."""

    value: Value
    mark: object


_MILLIGRAM = 6  # places of a weight in kg: finer is how a computer counts
Recorder = Callable[[Record], str | None]


def settle(column: str, rows: Sequence[Record], begun: Callable[[], Before], recorder: Recorder) -> Settled:
    """What stands in a column of the same row of several copies; `begun` gives the value they all began with, None for blank.

    Filled in one copy only is taken, and so is the one value that differs from what they began with. Where several differ
    from it and from each other, what they began with stands and all are claims. A cell emptied in one copy keeps what another
    copy has in it.
    """
    alike: dict[object, list[Record]] = defaultdict(list)
    for row in rows:
        if row.written(column) is not None:
            alike[mark_of(column, row)].append(row)
    if len(alike) < 2:
        return Settled(next((_value(column, same) for same in alike.values()), None))
    before = begun()
    claims = [_claim(column, same, recorder) for mark, same in alike.items() if mark != before.mark]
    first, *others = claims
    if not others:
        return Settled(first.value)
    return Settled(before.value, tuple(sorted(claims, key=lambda claim: _words(claim.value))))


def _claim(column: str, alike: Sequence[Record], recorder: Recorder) -> Claim:
    return Claim(_value(column, alike), tuple(sorted({row.at(column) for row in alike})),
                 tuple(sorted({name for row in alike if (name := recorder(row))})))


def _value(column: str, alike: Sequence[Record]) -> Value:
    """One of several spellings of a value, by its words, so that the order of the files makes no difference."""
    return min((row.written(column) for row in alike), key=_words)


def _words(value: Value) -> tuple[str, str]:
    return shown(value), repr(value)


def mark_of(column: str, row: Record) -> object:
    """What makes two cells the same: weights in whatever unit as kg, else what `mark` says of the value written."""
    held = row.held(column)
    return round(held, _MILLIGRAM) if isinstance(held, float) else mark(column, row.sheet_id, row.written(column))


def mark(column: str, sheet: str, value: Value) -> object:
    """What makes two values the same: tags as matched elsewhere, times to the minute, anything else as written."""
    if isinstance(value, datetime | time):
        return value.isoformat(timespec="minutes")
    if not column.startswith(OWN) and isinstance(value, str) and SHEET[sheet].column(column).kind is Kind.IDENTIFIER:
        return fold(value)
    return value
