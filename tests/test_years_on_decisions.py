"""Her last three years: one line each beside the printed page of Ewe decisions, and in the pack where the meeting decides."""

from pathlib import Path

from openpyxl import load_workbook
from seasons import season

from template_builder.layout.choices import Born
from template_builder.layout.summary_tabs import EWE_DECISIONS, MEETING
from workbook.output.summary.book import write_summary
from workbook.output.summary.live.ewes import YEARS
from workbook.reading.season_file import Reading
from workbook.results.pipeline import analyse


def test_her_last_three_years_stand_in_her_row(tmp_path: Path) -> None:
    result = analyse(Reading(season(
        ewes=[{"ewe": "A", "past_year_1": "2025: scanned 2; 2 born, 2 reared", "past_year_2": "2024: scanned empty"},
              {"ewe": "B"}],
        lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}]), ()))
    write_summary(result, tmp_path / "summary.xlsx")
    sheet = load_workbook(tmp_path / "summary.xlsx")[EWE_DECISIONS]
    top = next(row for row in sheet.iter_rows() if YEARS[0] in [cell.value for cell in row])
    places = [next(cell.column for cell in top if cell.value == title) for title in YEARS]
    rows = {row[0].value: [sheet.cell(row[0].row, place).value for place in places]
            for row in sheet.iter_rows(min_row=top[0].row + 1) if row[0].value}
    assert [*result.years["a"]] == rows["A"] and 3 == len(rows["A"])
    assert [None, None, None] == rows["B"]
    assert not any(sheet.column_dimensions[cell.column_letter].hidden for cell in top if cell.value in YEARS)


def test_the_pack_tells_her_earlier_years_below_this_one_where_she_is_decided_on(tmp_path: Path) -> None:
    years = {f"past_year_{number}": f"{2026 - number}: {number} born" for number in (1, 2, 3)}
    result = analyse(Reading(season(ewes=[
        {"ewe": "A", "scanned": 0, "lambings_before": 4, **years}, {"ewe": "B", "scanned": 0, "lambings_before": 4}]), ()))
    write_summary(result, tmp_path / "summary.xlsx")
    sheet = load_workbook(tmp_path / "summary.xlsx")[MEETING]
    told = [str(cell.value) for row in sheet.iter_rows() for cell in row if str(cell.value).startswith("Scanned empty.")]
    assert ["Scanned empty.\n2025: 1 born\n2024: 2 born", "Scanned empty."] == told
