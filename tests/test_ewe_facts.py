"""What is known of a ewe by what is written of her and her lambs, as Tonight and Set on tell it."""

from datetime import date, datetime

import pytest
from live_cells import in_rows

from template_builder.layout.choices import Belly, Born, Colostrum, LambingTrouble, Sucked, Taken, YesNo
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live_values import live_values

NIGHT = datetime(2026, 3, 25, 3)


def of_her(lambing: Row, *lambs: Row, scanned: int = 1) -> dict[str, object]:
    """What stands of the ewe that lambed yesterday evening: her alerts, whether she is offered a lamb, her hidden row."""
    rows = lay_ready([{"ewe": "1", "scanned": scanned}])
    rows["lambing"] = [{**rows["lambing"][0], "lambed_on": date(2026, 3, 24), **lambing}]
    rows["lambs"] = [{"ewe": "1", "lamb_no": number, **lamb} for number, lamb in enumerate(lambs, start=1)]
    live = in_rows(live_values(rows, NIGHT))
    return {**live["ewes"][0], "seen": live["tonight"][0]["seen"], "offered": [row["ewe"] for row in live["room"] if row["ewe"]]}


ALIVE: Row = {"born": Born.ALIVE}


@pytest.mark.parametrize(("lamb", "said"), [
    ({}, ""), ({"belly": Belly.HOLLOW}, "hollow lamb"), ({"sucked": Sucked.NO}, "lamb not sucking"),
    ({"taken": Taken.REFUSED}, "lamb refused"), ({"taken": Taken.YES}, ""), ({"sucked": Sucked.ALONE}, ""),
])
def test_what_is_wrong_with_a_lamb_is_told_of_its_ewe(lamb: Row, said: str) -> None:
    assert said == str(of_her({}, {**ALIVE, **lamb})["seen"]).replace("look due", "").strip("; ")


@pytest.mark.parametrize(("born", "counted"), [
    ((Born.ALIVE, Born.ALIVE), (2, 2, 0, 2)), ((Born.ALIVE, Born.DEAD_FRESH), (2, 2, 0, 1)),
    ((Born.DEAD_DECAYED,), (1, 1, 0, 0)), ((Born.ABORTED, Born.ABORTED), (2, 0, 2, 0)),
    ((Born.ALIVE, Born.MUMMIFIED), (2, 1, 0, 1)),
])
def test_lambs_written_born_aborted_and_alive_here(born: tuple[Born, ...], counted: tuple[int, ...]) -> None:
    her = of_her({}, *({"born": one} for one in born))
    assert counted == tuple(her[id] for id in ("lambs", "born", "aborted_lambs", "alive_here"))


@pytest.mark.parametrize(("cells", "offered"), [
    ({"sides_in_milk": 2}, ["1"]), ({"all_well": YesNo.YES}, ["1"]), ({}, []), ({"sides_in_milk": 1}, []),
    ({"all_well": YesNo.YES, "trouble": LambingTrouble.OTHER}, ["1"]),
    ({"all_well": YesNo.YES, "trouble": LambingTrouble.LAMBS_LOST}, ["1"]),
    # "All well" says nothing of her milk where one word tells of it.
    ({"all_well": YesNo.YES, "trouble": LambingTrouble.NO_MILK, "colostrum": Colostrum.PLENTY}, []),
    ({"all_well": YesNo.YES, "trouble": LambingTrouble.BAD_UDDER}, []),
])
def test_only_a_ewe_known_to_milk_on_both_sides_is_offered_a_lamb(cells: Row, offered: list[str]) -> None:
    assert offered == of_her(cells, ALIVE)["offered"]
