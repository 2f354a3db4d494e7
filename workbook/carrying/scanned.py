"""A scan list laid over the ewes of a season: each line to the ewe it means, blank cells filled, and what differs told."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from template_builder.layout.columns import Row, Value
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.whole import SHEET
from template_builder.layout.words import shown
from template_builder.scan.by_ewe import ScanList, ScanRow
from template_builder.scan.season_rows import WHOLE_FLOCK, Mating, due_date, ewe_row
from workbook.carrying.next_season import Carried
from workbook.carrying.not_carried import two_fit
from workbook.carrying.said import Said, named
from workbook.season.cells import titled
from workbook.season.matching import How, fold

_OF_THE_YEAR = ("group",)  # where a new season's list says otherwise than last year's row, the list is right


@dataclass
class _Listed:
    """Collects what becomes of the lines of a list."""

    rows: dict[str, Row]
    strangers: list[str] = field(default_factory=list)
    zeros: list[str] = field(default_factory=list)
    back: list[str] = field(default_factory=list)
    differ: dict[str, list[str]] = field(default_factory=dict)
    met: set[str] = field(default_factory=set)
    asked: list[Said] = field(default_factory=list)
    returned: list[str] = field(default_factory=list)


class Scanned(NamedTuple):
    """The ewes with what a list says of them, what has to be told, and those decided to go who are on it, by number."""

    ewes: list[Row]
    said: list[Said]
    returned: frozenset[str] = frozenset()


def with_scan(carried: Carried, scan: ScanList, mating: Mating, days: float) -> Scanned:
    """The ewes of a season with what the list says of them, and those that only the list has; `days` of gestation.

    What stands in a row stands, but for the group of a season that begins. Nothing is guessed: a line that fits two ewes is a
    ewe of her own, and asked about. A ewe decided to go who is on the list is here, with her history.
    """
    found = _Listed(dict(carried.ewes))
    new: list[Row] = list(carried.new)
    for row in scan.rows:
        key = _ewe_meant(carried, row, found)
        line = _of_list(row, mating, carried)
        if key is None:
            new.append(line)
        else:
            found.met.add(key)
            found.rows[key] = _filled(found, key, line, next_year=not carried.same_year)
    rows = _with_dues(carried, [*found.rows.values(), *new], mating, days)
    return Scanned(rows, [*found.asked, *_told(carried, found)], frozenset(found.returned))


def without_scan(carried: Carried, mating: Mating, days: float) -> list[Row]:
    """The ewes of a season that was not scanned, or not yet."""
    return _with_dues(carried, [*carried.ewes.values(), *carried.new], mating, days)


def _of_list(row: ScanRow, mating: Mating, carried: Carried) -> Row:
    """A line as a row of Ewes. A ewe in no group is in the flock's only one, where it has one."""
    names = [name for group in carried.rows.get("groups", ()) if (name := shown(group.get("group")))]
    line = dict(ewe_row(row, mating))
    if row.group is None:
        line["group"] = names[0] if len(names) == 1 else WHOLE_FLOCK
    return line


def _ewe_meant(carried: Carried, row: ScanRow, found: _Listed) -> str | None:
    """The key of the ewe a line means, None for one that the season before does not have."""
    names = carried.season.flock.names
    match = names.match(row.ewe)
    by_tag = names.match(row.official_tag) if row.official_tag else None
    if match.how is How.TWO_FIT:
        found.asked.append(Said(f"line {row.line}: {two_fit(carried.season, row.ewe)} of {carried.season.file}; she is in as a "
                                "new ewe without a history: write the number in full", asks=True))
        return None
    key = match.key if match.found or by_tag is None or not by_tag.found else by_tag.key
    if match.found and by_tag is not None and by_tag.found and by_tag.key != match.key:
        found.asked.append(Said(f"line {row.line}: the number {row.ewe} and the official tag {row.official_tag} are those of two "
                                f"ewes of {carried.season.file}; she was taken by her number: correct one of them", asks=True))
    if key in found.met:
        found.asked.append(Said(f"line {row.line}: ewe {row.ewe} is a ewe listed before, {found.rows[key]['ewe']}; she is in as "
                                "another ewe: correct the number", asks=True))
        return None
    if key in carried.ewes:
        if match.how is How.ZEROS:
            found.zeros.append(f"{row.ewe} is {carried.ewes[key]['ewe']}")
        return key
    if key in carried.sent:
        found.rows[key] = carried.sent[key]
        found.returned.append(str(carried.sent[key]["ewe"]))
        return key
    _not_staying(carried, row, key, found)
    return None


