"""What came from scanning on the hill: a list by ewe for the numbered hefts, a tally for the heft without numbers."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

from demo_workbooks.simulation.hill.farm import FLOCK, HIGH, RAM_IN, RAM_OUT, SCANNED_ON, chance
from demo_workbooks.simulation.hill.flock import HillEwe, flock

_DAY = "%d/%m/%Y"


def scan_list_csv() -> str:
    """The numbered ewes in the order they came through the race; a title above, a total below."""
    ewes = list(flock())
    chance("race").shuffle(ewes)
    total = ["Total", sum(ewe.scanned for ewe in ewes)]
    return _text([
        [f"Scanned {FLOCK} {SCANNED_ON:{_DAY}}"],
        ["Ewe no", "Lambs", "Mark", "Heft", "Breed", "Born", "Lambings", "Scan date"],
        *(_cells(ewe) for ewe in ewes), total,
    ])


def _cells(ewe: HillEwe) -> list[object]:
    return [ewe.number, ewe.scanned or "empty", ewe.mark or "", ewe.heft.name, ewe.row()["breed"], ewe.born_year,
            ewe.lambings_before, f"{SCANNED_ON:{_DAY}}"]


def tally_csv() -> str:
    """The heft without numbers, as counted at the gate."""
    empty, singles, twins = (HIGH.scans[lambs] for lambs in range(3))
    return _text([
        ["Heft", "To the tup", "Ewes scanned", "Barren", "Singles", "Twins", "Triplets", "4 or more", "Tups in", "Tups out",
         "Scan date"],
        [HIGH.name, HIGH.ewes_to_ram, HIGH.ewes, empty, singles, twins, "", "", f"{RAM_IN:{_DAY}}", f"{RAM_OUT:{_DAY}}",
         f"{SCANNED_ON:{_DAY}}"],
    ])


def _text(lines: Iterable[Sequence[object]]) -> str:
    out = StringIO()
    csv.writer(out, lineterminator="\n").writerows(lines)
    return out.getvalue()
