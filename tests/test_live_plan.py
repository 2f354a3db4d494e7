"""Plan in the workbook against Python, over random flocks: groups, what falls due, who stands first."""

from datetime import date, datetime, timedelta
from random import Random

import pytest
from live_cells import in_rows

from template_builder.layout.choices import EweLeft, FeedAs
from template_builder.layout.columns import Row
from template_builder.live.columns import CELLS
from template_builder.live_values import live_values, serial
from template_builder.plan.calendar import TASKS, calendar, first_due
from template_builder.plan.groups import FARTHEST, InLamb, divide
from template_builder.plan.spare import expected_beyond_two

NOW = datetime(2026, 1, 20, 12, 0)
START = date(2026, 3, 2)
WHAT = list(TASKS.values())
THIN_BELOW, FAT_ABOVE = 2.5, 3.5


def drawn(seed: int) -> tuple[dict[str, list[Row]], list[Row], int, dict[str, int]]:
    """The rows of a season, those of its ewes in lamb, groups the farm can keep, and days before lambing by task."""
    draw = Random(seed)
    scans = draw.choice([[1, 2, 3], [2], [1, 3], [1, 2, 2, 2, 3, 4, 5], [0, 1, 1, 2], [3, 3, 1, None]])
    days = draw.choice([[None], [*range(0, 40, 3), None], [0], [0, 20], [0, 7, FARTHEST, FARTHEST + 1, 2, 3]])
    ewes: list[Row] = []
    for number in range(draw.randint(0, 25)):
        day = draw.choice(days)
        row: Row = {
            "ewe": f"{number:03}", "scanned": draw.choice(scans), "due": None if day is None else START + timedelta(days=day),
            "feed_as": draw.choice([None] * 6 + list(FeedAs)), "condition": draw.choice([None, 1.5, 2.25, 2.5, 2.75, 3.5, 3.75]),
            "lambings_before": draw.choice([None, 0, 2]), "left_how": draw.choice([None] * 8 + [EweLeft.DIED]),
        }
        ewes.append({key: value for key, value in row.items() if value is not None})
    checks: list[Row] = [{"ewe": f"{draw.randint(0, 25):03}", "date": START - timedelta(days=draw.randint(30, 60)),
                          "condition": draw.choice([2.25, 2.5, 3.5, 3.75])} for _ in range(draw.randint(0, 6))]
    days_before = {task: draw.randint(0, 70) for task in TASKS}
    most = draw.randint(1, 6)
    given = {"feeding_groups": most, **days_before}
    rows = {"ewes": ewes, "ewe_check": checks, "season": [{"row_key": key, "value": value} for key, value in given.items()]}
    return rows, [row for row in ewes if row.get("scanned") and "left_how" not in row], most, days_before


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
    spare = sum(expected_beyond_two(ewe.scanned, 0.9) for ewe in ewes if ewe.scanned > 2)
    assert spare == pytest.approx(live[CELLS][0]["plan_spare"])


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
