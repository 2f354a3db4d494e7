"""All formulas of a workbook worked out: each column when it is first asked for, with everything it looks at before it."""

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

import template_builder.live.evaluator.functions  # noqa: F401  # what each function means is declared there
from template_builder.live.evaluator.compiling import NOW, REAL, Compiled, Place, compiled
from template_builder.live.evaluator.grammar import NotInTheLanguage
from template_builder.live.evaluator.meaning import REFERENCE, CellValue, Fault
from template_builder.live.evaluator.ranges import Area, Range, faultless


class Formula(NamedTuple):
    """A formula as written, and the names of the cells of its row by how it writes them; none for a cell alone."""

    text: str
    own: Mapping[str, str]
    alone: bool = False


class Language:
    """All formulas of a workbook by name, and what other names stand for. Each is compiled once, when first asked for."""

    def __init__(self, formulas: Mapping[str, Formula], others: Mapping[str, Place], areas: Mapping[str, Sequence[str]]) -> None:
        self.formulas = formulas
        self.others = others
        self.areas = areas  # columns of formulas that stand side by side under one name
        self._compiled: dict[str, Compiled] = {}

    def compiled(self, name: str) -> Compiled:
        """The formula of this name, ready to be worked out."""
        if name not in self._compiled:
            formula = self.formulas[name]
            self._compiled[name] = compiled(formula.text, formula.own, self.place)
        return self._compiled[name]

    def place(self, name: str) -> Place:
        """What a name stands for; NotInTheLanguage for one that stands for nothing."""
        if name in self.formulas:
            return Place("cell" if self.formulas[name].alone else "column", self.compiled(name).kinds)
        if name in self.areas:
            return Place("area")
        if name == NOW:
            return Place("cell", REAL)
        if name not in self.others:
            raise NotInTheLanguage(f"no cells are named {name}")
        return self.others[name]


class Reckoning:
    """The values of all names at one moment.

    `given` are cells known beforehand, `entry` gives those that people fill in, `typed` single ones of them; `rows` says how
    many rows each column has.
    """

    def __init__(
        self, language: Language, given: Mapping[str, Range], entry: Callable[[str], Range | Area], rows: Mapping[str, int],
        now: float, typed: Mapping[str, CellValue] = MappingProxyType({}),
    ) -> None:
        self.language, self.entry, self.rows = language, entry, rows
        self.known: dict[str, Range | Area] = dict(given)
        self.alone: dict[str, CellValue | Fault] = {NOW: now, **typed}

    def column(self, name: str) -> Range:
        """The cells of a column."""
        found = self._range(name)
        assert isinstance(found, Range)
        return found

    def cell(self, name: str) -> CellValue | Fault:
        """The value of a cell alone."""
        if name not in self.alone:
            (self.alone[name],) = self._worked_out(name, 1).cells
        return self.alone[name]

    def _range(self, name: str) -> Range | Area:
        if name not in self.known:
            self.known[name] = self._found(name)
        return self.known[name]

    def _found(self, name: str) -> Range | Area:
        if name in self.language.formulas:
            return self._worked_out(name, self.rows[name])
        if name in self.language.areas:
            return Area([self.column(column) for column in self.language.areas[name]], 1)
        return self.entry(name)

    def _worked_out(self, name: str, rows: int) -> Range:
        ready = self.language.compiled(name)
        columns = [self._at_least(self.column(beside), rows) for beside in ready.beside]
        areas = [self._range(area) for area in ready.counted]
        used = [self._value(other) for other in ready.used]
        beside = [column.cells for column in columns] + [area.filled_in_rows for area in areas if isinstance(area, Area)]
        if not any(one.faulty for one in (*columns, *areas)) and not any(self._at_fault(value) for value in used):
            try:
                return faultless(ready.quick(rows, beside, used))
            except Fault:
                pass  # one row at least ends in an error
        return Range(ready.careful(rows, beside, used))

    def _value(self, name: str) -> CellValue | Fault | Range | Area:
        alone = name in self.alone or (name in self.language.formulas and self.language.formulas[name].alone)
        return self.cell(name) if alone else self._range(name)

    @staticmethod
    def _at_fault(value: object) -> bool:
        return value.faulty if isinstance(value, Range | Area) else isinstance(value, Fault)

    @staticmethod
    def _at_least(column: Range, rows: int) -> Range:
        """A column read row by row; below its end is an error."""
        if rows <= len(column.cells):
            return column
        return Range([*column.cells, *[Fault(REFERENCE)] * (rows - len(column.cells))])
