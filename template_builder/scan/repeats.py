"""The ewes of a list as they are read: one that stands in it again is one ewe, and what her two rows differ in is said."""

from dataclasses import dataclass, field, fields, replace
from typing import Any

from template_builder.scan.ewe_columns import LABELS
from template_builder.scan.lines import ScanRow, Unplaced
from template_builder.scan.numbers import ewe_key

_WHERE = frozenset({"line", "sheet", "ewe"})


@dataclass
class Flock:
    """Ewes by number in the order of the list, with what could not be placed and what was taken for granted."""

    unplaced: list[Unplaced] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    _first: dict[str, ScanRow] = field(default_factory=dict)

    @property
    def rows(self) -> tuple[ScanRow, ...]:
        """The ewes, each once."""
        return tuple(self._first.values())

    def add(self, row: ScanRow, text: str, unit: str) -> None:
        """Add a row; of a ewe who is there already, what her first row leaves blank."""
        key = ewe_key(row.ewe)
        first = self._first.setdefault(key, row)
        if first is row:
            return
        before = f"{unit} {first.line}" + (f" of sheet “{first.sheet}”" if first.sheet not in (None, row.sheet) else "")
        differing = _differing(first, row)
        if "scanned" in differing:
            words = (f"The row is left out: ewe {row.ewe} already stands in {before} with {first.scanned}, here with "
                     f"{row.scanned}; delete the row that is wrong, or correct the number.")
            self.unplaced.append(Unplaced(row.line, text, words, row.sheet))
            return
        self._first[key] = replace(first, **{name: value for name, value in _values(row).items()
                                             if getattr(first, name) is None})
        if differing:
            words = (f"Ewe {row.ewe} already stands in {before}, with another {_listed(differing)}; the first is kept: "
                     "delete the row that is wrong, or correct the number.")
            self.unplaced.append(Unplaced(row.line, text, words, row.sheet))
            return
        hers, here = _values(first), _values(row)
        said = ("the same again" if here == hers else "with nothing new here" if here.items() <= hers.items()
                else "what was blank there is taken from here")
        self.notes.append(f"{unit} {row.line}: ewe {row.ewe} already stands in {before}, {said}")


def _values(row: ScanRow) -> dict[str, Any]:
    named = {each.name: getattr(row, each.name) for each in fields(row) if each.name not in _WHERE}
    return {name: value for name, value in named.items() if value is not None}


def _differing(first: ScanRow, row: ScanRow) -> list[str]:
    before = _values(first)
    return [name for name, value in _values(row).items() if name in before and before[name] != value]


def _listed(names: list[str]) -> str:
    return " and ".join(LABELS[name] for name in names)