def _not_staying(carried: Carried, row: ScanRow, key: str, found: _Listed) -> None:
    """A line of the list that is no ewe of the season: one that left, or a new one."""
    left = carried.leavers.get(key)
    earlier = [one for one in carried.rows.get(LEFT.id, ()) if fold(shown(one.get("ewe"))) == fold(row.ewe)]
    if left is not None or earlier:
        how = left.words if left else f"{shown(earlier[-1].get('ewe'))} {shown(earlier[-1].get('how'))}"
        found.back.append(how)
    else:
        found.strangers.append(row.ewe)


def _filled(found: _Listed, key: str, line: Row, *, next_year: bool) -> Row:
    """Her row with its blank cells filled from the list; what the list says otherwise is told. In the year after, a note of the
    list stands before those of earlier years, and its group counts."""
    row = dict(found.rows[key])
    for column, value in line.items():
        if column == "ewe" or (column == "group" and value == WHOLE_FLOCK and "group" in row):
            continue
        if column == "notes" and next_year and row.get(column) is not None:
            row[column] = f"{shown(value)}; {shown(row[column])}"
        elif row.get(column) is None or (next_year and column in _OF_THE_YEAR):
            row[column] = value
        elif not _same(row[column], value):
            title = titled(SHEET["ewes"].column(column))
            found.differ.setdefault(title, []).append(f"{row['ewe']} ({shown(value)}, here {shown(row[column])})")
    return row


def _same(here: Value, there: Value) -> bool:
    return fold(shown(here)) == fold(shown(there))


def _with_dues(carried: Carried, rows: Iterable[Row], mating: Mating, days: float) -> list[Row]:
    groups = {fold(name): row for row in carried.rows.get("groups", ()) if (name := shown(row.get("group")))}
    return [_with_due(row, groups, mating, days) for row in rows]


def _with_due(row: Row, groups: Mapping[str, Row], mating: Mating, days: float) -> Row:
    """With the day she should lamb, from her mating, else from the day the ram went to her group; none for an empty ewe."""
    if row.get("due") is not None or row.get("scanned") == 0:
        return row
    in_group = groups.get(fold(shown(row.get("group"))), {}).get("ram_in")
    mated = next((day for day in (row.get("mated_on"), in_group, mating.ram_in) if isinstance(day, date)), None)
    return row if mated is None else {**row, "due": due_date(mated, days)}


def _told(carried: Carried, found: _Listed) -> Iterator[Said]:
    file = carried.season.file
    yield from named(found.strangers, f"on the list, but not in {file}: in as new, without a history")
    yield from named(found.back, f"on the list, but gone by {file}: in as new; another ewe with her number, or still here?",
                     asks=True)
    yield from named(found.returned, "on the list, though decided to go: in with her history, and not on Left", asks=True)
    yield from named(found.zeros, "joined but for leading zeros")
    yield from named((str(row["ewe"]) for key, row in carried.ewes.items()
                      if key not in found.met and not {"left_on", "left_how"} & row.keys()),
                     f"in {file}, but neither on the list nor gone: in as not scanned")
    for title, ewes in found.differ.items():
        yield from named(ewes, f"another {title.lower()} on the list; what stands here was kept", asks=True)
