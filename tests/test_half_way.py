"""What is told before a season is over: nothing still to come is a loss, and nothing is drawn of a handful of lambs."""

from datetime import date, datetime
from pathlib import Path

import pytest
from fake_result import result
from openpyxl import load_workbook
from seasons import season

from demo_workbooks.simulation.half_way import half_season
from template_builder.layout.summary_tabs import LOSSES, MEETING, PROBLEM_EWES, SCANNING
from workbook.output.report import headline
from workbook.output.summary.book import write_summary
from workbook.output.summary.page_one import lost_by_stage
from workbook.output.summary.phrases import NOTHING_WRITTEN, stage_words
from workbook.reading.season_file import Reading
from workbook.results.litters.figures import LOST_LINES
from workbook.results.pipeline import analyse

pytestmark = pytest.mark.usefixtures("few_spare_rows")

DAY = date(2026, 4, 1)


def test_lambs_still_to_be_born_are_no_loss(tmp_path: Path) -> None:
    half = result(season(as_of=datetime(2026, 4, 3, 12, 0), **half_season(date(2026, 4, 2))))
    ahead = half.account.total("to_lamb")
    assert ahead > 10 and "so far" == half.stage
    assert half.account.total(*LOST_LINES) == sum(lambs for _, lambs in lost_by_stage(half))
    write_summary(half, tmp_path / "summary.xlsx")
    told = [str(row[0].value) for row in load_workbook(tmp_path / "summary.xlsx")[MEETING].iter_rows(max_col=1)]
    assert any(f"{ahead} lambs still to be born are no loss" in words for words in told)
    assert not [words for words in told if "still to lamb" in words]
    assert "Reared" not in headline(half)


@pytest.mark.parametrize(("month", "nothing"), [(1, False), (4, False), (6, True)])
def test_a_workbook_nobody_has_written_in_gives_the_figures_of_the_scan_alone(
    month: int, nothing: bool, tmp_path: Path,
) -> None:
    ewes = [{"ewe": str(n), "scanned": 2 if n else 0, "due": date(2026, 4, 1)} for n in range(20)]
    groups = [{"group": "Low", "ewes_to_ram": 21}]
    found = analyse(Reading(season(as_of=datetime(2026, month, 1, 12, 0), ewes=ewes, groups=groups), ()))
    known = {figure.id: figure.value for figure in found.figures}
    scan = {"scanning_pct_ram": 38 / 0.21, "scanning_pct_scanned": 190.0, "litter_scanned": 2.0, "empty_pct": 5.0}
    assert pytest.approx(scan) == {id: known[id] for id in scan}
    assert nothing is (scan.keys() == known.keys())
    assert nothing is not found.decisions
    assert ("Scanning %, per ewe scanned: 190.0 %\nLitter size scanned, lambs per ewe: 2.0\nEmpty %: 5.0 %\n") in headline(found)
    assert nothing is headline(found).endswith(NOTHING_WRITTEN)
    assert nothing is (NOTHING_WRITTEN == stage_words(found))
    write_summary(found, tmp_path / "summary.xlsx")
    told = {cell.value for sheet in load_workbook(tmp_path / "summary.xlsx") for row in sheet.iter_rows() for cell in row
            if sheet.title in (MEETING, SCANNING, LOSSES, PROBLEM_EWES)}
    assert {"190.0 %", "No loss is written so far."} <= told and not {"never lambed", "gone", "Born 0"} & told
