"""Rows laid ready: one on Ewes for each ewe, one on Lambing for each ewe in lamb, one on Lambs for each scanned lamb."""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from enum import Enum

from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import LINE, Row, Sheet, Value
from template_builder.layout.settings import SETTING
from template_builder.layout.sheets.ewes import EWES
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.weights import KG, weight_of

_KEY_CHARACTERS = 10
LAMBS_A_LINE = 3  # lamb rows of each day-book line, on paper and on screen: four or more are seldom, they go below


class Order(Enum):
    """In which order Lambing and Lambs are laid ready."""

    DUE = "due"
    EWE = "ewe"
    DAY_BOOK = "daybook"


def weights_in(rows: Mapping[str, Sequence[Row]]) -> WeightUnit:
    """The unit that Season among these rows says weights are in."""
    said = next((row.get("value") for row in rows.get("season", ()) if row.get("row_key") == "weights_in"), None)
    return said if isinstance(said, WeightUnit) else WeightUnit.KG


def setting_in(rows: Mapping[str, Sequence[Row]], id: str) -> float:
    """A setting that is a number: the value that Season among these rows gives, else its default."""
    given = next((row.get("value") for row in rows.get("season", ()) if row.get("row_key") == id), None)
    if isinstance(given, str) and SETTING[id].unit == KG:
        given = weight_of(given, WeightUnit.KG)
    value = given if isinstance(given, int | float) else SETTING[id].default
    assert isinstance(value, int | float), id
    return value


def row_key(sheet: Sheet, row: Row) -> str:
    """The hidden key of an issued row: a short hash of its issued cells. Tells when one column was sorted alone."""
    written = "|".join(_plain(row.get(column.id)) for column in sheet.issued_in(row))
    return short_key(f"{sheet.id}|{written}")


def short_key(words: str) -> str:
    """A short hash of words, to tell whether they still stand where they were written."""
    return hashlib.sha256(words.encode()).hexdigest()[:_KEY_CHARACTERS]


def _plain(value: Value) -> str:
    return value.isoformat()[:10] if isinstance(value, date) else "" if value is None else str(value)


def lay_ready(ewes: Iterable[Row], order: Order = Order.DUE, *, each_lamb: bool = True) -> dict[str, list[Row]]:
    """Rows by sheet id for a flock as scanned: "ewes", "lambing" and "lambs", each with its row key.

    `ewes` are rows of the Ewes sheet (column id -> value). A ewe not scanned gets a Lambing row but no lamb rows, an
    empty ewe neither. Without `each_lamb` there are no lamb rows: the lambs are known by the numbers on Lambing. A day book
    has numbered lines instead, as many as ewes may lamb and some to spare.
    """
    rows = sorted(ewes, key=_sorting(order))
    if order is Order.DAY_BOOK:
        return {"ewes": [keyed(EWES, ewe) for ewe in rows], **day_book(sum(ewe.get("scanned") != 0 for ewe in rows))}
    lambing: list[Row] = []
    lambs: list[Row] = []
    for ewe in rows:
        scanned = ewe.get("scanned")
        if scanned == 0:
            continue
        lambing.append(keyed(LAMBING, {name: ewe.get(name) for name in ("ewe", "scanned", "due")}))
        count = scanned if each_lamb and isinstance(scanned, int) else 0
        lambs += [keyed(LAMBS, {"ewe": ewe["ewe"], "lamb_no": number}) for number in range(1, count + 1)]
    by_number = sorted(rows, key=_sorting(Order.EWE))
    return {"ewes": [keyed(EWES, ewe) for ewe in by_number], "lambing": lambing, "lambs": lambs}


def day_book(ewes: int) -> dict[str, list[Row]]:
    """Numbered lines for this many ewes and some to spare: one on Lambing and three on Lambs under the same number."""
    lines = range(1, ewes + LAMBING.spare_rows + 1)
    return {
        "lambing": [keyed(LAMBING, {LINE.id: line}) for line in lines],
        "lambs": [keyed(LAMBS, {LINE.id: line, "lamb_no": lamb}) for line in lines for lamb in range(1, LAMBS_A_LINE + 1)],
    }


def numbered_by_line(rows: Sequence[Row]) -> bool:
    """Whether the rows of a sheet are the lines of a day book."""
    return any(LINE.id in row for row in rows)


def keyed(sheet: Sheet, row: Row) -> Row:
    """The row with its key, blank cells left out."""
    filled = {name: value for name, value in row.items() if value is not None}
    return {**filled, "row_key": row_key(sheet, filled)}


def by_number(row: Row) -> tuple[object, ...]:
    """For sorting rows by ewe: numbers as numbers, then names."""
    return in_order(str(row.get("ewe") or ""))


def in_order(name: str) -> tuple[object, ...]:
    """For sorting numbers of ewes: numbers as numbers, then names."""
    return (0, int(name), name) if name.isdecimal() else (1, 0, name.casefold())


def _sorting(order: Order) -> Callable[[Row], tuple[object, ...]]:
    def by_due(row: Row) -> tuple[object, ...]:
        due = row.get("due")
        return (due if isinstance(due, date) else date.max, *by_number(row))

    return by_due if order is Order.DUE else by_number


__all__: Sequence[str] = [
    "LAMBS_A_LINE", "Order", "by_number", "day_book", "keyed", "lay_ready", "numbered_by_line", "row_key", "short_key",
]
