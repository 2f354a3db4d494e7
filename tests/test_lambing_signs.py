"""Signs from the time of lambing: overdue, in labour, the next look, a litter unlike the scan."""

from datetime import date, time, timedelta

import pytest
from ewes_tonight import NEXT, NIGHT, at, check, lamb, lambing, listed, only, titles
from seasons import season

from template_builder.layout import alerts
from template_builder.layout.alerts import NOW, SOON
from template_builder.layout.choices import (
    Belly,
    Born,
    EweLeft,
    HowRecorded,
    LambLeft,
    NextDay,
    Taken,
    Udder,
)
from template_builder.layout.columns import Row
from workbook.results.advice.lambing_signs import looks_not_recorded


@pytest.mark.parametrize(
    ("ewe", "last"),
    [
        ({"mated_on": date(2025, 10, 15), "due": date(2026, 3, 1)}, date(2026, 3, 24)),  # mated + 160 days
        ({"group": "Hill", "due": date(2026, 3, 1)}, date(2026, 4, 29)),  # ram out + 160 days
        ({"due": date(2026, 3, 11)}, date(2026, 3, 24)),  # due + 160 - 147 days
    ],
    ids=["mated", "ram out", "due"],
)
def test_overdue_the_day_after_her_last_possible_day(ewe: Row, last: date) -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "scanned": 2, **ewe}], "groups": [{"group": "Hill", "ram_out": date(2025, 11, 20)}],
    }
    assert [] == titles(at(last, 23), **rows)
    problem = only(at(last + timedelta(days=1)), **rows)
    assert ("overdue", SOON) == (problem.alert, problem.urgency)
    assert problem.why.startswith("1 day past her last possible day")


@pytest.mark.parametrize(
    "rows",
    [
        {"ewes": [{"ewe": "A", "scanned": 0, "due": NIGHT}]},
        {"ewes": [{"ewe": "A", "due": NIGHT}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT}], "lambs": [{"ewe": "A", "lamb_no": 1, "born": Born.DEAD_FRESH}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT, "left_how": EweLeft.SOLD}]},
        {"ewes": [{"ewe": "A", "scanned": 1, "due": NIGHT, "group": "Hill"}],
         "groups": [{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY}]},
    ],
    ids=["empty", "not scanned", "lambed", "sold", "counts only"],
)
def test_not_overdue(rows: dict[str, list[Row]]) -> None:
    assert [] == titles(at(date(2026, 6, 1)), **rows)


@pytest.mark.parametrize(
    ("hour", "expected"),
    [(0, []), (1, ["in labour"]), (2, ["long labour"]), (12, ["long labour"]), (13, ["lambing not recorded"])],
)
def test_labour_is_looked_at_then_long_then_lapses(hour: int, expected: list[str]) -> None:
    rows: dict[str, list[Row]] = {"lambing": [{"ewe": "A", "waters_seen": at(NIGHT, 3), "pen": "7"}]}
    assert expected == titles(at(NIGHT, 3 + hour), **rows)


@pytest.mark.parametrize(("minutes", "expected"), [
    (59, []), (60, ["in labour"]), (61, ["in labour"]), (119, ["in labour"]), (120, ["long labour"]), (121, ["long labour"]),
])
def test_the_first_look_in_labour_is_no_call_for_the_vet(minutes: int, expected: list[str]) -> None:
    found = listed(at(NIGHT, 3) + timedelta(minutes=minutes), lambing=[{"ewe": "A", "waters_seen": at(NIGHT, 3)}])
    assert expected == [problem.alert for problem in found]
    assert ["in labour" not in expected for _ in found] == [problem.call_vet for problem in found]


def test_long_labour_says_where_and_since_when_and_calls_the_vet() -> None:
    problem = only(at(NIGHT, 6), lambing=[{"ewe": "A", "waters_seen": at(NIGHT, 3), "pen": "7"}])
    assert (NOW, True, "7", at(NIGHT, 3), ["Lambing!Y4"]) == (
        problem.urgency, problem.call_vet, problem.pen, problem.since, [str(cell) for cell in problem.cells])


def test_a_bare_time_before_midnight_is_of_the_day_before() -> None:
    problem = only(at(NEXT, 2), lambing=[{"ewe": "A", "waters_seen": time(23, 30)}])
    assert ("long labour", at(NIGHT, 23, 30)) == (problem.alert, problem.since)


@pytest.mark.parametrize("column", ["finished", "lambed_on"])
def test_long_labour_lapses_once_she_has_lambed(column: str) -> None:
    row: Row = {"ewe": "A", "waters_seen": at(NIGHT, 3), column: NIGHT if column == "lambed_on" else at(NIGHT, 6)}
    assert "long labour" not in titles(at(NIGHT, 6), lambing=[row], lambs=[lamb()])


