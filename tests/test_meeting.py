"""The pack of the meeting: page one, then the ewes to decide, the losses by stage and litter size, and the rest."""

import re
import zipfile
from collections import Counter
from datetime import date, datetime
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from benchmarks.flocks import season_of
from edge_seasons import edge_season
from openpyxl.utils import range_boundaries
from seasons import season

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN, HILL_MESSY, MESSY
from template_builder.files.look import PRINT_PAGE
from template_builder.files.room import FREE_ROW
from template_builder.files.tab import Cell, Tab
from template_builder.files.writer import new_book
from template_builder.layout.choices import Born, Help, Sex, Trouble, Verdict, Weighed, YesNo
from template_builder.layout.columns import Row
from template_builder.layout.summary_tabs import EWE_DECISIONS, MEETING
from workbook.output.summary.alarms import alarm_words
from workbook.output.summary.book import write_summary
from workbook.output.summary.ewe_decisions import in_order_of_verdict, printed_columns
from workbook.output.summary.flags import flags_of
from workbook.output.summary.live.flock import FlockNow
from workbook.output.summary.live.given import live_decisions
from workbook.output.summary.live.named import TO_DECIDE
from workbook.output.summary.live.which import GOING, MOST_NAMED
from workbook.output.summary.losses_by_litter import known_in, lost_in
from workbook.output.summary.meeting import SECTIONS
from workbook.output.summary.pack import COLUMNS, WIDTHS, Around
from workbook.output.summary.page_one import SPARE_LINES, SPARE_POINTS, Reason, draw, fitting, going, lost_by_stage, tiles
from workbook.output.summary.places import places_of
from workbook.reading.season_file import Reading, read
from workbook.results.litters.lines import ALL, NOT_SCANNED
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


@pytest.mark.parametrize(("said", "line"), [(15, "from 15 of 20 ewes"), (16, "16 of 16"), (17, "17 of 17")])
def test_a_share_known_for_too_few_says_so_beside_it(said: int, line: str) -> None:
    """Who writes help alone and leaves the rest blank has not helped every ewe."""
    ewes: list[Row] = [{"ewe": str(n), "scanned": 1} for n in range(20)]
    lambing: list[Row] = [{"ewe": str(n), "lambed_on": date(2026, 3, 12), "born_alive": 1,
                           **({"help": Help.LIGHT} if n < said else {})} for n in range(20)]
    of = analyse(Reading(season(ewes=ewes, lambing=lambing), ()))
    tile = next(tile for tile in tiles(of) if tile.title == "Ewes helped")
    assert tile.line.startswith(line)


def page(path: Path, of: Result) -> openpyxl.worksheet.worksheet.Worksheet:
    write_summary(of, path)
    book = openpyxl.load_workbook(path, data_only=True)
    assert MEETING == book.sheetnames[0] == book.active.title
    return book[MEETING]


def words(sheet: openpyxl.worksheet.worksheet.Worksheet) -> list[str]:
    return [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None]


def pages_of(sheet: openpyxl.worksheet.worksheet.Worksheet) -> int:
    """Pages of the pack, from the heights of its rows and its breaks."""
    last = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))[3]
    breaks, pages, used = {one.id for one in sheet.row_breaks.brk}, 1, 0.0
    for row in range(1, last + 1):
        height = sheet.row_dimensions[row].height or FREE_ROW
        if row - 1 in breaks or used + height > PRINT_PAGE:
            pages, used = pages + 1, 0.0
        used += height
    return pages


def of_ewes(number: int) -> Result:
    """The demo's flock several times over."""
    rows = season_of(number)
    as_of = next(row["value"] for row in rows["season"] if row["row_key"] == "as_of")
    assert isinstance(as_of, datetime)
    return analyse(Reading(season(as_of, **rows), ()))


@pytest.mark.parametrize(("name", "most"), [(HILL_CLEAN, 11), pytest.param(HILL_MESSY, 11, marks=pytest.mark.long),
                                            pytest.param(MESSY, 11, marks=pytest.mark.long)])
