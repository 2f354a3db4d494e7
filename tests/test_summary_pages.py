"""The summary workbook as the meeting reads it: targets, pictures, what to do, methods, and how it opens and prints."""

import zipfile
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from fake_result import AS_OF, FAULT, RULE, busy_result, busy_season, empty_result, result
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries
from seasons import season

from template_builder.files.look import PRINT_PAGE, PRINT_ROW_HEIGHT, ROW_HEIGHT
from template_builder.files.refusals import MACROS
from template_builder.files.room import EDGE_PIXELS, PRINT_PIXELS
from template_builder.layout.choices import Born, HowRecorded, NextDay, Prolapse, Stage, Trouble
from template_builder.layout.columns import Row
from template_builder.layout.summary_tabs import (
    EWE_DECISIONS,
    FLOCK_PLAN,
    LITTER_ACCOUNT,
    LOSSES,
    MARKS,
    MEETING,
    METHOD,
    POLICY,
    PROBLEM_EWES,
    RECORDS_LAMBS,
    SCANNING,
    TO_CORRECT,
)
from workbook.output import problem_text
from workbook.output.summary.book import write_summary
from workbook.output.summary.charts import lambings_per_day
from workbook.output.summary.gaps import difference_words
from workbook.output.summary.headline import NOTHING_TO_COUNT
from workbook.output.summary.losses import worth_drawing
from workbook.output.summary.marks import line_height, pages_high
from workbook.output.summary.phrases import missing_words
from workbook.output.summary.problem_ewes import BY_KIND
from workbook.output.summary.scanning import lambed_by_week
from workbook.reading.season_file import Reading, read
from workbook.results.advice.problem_ewes import problem_ewes
from workbook.results.litters.figures import Figure
from workbook.results.litters.gaps import LAST, TARGET, Gap
from workbook.results.litters.losses import LossClass, LossTable
from workbook.results.pipeline import Result, analyse, check
from workbook.results.statistics.proportions import wilson
from workbook.rules.answers import answer_to, what_to_do
from workbook.rules.rule import REGISTRY, Found

DEMOS = Path(__file__).parent.parent / "demo_workbooks"
FIGURE = Figure("total_loss_pct", "Total loss %", 16.7, "%", 56, 336, "lost")


def written(of: Result, folder: Path) -> Any:
    write_summary(of, folder / "summary.xlsx")
    return load_workbook(folder / "summary.xlsx", data_only=True)


def texts(sheet: Any) -> list[str]:
    return [value for row in sheet.iter_rows(values_only=True) for value in row if isinstance(value, str)]


def repeated_rows(sheet: Any) -> str:
    return str(sheet.print_title_rows or "")


# Held against the own target and last season


@pytest.mark.parametrize(("target", "last", "gaps", "words"), [
    (15.0, 18.0, [Gap("", 5.6, 336, TARGET, "", "total_loss_pct")], "1.7 above own target: 6 lambs"),
    (15.0, 18.0, [Gap("", 5.6, 336, LAST, "", "total_loss_pct")], "1.7 above own target"),
    (None, 18.0, [], "1.3 below last season"),
    (None, 16.4, [Gap("", 1.0, 336, LAST, "", "total_loss_pct")], "0.3 above last season: 1 lamb"),
    (16.72, None, [], "equal to own target"),
    (None, None, [], ""),
])
def test_a_figure_is_held_against_the_own_target_else_last_season(
    target: float | None, last: float | None, gaps: Sequence[Gap], words: str,
) -> None:
    assert words == difference_words(FIGURE, target, last, gaps)


def test_nothing_is_said_of_a_figure_that_rests_on_few() -> None:
    assert "" == difference_words(replace(FIGURE, few=True), 15.0, None, [])


def test_target_and_last_season_stand_beside_the_figure(tmp_path: Path) -> None:
    rows: list[Row] = [{"row_key": "target_loss", "value": 15}, {"row_key": "last_loss", "value": 18.5}]
    busy = busy_season(60, AS_OF)
    of = replace(busy, records={**busy.records, "season": season(AS_OF, season=rows).records["season"]})
    sheet = written(result(of), tmp_path)[MEETING]
    headings = next(row for row in sheet.iter_rows(values_only=True) if row[0] == "Figure")
    row = next(row for row in sheet.iter_rows(values_only=True) if row[0] == "Total loss %")
    said = dict(zip(headings, row, strict=True))
    assert ("15 %", "18.5 %") == (said["Own target"], said["Last season"])
    assert str(said["Difference"]).split(":")[0].endswith(TARGET)


