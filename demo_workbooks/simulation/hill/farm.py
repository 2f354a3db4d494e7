"""The invented hill farm: its hefts, what was scanned on each, and the days on which things were done."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from random import Random

from template_builder.layout.choices import HowRecorded

SEED = "hill 2026"
FLOCK = "Neverwas Hill (invented flock)"
YEAR = 2026
AS_OF = datetime(2026, 9, 28, 12, 0)
TARGET_EWES = 600
TARGET_LOSS = 20
TARGET_REARED = 100

RAM_IN, RAM_OUT = date(2025, 11, 18), date(2026, 1, 3)
SCANNED_ON = date(2026, 2, 20)
MARKING, WEANING = date(2026, 6, 10), date(2026, 8, 14)
GESTATION = 147
BREED = "Blackface"


@dataclass(frozen=True)
class Heft:
    """Ewes that graze one part of the hill. `scans` are ewes by lambs seen."""

    name: str
    ewes_to_ram: int
    how: HowRecorded
    scans: Mapping[int, int]
    notes: str = ""

    @property
    def ewes(self) -> int:
        return sum(self.scans.values())

    @property
    def lambs(self) -> int:
        return sum(lambs * ewes for lambs, ewes in self.scans.items())


# 1.2 to 1.4 lambs scanned per hill ewe in lamb and more than one weaned: Teagasc, at second hand. 5 to 7 % empty among
# grown ewes: a British flock of 1955 to 1966. The harder the ground, the fewer twins: judgement.
NEAR = Heft("Near Heft", 212, HowRecorded.EACH_EWE, {0: 11, 1: 139, 2: 59, 3: 1}, "Two ewes not gathered for scanning")
FAR = Heft("Far Heft", 190, HowRecorded.EACH_EWE, {0: 12, 1: 136, 2: 42})
HIGH = Heft("High Heft", 198, HowRecorded.COUNTS_ONLY, {0: 14, 1: 148, 2: 36}, "Ewes not numbered; known by counts only")
HEFTS = (NEAR, FAR, HIGH)
BY_EWE = (NEAR, FAR)


def chance(*about: object) -> Random:
    """The dice for one matter: the same each run, and not moved by what is thrown elsewhere."""
    return Random(" ".join(str(part) for part in (SEED, *about)))
