"""What to have ready before lambing, on Plan: the formulas over random flocks against Python, and that they move with a scan."""

from collections import Counter
from datetime import datetime

import pytest
from live_cells import in_rows
from plan_flocks import drawn

from template_builder.layout.columns import Row
from template_builder.live.columns import CELLS
from template_builder.live_values import live_values
from template_builder.plan.spare import Chances, ready

NOW = datetime(2026, 1, 20, 12, 0)
USUAL = Chances(0.95, 0.9, 0.05)


def _chances(rows: dict[str, list[Row]]) -> Chances:
    said = {row["row_key"]: row["value"] for row in rows["season"]}
    small = said.get("small_litter_alive", 100 - said["last_stillborn"] if "last_stillborn" in said else 95)
    big = said.get("big_litter_alive", said.get("last_big_alive", 90))
    return Chances(small / 100, big / 100, said.get("stored_colostrum", 5) / 100)


def _scans(rows: dict[str, list[Row]], listed: list[Row]) -> Counter[int]:
    scans = Counter(row["scanned"] for row in listed)
    with_ewes = {row.get("group") for row in rows["ewes"]}
    for group in rows["groups"]:
        if group["group"] not in with_ewes:
            scans.update({size: group[f"tally_{size}"] for size in range(1, 5)})
    return scans


def shown(rows: dict[str, list[Row]]) -> list[tuple[object, ...]]:
    live = in_rows(live_values(rows, NOW))
    return [tuple(row[id] for id in ("expected", "low", "high")) for row in live["ready"] if row["what"]]


@pytest.mark.parametrize("seed", range(30))
def test_formulas_and_python_say_the_same_of_what_to_have(seed: int) -> None:
    rows, listed, *_ = drawn(seed)
    scans = _scans(rows, listed)
    made = ready(scans, _chances(rows))
    lambs, big = sum(scan * ewes for scan, ewes in scans.items()), sum(ewes for scan, ewes in scans.items() if scan > 2)
    bands = [band for band, there in zip(made, (lambs, lambs, big), strict=True) if there]
    assert [(band.low, band.high) for band in bands] == [(low, high) for _, low, high in shown(rows)]
    assert all(abs(band.expected - about) <= 0.500001 for band, (about, *_) in zip(bands, shown(rows), strict=True))


def test_changing_a_scan_moves_what_to_have() -> None:
    ewes: list[Row] = [{"ewe": f"{number}", "scanned": 2} for number in range(10)]
    before = shown({"ewes": ewes})
    after = shown({"ewes": [{**ewes[0], "scanned": 4}, *ewes[1:]]})
    assert [(19, 17, 20), (1, 0, 3)] == before
    assert [(21, 18, 22), (3, 0, 5), (2, 0, 2)] == after


def test_a_flock_known_by_its_tally_has_its_counts_and_no_ewe() -> None:
    tally: Row = {"group": "High", "tally_1": 148, "tally_2": 36, "tally_3": 2}
    live = in_rows(live_values({"groups": [tally]}, NOW))
    made = ready({1: 148, 2: 36, 3: 2}, USUAL)
    assert [(band.low, band.high) for band in made] == [(row["low"], row["high"]) for row in live["ready"]]
    assert "186 ewes scanned in lamb, known by the tallies of their groups." == live[CELLS][0]["plan_head"]
    both = in_rows(live_values({"groups": [tally], "ewes": [{"ewe": "A", "scanned": 2}]}, NOW))[CELLS][0]["plan_head"]
    assert str(both).endswith("Besides these, 186 in groups known by their tallies.")
