"""The patterns of live formulas: how urgent a number of an alert is, what "?" says, keys in order."""

from datetime import datetime

import pytest
from live_cells import in_rows

from template_builder.layout.alerts import ALERTS, END, NOW, SOON, TODAY
from template_builder.layout.choices import Born, LambLeft, Udder
from template_builder.layout.columns import NOT_KNOWN, Value
from template_builder.live.formulas import FIRST, LATER, NO_MINUTE, SINCE, rank, starts
from template_builder.live_values import live_values

NIGHT = datetime(2026, 3, 25, 3)


@pytest.mark.parametrize("urgency", [NOW, TODAY, SOON, END])
def test_numbers_of_alerts_of_one_urgency_lie_between_its_start_and_the_next(urgency: int) -> None:
    of_it = [rank(alert, urgency) for alert in ALERTS if alert.urgency == urgency]
    assert starts(urgency) == LATER if urgency == END else starts(urgency) == min(of_it)
    assert max(of_it) + NO_MINUTE < (starts(urgency + 1) if urgency < END else 2 * LATER)


def test_a_number_has_room_for_every_alert_every_minute_and_every_row_within_fifteen_figures() -> None:
    assert NO_MINUTE < SINCE and (len(ALERTS) + 1) * SINCE < LATER
    assert LATER * FIRST < 10**15


@pytest.mark.parametrize(("how", "here"), [(None, 1), (NOT_KNOWN, 1), (LambLeft.DIED, 0), (LambLeft.SOLD, 0)])
def test_a_question_mark_says_nothing_and_is_no_mistake(how: Value, here: int) -> None:
    lamb = {"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, **({} if how is None else {"left_how": how})}
    live = in_rows(live_values({"ewes": [{"ewe": "1", "scanned": 1}], "lambs": [lamb]}, NIGHT))
    assert (here, 0) == (live["ewes"][0]["alive_here"], live["ewes"][0]["bad"])


@pytest.mark.parametrize(("udder", "bad"), [(None, 0), (NOT_KNOWN, 0), (Udder.SOUND, 0), ("so so", 1)])
def test_a_word_that_is_not_in_its_list_is_one(udder: Value, bad: int) -> None:
    check = {"ewe": "1", "date": NIGHT.date(), **({} if udder is None else {"udder": udder})}
    live = in_rows(live_values({"ewes": [{"ewe": "1", "scanned": 1}], "ewe_check": [check]}, NIGHT))
    assert bad == live["ewes"][0]["bad"]