def test_the_pack_is_short(name: str, most: int, tmp_path: Path) -> None:
    """About ten pages for 180 ewes each written of, and for 400 on the hill."""
    assert most >= pages_of(page(tmp_path / "summary.xlsx", result(name)))


@pytest.mark.long
def test_the_pack_of_a_large_flock_grows_by_the_ewes_to_decide_on(tmp_path: Path) -> None:
    """By heights a page more than LibreOffice prints of 360 ewes."""
    assert 14 >= pages_of(page(tmp_path / "summary.xlsx", of_ewes(360)))


def test_page_one_has_a_picture_and_its_words_and_ends_where_the_next_begins(tmp_path: Path) -> None:
    sheet = page(tmp_path / "summary.xlsx", result(CLEAN))
    assert 1 == len(sheet._charts) and pages_of(sheet) <= 10
    first_break = min(one.id for one in sheet.row_breaks.brk)
    assert "Ewes to decide" not in words_above(sheet, first_break) and "Which ewes go" in words_above(sheet, first_break)
    said = words(sheet)
    assert {"Where lambs were lost", "Which ewes go"} <= set(said)
    for verdict, reasons in going(result(CLEAN)):
        assert f"{verdict.label} {sum(len(reason.ewes) for reason in reasons)}" in said
    keep = sum(one.verdict is Verdict.KEEP for one in result(CLEAN).decisions.values())
    assert {f"keep {keep}", f"numbers on {EWE_DECISIONS}"} <= set(said)


def words_above(sheet: openpyxl.worksheet.worksheet.Worksheet, row: int) -> list[str]:
    return [str(cell.value) for line in sheet.iter_rows(max_row=row) for cell in line if cell.value is not None]


def around(of: Result) -> Around:
    places = places_of(of.season)
    decided = in_order_of_verdict(of)
    live = live_decisions(decided, of.season.policy, printed_columns(of), flock=FlockNow.of(of)) if decided else None
    return Around(of, places, flags_of(of, places), live)


def rows_of(id: str, of: Result) -> list[list[object]]:
    part = next(section.part(around(of)) for section in SECTIONS if section.id == id)
    return [] if part is None else [[cell.value if isinstance(cell, Cell) else cell for cell in row] for row in part.rows]


@pytest.mark.parametrize("name", [CLEAN, HILL_CLEAN])
def test_each_ewe_stands_once_in_the_pack_to_decide_on_with_her_reason_first_or_by_number(name: str) -> None:
    of = result(name)
    told = {str(row[0]): (row[1], str(row[2]).split(". Before")[0].split("; ")[0]) for row in rows_of("to_decide", of)}
    wanted = {one.name: (one.verdict.label, one.reasons[0].text) for one in of.decisions.values() if one.verdict in TO_DECIDE}
    assert wanted == told
    numbers = [str(cell) for id in ("keep", "not_known") for row in rows_of(id, of) for cell in row if cell]
    rest = [one.name for one in of.decisions.values() if one.verdict not in TO_DECIDE]
    assert sorted(rest) == sorted(numbers)


@pytest.mark.parametrize("name", [CLEAN, HILL_CLEAN])
def test_losses_by_litter_add_up_to_page_one_and_to_the_figure(name: str) -> None:
    of = result(name)
    assert dict(lost_by_stage(of)) == {label: sum(row.values()) for label, row in lost_in(of).items()}
    assert next(one.denominator for one in of.figures if one.id == "total_loss_pct") == known_in(of, ALL)


@pytest.mark.parametrize("seed", range(25))
def test_losses_by_litter_add_up_in_any_season(seed: int) -> None:
    rows, now = edge_season(seed)
    of = analyse(Reading(season(now, **rows), ()))
    assert dict(lost_by_stage(of)) == {label: sum(row.values()) for label, row in lost_in(of).items()}


