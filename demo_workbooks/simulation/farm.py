"""The invented farm of the demo: its name, its groups and rams, and the days on which things were done."""

from dataclasses import dataclass
from datetime import date, datetime
from random import Random

from template_builder.layout.choices import Sex

SEED = 2026

FLOCK = "Makebelieve Farm (invented flock)"
YEAR = 2026
AS_OF = datetime(2026, 8, 20, 12, 0)
PENS = 30
TARGET_EWES = 180
TARGET_LOSS = 15
TARGET_REARED = 165

# Scanned 80 to 90 days after the rams went in and at least 35 days after they came out: Teagasc, by summary.
SCANNED_ON = date(2026, 1, 7)
EMPTIES_SOLD_ON = date(2026, 1, 20)
EWES_WEIGHED_ON = date(2025, 10, 4)
TURNOUT = date(2026, 5, 2)
MARKING = date(2026, 5, 16)
WEANING = date(2026, 6, 27)
DRENCHED = date(2026, 7, 2)
FAT_LAMBS_SOLD_ON = date(2026, 8, 11)
BEFORE_MATING = date(2026, 8, 15)
COUNT_DAYS = (TURNOUT, MARKING, WEANING)

GESTATION = 147
PEOPLE = ("MB", "NF", "TS")

# 826 is the United Kingdom in ISO 3166-1; a flock mark of six nines is made up.
OFFICIAL_START = "8260999999"


@dataclass(frozen=True)
class RamGroup:
    """Ewes that went to the same rams. `sons` is how their ram lambs are written down: left entire or ringed."""

    name: str
    ewes_to_ram: int
    ram_in: date
    ram_out: date
    rams: tuple[str, ...]
    ram_breed: str
    keep_daughters: bool
    sons: Sex
    notes: str = ""


BROW = RamGroup(
    "Brow", 108, date(2025, 10, 12), date(2025, 11, 22), ("T1", "T2", "T3"), "Texel", False, Sex.WETHER,
    "One ewe sold before scanning",
)
MEAD = RamGroup("Mead", 73, date(2025, 10, 19), date(2025, 11, 29), ("L1", "L2"), "Lleyn", True, Sex.RAM)
GROUPS = {group.name: group for group in (BROW, MEAD)}


def chance(*about: object) -> Random:
    """The dice for one matter ("births", "0412"): the same each run, and not moved by what is thrown elsewhere."""
    return Random(" ".join(str(part) for part in (SEED, *about)))
