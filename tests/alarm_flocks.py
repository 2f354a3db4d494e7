"""Flocks for the alarms on Tonight: healthy ones, and some whose lambs die of scour; what the flock's lines say."""

from datetime import datetime, timedelta

from live_cells import in_rows

from template_builder.layout.choices import Born, Cause, LambLeft
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.live.tonight import FLOCK
from template_builder.live_values import live_values

NOW = datetime(2026, 3, 25, 3)
TODAY = NOW.date()
Rows = dict[str, list[Row]]


def flock(ewes: int = 40, **rows: list[Row]) -> Rows:
    """So many ewes that expect a single each, with these rows written."""
    return {**lay_ready([{"ewe": f"{n:03}", "scanned": 1} for n in range(ewes)]), **rows}


def scouring(*ago: int) -> Rows:
    """Lambs that died of scour, each so many days ago."""
    return flock(lambs=[{"ewe": f"{n:03}", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED, "cause": Cause.SCOUR,
                         "left_on": TODAY - timedelta(days=days)} for n, days in enumerate(ago)])


def told(rows: Rows) -> list[str]:
    """The flock's lines on Tonight, with how urgent each is."""
    live = in_rows(live_values(rows, NOW))["tonight"]
    return [f"{row['urgency']}: {row['told']}" for row in live if row["whom"] == FLOCK]