def test_a_lamb_lost_stands_under_the_lambs_its_ewe_was_scanned_with() -> None:
    of = analyse(Reading(season(
        ewes=[{"ewe": "1", "scanned": 2}, {"ewe": "2"}],
        lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.DEAD_FRESH}, {"ewe": "1", "lamb_no": 2, "born": Born.ALIVE},
               {"ewe": "2", "lamb_no": 1, "born": Born.DEAD_FRESH}]), ()))
    assert {"born dead": {"2": 1, NOT_SCANNED: 1}} == {label: dict(row) for label, row in lost_in(of).items()}


def test_long_numbers_are_told_apart_and_take_two_columns(tmp_path: Path) -> None:
    ewes: list[Row] = [{"ewe": f"82601230000000{n}", "scanned": 0, "lambings_before": 3} for n in range(1, 4)]
    sheet = page(tmp_path / "summary.xlsx", analyse(Reading(season(ewes=ewes), ())))
    wide = {str(one).split(":")[0] for one in sheet.merged_cells.ranges if one.size["columns"] == 2}
    told = {cell.value: cell.coordinate for row in sheet.iter_rows(max_col=1) for cell in row}
    assert all(told[ewe["ewe"]] in wide for ewe in ewes)


@pytest.mark.parametrize(("last", "beside"), [({"last_loss": 12}, ["12 %"]), ({}, [])])
def test_gaps_have_last_season_beside_this_one_where_it_is_known(last: dict[str, float], beside: list[str]) -> None:
    typed: list[Row] = [{"row_key": id, "value": value} for id, value in {"target_loss": 5.0, **last}.items()]
    lambs: list[Row] = [{"ewe": str(n), "lamb_no": 1, "born": Born.DEAD_FRESH if n < 10 else Born.ALIVE} for n in range(40)]
    of = analyse(Reading(season(ewes=[{"ewe": str(n), "scanned": 1} for n in range(40)], lambs=lambs, season=typed), ()))
    part = next(section.part(around(of)) for section in SECTIONS if section.id == "gaps")
    assert part is not None and bool(beside) == ("Last season" in [head.title for head in part.heads])
    row = next(row for row, gap in zip(part.rows, of.gaps, strict=True) if gap.id == "total_loss_pct")
    assert ["25.0 %", *beside] * bool(beside) == list(row[2:-1])


def test_illnesses_of_several_are_one_alarm_that_wraps_and_is_no_link(tmp_path: Path) -> None:
    ill: list[Row] = [{"ewe": str(n), "date": date(2026, 3, 20), "trouble": Trouble.MASTITIS if n < 3 else Trouble.SLEEPY}
                      for n in range(6)]
    of = analyse(Reading(season(ewes=[{"ewe": str(n), "scanned": 1} for n in range(40)], ewe_check=ill), ()))
    (told,) = alarm_words(of)
    assert 1 == told.count("Ask your vet about the flock now") and "with mastitis" in told and "; 3 ewes with sleepy" in told
    sheet = page(tmp_path / "summary.xlsx", of)
    (cell,) = (cell for row in sheet.iter_rows(max_col=1) for cell in row if cell.value == told)
    assert cell.hyperlink is None and cell.alignment.wrap_text


def flock(dead: int, ewes: int = 12) -> Result:
    lambs: list[Row] = [{"ewe": str(n), "lamb_no": 1, "born": Born.DEAD_FRESH if n < dead else Born.ALIVE} for n in range(ewes)]
    return analyse(Reading(season(ewes=[{"ewe": str(n), "scanned": 1} for n in range(ewes)], lambs=lambs), ()))


@pytest.mark.parametrize(("dead", "pictures"), [(9, 0), (10, 1), (11, 1)])
def test_under_ten_lambs_there_is_no_picture(dead: int, pictures: int, tmp_path: Path) -> None:
    sheet = page(tmp_path / "summary.xlsx", flock(dead))
    assert pictures == len(sheet._charts)
    assert "born dead" in words(sheet)


