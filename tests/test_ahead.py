"""Ewes the scan says to plan for: why each, and the singles named, in Python, in the workbook, and by scipy's assignment."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from random import Random

import numpy
import pytest
from live_cells import in_rows
from plan_flocks import START
from scipy.optimize import linear_sum_assignment

from template_builder.layout.alerts import VERY_THIN_BELOW
from template_builder.layout.columns import Row
from template_builder.live.columns import CELLS
from template_builder.live_values import live_values
from template_builder.plan.ahead import SECTIONS, TWO_SINGLES_FROM, Expected, Why, ahead, singles_named
from template_builder.plan.groups import InLamb
from template_builder.plan.spare import REARS

NOW = datetime(2026, 1, 20, 12, 0)
RAM_DUE = START + timedelta(days=1)
GROUPS: list[Row] = [{"group": "Hill", "ram_in": RAM_DUE - timedelta(days=147)}, {"group": "Mead"}]
TRIPLETS: Row = {"ewe": "A", "scanned": 3, "due": START}


def expected(row: Row) -> Expected:
    due, scanned = row.get("due"), row["scanned"]
    assert isinstance(scanned, int)
    ram_due = RAM_DUE if row.get("group") == "Hill" else None
    return Expected(InLamb(scanned, due if isinstance(due, date) else None), row, row.get("condition"), ram_due)  # type: ignore[arg-type]


def drawn(seed: int, most: int = 40) -> list[Row]:
    """A flock in lamb, a few due on each night, some with a history."""
    draw = Random(seed)
    scans, nights = draw.choice([[1, 3], [1, 1, 2, 3, 4], [1, 3, 3, 4, 5]]), draw.choice([1, 3, 6, 12])
    past: list[Row] = [{}] * 5 + [
        {"past_warning": "refused a lamb"}, {"past_abortion": "2025"}, {"past_prolapse": "vaginal 2025"},
        {"past_udder": "lump 2025"},
        {"past_refused": 1}, {"past_lost": 2}, {"past_fault_1": 1}, {"past_fault_1": 0}, {"past_fault_2": 1},
    ]
    rows: list[Row] = []
    for number in range(draw.randint(0, most)):
        row: Row = {"ewe": f"{number:03}", "scanned": draw.choice(scans), **draw.choice(past)}
        if draw.random() < 0.9:
            row["due"] = START + timedelta(days=draw.randrange(nights) + draw.choice([0] * 30 + [400]))
        if draw.random() < 0.3:
            row["condition"] = draw.choice([VERY_THIN_BELOW - 0.25, VERY_THIN_BELOW, 3])
        if draw.random() < 0.3:
            row["lambings_before"] = draw.choice([0, 1])
        if draw.random() < 0.3:
            row["group"] = draw.choice(["Hill", "Mead"])
            row |= {"mated_on": START} if draw.random() < 0.3 else {}
        rows.append(row)
    return rows


def shown_of(rows: Sequence[Row]) -> tuple[list[tuple[str, object, tuple[str, ...]]], dict[str, object]]:
    """Each ewe listed with why and the singles named for her, and the cells alone."""
    live = in_rows(live_values({"ewes": rows, "groups": GROUPS}, NOW))
    names = [str(row["ewe"]) for row in rows]
    found = []
    for place, row in enumerate(row for row in live["foreseen"] if row["key"] != ""):
        pair = live["pairs"][place] if row["scanned"] > 2 else {}  # type: ignore[operator]
        singles = tuple(names[int(at) - 1] for id in ("first", "second") if (at := pair.get(id)))
        found.append((str(row["ewe"]), live["ahead"][int(row["at"]) - 1]["why"], singles))
    return found, dict(live[CELLS][0])


@pytest.mark.parametrize("seed", range(80))
def test_formulas_and_python_list_the_same_ewes_and_name_the_same_singles(seed: int) -> None:
    rows = drawn(seed)
    ewes = [expected(row) for row in rows]
    named, listed = singles_named(ewes), ahead(ewes)
    wanted, first = [], 0
    for last, most in SECTIONS:
        part = [(place, why) for place, why in listed if first < why <= last]
        wanted += part[:most]
        first = last
    found, _ = shown_of(rows)
    assert [(rows[place]["ewe"], why, tuple(rows[one]["ewe"] for one in named.get(place, ()))) for place, why in wanted] == found


@pytest.mark.parametrize("seed", range(60))
def test_no_other_naming_has_more_singles_of_the_same_night_then_of_the_next_then_of_the_one_before(seed: int) -> None:
    ewes = [expected(row) for row in drawn(seed)]
    near = [ewe for ewe in ewes if ewe.in_lamb.due and ewe.in_lamb.due < START + timedelta(days=300)
            and (ewe.in_lamb.due != ewe.ram_due or ewe.row.get("mated_on"))]
    places = [ewe.in_lamb.due for ewe in near for _ in range(min(ewe.in_lamb.scanned, TWO_SINGLES_FROM) - REARS)]
    singles = [ewe.in_lamb.due for ewe in near if ewe.may_be_named]
    worth = {0: 1_000_000, 1: 1_000, -1: 1}
    table = numpy.array([[worth.get((single - day).days, 0) for single in singles] for day in places])
    best = table[linear_sum_assignment(table, maximize=True)].sum() if table.size else 0
    made = singles_named(ewes)
    nights = [(ewes[single].in_lamb.due - ewes[place].in_lamb.due).days for place, named in made.items() for single in named]  # type: ignore[operator]
    assert best == sum(worth[night] for night in nights)
    used = [single for named in made.values() for single in named]
    assert len(used) == len(set(used)) and all(ewes[single].may_be_named for single in used)


@pytest.mark.parametrize(("nights", "named"), [(-2, 0), (-1, 1), (0, 1), (1, 1), (2, 0)])
def test_a_single_is_named_from_the_night_before_to_the_night_after(nights: int, named: int) -> None:
    rows: list[Row] = [TRIPLETS, {"ewe": "B", "scanned": 1, "due": START + timedelta(days=nights)}]
    found, _ = shown_of(rows)
    assert [("A", Why.BIG_LITTER, ("B",) * named)] == found
    assert named == len(singles_named([expected(row) for row in rows])[0])


@pytest.mark.parametrize(("days", "more", "named"), [
    (0, {}, ("B",)), (1, {}, ()), (2, {}, ("B",)), (1, {"mated_on": START}, ("B",)), (1, {"group": "Mead"}, ("B",)),
])
def test_the_first_day_of_the_ram_tells_no_night(days: int, more: Row, named: tuple[str, ...]) -> None:
    due = START + timedelta(days=days)
    rows: list[Row] = [{**TRIPLETS, "due": due}, {"ewe": "B", "scanned": 1, "due": due, "group": "Hill", **more}]
    assert named == shown_of(rows)[0][0][2]
    assert named == tuple("B" for _ in singles_named([expected(row) for row in rows])[0])


def test_the_same_night_comes_first_then_the_night_after() -> None:
    rows: list[Row] = [{"ewe": "A", "scanned": 4, "due": START}] + [
        {"ewe": name, "scanned": 1, "due": START + timedelta(days=days)} for name, days in (("B", -1), ("C", 1), ("D", 0))]
    assert [("A", Why.BIG_LITTER, ("D", "C"))] == shown_of(rows)[0]


@pytest.mark.parametrize(("condition", "named"), [
    (VERY_THIN_BELOW - 0.25, ()), (VERY_THIN_BELOW, ("B",)), (VERY_THIN_BELOW + 0.25, ("B",)),
])
def test_a_very_thin_single_is_not_named(condition: float, named: tuple[str, ...]) -> None:
    rows: list[Row] = [TRIPLETS, {"ewe": "B", "scanned": 1, "due": START, "condition": condition}]
    assert named == shown_of(rows)[0][0][2]


@pytest.mark.parametrize(("history", "why"), [
    ({"past_abortion": "2025", "past_prolapse": "womb 2024"}, Why.ABORTED), ({"past_prolapse": "womb 2024"}, Why.PROLAPSE),
    ({"past_udder": "large teats 2025"}, Why.UDDER), ({"past_refused": 1}, Why.REFUSED), ({"past_fault_1": 1}, Why.REFUSED),
    ({"past_warning": "lame"}, Why.WARNED), ({"lambings_before": 0}, Why.FIRST), ({"lambings_before": 1}, None), ({}, None),
])
def test_why_she_is_planned_for_and_that_no_lamb_is_planned_for_her(history: Row, why: Why | None) -> None:
    rows: list[Row] = [TRIPLETS, {"ewe": "B", "scanned": 1, "due": START, **history}]
    found, _ = shown_of(rows)
    assert [why] if why else [] == [told for ewe, told, _ in found if ewe == "B"]
    assert (() if why not in (None, Why.FIRST) else ("B",)) == found[0][2]


@pytest.mark.parametrize(("ewes", "said"), [
    (20, "20 with three lambs or more."), (21, "21 with three lambs or more (20 shown)."),
])
def test_as_many_as_a_page_holds_are_listed_and_it_says_of_how_many(ewes: int, said: str) -> None:
    found, cells = shown_of([{"ewe": f"{number:02}", "scanned": 3, "due": START} for number in range(ewes)])
    assert 20 == len(found)
    assert said in str(cells["ahead_head"])


def test_nothing_to_plan_for_says_nothing() -> None:
    assert ([], "") == (lambda found, cells: (found, cells["ahead_head"]))(*shown_of([{"ewe": "A", "scanned": 2}]))


def test_moving_a_due_day_or_a_scan_names_another() -> None:
    rows: list[Row] = [TRIPLETS, {"ewe": "B", "scanned": 1, "due": START},
                       {"ewe": "C", "scanned": 1, "due": START + timedelta(days=1)}]
    assert ("B",) == shown_of(rows)[0][0][2]
    assert ("C",) == shown_of([rows[0], {**rows[1], "due": START - timedelta(days=1)}, rows[2]])[0][0][2]
    assert ("B", "C") == shown_of([{**rows[0], "scanned": 4}, *rows[1:]])[0][0][2]
