"""Sheets of a person's own in a merged workbook: none is lost, and no title is taken twice."""

from collections.abc import Sequence

import pytest
from seasons import AS_OF

from template_builder.files.opening import Cell, Cells
from template_builder.layout.whole import CONFLICTS_TAB
from workbook.merging.own_sheets import own_sheets
from workbook.season.season import Season


def _copy(name: str, own: Sequence[str], others: Sequence[str] = (), word: str = "hay") -> tuple[Cells, Season]:
    tabs = (*own, *others)
    cells = Cells(name, {tab: ((2, (Cell(3, word), Cell(4, None), Cell(5, ""))),) for tab in tabs})
    return cells, Season(name, {}, AS_OF, own_sheets=tuple(own), tabs=tabs)


@pytest.mark.parametrize(("own", "others", "titles"), [
    (["Hay"], [], ["Hay"]),
    (["Hay"], ["Lambs"], ["Hay"]),
    ([], [CONFLICTS_TAB], ["Earlier conflicts"]),
    ([CONFLICTS_TAB], [], ["Conflicts (2)"]),
    (["Hay", CONFLICTS_TAB], [], ["Conflicts (2)", "Hay"]),
    (["Lambs"], [], ["Lambs (2)"]),
    (["hay", "HAY"], [], ["HAY", "hay (2)"]),
    (["History"], [], ["History sheet"]),
    (["'Hay'"], [], ["Hay"]),
    (["a/b"], [], ["a b"]),
    (["?"], [], ["Sheet"]),
    (["x" * 31], [], ["x" * 31]),
    (["x" * 32], [], ["x" * 31]),
    (["x" * 31, "X" * 31], [], ["X" * 31, "x" * 27 + " (2)"]),
])
def test_each_sheet_gets_a_title_of_its_own(own: list[str], others: list[str], titles: list[str]) -> None:
    assert titles == [sheet.title for sheet in own_sheets([_copy("day.xlsx", own, others)])]


def test_the_same_sheet_of_two_copies_is_one_and_another_of_its_title_is_kept_beside_it() -> None:
    copies = [_copy(name, ["Hay"], word=word) for name, word in
              (("night.xlsx", "hay"), ("day.xlsx", "hay"), ("day.xlsx", "hay"), ("office.xlsx", "straw"))]
    for given in (copies, copies[::-1]):
        assert [("Hay", {(2, 3): "hay"}, ("day.xlsx", "night.xlsx")), ("Hay (2)", {(2, 3): "straw"}, ("office.xlsx",))] == [
            (sheet.title, sheet.values, sheet.files) for sheet in own_sheets(given)]


@pytest.mark.parametrize(("cell", "kept"), [
    (Cell(1, 4, "=2+2"), 4), (Cell(1, None, "=2+2"), "=2+2"), (Cell(1, 0), 0), (Cell(1, True), "TRUE"),
    (Cell(1, "#N/A", error=True), "#N/A"),
])
def test_a_formula_is_kept_as_its_value_or_where_it_has_none_as_its_text(cell: Cell, kept: object) -> None:
    cells = Cells("day.xlsx", {"Hay": ((1, (cell,)),)})
    (sheet,) = own_sheets([(cells, Season("day.xlsx", {}, AS_OF, own_sheets=("Hay",), tabs=("Hay",)))])
    assert {(1, 1): kept} == sheet.values