@pytest.mark.parametrize(("ewes", "named"), [(10, 10), (16, 8), (34, 8)])
def test_fewer_ewes_are_named_where_not_all_reasons_would_fit_otherwise(ewes: int, named: int, tmp_path: Path) -> None:
    reasons = [Reason(f"Reason {number}", tuple(f"{number}{ewe:04}" for ewe in range(ewes))) for number in range(10, 20)]
    with new_book(tmp_path / "page.xlsx", title="Page") as book:
        tab = Tab(book, MEETING, WIDTHS, "", read=True)
        for _ in range(11):
            tab.free()
        most, lines = fitting(tab, [*reasons, *[Reason("", ())] * SPARE_LINES])
    assert named == min(most, ewes) and len(lines) >= len(reasons)
    more = f"  and {ewes - named} more" if ewes > named else ""
    assert "  ".join(reasons[0].ewes[:named]) + more == lines[0][0][1].value


@pytest.mark.parametrize("used", [0, 190, 240])
def test_the_picture_ends_above_the_foot_of_the_page(used: int, tmp_path: Path) -> None:
    """However much the alarms above it take."""
    with new_book(tmp_path / "page.xlsx", title="Page") as book:
        tab = Tab(book, MEETING, WIDTHS, "", read=True)
        for _ in range(2):
            tab.free(used / 2)
        draw(book, tab, tab.row, [("born dead", 9), ("to turnout", 3)], PRINT_PAGE - tab.used, by="by stage")
    with zipfile.ZipFile(tmp_path / "page.xlsx") as parts:
        drawing = parts.read("xl/drawings/drawing1.xml").decode()
    first, last = (int(row) for row in re.findall(r"<xdr:row>(\d+)</xdr:row>", drawing))
    below = int(re.findall(r"<xdr:rowOff>(\d+)</xdr:rowOff>", drawing)[1]) / 12700  # points
    assert 2 == first and used + (last - first) * FREE_ROW + below <= PRINT_PAGE - SPARE_POINTS + 1


@pytest.mark.parametrize(("name", "across"), [("1", 3), ("1234567", 2)])
def test_ewe_lambs_stand_three_on_a_line_and_two_where_names_are_long(name: str, across: int) -> None:
    lambs: list[Row] = [{"ewe": f"{name}{n}", "lamb_no": 1, "born": Born.ALIVE, "sex": Sex.EWE} for n in range(6)]
    weights: list[Row] = [{"animal": f"{name}{n}-1", "date": date(2026, 7, 1), "kg": 30.0, "occasion": Weighed.WEANING}
                          for n in range(6)]
    of = analyse(Reading(season(
        datetime(2026, 8, 1), ewes=[{"ewe": f"{name}{n}", "scanned": 1, "group": "Hill"} for n in range(6)], lambs=lambs,
        lambing=[{"ewe": f"{name}{n}", "lambed_on": date(2026, 3, 12)} for n in range(6)], weights=weights,
        groups=[{"group": "Hill", "weaning": date(2026, 7, 1), "keep_daughters": YesNo.YES}],
        season=[{"row_key": "target_ewes", "value": 20}]), ()))
    part = next(section.part(around(of)) for section in SECTIONS if section.id == "replacements")
    assert part is not None and across == sum(head.title == "Ewe lamb" for head in part.heads)
    assert 6 == sum(cell is not None for row in part.rows for cell in row[::4])
    assert all(COLUMNS >= last for _, last in part.spans)


@pytest.mark.parametrize(("number", "more"), [(MOST_NAMED - 1, 0), (MOST_NAMED, 0), (MOST_NAMED + 1, 1)])
def test_more_ewes_than_fit_are_counted(number: int, more: int, tmp_path: Path) -> None:
    ewes: list[Row] = [{"ewe": str(n), "scanned": 0, "lambings_before": 3} for n in range(number)]
    said = words(page(tmp_path / "summary.xlsx", analyse(Reading(season(ewes=ewes), ()))))
    assert bool(more) == any(text.endswith(f"and {more} more") for text in said)
    assert f"cull {number}" in said