def test_the_farms_own_hours_count() -> None:
    rows: dict[str, list[Row]] = {"lambing": [{"ewe": "A", "waters_seen": at(NIGHT, 3)}]}
    own: list[Row] = [{"row_key": "labour_look", "value": 3.5}, {"row_key": "long_labour", "value": 4}]
    assert [[], ["in labour"], ["long labour"]] == [titles(at(NIGHT, 6, minute), **rows, season=own) for minute in (29, 30)] + [
        titles(at(NIGHT, 7), **rows, season=own)]


@pytest.mark.parametrize(("hours", "expected"), [(23, []), (24, ["look due"]), (48, ["look due"]), (49, [])])
def test_the_next_look_is_due_from_24_to_48_hours(hours: int, expected: list[str]) -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(finished=time(4))], "lambs": [lamb()]}
    assert expected == titles(at(NIGHT, 4) + timedelta(hours=hours), **rows)


def test_a_look_not_made_is_on_no_list_but_counted_where_the_flock_writes_them() -> None:
    rows: dict[str, list[Row]] = {"lambing": [lambing(finished=time(4))], "lambs": [lamb()]}
    written: Row = {"ewe": "B", "lambed_on": NIGHT, "next_day": NextDay.ALL_FULL}
    assert [] == titles(at(date(2026, 3, 20)), **rows)
    assert () == looks_not_recorded(season(**rows), at(date(2026, 3, 20)))
    both = season(lambing=[*rows["lambing"], written], lambs=rows["lambs"])
    found = [looks_not_recorded(both, at(NIGHT, 4) + timedelta(hours=48, minutes=minutes)) for minutes in (-1, 0, 1)]
    assert [[], [], ["A"]] == [[ewe.name for ewe in ewes] for ewes in found]


@pytest.mark.parametrize(
    "rows",
    [
        {"lambing": [lambing(next_day=NextDay.ALL_FULL)], "lambs": [lamb()]},
        {"lambing": [lambing(sides_next_day=2)], "lambs": [lamb()]},
        {"lambing": [lambing()], "lambs": [lamb(belly=Belly.FULL)]},
        {"lambing": [lambing()], "lambs": [lamb()], "ewe_check": [check(NEXT, udder=Udder.SOUND)]},
        {"lambing": [lambing()], "lambs": [lamb(left_how=LambLeft.DIED)]},
    ],
    ids=["look", "sides", "belly", "ewe check", "no live lamb"],
)
def test_no_look_is_due_once_one_is_written(rows: dict[str, list[Row]]) -> None:
    assert [] == titles(at(NEXT), **rows)


def test_a_litter_that_differs_from_the_scan() -> None:
    ewes: list[Row] = [{"ewe": "A", "scanned": 2}]
    assert ["fewer lambs than scanned"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=[lamb()])
    assert ["more lambs than scanned"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=[lamb(n) for n in (1, 2, 3)])
    mummified = [lamb(1), lamb(2, born=Born.MUMMIFIED)]
    assert ["abortion suspected"] == titles(at(NIGHT), ewes=ewes, lambing=[lambing()], lambs=mummified)


@pytest.mark.parametrize(("cells", "place"), [
    ({"due": date(2026, 3, 1)}, ["Ewes!B4", "Ewes!C4"]), ({"mated_on": date(2025, 10, 1)}, ["Ewes!B4", "Ewes!J4"]),
    ({"mated_on": date(2025, 10, 1), "due": date(2026, 3, 1)}, ["Ewes!B4", "Ewes!J4"]),
])
def test_overdue_points_at_the_scan_and_the_date_it_is_worked_out_from(cells: Row, place: list[str]) -> None:
    problem = only(at(date(2026, 5, 1)), ewes=[{"ewe": "A", "scanned": 1, **cells}])
    assert place == [str(cell) for cell in problem.cells]


@pytest.mark.parametrize(("scanned", "told"), [
    (None, []), (0, []), (1, [alerts.MORE_LAMBS.title]), (2, []), (3, [alerts.MISSING_LAMB.title]),
])
def test_a_litter_is_held_against_a_scan_in_lamb_alone(scanned: int | None, told: list[str]) -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [{"ewe": "A", "scanned": scanned}], "lambing": [lambing()],
        "lambs": [lamb(n, taken=Taken.YES) for n in (1, 2)],
    }
    assert told == [title for title in titles(at(NIGHT), **rows) if "scanned" in title]
