"""The numbered ewes of the hill as they stood at scanning."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

from demo_workbooks.simulation.hill.farm import BREED, BY_EWE, GESTATION, RAM_IN, SCANNED_ON, YEAR, Heft, chance

# Drafted off the hill after five lambings or so, so that the oldest are few: common practice, no source.
_BORN = {2019: 1, 2020: 4, 2021: 5, 2022: 5, 2023: 5, 2024: 5}
_SERIALS = range(1, 600)
_FIRST_LAMBING_AT = 2  # years; hill ewes are not put to the ram as lambs
_MARKS = {0: "red", 1: None, 2: "blue", 3: "green"}


@dataclass(frozen=True)
class HillEwe:
    """A numbered ewe at scanning; 0 is empty."""

    number: str
    heft: Heft
    born_year: int
    scanned: int

    @property
    def lambings_before(self) -> int:
        return YEAR - self.born_year - _FIRST_LAMBING_AT

    @property
    def due(self) -> date | None:
        """From the day the rams went out; an empty ewe is not due."""
        return RAM_IN + timedelta(days=GESTATION) if self.scanned else None

    @property
    def mark(self) -> str | None:
        return _MARKS[self.scanned]

    def row(self) -> dict[str, str | int | date]:
        """Her row on Ewes as the build makes it from the list."""
        row: dict[str, str | int | date | None] = {
            "ewe": self.number, "scanned": self.scanned, "due": self.due, "group": self.heft.name, "mark": self.mark,
            "breed": BREED, "born_year": self.born_year, "lambings_before": self.lambings_before, "scanned_on": SCANNED_ON,
        }
        return {column: value for column, value in row.items() if value is not None}


@cache
def flock() -> tuple[HillEwe, ...]:
    """All numbered ewes. The first figure of a number is the last of the year she was born."""
    dice = chance("ages")
    serials = {year: iter(dice.sample(_SERIALS, len(_SERIALS))) for year in _BORN}
    ewes = []
    for heft in BY_EWE:
        scans = [lambs for lambs, number in heft.scans.items() for _ in range(number)]
        dice.shuffle(scans)
        for scanned in scans:
            (year,) = dice.choices(list(_BORN), list(_BORN.values()))
            ewes.append(HillEwe(f"{year % 10}{next(serials[year]):03d}", heft, year, scanned))
    return tuple(ewes)
