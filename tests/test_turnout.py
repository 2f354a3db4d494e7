"""Groups at turnout: in the workbook as in Python over random flocks, at every limit, the bounds against every litter."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from itertools import product
from random import Random

import pytest
from live_cells import in_rows
from seasons import season

from template_builder.layout.choices import Born, EweLeft, HowRecorded, LambLeft, RearedBy, Stage
from template_builder.layout.columns import Row
from template_builder.live.columns import CELLS
from template_builder.live_values import live_values, serial
from template_builder.plan.turnout import (
    AGES,
    LITTERS,
    NOT_KNOWN,
    OLDER_FROM,
    Counted,
    WithLambs,
    age_class,
    first_heat,
    heats,
    together,
    with_two,
)

NOW = datetime(2026, 4, 20, 12, 0)
TODAY = NOW.date()
Rows = dict[str, list[Row]]


def table(rows: Rows) -> dict[tuple[int, int], int]:
    """What the tab shows: ewes by lambs and age."""
    shown = in_rows(live_values(rows, NOW))["turnout"]
    return {(litter, age): int(row[f"age_{age}"]) for litter, row in enumerate(shown, start=1) for age in range(1, len(AGES) + 1)
            if row[f"age_{age}"]}


def drawn(seed: int) -> Rows:
    """Ewes that lambed or not, some turned out or in a group that was, lambs dead, set on or on the bottle, counts instead."""
    draw = Random(seed)
    days = [None, *(TODAY - timedelta(days=age) for age in (0, 1, 13, 14, 15, 27, 28, 29, 60))]
    ewes: list[Row] = []
    lambing: list[Row] = []
    lambs: list[Row] = []
    for number in range(draw.randint(1, 14)):
        name = f"{number:02}"
        ewes.append({"ewe": name, "scanned": 2, "group": draw.choice(["In", "Out", "Weaned", "None"]),
                     **({"left_how": EweLeft.SOLD} if draw.random() < 0.1 else {})})
        if draw.random() < 0.2:
            continue
        row: Row = {"ewe": name, "lambed_on": draw.choice(days)}
        if draw.random() < 0.2:
            row = {**row, draw.choice(["turned_out_on", "turned_out_to"]): draw.choice([TODAY, "Out"])}
        if draw.random() < 0.3:
            row = {**row, "born_alive": draw.randint(0, 4)}
        else:
            for place in range(1, draw.randint(1, 4)):
                lambs.append({"ewe": name, "lamb_no": place, "born": draw.choice([Born.ALIVE, Born.ALIVE, Born.DEAD_FRESH]),
                              **draw.choice([{}, {}, {}, {"left_how": LambLeft.DIED}, {"reared_by": RearedBy.PET},
                                             {"reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "00"}])})
        lambing.append({key: value for key, value in row.items() if value is not None})
    groups: list[Row] = [{"group": "In", "turnout": TODAY + timedelta(1)}, {"group": "Out", "turnout": TODAY - timedelta(14)},
                         {"group": "Weaned", "weaning": TODAY}]
    return {"ewes": ewes, "lambing": lambing, "lambs": lambs, "groups": groups}


def to_go(rows: Rows) -> Iterator[WithLambs]:
    """From the records: lambs alive beside a ewe that is here, not weaned, and did not go out with her group or by herself."""
    went = {row["group"]: row.get("turnout") for row in rows["groups"]}
    for ewe in season(NOW, **rows).flock.ewes.values():  # type: ignore[arg-type]  # sheet ids, none of them "file"
        row, day = ewe.lambing, ewe.lambed_on
        if ewe.gone or ewe.record is None or ewe.record.text("group") == "Weaned":
            continue
        if row is not None and row.filled("turned_out_on", "turned_out_to"):
            continue
        turnout = went.get(ewe.record.text("group"))
        if isinstance(turnout, date) and turnout <= TODAY and (day is None or day <= turnout):
            continue
        yield WithLambs(sum(lamb.left_how is None for lamb in ewe.suckled), day)


@pytest.mark.parametrize("seed", range(120))
def test_the_tab_and_python_put_the_same_ewes_together(seed: int) -> None:
    rows = drawn(seed)
    ewes = [ewe for ewe in to_go(rows) if ewe.lambs]
    assert together(ewes, TODAY) == table(rows)
    head = str(in_rows(live_values(rows, NOW))[CELLS][0]["turnout_head"])
    lambs = sum(ewe.lambs for ewe in ewes)
    whose = "their" if len(ewes) > 1 else "her"
    whose, ewe = ("their", "ewes") if len(ewes) > 1 else ("her", "ewe")
    told = f"Not gone out yet: {len(ewes)} {ewe} with {lambs} lamb{'s' * (lambs > 1)} at {whose} side."
    assert head == (told if ewes else "No ewe with lambs at her side is waiting to go out.")


@pytest.mark.parametrize(("days", "place"), [
    (0, 1), (OLDER_FROM[0] - 1, 1), (OLDER_FROM[0], 2), (OLDER_FROM[0] + 1, 2), (OLDER_FROM[1] - 1, 2), (OLDER_FROM[1], 3),
    (OLDER_FROM[1] + 1, 3),
])
def test_ages_at_their_limits(days: int, place: int) -> None:
    assert place == age_class(TODAY - timedelta(days=days), TODAY)
    assert NOT_KNOWN == age_class(None, TODAY)
    rows: Rows = {"ewes": [{"ewe": "1"}], "lambing": [{"ewe": "1", "lambed_on": TODAY - timedelta(days=days), "born_alive": 2}]}
    assert {(2, place): 1} == table(rows)


@pytest.mark.parametrize(("turnout", "lambed", "waits"), [
    (-1, -2, False), (0, -2, False), (1, -2, True), (-5, -6, False), (-5, -5, False), (-5, -4, True),
])
def test_who_lambed_after_her_group_went_out_waits(turnout: int, lambed: int, waits: bool) -> None:
    rows: Rows = {"ewes": [{"ewe": "1", "group": "Mead"}], "groups": [{"group": "Mead", "turnout": TODAY + timedelta(turnout)}],
                  "lambing": [{"ewe": "1", "lambed_on": TODAY + timedelta(lambed), "born_alive": 1}]}
    assert waits is bool(table(rows))


@pytest.mark.parametrize("lambs", range(1, 6))
def test_three_or_more_go_together(lambs: int) -> None:
    assert {(min(lambs, len(LITTERS)), 1): 1} == together([WithLambs(lambs, TODAY)], TODAY)


def test_another_lamb_moves_a_ewe_from_group_to_group() -> None:
    ewes: list[Row] = [{"ewe": "1", "scanned": 2}]
    lambing: list[Row] = [{"ewe": "1", "lambed_on": TODAY}]
    lambs: list[Row] = [{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE}]
    assert {(1, 1): 1} == table({"ewes": ewes, "lambing": lambing, "lambs": lambs})
    assert {(2, 1): 1} == table({"ewes": ewes, "lambing": lambing, "lambs": [*lambs, {**lambs[0], "lamb_no": 2}]})
    assert {} == table({"ewes": ewes, "lambing": [{**lambing[0], "turned_out_on": TODAY}], "lambs": lambs})


# Groups known by their counts


def every_litter(tally: tuple[int, int, int, int], ewes: int) -> Iterator[tuple[int, ...]]:
    """Lambs at the side of each ewe present, none more than she was scanned with, whichever ewes are present."""
    scanned = [size for size, count in enumerate(tally, start=1) for _ in range(count)]
    for lambs in product(*(range(size + 1) for size in scanned)):
        gone = len(scanned) - ewes
        if sum(one == 0 for one in lambs) >= gone:
            yield lambs


@pytest.mark.parametrize("tally", [
    (2, 0, 0, 0), (1, 2, 0, 0), (0, 3, 1, 0), (2, 1, 1, 0), (1, 1, 0, 1), (0, 0, 2, 1), (0, 2, 1, 1),
])
@pytest.mark.parametrize("gone", [0, 1])
def test_how_many_can_have_two_against_every_litter(tally: tuple[int, int, int, int], gone: int) -> None:
    ewes = sum(tally) - gone
    found: dict[int, set[int]] = {}
    for lambs in every_litter(tally, ewes):
        found.setdefault(sum(lambs), set()).add(sum(one >= 2 for one in lambs))
    for lambs_counted, twos in found.items():
        least, most = with_two(Counted(ewes, lambs_counted, tally))
        assert (min(twos), max(twos)) == (least, most)


@pytest.mark.parametrize(("ewes", "lambs", "tally", "bounds"), [
    (180, 205, (148, 36, 0, 0), (25, 36)), (10, 9, (5, 5, 0, 0), (0, 4)), (10, 10, (5, 5, 0, 0), (0, 5)),
    (10, 11, (5, 5, 0, 0), (1, 5)), (4, 8, (0, 0, 0, 0), (4, 4)), (2, 6, (0, 0, 2, 0), (2, 2)),
])
def test_bounds_worked_by_hand(ewes: int, lambs: int, tally: tuple[int, int, int, int], bounds: tuple[int, int]) -> None:
    assert bounds == with_two(Counted(ewes, lambs, tally))


@pytest.mark.parametrize(("days", "rounds"), [(1, 1), (16, 1), (17, 1), (18, 2), (34, 2), (35, 3), (51, 3), (52, 4), (200, 4)])
def test_rounds_of_matings(days: int, rounds: int) -> None:
    assert rounds == heats(days, 17)


def test_the_share_of_the_first_heat() -> None:
    """Of 1,000 ewes seven in ten hold each time: 700, 210, 63 lamb; of those that lamb 700 of 973 first."""
    assert 700 / 973 == pytest.approx(first_heat(3, 0.7))
    assert 1 == first_heat(1, 0.3)


def of_counts(seed: int) -> tuple[Rows, list[tuple[Counted, bool, int]]]:
    draw = Random(seed)
    rows: Rows = {"groups": [], "counts": []}
    expected = []
    for number in range(draw.randint(1, 4)):
        tally = (draw.randint(0, 90), draw.randint(0, 90), draw.choice([0, 0, 9]), draw.choice([0, 0, 2]))
        days = draw.randint(1, 60)
        rows["groups"].append({
            "group": f"G{number}", "how_recorded": HowRecorded.COUNTS_ONLY, "ram_in": date(2025, 11, 1),
            "ram_out": date(2025, 11, 1) + timedelta(days=days - 1),
            **{f"tally_{size}": count for size, count in enumerate(tally, 1)}})
        group = Counted(sum(tally), sum(size * count for size, count in enumerate(tally, 1)), tally)
        counted = draw.random() < 0.6
        if counted:
            group = Counted(draw.randint(1, 90), draw.randint(0, 150), tally)
            older: Row = {"group": f"G{number}", "stage": Stage.TURNOUT, "date": date(2026, 4, 1), "ewes": 5, "lambs": 5}
            last: Row = {**older, "stage": Stage.MARKING, "date": date(2026, 4, 10), "ewes": group.ewes, "lambs": group.lambs}
            half: Row = {"group": f"G{number}", "stage": Stage.MARKING, "date": date(2026, 4, 12), "lambs": 1}
            weaned: Row = {**older, "stage": Stage.WEANING, "date": date(2026, 4, 13)}
            rows["counts"] += draw.sample([older, last, half, weaned], 4)
        expected.append((group, counted, days))
    return rows, expected


@pytest.mark.parametrize("seed", range(60))
def test_groups_known_by_counts_are_as_in_python(seed: int) -> None:
    rows, expected = of_counts(seed)
    shown = [row for row in in_rows(live_values(rows, NOW))["groups_out"] if row["group"]]
    wanted = [one for one in expected if one[0].ewes]
    assert [(group.ewes, group.lambs) for group, *_ in wanted] == [(row["ewes"], row["lambs"]) for row in shown]
    assert [(with_two(group)[0] if counted else "", with_two(group)[1]) for group, counted, _ in wanted] == [
        (row["least"], row["most"]) for row in shown]
    assert [pytest.approx(group.ewes * first_heat(heats(days, 17), 0.7), abs=0.5) for group, _, days in wanted] == [
        row["older"] for row in shown]
    assert [("count of 10 Apr" if counted else "as scanned") for _, counted, _ in wanted] == [row["source"] for row in shown]
    first, last = date(2025, 11, 1), TODAY
    assert {serial(first + timedelta(147))} == {row["born_from"] for row in shown} or not shown
    assert [row["born_to"] for row in shown] == [
        serial(min(last, first + timedelta(days=days - 1 + 147))) for _, _, days in wanted]


@pytest.mark.parametrize(("weaning", "there"), [(-1, False), (0, False), (1, True)])
def test_a_weaned_group_goes_out_no_more(weaning: int, there: bool) -> None:
    rows: Rows = {"groups": [{"group": "High", "how_recorded": HowRecorded.COUNTS_ONLY, "tally_1": 9,
                              "weaning": TODAY + timedelta(weaning)}]}
    assert there is any(row["group"] for row in in_rows(live_values(rows, NOW))["groups_out"])
