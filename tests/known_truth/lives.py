"""What happens to a flock, every ewe and lamb of it: drawn from chances that are written here, so that the truth is known."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

RAM_IN = date(2025, 10, 10)
MARKING, WEANING = date(2026, 5, 5), date(2026, 6, 20)
GESTATION, TURNOUT_AGE = 147, 7  # days
WEANED_AGE = 90  # days: the age that weights are told for, as Season has it unless set otherwise
RAMS, GROUPS = ("R1", "R2", "R3", "R4", "R5"), ("Hill", "Low", "Park")

SIZES = {True: (0.55, 0.42, 0.03), False: (0.25, 0.57, 0.18)}  # 1, 2, 3 lambs, at a first lambing and later
EMPTY = {True: 0.10, False: 0.04}
NOT_SCANNED, SCAN_OUT, EMPTY_MISSED, IN_LAMB_MISSED = 0.05, 0.07, 0.15, 0.01
EMPTY_KEPT = 0.6
ABORTS, DIES_IN_LAMB, DIES_LATER = 0.025, 0.012, 0.02
HELPED = {1: 0.15, 2: 0.12, 3: 0.25}
BORN_DEAD = {1: 0.04, 2: 0.05, 3: 0.10}
LOST = {1: 0.07, 2: 0.11, 3: 0.20}
FIRST_TIMES, HELPED_TIMES, LIGHT_TIMES, MOST = 1.4, 1.5, 2.0, 0.9
LIGHT = 3.0  # kg at birth
# Ewes differ: their chances of a loss are spread as a gamma of this shape, mean 1, so that litter mates are alike.
FRAILTY = 1.5
STAGES = (("day of birth or next day", 0.55), ("to turnout", 0.15), ("to marking", 0.17), ("to weaning", 0.13))
PET = 0.35  # of one lamb of three living ones

# Kilograms at 90 days.
KG, MALE, BY_SIZE, FIRST_KG = 32.0, 2.6, {1: 0.0, 2: -4.0, 3: -6.0}, -2.5
RAM_KG = dict(zip(RAMS, (0.0, 0.8, -0.8, 1.2, -1.2), strict=True))
HERS, THIS_YEAR, OWN = 1.3, 1.0, 2.0  # standard deviations of a ewe, her season, a lamb


@dataclass
class LambLife:
    """One lamb born. `lost` is the stage in which it was lost, "" for one weaned; `gone` the day."""

    male: bool
    alive: bool
    birth_kg: float
    kg: float
    lost: str = ""
    gone: date | None = None
    pet: bool = False


@dataclass
class EweLife:
    """One ewe that went to the ram. `carried` lambs, nought when empty; `scanned` None where nobody scanned her."""

    number: int
    first: bool
    ram: str
    group: str
    hers: float
    carried: int
    scanned: int | None
    mated: date
    lambed: date
    mating_kg: float
    aborts: bool = False
    dies: date | None = None
    sold: bool = False
    helped: bool = False
    lambs: list[LambLife] = field(default_factory=list)

    @property
    def has_lambed(self) -> bool:
        return bool(self.lambs)

    @property
    def live(self) -> list[LambLife]:
        return [lamb for lamb in self.lambs if lamb.alive]


def flock(dice: Random, ewes: int) -> list[EweLife]:
    return [_ewe(dice, number) for number in range(ewes)]


def _ewe(dice: Random, number: int) -> EweLife:
    first = dice.random() < 0.25
    mated = RAM_IN + timedelta(days=dice.randrange(17))
    carried = 0 if dice.random() < EMPTY[first] else dice.choices((1, 2, 3), SIZES[first])[0]
    ewe = EweLife(
        number, first, dice.choice(RAMS), GROUPS[number % len(GROUPS)], dice.gauss(0, HERS), carried, _scan(dice, carried),
        mated, mated + timedelta(days=GESTATION + round(dice.gauss(0, 1.5))), dice.gauss(70, 6))
    if ewe.scanned == 0 and dice.random() >= EMPTY_KEPT:
        ewe.sold = True
    elif carried and dice.random() < ABORTS:
        ewe.aborts = True
    elif carried and dice.random() < DIES_IN_LAMB:
        ewe.dies = ewe.lambed - timedelta(days=10)
    elif carried:
        _lambs(dice, ewe)
    return ewe


def _scan(dice: Random, carried: int) -> int | None:
    if dice.random() < NOT_SCANNED:
        return None
    if not carried:
        return int(dice.random() < EMPTY_MISSED)
    if dice.random() < IN_LAMB_MISSED:
        return 0
    return max(1, carried + dice.choice((-1, 1))) if dice.random() < SCAN_OUT else carried


def _lambs(dice: Random, ewe: EweLife) -> None:
    size, frail, season = ewe.carried, dice.gammavariate(FRAILTY, 1 / FRAILTY), dice.gauss(0, THIS_YEAR)
    ewe.helped = dice.random() < HELPED[size] + 0.1 * ewe.first
    for _ in range(size):
        male = dice.random() < 0.5
        birth = dice.gauss(5.4 - 0.8 * size, 0.6)
        kg = (KG + MALE * male + BY_SIZE[size] + FIRST_KG * ewe.first + RAM_KG[ewe.ram] + ewe.hers + season + dice.gauss(0, OWN))
        ewe.lambs.append(LambLife(male, dice.random() >= min(MOST, BORN_DEAD[size] * frail), birth, kg))
    for lamb in ewe.live:
        chance = LOST[size] * frail * (FIRST_TIMES if ewe.first else 1) * (HELPED_TIMES if ewe.helped else 1)
        if dice.random() < min(MOST, chance * (LIGHT_TIMES if lamb.birth_kg < LIGHT else 1)):
            _lose(dice, ewe, lamb)
    left = [lamb for lamb in ewe.live if not lamb.lost]
    if len(left) == 3 and dice.random() < PET:
        left[0].pet = True
    if dice.random() < DIES_LATER:
        ewe.dies = ewe.lambed + timedelta(days=3)
        for lamb in left:
            lamb.pet = True


def _lose(dice: Random, ewe: EweLife, lamb: LambLife) -> None:
    """A stage of life and a day in it."""
    names, shares = zip(*STAGES, strict=True)
    lamb.lost = dice.choices(names, shares)[0]
    out = ewe.lambed + timedelta(days=TURNOUT_AGE)
    first, last = {
        names[0]: (ewe.lambed, ewe.lambed + timedelta(days=1)), names[1]: (ewe.lambed + timedelta(days=2), out),
        names[2]: (out + timedelta(days=1), MARKING), names[3]: (MARKING + timedelta(days=1), WEANING),
    }[lamb.lost]
    lamb.gone = first + timedelta(days=dice.randrange((last - first).days + 1))


def lambs_of(ewes: Sequence[EweLife]) -> list[tuple[EweLife, LambLife]]:
    return [(ewe, lamb) for ewe in ewes for lamb in ewe.lambs]
