"""The ewes of the invented farm as they stood at scanning: age, breed, ram, mating day, lambs seen."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from random import Random

from demo_workbooks.simulation.farm import BROW, GESTATION, MEAD, OFFICIAL_START, YEAR, RamGroup, chance

_EWES_BORN = {2019: 10, 2020: 26, 2021: 32, 2022: 34, 2023: 32, 2024: 30, 2025: 16}
_ALWAYS_THERE = {2020: 412}  # a ewe called 0412: her zero must live through every spreadsheet
_SERIALS = range(2, 480)
_OLDER_EWES_AT_MEAD = 27

SHEARLING_BORN, EWE_LAMB_BORN = YEAR - 2, YEAR - 1

# Lambs seen at scanning and how many ewes had so many; None is "not scanned". The averages (1.1 to 1.3 for ewe lambs,
# 1.5 to 1.8 for shearlings) are from memory; about one litter in eight of three or more at a mean of 1.9 agrees with
# Keady's figures, by the farming press. Litters of five and six are rare but occur.
Scans = Mapping[int | None, int]
_MATURE: Scans = {0: 3, 1: 24, 2: 80, 3: 22, 4: 2, 5: 1, 6: 1, None: 1}
_SHEARLINGS: Scans = {0: 1, 1: 10, 2: 17, 3: 1, None: 1}
_EWE_LAMBS: Scans = {0: 2, 1: 11, 2: 3}

# 0.7 of ewes hold at each heat (from memory); a heat every 16 to 17 days: Merck Veterinary Manual.
_CONCEPTION = 0.7
_CYCLE = 17

_MARKS: Mapping[int | None, str | None] = {0: "red stripe", 1: "blue dot", 2: None, 3: "green dot", None: None}
_MARK_OF_MORE = "orange dot"
_CRAYONS = ("yellow", "blue", "red")
_CONDITION_MEAN, _CONDITION_SPREAD, _CONDITION_STEP = 2.9, 0.35, 0.5
_CONDITION_MISSING = 0.05
_LEANEST, _FATTEST = 1.5, 4.0
_LAMBED_AS_EWE_LAMB = 0.4


@dataclass(frozen=True)
class PlannedEwe:
    """One ewe at scanning. `scanned` None is not scanned, 0 empty. `crayon` is the raddle colour she was marked with."""

    number: str
    breed: str
    born_year: int
    lambings_before: int
    group: RamGroup
    ram: str
    mated_on: date
    crayon: str
    scanned: int | None
    condition: float | None

    @property
    def official_tag(self) -> str:
        return f"{OFFICIAL_START}{self.number:0>5}"

    @property
    def mark(self) -> str | None:
        return _MARKS.get(self.scanned, _MARK_OF_MORE)

    @property
    def due(self) -> date | None:
        """Mating day plus the days of gestation; none for an empty ewe."""
        return None if self.scanned == 0 else self.mated_on + timedelta(days=GESTATION)

    @property
    def mature(self) -> bool:
        return self.born_year < SHEARLING_BORN

    @property
    def ewe_lamb(self) -> bool:
        return self.born_year == EWE_LAMB_BORN


@cache
def plan() -> tuple[PlannedEwe, ...]:
    """All ewes that were scanned, by number within year of birth."""
    scans = {
        "mature": _dealt(_MATURE, chance("scans of mature ewes")),
        "shearling": _dealt(_SHEARLINGS, chance("scans of shearlings")),
        "ewe lamb": _dealt(_EWE_LAMBS, chance("scans of ewe lambs")),
    }
    older = [number for year in _EWES_BORN if year < SHEARLING_BORN for number in _numbers(year)]
    at_mead = set(chance("older ewes at Mead").sample(older, _OLDER_EWES_AT_MEAD))
    ewes = []
    for year in _EWES_BORN:
        kind = {SHEARLING_BORN: "shearling", EWE_LAMB_BORN: "ewe lamb"}.get(year, "mature")
        for number in _numbers(year):
            group = MEAD if kind != "mature" or number in at_mead else BROW
            ewes.append(_ewe(number, year, group, scans[kind].pop()))
    return tuple(ewes)


def _numbers(born_year: int) -> list[str]:
    """Numbers whose first figure is the last of the year she was born: 0412 was born in 2020."""
    serials = set(chance("numbers", born_year).sample(_SERIALS, _EWES_BORN[born_year]))
    if (wanted := _ALWAYS_THERE.get(born_year)) and wanted not in serials:
        serials = {wanted, *sorted(serials)[1:]}
    return [f"{born_year % 10}{serial:03d}" for serial in sorted(serials)]


def _dealt(scans: Scans, dice: Random) -> list[int | None]:
    cards = [count for count, ewes in scans.items() for _ in range(ewes)]
    dice.shuffle(cards)
    return cards


def _ewe(number: str, born_year: int, group: RamGroup, scanned: int | None) -> PlannedEwe:
    dice = chance("plan", number)
    mated_on, heat = _mated(dice, group, empty=scanned == 0)
    before = 0 if born_year == EWE_LAMB_BORN else YEAR - born_year - 2 + (dice.random() < _LAMBED_AS_EWE_LAMB)
    score = round(dice.gauss(_CONDITION_MEAN, _CONDITION_SPREAD) / _CONDITION_STEP) * _CONDITION_STEP
    return PlannedEwe(
        number=number,
        breed="Lleyn cross" if group is MEAD else dice.choice(("North Country Mule", "North Country Mule", "Texel cross")),
        born_year=born_year,
        lambings_before=before,
        group=group,
        ram=dice.choice(group.rams),
        mated_on=mated_on,
        crayon=_CRAYONS[heat],
        scanned=scanned,
        condition=None if dice.random() < _CONDITION_MISSING else min(_FATTEST, max(_LEANEST, score)),
    )


def _mated(dice: Random, group: RamGroup, empty: bool) -> tuple[date, int]:
    """Her last marking day, and in which round of heats that was; an empty ewe was marked to the end."""
    days = (group.ram_out - group.ram_in).days
    last = days // _CYCLE
    heat = last if empty else 0
    while heat < last and dice.random() > _CONCEPTION:
        heat += 1
    day = dice.randrange(heat * _CYCLE, min((heat + 1) * _CYCLE, days + 1))
    return group.ram_in + timedelta(days=day), heat
