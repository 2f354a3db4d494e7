"""Feeding groups and calendar on paper: those of Plan, over random flocks; what each page says and when there is none."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from live_cells import in_rows
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from plan_flocks import START, drawn
from seasons import season

from template_builder.layout.columns import Row, Start
from template_builder.layout.laying import lay_ready
from template_builder.layout.paper_tabs import FEEDING, WEEKS
from template_builder.live_values import live_values, serial
from template_builder.paper import write_paper
from template_builder.paper.animals import PaperFlock
from template_builder.paper.feeding import mark_of
from template_builder.paper.pages import BLANK, TICK
from template_builder.plan.calendar import TASKS
from template_builder.plan.feeding import Fed, FeedingGroup, FeedingPlan
from template_builder.plan.groups import InLamb
from workbook.output.still_to_come import fed_before_lambing, paper_flock

NOW = datetime(2026, 1, 20, 12, 0)
LONG = "826001234"


def day(of: date | None) -> float | str:
    return serial(of) if of else ""


@pytest.mark.parametrize("seed", range(60))
def test_groups_on_paper_are_those_of_plan(seed: int) -> None:
    rows, *_ = drawn(seed)
    live = in_rows(live_values(rows, NOW))
    plan = fed_before_lambing(season(NOW, **rows))  # type: ignore[arg-type]  # sheet ids, none of them "file"
    assert {row["ewe"]: row["group"] for row in live["planned"] if row["key"] != ""} == {
        ewe.name: group.title for group in plan.groups for ewe in group.ewes}
    assert [(row["title"], row["ewes"], row["lambs"], row["first"], row["last"], row["thin"])
            for row in live["feeding"] if row["title"]] == [
        (group.title, len(group.ewes), group.lambs, day(group.first), day(group.last), sum(map(plan.thin, group.ewes)))
        for group in plan.groups]
    assert [(row["on"], row["week"], row["what"], row["group"], row["ewes"]) for row in live["calendar"] if row["key"] != ""] == [
        (serial(due.on), serial(due.week), TASKS[due.task], due.group, due.ewes) for due in plan.due]
    pressing = {row["ewe"]: str(row["why"]).startswith(("thin", "fat")) for row in live["planned"] if row["key"] != ""}
    assert pressing == {ewe.name: plan.thin(ewe) or plan.fat(ewe) for group in plan.groups for ewe in group.ewes}


@pytest.mark.parametrize("seed", range(30))
def test_as_built_the_groups_are_those_of_a_season_read(seed: int) -> None:
    given, *_ = drawn(seed)
    rows = {**given, **lay_ready(given["ewes"])}
    assert PaperFlock.of(rows).feeding == paper_flock(season(NOW, **rows)).feeding  # type: ignore[arg-type]


def flock(before: str = "", **more: list[Row]) -> PaperFlock:
    ewes: list[Row] = [
        {"ewe": f"{before}12", "scanned": 2, "due": START, "mark": "blue", "condition": 2.25, "group": "Mead"},
        {"ewe": f"{before}03", "scanned": 2, "due": START + timedelta(2), "mark": "blue", "condition": 2.5},
        {"ewe": f"{before}20", "scanned": 1, "due": START, "condition": 3.75, "lambings_before": 0},
        {"ewe": f"{before}21", "scanned": 1, "due": START, "condition": 3.5}, {"ewe": f"{before}30", "scanned": 0}, {"ewe": "40"},
    ]
    return PaperFlock.of({**lay_ready(ewes), **more})


def sheet(path: Path, of: PaperFlock, tab: str) -> list[tuple[str, ...]]:
    write_paper(path, of, "Paper", Start.INDOORS, force=True)
    found: Worksheet = load_workbook(path)[tab]
    return [tuple(str(value) if value is not None else "" for value in row) for row in found.iter_rows(values_only=True)]


def test_each_group_by_number_with_a_box_and_what_to_see_to(tmp_path: Path) -> None:
    _, _, singles, *rows = sheet(tmp_path / "paper.xlsx", flock(), FEEDING)
    assert "singles" == singles[0]
    assert f"2 ewes, 2 lambs scanned, due from 2 Mar; 1 fat with a single. Mark for this group: {BLANK}" in singles
    half = len(singles) // 2
    assert (TICK, "20", "1", "2 Mar", "", "", "3.75", "fat with a single; first lambing") == rows[0][:half]
    assert (TICK, "21", "1", "2 Mar", "", "", "3.5", "") == rows[0][half:]
    assert "twins" == rows[1][0]
    assert "2 ewes, 4 lambs scanned, due 2 Mar to 4 Mar; 1 thin. Mark: blue." in rows[1]
    assert (TICK, "03", "2", "4 Mar", "blue", "", "2.5", "") == rows[2][:half]
    assert (TICK, "12", "2", "2 Mar", "blue", "Mead", "2.25", "thin with 2 lambs") == rows[2][half:]
    assert 3 == len(rows)


def test_week_by_week_says_the_day_the_task_and_the_group(tmp_path: Path) -> None:
    rows = sheet(tmp_path / "paper.xlsx", flock(), WEEKS)[2:]
    assert len(TASKS) * 2 == len(rows)
    assert ("5 Jan", "Mon 5 Jan", TASKS["mineral_check"], "singles", "2", TICK, "") == rows[0]
    assert ("", "Mon 5 Jan", TASKS["mineral_check"], "twins", "2", TICK, "") == rows[1]


def test_numbers_of_fifteen_digits_stand_whole(tmp_path: Path) -> None:
    rows = sheet(tmp_path / "long.xlsx", flock(f"{LONG}0000"), FEEDING)
    assert {f"{LONG}0000{end}" for end in ("12", "03", "20", "21")} <= {text for row in rows for text in row}


def test_without_scans_there_is_no_page_and_without_due_days_no_calendar(tmp_path: Path) -> None:
    path = tmp_path / "paper.xlsx"
    write_paper(path, PaperFlock.of(lay_ready([{"ewe": "1", "due": START}, {"ewe": "2", "scanned": 0}])), "Paper", Start.INDOORS)
    assert not {FEEDING, WEEKS} & set(load_workbook(path).sheetnames)
    write_paper(path, PaperFlock.of(lay_ready([{"ewe": "1", "scanned": 2}])), "Paper", Start.INDOORS, force=True)
    assert {FEEDING} == {FEEDING, WEEKS} & set(load_workbook(path).sheetnames)


def test_who_has_lambed_is_fed_no_more_and_the_groups_of_the_others_stand() -> None:
    rows = {"ewes": [{"ewe": "1", "scanned": 1, "due": START}, {"ewe": "2", "scanned": 2, "due": START},
                     {"ewe": "3", "scanned": 2, "due": START}],
            "lambing": [{"ewe": "2", "lambed_on": START}, {"ewe": "1", "born_alive": 1}]}
    plan = paper_flock(season(datetime(2026, 3, 3), **rows)).feeding  # type: ignore[arg-type]
    assert [("twins", ["3"])] == [(group.title, [ewe.name for ewe in group.ewes]) for group in plan.groups]
    assert {("twins", 1)} == {(due.group, due.ewes) for due in plan.due}


def group(*marks: str, title: str = "twins") -> FeedingGroup:
    return FeedingGroup(title, tuple(Fed(f"{number}", InLamb(2), mark=mark) for number, mark in enumerate(marks)), None, None)


@pytest.mark.parametrize(("own", "others", "said"), [
    (("blue", "blue"), ("red",), "Mark: blue."),
    (("blue", "blue"), ("blue",), f"Marks: blue 2. Mark for this group: {BLANK}"),
    (("blue", "red", "blue"), (), f"Marks: blue 2, red 1. Mark for this group: {BLANK}"),
    (("blue", ""), (), f"Marks: blue 1, none 1. Mark for this group: {BLANK}"),
    (("", ""), ("red",), f"Mark for this group: {BLANK}"),
])
def test_a_mark_is_the_groups_own_where_all_bear_it_and_nobody_else(
    own: tuple[str, ...], others: tuple[str, ...], said: str,
) -> None:
    first, second = group(*own), group(*others, title="singles")
    assert said == mark_of(FeedingPlan((first, second)), first)


@pytest.mark.parametrize(("condition", "thin", "fat"), [
    (2.25, True, False), (2.5, False, False), (2.75, False, False), (3.5, False, False), (3.75, False, True),
    (None, False, False),
])
def test_thin_and_fat_at_their_limits(condition: float | None, thin: bool, fat: bool) -> None:
    plan = replace(FeedingPlan(), thin_below=2.5, fat_above=3.5)
    assert (thin, fat) == (plan.thin(Fed("1", InLamb(1), condition)), plan.fat(Fed("1", InLamb(1), condition)))
    assert not plan.fat(Fed("1", InLamb(2, date(2026, 3, 1)), condition))
