"""Lambs that changed hands: spares set on to ewes with room, orphans, lambs on the bottle, two bought lambs, lambs sold."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache

from demo_workbooks.simulation.births import Birth, BornLamb, births
from demo_workbooks.simulation.departures import LambGone, ewes_gone, lambs_lost
from demo_workbooks.simulation.farm import TURNOUT, chance
from demo_workbooks.simulation.stories import Story
from template_builder.layout.choices import LambLeft, RearedBy, Sex, Taken, WhyMoved

_DAY_ONE = 1
_MASTITIS_AT = 20
_MOST_ON_A_EWE = 2
_THREE_LEFT_ON = 0.3  # share of older ewes with three live lambs that rear them all
_ROOM_WITHIN = 2  # days after her own lambing that a ewe still takes a strange lamb: common practice, no source
_MOTHER_AND_ROOM_FOUND = 0.75  # a lamb three weeks old, of a ewe with mastitis, always goes on the bottle
_PETS_SOLD, _PET_SOLD_AT = 4, 28
_BOUGHT_TAGS = ("B901", "B902")


@dataclass(frozen=True)
class Move:
    """A lamb moved from the ewe that bore it. `foster_ewe` None is on the bottle."""

    on: date
    why: WhyMoved
    foster_ewe: str | None = None

    @property
    def reared_by(self) -> RearedBy:
        return RearedBy.FOSTER_EWE if self.foster_ewe else RearedBy.PET


@dataclass(frozen=True)
class BoughtLamb:
    """A lamb bought in and set on."""

    tag: str
    sex: Sex
    foster_ewe: str
    on: date


@dataclass(frozen=True)
class Moves:
    """All moves by name of lamb, the bought lambs, and the pets that were sold."""

    moved: Mapping[str, Move]
    bought: tuple[BoughtLamb, ...]
    sold: Mapping[str, LambGone]


@cache
def moves() -> Moves:
    """Who rears whom, worked out in the order of the days."""
    there = _Shed()
    bought = []
    for tag in _BOUGHT_TAGS:
        if (birth := there.bereft()) is not None:
            on = birth.day + timedelta(days=_DAY_ONE)
            bought.append(BoughtLamb(tag, chance("bought", tag).choice((Sex.EWE, Sex.RAM)), birth.ewe.number, on))
    moved: dict[str, Move] = {}
    for lamb, move in sorted(_leaving_their_ewes(), key=lambda each: (each[1].on, each[0].name)):
        new = move.why is not WhyMoved.MASTITIS
        room = new and chance("room", lamb.name).random() < _MOTHER_AND_ROOM_FOUND
        moved[lamb.name] = replace(move, foster_ewe=there.ewe_with_room(lamb, move.on) if room else None)
    return Moves(moved, tuple(bought), _sold(moved))


def _leaving_their_ewes() -> Iterable[tuple[BornLamb, Move]]:
    for birth in births():
        first_day = birth.day + timedelta(days=_DAY_ONE)
        match birth.story:
            case Story.DIES_WITH_LAMBS:
                day = ewes_gone()[birth.ewe.number].on
                yield from ((lamb, Move(day, WhyMoved.EWE_DIED)) for lamb in _alive(birth, day))
            case Story.REFUSES:
                refused = [lamb for lamb in _alive(birth, first_day) if lamb.taken is Taken.REFUSED]
                yield from ((lamb, Move(first_day, WhyMoved.REFUSED)) for lamb in refused)
            case Story.SIDE_DRY:
                yield from ((lamb, Move(first_day, WhyMoved.NO_MILK)) for lamb in _alive(birth, first_day)[1:])
            case Story.MASTITIS:
                day = birth.day + timedelta(days=_MASTITIS_AT)
                yield from ((lamb, Move(day, WhyMoved.MASTITIS)) for lamb in _alive(birth, day)[:1])
            case _:
                yield from ((lamb, Move(first_day, WhyMoved.SPARE)) for lamb in _spares(birth, first_day))


def _alive(birth: Birth, day: date) -> list[BornLamb]:
    """Her lambs that live past the day after `day`."""
    lost = lambs_lost()
    return [lamb for lamb in birth.alive if lamb.name not in lost or lost[lamb.name].on > day + timedelta(days=1)]


def _spares(birth: Birth, day: date) -> list[BornLamb]:
    lambs = _alive(birth, day)
    if len(lambs) == _MOST_ON_A_EWE + 1 and birth.ewe.mature and chance("three", birth.ewe.number).random() < _THREE_LEFT_ON:
        return []
    # The odd one goes: two of a size stay together (common practice, no source).
    by_size = sorted(lambs, key=lambda lamb: lamb.kg or 0)
    return by_size[_MOST_ON_A_EWE:]


class _Shed:
    """The ewes in the pens and how many lambs each has been given."""

    def __init__(self) -> None:
        self._given: Counter[str] = Counter()
        # No strange lamb goes to a ewe with a trouble of her own, above all not to one that aborted.
        self._sound = [birth for birth in births() if birth.story is None and birth.ewe.mature]

    def ewe_with_room(self, lamb: BornLamb, day: date) -> str | None:
        """A sound ewe that has lambed within the last days and rears none or one; the emptiest first."""
        fit = [birth for birth in self._sound if self._has_room(birth, day) and birth.ewe.number != lamb.ewe]
        if not fit:
            return None
        best = min(fit, key=lambda birth: (len(_alive(birth, day)), birth.ewe.number))
        self._given[best.ewe.number] += 1
        return best.ewe.number

    def _has_room(self, birth: Birth, day: date) -> bool:
        lately = 0 <= (day - birth.day).days <= _ROOM_WITHIN
        return lately and len(birth.lambs) <= _MOST_ON_A_EWE and self._lambs_of(birth, day) < _MOST_ON_A_EWE

    def _lambs_of(self, birth: Birth, day: date) -> int:
        own = max(len(_alive(birth, day)), 1 if any(lamb.alive for lamb in birth.lambs) else 0)
        return own + self._given[birth.ewe.number]

    def bereft(self) -> Birth | None:
        """The first ewe whose lambs were all born dead and that has been given none, else the first with a single."""
        for most in (0, 1):
            for birth in self._sound:
                if len(birth.alive) == most == len(_alive(birth, birth.day)) and not self._given[birth.ewe.number]:
                    self._given[birth.ewe.number] += 1
                    return birth
        return None


def _sold(moved: Mapping[str, Move]) -> dict[str, LambGone]:
    """The first pets that were sold as such, four weeks on the bottle and before turnout."""
    sold: dict[str, LambGone] = {}
    for name, move in moved.items():
        day = move.on + timedelta(days=_PET_SOLD_AT)
        if move.foster_ewe is None and name not in lambs_lost() and day < TURNOUT and len(sold) < _PETS_SOLD:
            sold[name] = LambGone(day, LambLeft.SOLD)
    return sold
