"""The result of a season: when a flock is known by the counts of its groups alone."""

from dataclasses import replace

import pytest
from fake_result import empty_result
from seasons import season

from template_builder.layout.choices import HowRecorded
from template_builder.layout.columns import Row
from workbook.results.litters.group_account import group_accounts

HEFT: Row = {"group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 20, "tally_1": 20}


@pytest.mark.parametrize(("ewes", "lambs", "groups", "alone"), [
    ([], [], [HEFT], True), ([{"ewe": "1", "scanned": 2}], [], [HEFT], False), ([], [{"tag": "7001"}], [HEFT], False),
    ([], [], [], False),
])
def test_one_ewe_or_lamb_by_number_and_the_flock_is_not_known_by_counts_alone(
    ewes: list[Row], lambs: list[Row], groups: list[Row], alone: bool,
) -> None:
    of = season(ewes=ewes, lambs=lambs, groups=groups)
    assert alone is replace(empty_result(), season=of, groups=group_accounts(of)).by_counts_alone
