"""xlsxwriter made strict: what it would leave out in silence is a fault, and formulas stand in the file as they are given."""

import re
from collections.abc import Sequence
from html import escape

from xlsxwriter.worksheet import Worksheet

_LIKE_A_CELL = re.compile(r"[A-Z]{1,3}\d+|R\d*(C\d*)?|C\d*", re.IGNORECASE)


class LayoutFault(ValueError):
    """A workbook that would be broken or would lose something in silence: a fault of this program."""


def did(result: object, what: str, name: str) -> None:
    """What the writer says by a number alone, said aloud."""
    if result and isinstance(result, int):
        raise LayoutFault(f"{what} {name} was not written (code {result})")


def not_a_cell(name: str) -> None:
    """A name that a spreadsheet would take for a cell, such as AB12 or R1C1, is refused."""
    if _LIKE_A_CELL.fullmatch(name):
        raise LayoutFault(f"the name {name} would be taken for a cell")


class Shared(str):
    """A formula that all cells of a column share; the file holds it once, as spreadsheets themselves save it."""

    element = ""  # as it stands in the file


def shared(formula: str, area: str, number: int) -> tuple[Shared, Shared]:
    """A formula shared by the cells of an area, for its first cell and for those below; each has a `number` in its sheet."""
    first, below = Shared(formula.removeprefix("=")), Shared(" ")
    first.element = f'<f t="shared" ref="{area}" si="{number}">{escape(first, quote=False)}</f>'
    below.element = f'<f t="shared" si="{number}"/>'
    return first, below


class StrictSheet(Worksheet):  # type: ignore[misc]  # the writer is untyped
    """A sheet that takes formulas as they are (none has a function younger than the file format), shared ones too."""

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula if isinstance(formula, Shared) else formula.removeprefix("=")

    def write_shared(self, row: int, column: int, formula: Shared, cell_format: object, value: object) -> object:
        """As write_formula, for whoever counts rows and columns from 0 and asks for many."""
        return self._write_formula(row, column, formula, cell_format, value)

    def _xml_formula_element(self, formula: str, result: object, attributes: Sequence[tuple[str, object]] = ()) -> None:
        if result == "":  # said to be text, or an empty result would read as "never computed"
            attributes = (*attributes, ("t", "str"))
        if not isinstance(formula, Shared):
            super()._xml_formula_element(formula, result, attributes)
            return
        cell = "".join([f' {name}="{value}"' for name, value in attributes])
        value = escape(result, quote=False) if isinstance(result, str) else result
        self.fh.write(f"<c{cell}>{formula.element}<v>{value}</v></c>")
