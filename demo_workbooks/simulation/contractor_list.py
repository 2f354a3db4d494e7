"""The list as the scanning contractor sent it: his headings, counts partly in words, dates in several hands."""

import csv
from datetime import date
from io import StringIO
from random import Random

from demo_workbooks.simulation.farm import FLOCK, SCANNED_ON, chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan

HEADINGS = (
    "Tag No", "Scan", "Mark", "Mob", "Breed", "Year born", "Lambings", "Tup", "Date tupped", "Crayon", "BCS", "Scan date",
    "UK tag", "Remarks",
)
_COUNTS_AS_WRITTEN: dict[int | None, tuple[str, ...]] = {
    0: ("0", "empty", "barren", "E"),
    1: ("1", "1", "1", "single", "S"),
    2: ("2", "2", "2", "2", "twin", "TW", "2 lambs"),
    3: ("3", "3", "triplet", "x3"),
    4: ("4", "quads"),
    5: ("quin",),
    6: ("six",),
    None: ("", "not scanned"),
}
_DATES_AS_WRITTEN = ("%d/%m/%y", "%d/%m/%y", "%d/%m/%Y", "%d %b %Y", "%d.%m.%Y", "%Y-%m-%d")
_ROWS_A_PAGE = 90
_SLOPPY = 0.08  # share of cells with a stray blank, a decimal comma or a short year


def scan_list_csv() -> str:
    """The text of scan-list.csv, in the order the ewes came through the race.

    A title stands above the headings, they come again on the second page, and a total stands at the end; every ewe
    can be placed.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([f"Scanning list {FLOCK} {SCANNED_ON:%d/%m/%Y}"])
    ewes = list(plan())
    chance("race").shuffle(ewes)
    for at, ewe in enumerate(ewes):
        if at % _ROWS_A_PAGE == 0:
            writer.writerow(HEADINGS)
        writer.writerow(_cells(ewe, chance("list", ewe.number)))
    writer.writerow(["Total", sum(ewe.scanned or 0 for ewe in ewes)])
    return out.getvalue()


def _cells(ewe: PlannedEwe, dice: Random) -> list[str]:
    return [
        f" {ewe.number} " if dice.random() < _SLOPPY else ewe.number,
        dice.choice(_COUNTS_AS_WRITTEN[ewe.scanned]),
        ewe.mark or "",
        ewe.group.name,
        ewe.breed,
        f"'{ewe.born_year % 100}" if dice.random() < _SLOPPY else str(ewe.born_year),
        str(ewe.lambings_before),
        ewe.ram,
        _written(ewe.mated_on, dice),
        ewe.crayon,
        _score(ewe.condition, dice),
        f"{SCANNED_ON:%d/%m/%y}",
        ewe.official_tag,
        remark(ewe),
    ]


def remark(ewe: PlannedEwe) -> str:
    """What the contractor wrote beside a ewe, empty for most."""
    if ewe.scanned is None:
        return "jumped the gate"
    if ewe.scanned >= 5:
        return "counted twice, sure of it"
    return ""


def _written(day: date, dice: Random) -> str:
    return day.strftime(dice.choice(_DATES_AS_WRITTEN))


def _score(condition: float | None, dice: Random) -> str:
    if condition is None:
        return ""
    return f"{condition:g}".replace(".", ",") if dice.random() < _SLOPPY else f"{condition:g}"
