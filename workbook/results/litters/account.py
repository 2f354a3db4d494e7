"""The litter account: every scanned place and every lamb in exactly one class, per ewe and for the flock.

Totals (scanned, born, born alive, present) are counted from the records, their parts from the classifier: neither is
worked out from the other, so that a line out of balance shows a fault.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from template_builder.layout.choices import Born
from workbook.results.litters.counts import CountCheck
from workbook.results.litters.lines import ALL, BOUGHT_IN, COUNT, LINE, LINES, NOT_SCANNED, SECOND_SUMS
from workbook.results.litters.movements import SCANNED_PLACES, Fate, Movement, Place, movements, scan_of, size_class
from workbook.results.litters.occasions import netted
from workbook.results.litters.shortages import seen_at_counts, shortages
from workbook.season.cells import CellRef
from workbook.season.families import BORN, Lamb
from workbook.season.groups import Groups, ewe_with
from workbook.season.season import Season, once

# Litter sizes that have a class even where no ewe was scanned with so many.
USUAL_SIZES = (0, 1, 2, 3)

# Where lambs still here can be. Lambs short at a count are taken off those with their own ewe; only when these run out
# off the others, in this order.
SHORT_FROM = (Fate.OWN_EWE, Fate.NO_EWE, Fate.PET, Fate.FOSTER_EWE)

KNOWN_PARTS = LINE["known"].parts

SourceRow = tuple[str, int]  # a row of the source: its sheet and its number


@dataclass(frozen=True)
class EweAccount:
    """One ewe's lines. `size_class` is her class of the account ("0", "1", ..., "not scanned")."""

    ewe: str
    name: str
    size_class: str
    lines: Mapping[str, int]


@dataclass(frozen=True)
class Account:
    """The flock's account: `lines[line id][class]`, classes "0", "1", ..., "not scanned", "bought in", "count", "all".

    `rows[line id]` are the places of the lambs or ewes counted there; `places[line id]` how many lambs each row of the
    source, called by sheet and row, counts there, and `class_at` the class of such a row.
    """

    lines: Mapping[str, Mapping[str, int]]
    classes: tuple[str, ...]
    ewes: Mapping[str, EweAccount]
    counts: tuple[CountCheck, ...]
    rows: Mapping[str, tuple[CellRef, ...]]
    places: Mapping[str, Mapping[SourceRow, int]] = field(default_factory=dict)
    class_at: Mapping[SourceRow, str] = field(default_factory=dict)

    def total(self, *lines: str) -> int:
        """The sum of lines over the whole flock."""
        return sum(self.lines[line][ALL] for line in lines)


class Imbalance(NamedTuple):
    """A line that is not the sum of its parts. `ewe` is "" for a class of the flock."""

    line: str
    size_class: str
    ewe: str
    total: int
    of_parts: int


Lines = dict[str, int]


def _no_lines() -> Lines:
    return dict.fromkeys((line.id for line in LINES), 0)


class _Tally:
    """Counts by class and by ewe while an account is made."""

    def __init__(self, season: Season) -> None:
        sizes = {scan for ewe in season.flock.ewes.values() if (scan := scan_of(ewe)) is not None}
        self.classes = (*(str(size) for size in sorted({*USUAL_SIZES, *sizes})), NOT_SCANNED, BOUGHT_IN, COUNT)
        self.by_class = {name: _no_lines() for name in self.classes}
        self.by_ewe = {key: _no_lines() for key in season.flock.ewes}
        self.rows: dict[str, list[CellRef]] = {line.id: [] for line in LINES}
        self.places: dict[str, Counter[SourceRow]] = {line.id: Counter() for line in LINES}
        self.class_at: dict[SourceRow, str] = {}

    def add(self, line: str, size_class: str, ewe: str | None, number: int, cell: CellRef) -> None:
        self.by_class[size_class][line] += number
        if ewe is not None:
            self.by_ewe[ewe][line] += number
        self.rows[line].append(cell)
        self.places[line][cell.sheet, cell.row] += number
        self.class_at[cell.sheet, cell.row] = size_class

    def lines(self) -> dict[str, dict[str, int]]:
        """By line and class, with the sum over all classes."""
        return {
            line.id: {**(of := {name: self.by_class[name][line.id] for name in self.classes}), ALL: sum(of.values())}
            for line in LINES
        }


