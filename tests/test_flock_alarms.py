"""The flock's alarms on Tonight: just before, on and just after its limit, what it says, and no room where there is none."""

from collections.abc import Sequence
from datetime import timedelta

import pytest
from alarm_flocks import NOW, TODAY, Rows, flock, scouring, told
from live_cells import in_rows
from seasons import season

from template_builder.files.room import lines_needed
from template_builder.layout.choices import EweLeft, Trouble
from template_builder.live.tonight import FLOCK, LISTED, TONIGHT
from template_builder.live.tonight_page import TOLD_LINES
from template_builder.live_values import live_values
from workbook.rules.checks.advice import illness_in_several, many_empty

ABORTED, ILL, EMPTY = "Abortions", "in 14 days", "scanned are empty"


def scanned(empty: int, of: int) -> Rows:
    rows = flock(of)
    rows["ewes"] = [{**row, "scanned": 0 if n < empty else 1} for n, row in enumerate(rows["ewes"])]
    return rows


def aborted(*ago: int, of: int) -> Rows:
    return flock(of, ewe_check=[{"ewe": f"{n:03}", "date": TODAY - timedelta(days=days), "trouble": Trouble.ABORTED}
                                for n, days in enumerate(ago)])


@pytest.mark.parametrize(("rows", "kind"), [
    (scouring(0, 0), ""), (scouring(0, 0, 0), ILL), (scouring(0, 0, 0, 0), ILL),
    (scanned(0, 10), ""), (scanned(1, 10), ""), (scanned(2, 10), EMPTY),  # asked about above a tenth
    (scanned(2, 9), ""), (scanned(2, 11), EMPTY),  # of fewer than ten no share is made
    (aborted(of=49), ""), (aborted(0, of=49), ABORTED), (aborted(0, of=50), ABORTED), (aborted(0, of=51), ""),
    (aborted(0, 6, of=120), ABORTED), (aborted(0, 7, of=120), ABORTED), (aborted(0, 8, of=120), ""),
])
def test_when_each_is_raised(rows: Rows, kind: str) -> None:
    assert [kind] * bool(kind) == [kind for line in told(rows) if kind in line]
    assert bool(kind) == bool(told(rows))


@pytest.mark.parametrize("rows", [scouring(0, 0, 0), scouring(0, 0), scanned(2, 10), scanned(1, 10), scanned(2, 9)])
def test_the_check_says_the_same(rows: Rows) -> None:
    checked = season(NOW, **rows)
    assert bool(told(rows)) == bool([*illness_in_several(checked), *many_empty(checked)])


def test_what_to_do_and_whom_to_call_in_a_line() -> None:
    assert ["now: 3 lambs with watery mouth or scour in 14 days. Ask your vet now. "
            "People can catch some: gloves."] == told(scouring(0, 1, 2))
    assert ["soon: 4 of 20 scanned are empty. Before any is sent: ram, feed or disease? Ask your vet."] == told(scanned(4, 20))
    assert ["now: Abortions: 2 of 40 in lamb, two within 7 days. Call your vet. People can catch "
            "it: gloves."] == told(aborted(0, 1, of=40))


def test_empties_that_are_all_gone_are_no_longer_asked_about() -> None:
    rows = scanned(4, 20)
    sold = [{**row, **({"left_how": EweLeft.CULLED, "left_on": TODAY} if row["scanned"] == 0 else {})} for row in rows["ewes"]]
    assert [] == told({**rows, "ewes": sold})
    assert 1 == len(list(many_empty(season(NOW, **{**rows, "ewes": sold}))))  # the check still asks


def test_without_an_alarm_the_first_row_is_a_ewes() -> None:
    looked = {"ewe": "001", "date": TODAY, "trouble": Trouble.MASTITIS}
    assert "001" == in_rows(live_values(flock(ewe_check=[looked]), NOW))["tonight"][0]["whom"]


def test_alarms_stand_above_the_ewes_and_the_head_counts_what_is_listed() -> None:
    rows = aborted(*[0] * 40, of=40)
    live = in_rows(live_values(rows, NOW))
    assert [FLOCK, "000"] == [row["whom"] for row in live["tonight"][:2]]
    assert f"40 ewes to look at, the first {LISTED - 1} are listed." == live["cells"][0]["tonight_head"]
    assert LISTED == len([row for row in live["tonight"] if row["whom"]])


@pytest.mark.parametrize("rows", [
    scouring(*[0] * 30), scanned(30, 200), aborted(*[0] * 30, of=200),
])
def test_an_alarm_fits_its_cell(rows: Rows) -> None:
    cell = next(column for column in TONIGHT.columns if column.id == "told")
    lines: Sequence[str] = [line.partition(": ")[2] for line in told(rows)]
    assert lines and all(lines_needed(line, cell.width, cell.style) <= TOLD_LINES for line in lines)