# Pictures


def table_of(id: str, *lost: int) -> LossTable:
    return LossTable(id, f"By {id}", tuple(LossClass(str(n), wilson(number, 40)) for n, number in enumerate(lost)))


@pytest.mark.parametrize(("lost", "drawn"), [((8, 1), False), ((9, 1), True), ((10, 1), True), ((10, 0), False), ((10,), False)])
def test_a_picture_has_ten_lambs_or_more_in_two_classes(lost: tuple[int, ...], drawn: bool) -> None:
    assert drawn is bool(worth_drawing([table_of("cause", *lost)]))


def test_the_two_most_telling_tables_are_drawn() -> None:
    tables = [table_of(id, 9, 9) for id in ("ewe_age", "stage", "litter_size", "cause")]
    assert ["cause", "litter_size"] == [table.id for table in worth_drawing(tables)]


def test_weeks_hold_every_lambing_of_the_days_shown() -> None:
    busy = busy_result()
    days, _ = lambings_per_day(busy.season)
    weeks = lambed_by_week(busy)
    assert sum(ewes for _, ewes in days) == sum(lambed or 0 for _, lambed, _ in weeks)
    assert {7} == {(after - day).days for (day, *_), (after, *_) in zip(weeks, weeks[1:], strict=False)}


def test_what_is_missing_is_said_once() -> None:
    for name in ("hill-season.xlsx", "hill-season-messy.xlsx"):
        words = missing_words(analyse(read(DEMOS / name)))
        assert sorted(set(words)) == sorted(words)
        assert not [part for part in words if ";" in part]


# To correct and problem ewes


def test_what_to_do_says_how_a_query_is_answered_and_that_an_error_is_not() -> None:
    lamb = busy_result().season.rows("lambs")[0]
    warning, fault = (rule.problem(Found(lamb.at("tag"), "wrong", "7001", row_name="1001-1")) for rule in (RULE, FAULT))
    assert f"{RULE.fix} If it is right as written, answer it on Answers: {', '.join(answer_to(warning))}." == what_to_do(warning)
    assert f"{RULE.fix} If it is right as written, say so in the last column." == what_to_do(warning, beside=True)
    assert {FAULT.fix} == {what_to_do(fault), what_to_do(fault, beside=True)}


def test_problems_say_what_to_do(tmp_path: Path) -> None:
    busy = busy_result()
    shown = texts(written(busy, tmp_path)[TO_CORRECT])
    assert {what_to_do(problem) for problem in busy.problems} <= set(shown)


def test_only_headings_are_repeated_on_paper(tmp_path: Path) -> None:
    quiet, busy = tmp_path / "quiet", tmp_path / "busy"
    quiet.mkdir()
    busy.mkdir()
    nothing = written(empty_result(), quiet)
    assert {""} == {repeated_rows(nothing[tab]) for tab in (TO_CORRECT, PROBLEM_EWES)}
    few, of = written(busy_result(), busy), busy_result()
    many = written(replace(of, problem_ewes=of.problem_ewes * 40), tmp_path)
    for sheet in (few[TO_CORRECT], many[PROBLEM_EWES]):
        row = int(repeated_rows(sheet).rpartition("$")[2])
        assert sheet.cell(row, 1).value in ("Rule", "Ewe") and sheet.cell(row, 2).value is not None


def test_problem_ewes_of_one_page_leave_the_tables_below_their_own_headings(tmp_path: Path) -> None:
    of = busy_result()
    sheet = written(replace(of, problem_ewes=of.problem_ewes[:1]), tmp_path)[PROBLEM_EWES]
    assert "" == repeated_rows(sheet)
    breaks = [one.id for one in sheet.row_breaks.brk]
    tops = [[sheet.cell(row + at, 1).value for at in (1, 2, 3, 4)] for row in breaks]
    assert breaks and all("Ewe" in top or BY_KIND in top for top in tops)


