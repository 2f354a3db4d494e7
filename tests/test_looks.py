"""When milk is to be expected of a ewe somebody looked at: after she lambed, and of one not lambed only by what is written."""

from datetime import date

import pytest
from seasons import season

from template_builder.layout.choices import Born, CheckOccasion, Milk
from template_builder.layout.columns import Row
from workbook.results.clinical.looks import last_sides, milk_expected

LAMBED = date(2026, 4, 1)
NOT_WRITTEN: Row = {"ewe": "A"}


@pytest.mark.parametrize(("lambing", "check", "expected"), [
    (NOT_WRITTEN, {}, False), (NOT_WRITTEN, {"milk": Milk.IN_MILK}, True), (NOT_WRITTEN, {"lambs_at_foot": 1}, True),
    (NOT_WRITTEN, {"lambs_at_foot": 0}, False), (NOT_WRITTEN, {"milk": Milk.DRY}, False),
    (NOT_WRITTEN, {"milk": Milk.DRY, "lambs_at_foot": 1}, True),
    ({"lambed_on": LAMBED}, {"date": date(2026, 3, 31)}, False), ({"lambed_on": LAMBED}, {"date": LAMBED}, False),
    ({"lambed_on": LAMBED}, {"date": date(2026, 4, 2)}, True), ({"lambed_on": LAMBED}, {}, True),
    ({"lambed_on": LAMBED}, {"date": date(2026, 9, 1), "occasion": CheckOccasion.BEFORE_MATING}, False),
])
def test_milk_is_expected_after_lambing_or_where_it_is_written(lambing: Row, check: Row, expected: bool) -> None:
    of = season(ewes=[{"ewe": "A", "scanned": 1}], lambing=[{"ewe": "A", **lambing}],
                ewe_check=[{"ewe": "A", "sides_in_milk": 0, **check}])
    (ewe,) = of.flock.ewes.values()
    assert expected is milk_expected(ewe, ewe.checks[0])
    assert (0 if expected else None) == last_sides(ewe)


def test_a_lamb_of_hers_alone_says_that_she_lambed() -> None:
    of = season(ewes=[{"ewe": "A", "scanned": 1}], lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}],
                ewe_check=[{"ewe": "A", "sides_in_milk": 1}])
    (ewe,) = of.flock.ewes.values()
    assert 1 == last_sides(ewe)
