"""Plan in the workbook against Python, over random flocks: groups, what falls due, who stands first."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from live_cells import in_rows
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from plan_flocks import START, drawn

from template_builder.build import Plan, build
from template_builder.files.look import PRINT_PAGE
from template_builder.files.writer import new_book
from template_builder.layout.choices import EweLeft, FeedAs
from template_builder.layout.columns import Row
from template_builder.layout.whole import FIRST_ROW, PLAN_TAB, SHEET
from template_builder.live.columns import CELLS
from template_builder.live.live_writer import LiveWriter
from template_builder.live.plan import CALENDAR, CALENDAR_TOP, FEEDING, FEEDING_TOP, LIST_TOP, NOT_DATED, READY_TOP
from template_builder.live.plan_page import write_plan
from template_builder.live_values import live_values, serial, with_values
from template_builder.plan.calendar import TASKS, calendar, first_due
from template_builder.plan.groups import FARTHEST, InLamb, divide

NOW = datetime(2026, 1, 20, 12, 0)
WHAT = list(TASKS.values())
THIN_BELOW, FAT_ABOVE = 2.5, 3.5


def in_lamb(row: Row) -> InLamb:
    due, feed_as, scanned = row.get("due"), row.get("feed_as"), row["scanned"]
    assert isinstance(scanned, int)
    return InLamb(scanned, due if isinstance(due, date) else None, feed_as if isinstance(feed_as, FeedAs) else None)


def condition(row: Row, checks: list[Row]) -> object:
    """The last look at a ewe, a later row before an earlier one of the same day; else what scanning found."""
    looks = [(look["date"], place, look["condition"]) for place, look in enumerate(checks) if look["ewe"] == row["ewe"]]
    return max(looks)[2] if looks else row.get("condition")  # type: ignore[type-var]


@pytest.mark.parametrize("seed", range(150))
def test_formulas_and_python_make_the_same_plan(seed: int) -> None:
    rows, listed, most, before = drawn(seed)
    ewes = [in_lamb(row) for row in listed]
    made = divide(ewes, most)
    live = in_rows(live_values(rows, NOW))
    first = [None if day is None else serial(day) for day in first_due(ewes, made)]
    groups = [(part.title, made.of_ewes.count(number), first[number - 1]) for number, part in enumerate(made.parts, start=1)]
    assert groups == [(row["title"], row["ewes"], row["first"] or None) for row in live["feeding"] if row["title"]]
    due = [(serial(one.on), serial(one.week), TASKS[one.task], one.group, one.ewes) for one in calendar(ewes, made, before)]
    falls_due = [row for row in live["calendar"] if row["key"] != ""]
    assert due == [tuple(row[id] for id in ("on", "week", "what", "group", "ewes")) for row in falls_due]
    named = {row["ewe"]: made.parts[number - 1].title for row, number in zip(listed, made.of_ewes, strict=True)}
    assert named == {row["ewe"]: row["group"] for row in live["planned"] if row["key"] != ""}


@pytest.mark.parametrize("seed", range(60))
def test_each_line_of_the_calendar_leads_to_the_ewes_of_its_group(seed: int) -> None:
    rows, *_ = drawn(seed)
    live = in_rows(live_values(rows, NOW))
    listed = [(row["group"], str(row["why"]).startswith(("thin", "fat"))) for row in live["planned"]]
    for line in (row for row in live["calendar"] if row["key"] != ""):
        all_of_it = [place for place, (name, _) in enumerate(listed, start=1) if name == line["group"]]
        others = [place for place in all_of_it if not listed[place - 1][1]]
        expected = all_of_it if line["what"] == TASKS["thin_look"] or not others else others
        assert expected[0] == live["todo"][int(line["at"]) - 1]["first_ewe"]


@pytest.mark.parametrize(("due", "said"), [(None, [NOT_DATED]), (START, [])])
def test_without_any_due_day_the_calendar_says_so(due: date | None, said: list[str]) -> None:
    live = in_rows(live_values({"ewes": [{"ewe": "A", "scanned": 3, "due": due} if due else {"ewe": "A", "scanned": 3}]}, NOW))
    assert said == [row["what"] for row in live["calendar"] if row["key"] == "" and row["what"]]
    assert [] == [row["what"] for row in in_rows(live_values({}, NOW))["calendar"] if row["what"]]


def test_an_empty_line_of_plan_is_white_on_paper(tmp_path: Path) -> None:
    """Only a filled row has lines round its cells."""
    build(tmp_path / "plan.xlsx", with_values(Plan("Plan", {"ewes": [{"ewe": "A", "scanned": 3, "due": START}]}), NOW))
    page = load_workbook(tmp_path / "plan.xlsx")[PLAN_TAB]
    for top, rows in ((FEEDING_TOP, FEEDING.rows), (CALENDAR_TOP, CALENDAR.rows), (LIST_TOP, 21)):
        assert {None} == {page.cell(top + row, 4).border.bottom.style for row in range(rows)}
        (ruled,) = [found for found in page.conditional_formatting if f"D{top}" in found.sqref]
        assert [(f'$D{top}<>""', "thin")] == [(rule.formula[0], rule.dxf.border.bottom.style) for rule in ruled.rules]
        assert f"D{top + rows - 1}" in ruled.sqref


def on_paper(folder: Path, ewes: list[Row]) -> Worksheet:
    values = live_values({"ewes": ewes}, NOW)
    last_rows = {"ewes": FIRST_ROW - 1 + len(values["ewes"]["name"])}
    with new_book(folder / "plan.xlsx", title="Plan", force=True) as book:
        write_plan(LiveWriter(book, last_rows, values, "Plan"))
    return load_workbook(folder / "plan.xlsx")[PLAN_TAB]


def of_ewes(number: int) -> list[Row]:
    return [{"ewe": f"{each}", "scanned": 2, "due": START} for each in range(number)]


@pytest.mark.parametrize(("ewes", "end"), [(47, 48), (48, 48), (49, 96)])
def test_paper_ends_with_the_page_of_the_last_ewe(ewes: int, end: int, tmp_path: Path) -> None:
    page = on_paper(tmp_path, of_ewes(ewes))
    rows = {48: 48, 96: min(96, ewes + SHEET["ewes"].spare_rows)}[end]
    assert f"'{PLAN_TAB}'!$A$1:$L${LIST_TOP - 1 + rows}" == page.print_area
    assert [READY_TOP - 2, LIST_TOP - 2, *[LIST_TOP + 47] * (end > 48)] == [one.id for one in page.row_breaks.brk]


def test_paper_keeps_room_for_ewes_not_scanned_yet_and_none_for_those_empty_or_gone(tmp_path: Path) -> None:
    asked: list[Row] = [{"ewe": "unscanned"}, {"ewe": "empty", "scanned": 0},
                        {"ewe": "gone", "left_on": START - timedelta(days=90), "left_how": EweLeft.SOLD}]
    page = on_paper(tmp_path, [*of_ewes(47), *asked])
    assert f"${LIST_TOP - 1 + 48}" == page.print_area[-len(f"${LIST_TOP - 1 + 48}"):]
    assert on_paper(tmp_path, [*of_ewes(48), *asked]).print_area != page.print_area
    assert on_paper(tmp_path, [*of_ewes(48), *asked[1:]]).print_area == page.print_area


def test_every_line_of_the_lists_above_the_ewes_has_room_on_its_page(tmp_path: Path) -> None:
    """What falls due with its groups on one, what to have ready and the ewes to plan for on the next; type of 11 points as 7."""
    page = on_paper(tmp_path, of_ewes(3))
    assert 7 <= 11 * page.page_setup.scale / 100
    for first, end in ((1, READY_TOP - 1), (READY_TOP - 1, LIST_TOP - 1)):
        points = sum(page.row_dimensions[row].height or 15 for row in range(first, end))
        assert points <= PRINT_PAGE / page.page_setup.scale * 100


FLOCK: list[Row] = [
    {"ewe": f"{number}", "scanned": 1 + number % 3, "due": START + timedelta(days=number)} for number in range(12)
]


def falls_due(ewes: list[Row], **settings: int) -> list[tuple[object, ...]]:
    rows: dict[str, list[Row]] = {"ewes": ewes, "season": [{"row_key": key, "value": value} for key, value in settings.items()]}
    return [tuple(row[id] for id in ("on", "what", "group", "ewes")) for row in in_rows(live_values(rows, NOW))["calendar"]
            if row["key"] != ""]


def test_the_calendar_moves_with_a_scan_a_due_day_the_groups_and_the_days_on_season() -> None:
    before, booster = falls_due(FLOCK, feeding_groups=3), TASKS["booster"]
    first = serial(START)
    assert (first - 35, booster, "singles", 4) in before

    rescanned = falls_due([{**FLOCK[0], "scanned": 2}, *FLOCK[1:]], feeding_groups=3)
    assert {(first - 35, booster, "twins", 5), (first + 3 - 35, booster, "singles", 3)} <= set(rescanned)

    later = falls_due([{**FLOCK[0], "due": START + timedelta(days=2)}, *FLOCK[1:]], feeding_groups=3)
    assert (first + 2 - 35, booster, "singles", 4) in later

    assert (first - 35, booster, "singles, twins, triplets and more", 12) in falls_due(FLOCK, feeding_groups=1)
    assert {"twins, early", "twins, late"} <= {str(one[2]) for one in falls_due(FLOCK, feeding_groups=6)}
    assert (first - 42, booster, "singles", 4) in falls_due(FLOCK, feeding_groups=3, booster=42)


@pytest.mark.parametrize(("days", "one_day"), [((0,), False), ((0, 0), True), ((0, 1), False), ((0, 0, FARTHEST + 1), True)])
def test_one_due_day_for_all_is_said_to_be_where_lambing_begins(days: tuple[int, ...], one_day: bool) -> None:
    ewes: list[Row] = [{"ewe": f"{n}", "scanned": 2, "due": START + timedelta(days=day)} for n, day in enumerate(days)]
    said = str(in_rows(live_values({"ewes": ewes}, NOW))[CELLS][0]["plan_to_see_to"])
    assert one_day is said.endswith("All have one due day: counted from the ram's first day, it is when lambing begins.")


@pytest.mark.parametrize("seed", range(150))
def test_thin_ewes_with_many_lambs_stand_first(seed: int) -> None:
    rows, listed, *_ = drawn(seed)
    live = [row for row in in_rows(live_values(rows, NOW))["planned"] if row["key"] != ""]
    score = {row["ewe"]: condition(row, rows["ewe_check"]) for row in listed}
    thin = {row["ewe"]: row["scanned"] for row in listed if (found := score[row["ewe"]]) is not None and found < THIN_BELOW}
    top = [row["ewe"] for row in live[:len(thin)]]
    assert set(thin) == set(top)
    order = [(thin[name] == 1, -thin[name], score[name]) for name in top]
    assert sorted(order) == order
    fat = {row["ewe"] for row in listed if row["scanned"] == 1 and (found := score[row["ewe"]]) is not None and found > FAT_ABOVE}
    assert fat == {row["ewe"] for row in live if "fat" in str(row["why"])}


@pytest.mark.parametrize(("days", "counted"), [(-2, 0), (-1, 1), (0, 1), (1, 1), (2, 0)])
def test_singles_of_the_same_nights(days: int, counted: int) -> None:
    rows: list[Row] = [{"ewe": "A", "scanned": 3, "due": START}, {"ewe": "B", "scanned": 1, "due": START + timedelta(days=days)}]
    live = in_rows(live_values({"ewes": rows}, NOW))["planned"]
    assert counted == next(row["singles"] for row in live if row["ewe"] == "A")
