"""Which rows of several copies are the same row: by what a person sees, the hidden row key where that leaves two."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.layout.columns import LINE, NOT_KNOWN, Value
from template_builder.layout.whole import SHEET
from template_builder.layout.words import shown
from workbook.season.cells import Record
from workbook.season.matching import fold


@dataclass(frozen=True)
class About:
    """The columns that say what a row is about; of these the `needed` ones must be filled in."""

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
    """What a row goes by in every copy. `time` tells apart rows of one copy that go by the same."""

    how: str
    parts: tuple[str, ...]
    time: int = 0


ROW_KEY, CONTENT = "row key", "content"


def same_rows(copies: Sequence[Sequence[Record]]) -> list[list[tuple[Key, Record]]]:
    """The rows of one sheet in each copy, in their order, each with the key it shares with its like in other copies.

    Neither the order of the rows nor that of the copies matters.
    """
    if any(SHEET[row.sheet_id].fixed_rows for rows in copies for row in rows[:1]):
        return [[(Key(ROW_KEY, (row.key or "",)), row) for row in rows] for rows in copies]
    keys = _told_apart(copies, [[_seen(row) for row in rows] for rows in copies])
    one = _joined(copies, keys)
    return [[(one.get(key, key), row) for key, row in zip(found, rows, strict=True)]
            for found, rows in zip(keys, copies, strict=True)]


def _seen(row: Record) -> Key:
    """What a person knows a row by: what it is about, else all that is written in it."""
    if about := _about(row):
        return about
    return Key(ROW_KEY, (row.key,)) if row.key else Key(CONTENT, _content(row))


def _content(row: Record) -> tuple[str, ...]:
    return tuple(f"{column}={_word(row.written(column))}" for column in sorted(row.values))


_Places = list[tuple[int, int]]  # copy and position of rows


def _told_apart(copies: Sequence[Sequence[Record]], seen: list[list[Key]]) -> list[list[Key]]:
    """The keys, where a copy has two rows of one each with a key of its own: by the hidden key, then by what is written."""
    crowded = {key for keys in seen for key, times in Counter(keys).items() if times > 1}
    if not crowded:
        return seen
    groups: dict[Key, _Places] = defaultdict(list)
    for copy, keys in enumerate(seen):
        for position, key in enumerate(keys):
            if key in crowded:
                groups[key].append((copy, position))
    found = [list(keys) for keys in seen]
    for key, places in groups.items():
        for part, together in _by_hidden_key(copies, key, places).items():
            for (copy, position), time in _times(copies, together):
                found[copy][position] = part._replace(time=time)
    return found


def _by_hidden_key(copies: Sequence[Sequence[Record]], key: Key, places: _Places) -> Mapping[Key, _Places]:
    """Rows that are seen as one, apart by hidden key; a row without goes with the issued row, where there is just one."""
    hidden = {row_key for copy, position in places if (row_key := copies[copy][position].key)}
    only = next(iter(hidden)) if len(hidden) == 1 else ""
    found: dict[Key, _Places] = defaultdict(list)
    for copy, position in places:
        found[key._replace(parts=(*key.parts, copies[copy][position].key or only))].append((copy, position))
    return found


def _times(copies: Sequence[Sequence[Record]], places: _Places) -> Iterator[tuple[tuple[int, int], int]]:
    """A number for each of several rows of one key: rows that say the same in two copies are one, the rest by their words."""
    lines: dict[tuple[tuple[str, ...], int], _Places] = defaultdict(list)
    times: Counter[tuple[int, tuple[str, ...]]] = Counter()
    for copy, position in places:
        content = _content(copies[copy][position])
        lines[content, times[copy, content]].append((copy, position))
        times[copy, content] += 1
    ordered = sorted(lines)
    later: Counter[int] = Counter()
    for time, line in enumerate(ordered):
        (copy, position), *others = lines[line]
        if others:
            yield from ((place, time) for place in lines[line])
        else:
            yield (copy, position), len(ordered) + later[copy]
            later[copy] += 1


def _joined(copies: Sequence[Sequence[Record]], keys: Sequence[Sequence[Key]]) -> Mapping[Key, Key]:
    """Keys that are one row by its hidden key, as where a copy corrects the number of a ewe: no copy has both of them."""
    there: dict[Key, set[int]] = defaultdict(set)
    by_hidden: dict[str, set[Key]] = defaultdict(set)
    for copy, (found, rows) in enumerate(zip(keys, copies, strict=True)):
        for key, row in zip(found, rows, strict=True):
            there[key].add(copy)
            if row.key:
                by_hidden[row.key].add(key)
    one: dict[Key, Key] = {}
    for _, same in sorted(by_hidden.items()):
        in_copies = [copy for key in same for copy in there[key]]
        if len(same) > 1 and not same & one.keys() and len(in_copies) == len(set(in_copies)):
            one |= dict.fromkeys(same, min(same))
    return one


def _about(row: Record) -> Key | None:
    """What a row is about: a line of the day book by its numbers, any other by the first of its sheet's ways it can be told."""
    if LINE.id in row.values:
        numbers = SHEET[row.sheet_id].issued_in(row.values)
        return Key(LINE.id, tuple(_word(row.written(column.id)) for column in numbers))
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