def test_a_day_without_an_hour_is_shown_as_a_day(tmp_path: Path) -> None:
    busy = busy_result()
    alert = busy.problem_ewes[0]
    assert alert.since is not None
    midnight = replace(alert, since=alert.since.replace(hour=0, minute=0))
    sheet = written(replace(busy, problem_ewes=(alert, midnight)), tmp_path)[PROBLEM_EWES]
    rows = [row for row in sheet.iter_rows() if row[2].value == alert.alert]
    assert ["d mmm hh:mm", "d mmm"] == [row[4].number_format for row in rows]


def test_what_happened_stands_by_kind_with_the_numbers_of_the_ewes(tmp_path: Path) -> None:
    night, ewes = date(2026, 3, 12), ["0412", "1042", "1043", "1044"]
    of = season(
        datetime(2026, 8, 31), ewes=[{"ewe": ewe, "scanned": 1, "group": "Hill"} for ewe in ewes],
        groups=[{"group": "Hill", "weaning": date(2026, 7, 1)}],
        lambing=[{"ewe": "0412", "lambed_on": night, "prolapse": Prolapse.VAGINAL, "next_day": NextDay.ALL_FULL},
                 {"ewe": "1042", "lambed_on": night, "prolapse": Prolapse.VAGINAL},
                 {"ewe": "1043", "lambed_on": night}, {"ewe": "1044", "lambed_on": night}],
        lambs=[{"ewe": ewe, "lamb_no": 1, "born": Born.ALIVE} for ewe in ewes],
        ewe_check=[{"ewe": "1043", "date": night, "trouble": Trouble.MASTITIS}])
    sheet = written(result(of, alerts=problem_ewes(of, of.as_of)), tmp_path)[PROBLEM_EWES]
    kinds = {row[0].value: row[3].value for row in sheet.iter_rows() if row[0].value and "(" in str(row[0].value)}
    assert {"vaginal prolapse (2)": "0412, 1042", "mastitis (1)": "1043"} == kinds
    shown = texts(sheet)
    assert "No ewe needs another look by what was recorded." in shown
    assert "Next day's look not recorded: 3 ewes of those that lambed." in shown


# Method


def test_method_gives_every_definition_rule_and_method(tmp_path: Path) -> None:
    busy = busy_result()
    shown = texts(written(busy, tmp_path)[METHOD])
    assert {figure.definition for figure in busy.figures} <= set(shown)
    assert {f"{id} {rule.slug}" for id, rule in REGISTRY.items()} <= set(shown)
    assert {rule.source for rule in REGISTRY.values()} <= set(shown)
    joined = " ".join(shown)
    for words in ("Wilson 1927", "Cohen 1968", "design effect", "acceptance 25 points", busy.rearing.comparison.words[1:]):
        assert words in joined
    for words in missing_words(busy):
        assert f"{words[0].upper()}{words[1:]}." in shown


# How it opens and prints


def test_it_opens_on_meeting_large_enough_for_a_wall(tmp_path: Path) -> None:
    book = written(busy_result(), tmp_path)
    assert MEETING == book.active.title
    assert 110 <= book[MEETING].sheet_view.zoomScale <= 120
    assert "A1" == book[MEETING].sheet_view.selection[0].sqref
    colours = {sheet.title: sheet.sheet_properties.tabColor.rgb for sheet in book}
    assert 3 == len(set(colours.values()))
    assert 3 == len({colours[MEETING], colours[METHOD], colours[RECORDS_LAMBS]})
    assert book[POLICY].tables["policy_rules"].autoFilter is not None


@pytest.mark.parametrize(("share", "high"), [(0.5, 1), (1.33, 1), (1.34, 2), (3.99, 3), (4.0, 3), (4.01, 4)])
def test_a_few_numbers_too_many_take_no_page_of_marks(share: float, high: int) -> None:
    assert high == pages_high(PRINT_PAGE * share)


@pytest.mark.parametrize(("lines", "pages", "high"), [
    (28, 1, ROW_HEIGHT), (30, 2, PRINT_ROW_HEIGHT), (36, 2, 24.0), (47, 2, 865 / 47), (48, 2, 865 / 48), (49, 2, ROW_HEIGHT),
])
def test_numbers_over_several_pages_share_the_room_so_that_none_stand_alone(lines: int, pages: int, high: float) -> None:
    """With 145 points above them two pages hold 48 lines as they are; so few as 30 leave room for a line to write on."""
    assert pytest.approx(high, abs=0.03) == line_height(2 * PRINT_PAGE - 865, lines, pages)


