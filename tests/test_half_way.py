"""What is told before a season is over: nothing still to come is a loss, and nothing is drawn of a handful of lambs."""

from datetime import date, datetime
from pathlib import Path

import pytest
from fake_result import result
from half_season import half_season
from openpyxl import load_workbook
from seasons import season

from template_builder.layout.choices import Born, LambLeft
from template_builder.layout.columns import Row
from template_builder.layout.summary_tabs import LOSSES, MEETING, PROBLEM_EWES, SCANNING, SUMMARY
from workbook.output.report import headline
from workbook.output.summary.book import write_summary
from workbook.output.summary.charts import waterfall
from workbook.output.summary.phrases import NOTHING_WRITTEN, stage_words
from workbook.output.summary.pictures import candidates, worth_drawing
from workbook.reading.season_file import Reading
from workbook.results.pipeline import analyse

DAY = date(2026, 4, 1)


def test_lambs_still_to_be_born_are_not_in_the_picture() -> None:
    half = result(season(as_of=datetime(2026, 4, 3, 12, 0), **half_season(date(2026, 4, 2))))
    ahead = half.account.total("to_lamb")
    steps = waterfall(half)
    assert ahead > 10 and "so far" == half.stage
    assert (f"scanned, less {ahead} to come", half.account.total("scanned") - ahead) == (steps[0].label, steps[0].level)
    assert not [step for step in steps if "still to lamb" in step.label]
    for step, after in zip(steps, steps[1:], strict=False):
        end = step.level or (step.base if step.loss else step.base + step.gain)
        assert end == (after.level or (after.base + after.loss if after.loss else after.base))
    assert "Reared" not in headline(half)


@pytest.mark.parametrize(("lambs", "drawn"), [(9, False), (10, True), (11, True)])
def test_nothing_is_drawn_of_under_ten_lambs(lambs: int, drawn: bool) -> None:
    rows: list[Row] = [{"ewe": str(n), "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED, "left_on": DAY}
                       for n in range(lambs)]
    ewes = [{"ewe": row["ewe"], "scanned": 1} for row in rows]
    found = worth_drawing(candidates(result(season(ewes=ewes, lambs=rows))))
    assert drawn is any(numbers.title == "From scanning to the lambs here now" for numbers in found)


@pytest.mark.parametrize(("few", "there"), [(9, False), (10, True)])
def test_no_column_of_under_ten_lambs(few: int, there: bool) -> None:
    """Twenty twins and some singles: a column of each litter size where there are ten lambs of it."""
    rows: list[Row] = [{"ewe": f"T{n // 2}", "lamb_no": n % 2 + 1, "born": Born.ALIVE} for n in range(20)]
    rows += [{"ewe": f"S{n}", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED} for n in range(few)]
    by_size = next(numbers for numbers in candidates(result(season(lambs=rows))) if numbers.title.endswith("by litter size born"))
    assert there is any(str(row[0]).startswith("1 (") for row in by_size.rows)
    assert there is not ("Left out, with fewer than ten lambs: 1." in by_size.note)


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
            if sheet.title in (MEETING, SUMMARY, SCANNING, LOSSES, PROBLEM_EWES)}
    assert {"190.0 %", "No loss is written so far."} <= told and not {"never lambed", "gone", "Born 0"} & told