@once
def litter_account(season: Season) -> Account:
    """The account of a season, from its records, its classified movements and the counts someone made."""
    flock, tally, groups = season.flock, _Tally(season), Groups.of(season)
    for ewe in flock.ewes.values():
        if ewe.record is not None and not groups.counted_with_group(ewe) and (scan := scan_of(ewe)) is not None:
            tally.add("scanned", size_class(ewe), ewe.key, scan, ewe.record.at("scanned"))
    for lamb in flock.lambs:
        if not lamb.bought:
            in_class = size_class(flock.mother(lamb))
            for line in _lines_of_record(lamb):
                tally.add(line, in_class, lamb.bearer, 1, _cell(lamb))
    seen = seen_at_counts(season)
    for move in movements(season):
        for line in _lines_of(move, seen, season):
            tally.add(line, move.size_class, move.ewe.key if move.ewe else None, move.number, move.cell)
    _adjust(tally, sum(short.number for short in shortages(season)))
    ewes = {
        key: EweAccount(key, ewe.name, size_class(ewe), tally.by_ewe[key])
        for key, ewe in flock.ewes.items() if not groups.counted_with_group(ewe)
    }
    rows = {line: tuple(cells) for line, cells in tally.rows.items()}
    checks = tuple(count.check for count in netted(season))
    return Account(tally.lines(), (*tally.classes, ALL), ewes, checks, rows, tally.places, tally.class_at)


def _cell(lamb: Lamb) -> CellRef:
    return lamb.record.at("born" if lamb.named else "born_alive")


def _lines_of_record(lamb: Lamb) -> Iterator[str]:
    """The totals a home-born lamb counts in, from its record alone."""
    if lamb.born not in BORN:
        return
    yield "born"
    if lamb.born is Born.ALIVE:
        yield "born_alive"
        if lamb.left_how is None:
            yield "present"


def _lines_of(move: Movement, seen: frozenset[Lamb], season: Season) -> Iterator[str]:
    """The parts and memo lines a movement counts in."""
    yield move.place.value
    bought = move.place is Place.BOUGHT_IN
    if move.place in SCANNED_PLACES or move.place.value in KNOWN_PARTS:
        yield "known"
    if move.fate is Fate.FOSTER_EWE:
        yield "set_on"
        yield "set_on_bought" if bought else "set_on_home"
    if move.fate is None or bought:
        return
    yield move.fate.value
    if move.fate in SHORT_FROM and move.lamb is not None and (move.lamb in seen or _seen_alone(move.lamb, season)):
        yield "present_seen"


def _seen_alone(lamb: Lamb, season: Season) -> bool:
    """Whether a lamb was weighed, or turned out with its ewe on a day written down."""
    if lamb.weights:
        return True
    ewe = ewe_with(season.flock, lamb)
    return ewe is not None and ewe.lambing is not None and ewe.lambing.day("turned_out_on") is not None


def _adjust(tally: _Tally, short: int) -> None:
    """The entry for lambs short at the last count: it belongs to a group, never to a ewe."""
    entry = tally.by_class[COUNT]
    entry["short"] += short
    entry["present"] -= short
    entry["present_seen"] -= short
    for fate in SHORT_FROM:
        here = sum(lines[fate.value] for lines in tally.by_class.values())
        taken = min(short, here)
        entry[fate.value] -= taken
        if fate is Fate.FOSTER_EWE:
            entry["set_on"] -= taken
            entry["set_on_home"] -= taken
        short -= taken


def imbalances(account: Account) -> list[Imbalance]:
    """Every line that is not the sum of its parts, in any class or of any ewe; none unless the program has a fault."""
    found: list[Imbalance] = []
    for name in account.classes:
        found += _unequal({line: of[name] for line, of in account.lines.items()}, name, "")
    for key, ewe in account.ewes.items():
        found += _unequal(ewe.lines, ewe.size_class, key)
    for line, of in account.lines.items():
        parts = sum(number for name, number in of.items() if name != ALL)
        if of[ALL] != parts:
            found.append(Imbalance(line, ALL, "", of[ALL], parts))
    return found


SUMS = (*((line.id, line.parts) for line in LINES if line.parts), *SECOND_SUMS)


def _unequal(lines: Mapping[str, int], size_class: str, ewe: str) -> Iterator[Imbalance]:
    for line, parts in SUMS:
        of_parts = sum(lines[part] for part in parts)
        if lines[line] != of_parts:
            yield Imbalance(line, size_class, ewe, lines[line], of_parts)


__all__ = ["Account", "CountCheck", "EweAccount", "Imbalance", "imbalances", "litter_account"]
