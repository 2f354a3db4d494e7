"""Random flocks before lambing: any scans, due days with slips among them, the farm's own word, looks, ewes that went."""

from datetime import date, timedelta
from random import Random

from template_builder.layout.choices import EweLeft, FeedAs
from template_builder.layout.columns import Row
from template_builder.plan.calendar import TASKS
from template_builder.plan.groups import FARTHEST

START = date(2026, 3, 2)


def drawn(seed: int) -> tuple[dict[str, list[Row]], list[Row], int, dict[str, int]]:
    """The rows of a season, those of its ewes in lamb, groups the farm can keep, and days before lambing by task."""
    draw = Random(seed)
    scans = draw.choice([[1, 2, 3], [2], [1, 3], [1, 2, 2, 2, 3, 4, 5], [0, 1, 1, 2], [3, 3, 1, None]])
    days = draw.choice([[None], [*range(0, 40, 3), None], [0], [0, 20], [0, 7, FARTHEST, FARTHEST + 1, 2, 3]])
    ewes: list[Row] = []
    for number in range(draw.randint(0, 25)):
        day = draw.choice(days)
        row: Row = {
            "ewe": f"{number:03}", "scanned": draw.choice(scans), "due": None if day is None else START + timedelta(days=day),
            "feed_as": draw.choice([None] * 6 + list(FeedAs)), "condition": draw.choice([None, 1.5, 2.25, 2.5, 2.75, 3.5, 3.75]),
            "lambings_before": draw.choice([None, 0, 2]), "left_how": draw.choice([None] * 8 + [EweLeft.DIED]),
        }
        ewes.append({key: value for key, value in row.items() if value is not None})
    checks: list[Row] = [{"ewe": f"{draw.randint(0, 25):03}", "date": START - timedelta(days=draw.randint(30, 60)),
                          "condition": draw.choice([2.25, 2.5, 3.5, 3.75])} for _ in range(draw.randint(0, 6))]
    days_before = {task: draw.randint(0, 70) for task in TASKS}
    most = draw.randint(1, 6)
    given = {"feeding_groups": most, **days_before, **_shares(draw)}
    rows = {"ewes": ewes, "ewe_check": checks, "groups": _groups(draw, ewes),
            "season": [{"row_key": key, "value": value} for key, value in given.items()]}
    return rows, [row for row in ewes if row.get("scanned") and "left_how" not in row], most, days_before


def _shares(draw: Random) -> dict[str, float]:
    """What Season may say of lambs born alive and of colostrum; blank for the rest."""
    asked = ("big_litter_alive", "small_litter_alive", "stored_colostrum", "last_big_alive", "last_stillborn")
    return {id: draw.choice([0, 4.5, 50, 93, 100]) for id in asked if draw.random() < 0.3}


def _groups(draw: Random, ewes: list[Row]) -> list[Row]:
    """A group known by its tally alone, and one with a tally whose ewes stand on Ewes, which counts for nothing."""
    for ewe in ewes:
        if draw.random() < 0.5:
            ewe["group"] = "Mead"
    return [{"group": name, **{f"tally_{size}": draw.choice([0, 3, 40]) for size in range(1, 5)}}
            for name in ("Mead", "High") if draw.random() < 0.4]
