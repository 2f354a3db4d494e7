"""What became of each numbered ewe at lambing, and of each of her lambs, seen or unseen."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from random import Random

from demo_workbooks.simulation.hill.farm import GESTATION, MARKING, RAM_IN, RAM_OUT, WEANING, chance
from demo_workbooks.simulation.hill.flock import HillEwe, flock
from template_builder.layout.choices import Born, Cause, EweLeft, Help, WhyHelped

# 0.7 of ewes hold at each heat (from memory); a heat every 16 to 17 days: Merck Veterinary Manual.
_CONCEPTION, _CYCLE = 0.7, 17
# Born dead: 3.3 to 4.7 % of lambs, Norwegian registry (Holmoy and Waage 2015). To about six weeks 6 to 14 % of hill singles
# of grown ewes: Gunn and Robinson 1963. Twins more, and later losses: judgement.
_BORN_DEAD = 0.035
_LOST_TO_MARKING = {1: 0.09, 2: 0.15, 3: 0.25}
_LOST_TO_WEANING = 0.035
_FOUND = 0.35  # share of lambs lost by marking that somebody found and wrote down
_FIRST_DAYS = 10  # most early losses fall in the first days
# Causes as a shepherd sees them in the field; about one in four stays without, as in post-mortem series by summary.
_CAUSES = {Cause.STARVED: 5, Cause.PREDATOR: 2, Cause.HARD_BIRTH: 1, Cause.ACCIDENT: 1, Cause.NOT_KNOWN: 3}
# Help given to hill ewes: under the 5 to 25 % of commercial flocks (from memory), as few are seen at lambing.
_HELPED, _HARD = 0.045, 0.3
_DAY_SEEN = 0.85
# Deaths of ewes: about 4 % a year in Britain (Hansard, 19 January 1994), two-thirds about lambing (Ridler and others 2024).
_DIED = {"before": 4, "at lambing": 5, "after weaning": 4, "missing": 3}
_ABORTED_ON = {"aborts": date(2026, 3, 4), "aborts later": date(2026, 3, 27)}
_EARLIEST, _LATEST = 139, 156  # days after the rams went in and out between which they lamb


@dataclass(frozen=True)
class HillLamb:
    """A lamb. `gone` is the day it was lost, whether anyone knows or not; `cause` stands where it was found dead."""

    born: Born
    gone: date | None = None
    cause: Cause | None = None


@dataclass(frozen=True)
class Outcome:
    """A ewe's season: the day she lambed (None where not), whether that day was seen, her lambs, how she left."""

    ewe: HillEwe
    lambed_on: date | None = None
    day_seen: bool = True
    lambs: tuple[HillLamb, ...] = ()
    help: Help | None = None
    why_helped: WhyHelped | None = None
    aborted_on: date | None = None
    left_on: date | None = None
    left_how: EweLeft | None = None
    orphans: bool = False

    @property
    def written_by_lamb(self) -> bool:
        """Whether her lambs have rows: only where somebody saw what became of one of them."""
        return self.orphans or any(lamb.cause for lamb in self.lambs)

    def there(self, day: date) -> bool:
        """Whether she is still here at the end of a day."""
        return self.left_on is None or self.left_on > day


@cache
def outcomes() -> tuple[Outcome, ...]:
    """The season of every numbered ewe, in the order of the flock."""
    stories = _stories()
    return tuple(_outcome(ewe, stories.get(ewe.number, "")) for ewe in flock())


def _stories() -> Mapping[str, str]:
    """The ewes something out of the ordinary happens to."""
    in_lamb = [ewe.number for ewe in flock() if ewe.scanned == 1]
    stories = [story for story, ewes in {**_DIED, **dict.fromkeys(_ABORTED_ON, 1)}.items() for _ in range(ewes)]
    return dict(zip(chance("stories").sample(in_lamb, len(stories)), stories, strict=True))


def _outcome(ewe: HillEwe, story: str) -> Outcome:
    dice = chance("lambing", ewe.number)
    if not ewe.scanned:
        return Outcome(ewe)
    day = _day(dice)
    if story == "before":
        return Outcome(ewe, left_on=day - timedelta(days=dice.randint(4, 30)), left_how=EweLeft.DIED)
    if story in _ABORTED_ON:
        return Outcome(ewe, aborted_on=_ABORTED_ON[story])
    lambs = tuple(_lamb(dice, ewe.scanned, day) for _ in range(ewe.scanned))
    help, why = _help(dice)
    seen = dice.random() < _DAY_SEEN or bool(story) or help is not Help.NONE
    if story == "at lambing":
        return Outcome(ewe, day, True, tuple(HillLamb(Born.ALIVE) for _ in lambs), Help.HARD, WhyHelped.LARGE_LAMB,
                       left_on=day + timedelta(days=1), left_how=EweLeft.DIED, orphans=True)
    if story == "after weaning":
        return Outcome(ewe, day, seen, lambs, help, why, left_on=WEANING + timedelta(days=dice.randint(5, 35)),
                       left_how=EweLeft.DIED)
    if story == "missing":
        return Outcome(ewe, day, seen, lambs, help, why, left_on=WEANING, left_how=EweLeft.MISSING)
    return Outcome(ewe, day, seen or any(lamb.cause for lamb in lambs), lambs, help, why)


def _day(dice: Random) -> date:
    heat, days = 0, (RAM_OUT - RAM_IN).days
    while heat < days // _CYCLE and dice.random() > _CONCEPTION:
        heat += 1
    mated = RAM_IN + timedelta(days=min(days, heat * _CYCLE + dice.randrange(_CYCLE)))
    return mated + timedelta(days=min(_LATEST, max(_EARLIEST, round(dice.gauss(GESTATION, 2)))))


def _lamb(dice: Random, litter: int, born_on: date) -> HillLamb:
    if dice.random() < _BORN_DEAD:
        return HillLamb(Born.DEAD_FRESH)
    if dice.random() < _LOST_TO_MARKING[litter]:
        found = dice.random() < _FOUND
        last = min(_FIRST_DAYS, (MARKING - born_on).days - 1)
        (cause,) = dice.choices(list(_CAUSES), list(_CAUSES.values()))
        return HillLamb(Born.ALIVE, born_on + timedelta(days=dice.randint(1, last)), cause if found else None)
    if dice.random() < _LOST_TO_WEANING:
        return HillLamb(Born.ALIVE, MARKING + timedelta(days=dice.randint(2, (WEANING - MARKING).days - 1)))
    return HillLamb(Born.ALIVE)


def _help(dice: Random) -> tuple[Help, WhyHelped | None]:
    if dice.random() >= _HELPED:
        return Help.NONE, None
    why = dice.choice((WhyHelped.LAY_WRONG, WhyHelped.LARGE_LAMB, WhyHelped.LARGE_LAMB, WhyHelped.NARROW))
    return (Help.HARD if dice.random() < _HARD else Help.LIGHT), why
