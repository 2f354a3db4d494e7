"""Rows that stand where they were laid ready are found there; rows astray, few or many, are found all the same."""

from collections.abc import Sequence
from datetime import datetime
from random import Random

import pytest
from edge_seasons import edge_season
from live_cells import LiveRow, in_rows

from template_builder import live_values as values
from template_builder.layout.choices import Born, YesNo
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live.columns import CELLS, LiveValues
from template_builder.live.laid import CLOSE_BY, LISTED, laid_ready
from template_builder.live_values import laid_out, live_values, serial

Rows = dict[str, list[Row]]
NIGHT = datetime(2026, 3, 25, 3)
WHERE = {"at", "on_lambing", "on_lambs", "room_key", "key"}  # says in which row something stands
PLACES = {"laid", "astray", "bearer_astray", "rearer_astray"}


def moved(rows: Rows, now: datetime, start: Rows, monkeypatch: pytest.MonkeyPatch) -> LiveValues:
    """The live values of rows that were laid ready as at the start and stand otherwise now."""
    with monkeypatch.context() as patch:
        patch.setattr(values, "laid_ready", lambda _: laid_ready(laid_out(start)))
        return live_values(rows, now)


def shuffled(rows: Rows, seed: int) -> Rows:
    dice = Random(seed)
    return {**rows, **{id: dice.sample(rows[id], len(rows[id])) for id in ("lambing", "lambs")}}


def ewes(live: LiveValues) -> list[LiveRow]:
    """What is known of each ewe, wherever her rows stand."""
    return [{id: value for id, value in row.items() if id not in WHERE} for row in in_rows(live)["ewes"]]


@pytest.mark.parametrize("seed", range(40))
def test_the_order_of_rows_changes_nothing_about_a_ewe(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rows, now = edge_season(seed)
    now_sorted = shuffled(rows, seed)
    assert ewes(live_values(now_sorted, now)) == ewes(moved(now_sorted, now, rows, monkeypatch))


def lambed(count: int) -> Rows:
    rows = lay_ready([{"ewe": f"{number:03}", "scanned": 2} for number in range(count)])
    rows["lambing"] = [{**row, "lambed_on": NIGHT.date(), "all_well": YesNo.YES} for row in rows["lambing"]]
    rows["lambs"] = [{**row, "born": Born.ALIVE} for row in rows["lambs"]]
    return rows


def backwards(rows: Rows, count: int) -> Rows:
    """So many rows of Lambing turned round."""
    return {**rows, "lambing": [*reversed(rows["lambing"][:count]), *rows["lambing"][count:]]}


@pytest.mark.parametrize("astray", [0, LISTED - 2, LISTED, LISTED + 2])
def test_many_rows_astray_are_found_too(astray: int, monkeypatch: pytest.MonkeyPatch) -> None:
    start = lambed(LISTED + 10)
    now = backwards(start, astray)
    live = moved(now, NIGHT, start, monkeypatch)
    assert astray == live[CELLS]["many_lambing"][0]
    names = [row["ewe"] for row in now["lambing"]]
    found = [names[int(str(row["at"])) - 1] for row in in_rows(live)["ewes"] if row["name"]]
    assert sorted(names) == found
    assert {serial(NIGHT.date())} == {row["lambed_on"] for row in in_rows(live)["ewes"] if row["name"]}


@pytest.mark.parametrize("sheet", ["lambs", "lambing"])
def test_a_flock_laid_ready_has_no_row_astray(sheet: str) -> None:
    live = live_values(lambed(LISTED + 10), NIGHT)
    assert {0} == {live[CELLS][f"many_{id}"][0] for id in ("lambing", "bearer", "rearer")}
    assert LISTED + 10 == len(set(live[sheet]["laid"])) - 1


def hers(rows: Sequence[LiveRow]) -> list[object]:
    return [row["lambs"] for row in rows if row["name"]]


@pytest.mark.parametrize("lambs", [CLOSE_BY - 1, CLOSE_BY, CLOSE_BY + 1])
def test_a_ewe_with_more_rows_than_stand_close_by(lambs: int) -> None:
    rows = lambed(2)
    rows["lambs"] = [{"ewe": "000", "lamb_no": number, "born": Born.ALIVE} for number in range(1, lambs + 1)] + rows["lambs"][2:]
    live = live_values(rows, NIGHT)
    assert [lambs, 2] == hers(in_rows(live)["ewes"])
    assert max(0, lambs - CLOSE_BY) == live[CELLS]["many_bearer"][0]


def test_a_row_whose_ewe_is_unreadable_spoils_no_other() -> None:
    rows = lambed(3)
    rows["lambs"][1] = {**rows["lambs"][1], "ewe": "nobody"}
    live = live_values(rows, NIGHT)
    assert [1, 2, 2] == hers(in_rows(live)["ewes"])
