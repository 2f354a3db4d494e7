"""The flock's alarms on Tonight: just before, on and just after its limit, what it says, and no room where there is none."""

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta

import pytest
from live_cells import in_rows
from seasons import season

from template_builder.files.tab import lines_needed
from template_builder.layout.choices import Born, Cause, EweLeft, LambLeft, Prolapse, Reason, TreatedFor, Trouble, WhyMoved
from template_builder.layout.columns import Row
from template_builder.layout.illnesses import ILLNESSES, Illness
from template_builder.layout.laying import lay_ready
from template_builder.live.tonight import FLOCK, LISTED, TONIGHT
from template_builder.live.tonight_page import TOLD_LINES
from template_builder.live_values import live_values
from workbook.rules.checks.advice import illness_in_several, many_empty

NOW = datetime(2026, 3, 25, 3)
TODAY = NOW.date()
Rows = dict[str, list[Row]]
ABORTED, ILL, EMPTY = "Abortions", "in 14 days", "scanned are empty"


def flock(ewes: int = 40, **rows: list[Row]) -> Rows:
    """So many ewes that expect a single each, with these rows written."""
    return {**lay_ready([{"ewe": f"{n:03}", "scanned": 1} for n in range(ewes)]), **rows}


def scouring(*ago: int) -> Rows:
    """Lambs that died of scour, each so many days ago."""
    return flock(lambs=[{"ewe": f"{n:03}", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED, "cause": Cause.SCOUR,
                         "left_on": TODAY - timedelta(days=days)} for n, days in enumerate(ago)])


def scanned(empty: int, of: int) -> Rows:
    rows = flock(of)
    rows["ewes"] = [{**row, "scanned": 0 if n < empty else 1} for n, row in enumerate(rows["ewes"])]
    return rows


def aborted(*ago: int, of: int) -> Rows:
    return flock(of, ewe_check=[{"ewe": f"{n:03}", "date": TODAY - timedelta(days=days), "trouble": Trouble.ABORTED}
                                for n, days in enumerate(ago)])


def told(rows: Rows) -> list[str]:
    """The flock's lines on Tonight, with how urgent each is."""
    live = in_rows(live_values(rows, NOW))["tonight"]
    return [f"{row['urgency']}: {row['told']}" for row in live if row["whom"] == FLOCK]


@pytest.mark.parametrize(("rows", "kind"), [
    (scouring(0, 0), ""), (scouring(0, 0, 0), ILL), (scouring(0, 0, 0, 0), ILL),
    (scouring(0, 3, 6), ILL), (scouring(0, 3, 7), ILL), (scouring(0, 3, 8), ""), (scouring(0, 7, 8), ""),
    (scouring(0, 6, 7, 8), ILL),
    (scouring(6, 6, 13), ILL), (scouring(7, 7, 14), ILL), (scouring(8, 8, 15), ""),  # the last of them so long ago
    (scouring(-1, -1, -1), ""), (scouring(0, 0, -1), ""),  # days to come are no cases yet
    (scanned(0, 10), ""), (scanned(1, 10), ""), (scanned(2, 10), EMPTY),  # asked about above a tenth
    (scanned(2, 9), ""), (scanned(2, 11), EMPTY),  # of fewer than ten no share is made
    (aborted(of=49), ""), (aborted(0, of=49), ABORTED), (aborted(0, of=50), ABORTED), (aborted(0, of=51), ""),
    (aborted(0, 6, of=120), ABORTED), (aborted(0, 7, of=120), ABORTED), (aborted(0, 8, of=120), ""),
])
def test_when_each_is_raised(rows: Rows, kind: str) -> None:
    assert [kind] * bool(kind) == [kind for line in told(rows) if kind in line]
    assert bool(kind) == bool(told(rows))


@pytest.mark.parametrize("rows", [scouring(0, 0, 0), scouring(0, 0), scouring(0, 3, 7), scouring(0, 3, 8), scanned(2, 10),
                                  scanned(1, 10), scanned(2, 9)])
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


def _told_of(illness: Illness, word: object, ewe: str, day: date) -> tuple[str, Row]:
    """The sheet and the row in which a word of an illness stands."""
    of_lamb = illness.animals == "lambs"
    if isinstance(word, Cause):
        return "lambs", {"ewe": ewe, "lamb_no": 1, "left_how": LambLeft.DIED, "left_on": day, "cause": word}
    if isinstance(word, Reason):
        whom = {"given_to": TreatedFor.LAMB, "animal": f"{ewe}-1"} if of_lamb else {"given_to": TreatedFor.EWE, "animal": ewe}
        return "treatments", {**whom, "date": day, "reason": word}
    if isinstance(word, Trouble):
        return "ewe_check", {"ewe": ewe, "date": day, "trouble": word}
    if isinstance(word, WhyMoved):
        return "lambs", {"ewe": ewe, "lamb_no": 1, "why_moved": word, "moved_on": day}
    return "lambing", {"ewe": ewe, "lambed_on": day, "prolapse" if isinstance(word, Prolapse) else "trouble": word}


@pytest.mark.parametrize("illness", ILLNESSES, ids=lambda illness: f"{illness.title} of {illness.animals}")
def test_every_word_of_an_illness_counts_and_an_animal_counts_once(illness: Illness) -> None:
    """Three animals, each told of in another of its words and once more later; then two of them, as often."""
    def rows(animals: int) -> Rows:
        found = flock(lambing=[], lambs=[])
        for n in range(animals):
            for day, word in ((0, illness.words[n % len(illness.words)]), (1, illness.words[(n + 1) % len(illness.words)])):
                sheet, row = _told_of(illness, word, f"{n:03}", TODAY - timedelta(days=day))
                if not (day and sheet in ("lambing", "lambs") and illness.words[n % len(illness.words)] is word):
                    found.setdefault(sheet, []).append(row)
        return found

    (line,) = [line for line in told(rows(3)) if ILL in line]
    assert f"3 {illness.animals} with {illness.title} in 14 days" in line
    assert illness.people == ("People can catch" in line)
    assert [] == [line for line in told(rows(2)) if ILL in line]
    assert [f"3 {illness.animals} with {illness.title}"] == [
        re.split(" from | on ", found.text)[0] for found in illness_in_several(season(NOW, **rows(3)))]


@pytest.mark.parametrize("rows", [
    scouring(*[0] * 30), scanned(30, 200), aborted(*[0] * 30, of=200),
])
def test_an_alarm_fits_its_cell(rows: Rows) -> None:
    cell = next(column for column in TONIGHT.columns if column.id == "told")
    lines: Sequence[str] = [line.partition(": ")[2] for line in told(rows)]
    assert lines and all(lines_needed(line, cell.width, cell.style) <= TOLD_LINES for line in lines)
