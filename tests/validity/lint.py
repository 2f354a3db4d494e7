"""All findings on a workbook, and the functions and criteria its formulas use."""

from collections import Counter
from collections.abc import Iterable
from itertools import chain
from pathlib import Path

from validity.contents import cell_findings, part_findings
from validity.formulas import criteria_in, formula_findings, formulas, functions_in
from validity.parts import Finding, Package
from validity.titles import name_findings, sheet_findings
from validity.typing_in import typing_findings


def lint(path: Path, formula_sheets: Iterable[str] = ()) -> list[Finding]:
    """What is wrong with a workbook, nothing for a sound one. `formula_sheets` are those whose cells may hold formulas."""
    package = Package.open(path)
    return list(chain(
        part_findings(package), sheet_findings(package), name_findings(package), typing_findings(package),
        cell_findings(package, frozenset(formula_sheets)), formula_findings(package),
    ))


def lint_folder(folder: Path, formula_sheets: Iterable[str] = ()) -> dict[str, list[Finding]]:
    """The findings on each workbook of a folder, by file name."""
    return {path.name: lint(path, formula_sheets) for path in sorted(folder.glob("*.xlsx"))}


def used(path: Path) -> tuple[Counter[str], Counter[str]]:
    """Every function in the formulas of a workbook and every criterion given to COUNTIF, SUMIF and the like."""
    found = [formula for _, formula in formulas(Package.open(path))]
    return (
        Counter(chain.from_iterable(functions_in(formula) for formula in found)),
        Counter(chain.from_iterable(criteria_in(formula) for formula in found)),
    )
