"""What each live cell of the summary says now, from its own formula: declared once, worked out before the file is opened."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from template_builder.layout.addresses import letters
from template_builder.layout.choices import Verdict
from template_builder.live.columns import LIVE, ROW, K, LiveCell, LiveSheet
from template_builder.live.evaluator.compiling import Place
from template_builder.live.evaluator.grammar import NotInTheLanguage
from template_builder.live.evaluator.meaning import CellValue, Fault
from template_builder.live.evaluator.ranges import Range, faultless
from template_builder.live.evaluator.reckoning import Formula, Language, Reckoning
from workbook.output.summary.live.ewes import VERDICTS

Column = Sequence[CellValue]
VERDICT_WORDS = tuple(verdict.label for verdict in Verdict)


@dataclass(frozen=True)
class LiveDecisions:
    """All live cells of the decisions, worked out."""

    sheets: Mapping[str, LiveSheet]
    cells: Sequence[LiveCell]
    reckoning: Reckoning

    def column(self, sheet: str, column: str) -> Sequence[str | int | float]:
        """What the cells of a column of formulas say."""
        return [_written(cell) for cell in self.reckoning.column(self.sheets[sheet].name(column)).cells]

    def values(self, sheet: str) -> Mapping[str, Sequence[str | int | float]]:
        """The columns of a block that hold values others rest on, by id."""
        own = self.sheets[sheet]
        return {column.id: self.column(sheet, column.id) for column in own.columns
                if not column.formula and own.name(column.id) in self.reckoning.known}

    def cell(self, cell: LiveCell) -> str | int | float:
        return _written(self.reckoning.cell(cell.name))

    def given(self, sheet: str, column: str, cells: Column) -> None:
        """Give the values of a column once more, before anything that looks at it is asked for."""
        self.reckoning.known[self.sheets[sheet].name(column)] = faultless(cells)


def _written(cell: CellValue | Fault) -> str | int | float:
    return cell.code if isinstance(cell, Fault) else "" if cell is None else cell


def worked_out(sheets: Sequence[LiveSheet], cells: Sequence[LiveCell], given: Mapping[str, Column]) -> LiveDecisions:
    """The blocks and cells alone over what is given by name: columns of values, those of Policy too."""
    known = {name: faultless(column) for name, column in {**given, f"{LIVE}{VERDICTS}": VERDICT_WORDS}.items()}
    language = _language(tuple(replace(sheet, rows=0) for sheet in sheets), tuple(cells), frozenset(known))
    rows = {sheet.name(id): sheet.rows for sheet in sheets for id in sheet.places}
    numbers = {sheet.name(K): Range(range(1, sheet.rows + 1)) for sheet in sheets if sheet.numbered}
    reckoning = Reckoning(language, {**known, **numbers}, known.__getitem__, rows, 0)
    return LiveDecisions({sheet.id: sheet for sheet in sheets}, cells, reckoning)


@cache
def _language(sheets: tuple[LiveSheet, ...], cells: tuple[LiveCell, ...], known: frozenset[str]) -> Language:
    """The formulas of the blocks and of the cells alone, however many rows they have."""
    formulas = {cell.name: Formula(cell.formula, {}, alone=True) for cell in cells}
    if twice := formulas.keys() & {sheet.name(column.id) for sheet in sheets for column in sheet.columns}:
        raise NotInTheLanguage(f"names given both to a cell and to a column: {sorted(twice)}")
    for sheet in sheets:
        own = {f"${letters(number)}{{{ROW}}}": K if id == K else sheet.name(id) for id, number in sheet.places.items()}
        formulas |= {sheet.name(column.id): Formula(sheet.formula(column), own) for column in sheet.columns if column.formula}
    return Language(formulas, dict.fromkeys(known, Place("column")), {})
