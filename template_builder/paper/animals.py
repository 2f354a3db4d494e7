"""What the paper sheets say of a flock: every ewe still here, and those still to lamb in the order of the build."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import LINE, Row, Value
from template_builder.layout.laying import by_number, weights_in
from template_builder.layout.sheets.lambing import LAMBED
from template_builder.layout.warning import last_years_warning
from template_builder.layout.words import shown

_GONE = ("left_on", "left_how")


class PaperEwe(NamedTuple):
    """A ewe in the few words that stand on paper."""

    name: str
    scanned: str
    lambs: int
    due: str
    mark: str
    warning: str


@dataclass(frozen=True)
class PaperFlock:
    """`ewes` are all still here, by number; `to_lamb` those still to lamb; `lines` the numbers of the day book, if it is one;
    `unit` what weights are in."""

    ewes: tuple[PaperEwe, ...]
    to_lamb: tuple[PaperEwe, ...]
    lines: tuple[int, ...]
    groups: tuple[str, ...]
    unit: WeightUnit = WeightUnit.KG

    @classmethod
    def of(cls, rows: Mapping[str, Sequence[Row]]) -> "PaperFlock":
        """The flock in the rows of a season. Lambings already written down need no sheet any more."""
        here = [row for row in rows.get("ewes", ()) if "ewe" in row and not any(column in row for column in _GONE)]
        ewes = {str(row["ewe"]): _ewe(row) for row in sorted(here, key=by_number)}
        lambing = rows.get("lambing", ())
        lines = tuple(line for row in lambing if isinstance(line := row.get(LINE.id), int))
        waiting = [str(row["ewe"]) for row in lambing if "ewe" in row and not any(column in row for column in LAMBED)]
        groups = tuple(dict.fromkeys(shown(row.get("group")) for row in rows.get("groups", ()) if "group" in row))
        if lines:
            written = {str(row["ewe"]) for row in lambing if "ewe" in row}
            waiting = [name for name, row in _by_due(here) if name not in written and row.get("scanned") != 0]
        return cls(tuple(ewes.values()), tuple(ewes[name] for name in dict.fromkeys(waiting) if name in ewes), lines, groups,
                   weights_in(rows))


def _by_due(rows: Sequence[Row]) -> list[tuple[str, Row]]:
    def key(row: Row) -> tuple[object, ...]:
        due = row.get("due")
        return (due.toordinal() if isinstance(due, date) else date.max.toordinal(), *by_number(row))

    return [(str(row["ewe"]), row) for row in sorted(rows, key=key)]


def _ewe(row: Row) -> PaperEwe:
    scanned = row.get("scanned")
    return PaperEwe(
        shown(row["ewe"]), shown(scanned), scanned if isinstance(scanned, int) else 0, day_of(row.get("due")),
        shown(row.get("mark")), last_years_warning(row),
    )


def day_of(value: Value) -> str:
    """A date without its year, as on a wall: 12 Mar."""
    return f"{value.day} {value:%b}" if isinstance(value, date) else shown(value)