@pytest.fixture(scope="module")
def busy_book(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return written(busy_result(), tmp_path_factory.mktemp("busy"))


def test_a_heading_stands_above_every_page_of_a_table_of_method(busy_book: Any) -> None:
    sheet = busy_book[METHOD]
    below = [[cell.value for cell in sheet[one.id + 1]][0] for one in sheet.row_breaks.brk]
    assert {"Figure", "Line", "Setting"} <= set(below)


def test_scanning_prints_no_wider_than_its_columns(busy_book: Any) -> None:
    """The picture ends on the paper: beyond it a page more is printed with nothing on it."""
    sheet = busy_book[SCANNING]
    last = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))[2]
    assert sheet.max_column <= last
    assert all(picture.anchor.to.col < last for picture in sheet._charts)


def test_points_are_named_for_what_they_are_and_not_as_years(busy_book: Any) -> None:
    for tab in (MEETING, FLOCK_PLAN):
        assert {"For age", "For mothering", "For litters", "For notes"} <= set(texts(busy_book[tab]))
        assert not {"Mothering", "Litters"} & set(texts(busy_book[tab]))


@pytest.mark.parametrize("most", [3, 4, 6, 8])
def test_the_litter_account_fits_the_paper_with_many_classes(most: int, tmp_path: Path) -> None:
    ewes: list[Row] = [{"ewe": str(100 + size), "scanned": size} for size in range(most + 1)]
    lambs: list[Row] = [{"ewe": "102", "lamb_no": 1, "born": Born.ALIVE}]
    sheet = written(result(season(ewes=ewes, lambs=lambs)), tmp_path)[LITTER_ACCOUNT]
    _, _, last, _ = range_boundaries(sheet.print_area.rsplit("!", 1)[-1].replace("$", ""))
    widths = {number: held.width for held in sheet.column_dimensions.values() for number in range(held.min, held.max + 1)}
    edges = 5 / 7  # of a digit: what the file adds to each column
    assert PRINT_PIXELS + last >= sum(7 * (widths[column] - edges) + EDGE_PIXELS for column in range(1, last + 1))


def test_what_a_file_holds_besides_is_named_as_left_alone(tmp_path: Path) -> None:
    """Macros and links to other files are never used; a marked copy keeps them, and both commands say so."""
    target = tmp_path / "season.xlsx"
    with zipfile.ZipFile(DEMOS / "season-empty.xlsx") as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name in source.namelist():
            made.writestr(name, source.read(name))
        made.writestr("xl/vbaProject.bin", b"macros")
    reading = read(target, AS_OF)
    assert (MACROS,) == reading.season.left_alone
    assert f"season.xlsx: {MACROS}" in problem_text.text(check(reading))
    assert MACROS in texts(written(analyse(reading), tmp_path)[TO_CORRECT])


def test_of_a_flock_known_by_counts_only_nothing_is_shown_empty(tmp_path: Path) -> None:
    """No tab of decisions on no ewe, no table without a lamb, no figure that nothing was counted for."""
    of = season(
        datetime(2026, 8, 1), groups=[{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 45,
                                       "tally_ewes": 40, "tally_1": 40, "marking": date(2026, 5, 20)}],
        counts=[{"date": date(2026, 5, 20), "group": "Hill", "stage": Stage.MARKING, "lambs": 30, "ewes": 40}])
    book = written(analyse(Reading(of, ())), tmp_path)
    assert not {EWE_DECISIONS, MARKS} & set(book.sheetnames)
    assert not {LOSSES, SCANNING, PROBLEM_EWES, RECORDS_LAMBS} & set(book.sheetnames)
    account = texts(book[LITTER_ACCOUNT])
    assert "Hill: 40 lambs expected" in " ".join(account)
    assert not {"From scanning to birth", "Counts", "Per ewe"} & set(account)
    said = texts(book[MEETING])
    assert "not defined" not in said and any(text.startswith(NOTHING_TO_COUNT) for text in said)
