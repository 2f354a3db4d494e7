"""Which rows of several copies are the same row: by the hidden row key, else by what the row is about, never by position."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.layout.columns import NOT_KNOWN, Value
from template_builder.layout.whole import SHEET
from template_builder.layout.words import shown
from workbook.season.cells import Record
from workbook.season.matching import fold


@dataclass(frozen=True)
class About:
    """The columns that say what a row added by hand is about; of these the `needed` ones must be filled in."""

    needed: tuple[str, ...]
    also: tuple[str, ...] = ()


# Where the first cannot be told, the next is tried: a bought lamb goes by its tag, a treatment of all ewes by "all ewes".
ABOUT: Mapping[str, tuple[About, ...]] = {
    "groups": (About(("group",)),),
    "ewes": (About(("ewe",)),),
    "lambing": (About(("ewe",)),),
    "lambs": (About(("ewe", "lamb_no")), About(("tag",))),
    "weights": (About(("animal", "date"), ("occasion",)),),
    "counts": (About(("date",), ("group", "stage")),),
    "ewe_check": (About(("ewe", "date")),),
    "treatments": (About(("date", "animal"), ("product",)), About(("date", "given_to"), ("product",))),
    "answers": (About(("rule", "sheet", "row_name"), ("value",)),),
}


class Key(NamedTuple):
    """What a row goes by in every copy. `time` tells apart rows of one copy that go by the same: 0 for the first of them."""

    how: str
    parts: tuple[str, ...]
    time: int = 0


ROW_KEY, CONTENT = "row key", "content"


def same_rows(copies: Sequence[Sequence[Record]]) -> list[list[tuple[Key, Record]]]:
    """The rows of one sheet in each copy, in their order, each with the key it shares with its like in other copies.

    A row that has lost its hidden key goes with the issued row about the same thing, where there is just one. A row that does
    not say what it is about goes by all that is written in it.
    """
    issued = _issued_about(copies)
    return [_keyed(rows, issued) for rows in copies]


def _issued_about(copies: Sequence[Sequence[Record]]) -> Mapping[Key, Key]:
    """For what an issued row is about, the row key; left out where it is about the same as another issued row."""
    found: dict[Key, set[str]] = defaultdict(set)
    for row in (row for rows in copies for row in rows):
        if row.key and (about := _about(row)):
            found[about].add(row.key)
    return {about: Key(ROW_KEY, tuple(keys)) for about, keys in found.items() if len(keys) == 1}


def _keyed(rows: Sequence[Record], issued: Mapping[Key, Key]) -> list[tuple[Key, Record]]:
    times: dict[Key, int] = defaultdict(int)
    found: dict[int, Key] = {}
    for position, row in sorted(enumerate(rows), key=lambda pair: (pair[1].key is None, pair[0])):
        key = _key(row, issued)
        found[position] = key._replace(time=times[key])
        times[key] += not SHEET[row.sheet_id].fixed_rows
    return [(found[position], row) for position, row in enumerate(rows)]


def _key(row: Record, issued: Mapping[Key, Key]) -> Key:
    if row.key:
        return Key(ROW_KEY, (row.key,))
    about = _about(row)
    if about is None:
        return Key(CONTENT, tuple(f"{column}={_word(row.written(column))}" for column in sorted(row.values)))
    return issued.get(about, about)


def _about(row: Record) -> Key | None:
    for about in ABOUT.get(row.sheet_id, ()):
        if all(row.written(column) not in (None, NOT_KNOWN) for column in about.needed):
            columns = (*about.needed, *about.also)
            return Key(" ".join(columns), tuple(_word(row.written(column)) for column in columns))
    return None


def _word(value: Value) -> str:
    return fold(shown(value))


def in_order(copies: Sequence[Sequence[tuple[Key, Record]]], base: Sequence[tuple[Key, Record]]) -> Iterator[Key]:
    """Every key once: in the order of the base, else of the fullest copy, and then what the others have besides."""
    first: dict[Key, int] = {}
    for rows in copies:
        for position, (key, _) in enumerate(rows):
            first[key] = min(position, first.get(key, position))
    keys = [[key for key, _ in rows] for rows in copies]
    leading = [key for key, _ in base] or max(keys, key=lambda order: (len(order), order), default=[])
    led = dict.fromkeys(key for key in leading if key in first)
    yield from led
    yield from sorted(first.keys() - led.keys(), key=lambda key: (first[key], key))
