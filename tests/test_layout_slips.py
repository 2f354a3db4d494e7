"""A column sorted by itself: of how many rows the old value must be found again before it is called that."""

import pytest
from seasons import season

from template_builder.layout.columns import Row
from template_builder.layout.laying import row_key
from template_builder.layout.sheets.lambs import LAMBS
from workbook.rules.checks.layout_slips import issued_column_sorted

CORRECTED, SORTED = "corrected", "sorted"


def lambs(*changed: str) -> list[Row]:
    """Rows that no longer fit their marks: the ewes of some were sorted among themselves, the lamb number of others mended."""
    laid: list[Row] = [{"ewe": f"04{at:02}", "lamb_no": 1 if how == SORTED else 2} for at, how in enumerate(changed)]
    of_sorted = [row["ewe"] for row, how in zip(laid, changed, strict=True) if how == SORTED]
    others = iter([*of_sorted[1:], *of_sorted[:1]])
    now: list[Row] = [{**row, "ewe": next(others)} if how == SORTED else {**row, "lamb_no": 3}
                      for row, how in zip(laid, changed, strict=True)]
    return [{**row, "tag": f"7{at:03}", "row_key": row_key(LAMBS, was)}
            for at, (row, was) in enumerate(zip(now, laid, strict=True))]


@pytest.mark.parametrize(("back", "fires"), [(4, False), (5, False), (6, True)])
def test_more_than_half_of_the_changed_rows_find_their_old_value(back: int, fires: bool) -> None:
    of = season(lambs=lambs(*[SORTED] * back, *[CORRECTED] * (10 - back)))
    said = "Ewe was sorted without the rest: 10 of 10 rows no longer fit their mark"
    assert [said] * fires == [found.text for found in issued_column_sorted(of)]


@pytest.mark.parametrize(("changed", "fires"), [
    ([*[SORTED] * 6, *[CORRECTED] * 4, CORRECTED], True), ([*[SORTED] * 5, *[CORRECTED] * 5, SORTED], False)])
def test_of_more_than_ten_changed_rows_the_first_ten_decide(changed: list[str], fires: bool) -> None:
    assert fires is bool([*issued_column_sorted(season(lambs=lambs(*changed)))])
