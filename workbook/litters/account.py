"""The litter account: every scanned place and every lamb in exactly one class, per ewe and for the flock."""

from collections.abc import Mapping
from dataclasses import dataclass

from workbook.cells import CellRef


@dataclass(frozen=True)
class EweAccount:
    """One ewe's lines. `size_class` is her class of the account ("0", "1", ..., "not scanned")."""

    ewe: str
    name: str
    size_class: str
    lines: Mapping[str, int]


@dataclass(frozen=True)
class CountCheck:
    """A count as an assertion: what the book expects, what was counted, and the difference (counted - expected)."""

    place: CellRef
    group: str
    stage: str
    expected: int
    counted: int
    difference: int
    words: str


@dataclass(frozen=True)
class Account:
    """The flock's account: `lines[line id][class]`, classes "all", "0", "1", ..., "not scanned", "bought in", "count".

    `rows[line id]` are the places of the lambs or ewes counted there.
    """

    lines: Mapping[str, Mapping[str, int]]
    classes: tuple[str, ...]
    ewes: Mapping[str, EweAccount]
    counts: tuple[CountCheck, ...]
    rows: Mapping[str, tuple[CellRef, ...]]
