"""A column of one's own touches nothing: numbers filled down it make no lamb, no lambing and no problem."""

from datetime import date, datetime
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.layout.columns import OWN, Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.sheets import SHEETS
from workbook.reading.season_file import read
from workbook.results.litters.account import litter_account
from workbook.results.litters.lines import ALL
from workbook.results.pipeline import check

NOW = datetime(2026, 3, 1, 8, 0)
MY_NO = f"{OWN}My no."


def numbered(rows: list[Row], most: int) -> list[Row]:
    """The rows with a number each, and numbers below them."""
    return [{**row, MY_NO: number} for number, row in enumerate([*rows, *[{} for _ in range(most)]][:most], start=1)]


def test_numbers_down_a_column_of_ones_own_count_as_nothing(tmp_path: Path) -> None:
    due = date(2026, 3, 20)
    laid = lay_ready([{"ewe": "0412", "scanned": 2, "group": "Hill", "due": due, "condition": 3},
                      {"ewe": "0415", "scanned": 1, "due": due}])
    laid["groups"] = [{"group": "Hill"}]
    plain = {sheet.id: laid.get(sheet.id, []) for sheet in SHEETS if not sheet.fixed_rows}
    path = tmp_path / "season.xlsx"
    build(path, Plan("Own", {id: numbered(rows, 9) for id, rows in plain.items()}))
    reading = read(path, NOW)
    assert {sheet.id: 9 for sheet in SHEETS if not sheet.fixed_rows} == {
        id: len(rows) for id, rows in reading.season.records.items() if id in plain}
    assert [] == [str(problem) for problem in check(reading).problems]
    lines = litter_account(reading.season).lines
    assert {"scanned": 3, "to_lamb": 3, "known": 3} == {line: of[ALL] for line, of in lines.items() if of[ALL]}
