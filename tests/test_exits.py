"""How and when lambs went: whatever the order of the rows, the same lamb stands for the same day."""

from datetime import date

from seasons import season

from template_builder.layout.choices import Born, CameFrom, LambLeft, RearedBy
from template_builder.layout.columns import Row
from workbook.results.litters.exits import exits

MOVED, COUNTED = date(2026, 4, 2), date(2026, 4, 22)


def days(lambs: list[Row]) -> dict[str, date | None]:
    of = season(ewes=[{"ewe": ewe} for ewe in "AB"], lambs=lambs, counts=[{"date": COUNTED, "lambs": 0}])
    return {lamb.name: exit.day for lamb, exit in exits(of).items()}


def test_lambs_of_no_known_mother_gone_between_two_days_are_spread_over_them_by_the_ewe_rearing_each() -> None:
    """Twenty days, two lambs: one on the fifth, one on the fifteenth."""
    one, other = ({"tag": f"700{ewe}", "born": Born.ALIVE, "came_from": CameFrom.MOTHER_NOT_KNOWN, "foster_ewe": ewe,
                   "reared_by": RearedBy.FOSTER_EWE, "moved_on": MOVED, "left_how": LambLeft.MISSING} for ewe in "AB")
    assert {"700A": date(2026, 4, 7), "700B": date(2026, 4, 17)} == days([one, other]) == days([other, one])
