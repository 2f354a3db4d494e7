"""Page one of the meeting: four figures, the lambs lost by stage, and the ewes to go by the reason that decides."""

from collections import Counter
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from edge_seasons import edge_season
from seasons import season

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN
from template_builder.layout.choices import Born, Verdict
from template_builder.layout.columns import Row
from template_builder.layout.summary_tabs import EWE_DECISIONS, MEETING
from workbook.output.summary.book import write_summary
from workbook.output.summary.meeting import GOING, MOST_NAMED, going, lost_by_stage, tiles
from workbook.reading.season_file import Reading, read
from workbook.results.pipeline import Result, analyse


@cache
def result(name: str) -> Result:
    return analyse(read(FOLDER / name))


def figure(of: Result, id: str) -> float | None:
    return next((one.numerator for one in of.figures if one.id == id and one.value is not None), None)


@pytest.mark.parametrize("name", [CLEAN, HILL_CLEAN])
def test_the_stages_add_up_to_the_lambs_lost(name: str) -> None:
    of = result(name)
    assert figure(of, "total_loss_pct") == sum(lambs for _, lambs in lost_by_stage(of))


@pytest.mark.parametrize("seed", range(25))
def test_the_stages_add_up_to_the_lambs_lost_in_any_season(seed: int) -> None:
    rows, now = edge_season(seed)
    of = analyse(Reading(season(now, **rows), ()))
    lost = figure(of, "total_loss_pct")
    assert lost is None or lost == sum(lambs for _, lambs in lost_by_stage(of))


@pytest.mark.parametrize("name", [CLEAN, HILL_CLEAN])
def test_every_ewe_to_go_or_to_watch_is_named_once_under_the_reason_that_decides(name: str) -> None:
    of = result(name)
    told = Counter((verdict, ewe, reason.title) for verdict, reasons in going(of) for reason in reasons for ewe in reason.ewes)
    wanted = Counter((one.verdict, one.name, one.reasons[0].title) for one in of.decisions.values() if one.verdict in GOING)
    assert wanted == told and {1} == set(told.values())


def test_reasons_with_most_ewes_stand_first_and_ewes_by_number() -> None:
    for _, reasons in going(result(CLEAN)):
        sizes = [len(reason.ewes) for reason in reasons]
        assert sorted(sizes, reverse=True) == sizes
        assert all(sorted(reason.ewes, key=int) == list(reason.ewes) for reason in reasons)


def test_the_four_figures_say_what_they_are_set_against() -> None:
    found = {tile.title: tile for tile in tiles(result(CLEAN))}
    assert ["Reared", "Lambs lost", "Scanned", "Ewes helped"] == list(found)
    assert found["Reared"].line.startswith("target 165 %: ") and found["Reared"].line.endswith(" lambs short")
    assert "187.1 %" == found["Scanned"].value and "333 lambs in 178 ewes" == found["Scanned"].line
    assert found["Lambs lost"].value.endswith(" of 336") and "target 15 %" in found["Lambs lost"].line


def page(path: Path, of: Result) -> openpyxl.worksheet.worksheet.Worksheet:
    write_summary(of, path)
    book = openpyxl.load_workbook(path)
    assert MEETING == book.sheetnames[0] == book.active.title
    return book[MEETING]


def words(sheet: openpyxl.worksheet.worksheet.Worksheet) -> list[str]:
    return [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None]


def test_it_prints_on_one_page_with_a_picture_and_its_words(tmp_path: Path) -> None:
    sheet = page(tmp_path / "summary.xlsx", result(CLEAN))
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert {sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight} <= {1, None}, "one is what a blank means"
    assert 1 == len(sheet._charts)
    said = words(sheet)
    assert {"Where lambs were lost", "Which ewes go"} <= set(said)
    for verdict, reasons in going(result(CLEAN)):
        assert f"{verdict.label} {sum(len(reason.ewes) for reason in reasons)}" in said
    keep = sum(one.verdict is Verdict.KEEP for one in result(CLEAN).decisions.values())
    assert f"keep {keep}: numbers on {EWE_DECISIONS}" in said


def flock(dead: int, ewes: int = 12) -> Result:
    lambs: list[Row] = [{"ewe": str(n), "lamb_no": 1, "born": Born.DEAD_FRESH if n < dead else Born.ALIVE} for n in range(ewes)]
    return analyse(Reading(season(ewes=[{"ewe": str(n), "scanned": 1} for n in range(ewes)], lambs=lambs), ()))


@pytest.mark.parametrize(("dead", "pictures"), [(9, 0), (10, 1), (11, 1)])
def test_under_ten_lambs_there_is_no_picture(dead: int, pictures: int, tmp_path: Path) -> None:
    sheet = page(tmp_path / "summary.xlsx", flock(dead))
    assert pictures == len(sheet._charts)
    assert "born dead" in words(sheet)


@pytest.mark.parametrize(("number", "more"), [(MOST_NAMED - 1, 0), (MOST_NAMED, 0), (MOST_NAMED + 1, 1)])
def test_more_ewes_than_fit_are_counted(number: int, more: int, tmp_path: Path) -> None:
    ewes: list[Row] = [{"ewe": str(n), "scanned": 0, "lambings_before": 3} for n in range(number)]
    said = words(page(tmp_path / "summary.xlsx", analyse(Reading(season(ewes=ewes), ()))))
    assert bool(more) == any(text.endswith(f"and {more} more") for text in said)
    assert f"cull {number}" in said
