"""Which ewes have a story this season: prolapse, a side dry, a caesarean ... Each story is cast once, by the same dice."""

from collections.abc import Callable, Mapping
from datetime import date
from enum import Enum, auto
from functools import cache
from typing import NamedTuple

from demo_workbooks.simulation.farm import chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan


class Story(Enum):
    """What happens to a ewe beyond an ordinary lambing."""

    SOLD_EMPTY = auto()
    DIES_BEFORE_LAMBING = auto()
    ABORTS = auto()
    DIES_WITH_LAMBS = auto()
    CAESAREAN = auto()
    VAGINAL_PROLAPSE = auto()
    WOMB_PROLAPSE = auto()
    SIDE_DRY = auto()
    SIDE_SLOW = auto()
    NO_COLOSTRUM = auto()
    LARGE_TEATS = auto()
    DAMAGED_TEAT = auto()
    REFUSES = auto()
    MASTITIS = auto()
    NARROW = auto()
    VET_HELPED = auto()
    MUMMY = auto()
    LAME_AGAIN = auto()
    BADLY_LAME = auto()
    LUMP = auto()
    NO_LOOK_NEXT_DAY = auto()


_EARLY = date(2025, 11, 5)  # mated by this day: her lambs are three weeks old well before turnout


class _Part(NamedTuple):
    story: Story
    ewes: int
    suits: Callable[[PlannedEwe], bool]


def _scanned(*counts: int) -> Callable[[PlannedEwe], bool]:
    return lambda ewe: ewe.mature and ewe.scanned in counts


def _early(*counts: int) -> Callable[[PlannedEwe], bool]:
    return lambda ewe: ewe.mature and ewe.scanned in counts and ewe.mated_on <= _EARLY


# How often: prolapse about one ewe in a hundred (Jackson and others 2014, NZ Vet J), acute mastitis 2 to 3 % a year
# (Grant, Smith and Green 2016, by a veterinary review); ewe deaths about 4 % a year (Hansard, 19 January 1994), fewer
# here because the season is short of a year; abortion kept below the 2 % at which a vet is called. The rest: common
# practice, no source.
_PARTS = (
    _Part(Story.SOLD_EMPTY, 2, _scanned(0)),
    _Part(Story.DIES_BEFORE_LAMBING, 1, _scanned(2)),
    _Part(Story.ABORTS, 1, lambda ewe: not ewe.mature and ewe.scanned == 2),
    _Part(Story.DIES_WITH_LAMBS, 1, _early(3)),
    _Part(Story.CAESAREAN, 1, lambda ewe: ewe.ewe_lamb and ewe.scanned == 1),
    _Part(Story.VAGINAL_PROLAPSE, 1, _scanned(3)),
    _Part(Story.WOMB_PROLAPSE, 1, _scanned(1)),
    _Part(Story.SIDE_DRY, 2, _scanned(2)),
    _Part(Story.SIDE_SLOW, 1, _scanned(2)),
    _Part(Story.NO_COLOSTRUM, 2, lambda ewe: ewe.scanned == 2),
    _Part(Story.LARGE_TEATS, 4, _scanned(2)),
    _Part(Story.DAMAGED_TEAT, 1, _scanned(1, 2)),
    _Part(Story.REFUSES, 1, lambda ewe: ewe.ewe_lamb and ewe.scanned == 1),
    _Part(Story.REFUSES, 2, _scanned(2)),
    _Part(Story.MASTITIS, 3, _early(2)),
    _Part(Story.NARROW, 2, lambda ewe: not ewe.mature and ewe.scanned == 1),
    _Part(Story.VET_HELPED, 1, _scanned(2)),
    _Part(Story.MUMMY, 1, _scanned(3)),
    _Part(Story.LARGE_TEATS, 1, _scanned(2)),
    _Part(Story.LAME_AGAIN, 2, _scanned(1, 2)),
    _Part(Story.BADLY_LAME, 1, _scanned(1, 2)),
    _Part(Story.LUMP, 4, _scanned(1, 2, 3)),
    _Part(Story.NO_LOOK_NEXT_DAY, 6, _scanned(1, 2)),
)


@cache
def stories() -> Mapping[str, Story]:
    """The story of each ewe that has one, by her number; no ewe has two."""
    cast: dict[str, Story] = {}
    for at, part in enumerate(_PARTS):
        fitting = [ewe.number for ewe in plan() if part.suits(ewe) and ewe.number not in cast]
        for number in chance("story", at).sample(fitting, part.ewes):
            cast[number] = part.story
    return cast
