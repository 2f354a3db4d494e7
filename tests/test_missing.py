"""What a figure does not know of: lambs without an answer count, and only those born here."""

import pytest
from seasons import season

from template_builder.layout.choices import Born, CameFrom
from template_builder.layout.columns import Row
from workbook.results.litters.ewes_in import EwesIn
from workbook.results.litters.missing import not_known
from workbook.results.litters.to_ram import to_ram
from workbook.season.groups import Groups


@pytest.mark.parametrize(("lamb", "number"), [
    ({"tag": "7001"}, 1), ({"tag": "7001", "born": Born.ALIVE}, 0), ({"tag": "7001", "born": Born.DEAD_FRESH}, 0), ({}, 0),
    ({"tag": "7001", "came_from": CameFrom.BOUGHT_IN}, 0), ({"tag": "7001", "came_from": CameFrom.WITH_HER}, 0),
])
def test_how_a_lamb_was_born_is_missing_of_those_born_here(lamb: Row, number: int) -> None:
    of = season(ewes=[{"ewe": "A", "scanned": 1}], lambs=[{"ewe": "A", "lamb_no": 1, **lamb}])
    ewes = EwesIn((*of.flock.ewes.values(),), Groups.of(of), to_ram(of))
    found = not_known(of, ewes, {}, lambed=True, weaned=False)["stillbirth_pct"]
    assert (number, "lambs") == (found.number, found.whom)
