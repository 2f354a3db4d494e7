"""What happened at each lambing: the day, the help, the lambs, the ewe's milk and her liking for them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from random import Random

from demo_workbooks.simulation.farm import GESTATION, chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan
from demo_workbooks.simulation.risks import birth_weight, born_dead_risk
from demo_workbooks.simulation.stories import Story, stories
from template_builder.layout.choices import (
    Born,
    Colostrum,
    Help,
    Presentation,
    Prolapse,
    Sex,
    Sucked,
    Taken,
    Teats,
    Vigour,
    WhyHelped,
)

# Singles are carried about two days longer than twins, triplets about a day shorter (a study of 1,291 hair sheep);
# two days between ewes: from memory.
_LONGER = {1: 1.0, 2: 0.0}
_LONGER_LARGE = -1.0
_DAYS_SPREAD, _MOST_OFF = 2.0, 5
_ABORTED_AT = 118  # days after mating

# Share of ewes helped, 5 to 25 % in commercial flocks: from memory.
_HELPED = {1: 0.14, 2: 0.11}
_HELPED_LARGE, _HELPED_YOUNG = 0.22, 0.08
_WHY = {WhyHelped.LAY_WRONG: 10, WhyHelped.LARGE_LAMB: 3, WhyHelped.SLOW: 4, WhyHelped.DEAD_LAMB: 1}
_LARGE_FROM = {1: 5.6, 2: 4.9}
_HARD = 0.35
_WRONG = {
    Presentation.LEG_BACK: 9, Presentation.LEGS_BACK: 3, Presentation.HEAD_BACK: 3, Presentation.HEAD_ONLY: 2,
    Presentation.ELBOWS: 2, Presentation.HIND_LEGS: 6, Presentation.BREECH: 3, Presentation.ACROSS: 1,
}
_STORY_HELP = {
    Story.CAESAREAN: (Help.CAESAREAN, WhyHelped.NARROW), Story.NARROW: (Help.HARD, WhyHelped.NARROW),
    Story.VET_HELPED: (Help.VET, WhyHelped.LAY_WRONG), Story.WOMB_PROLAPSE: (Help.HARD, WhyHelped.LARGE_LAMB),
    Story.VAGINAL_PROLAPSE: (Help.LIGHT, WhyHelped.SLOW),
}
_DECAYED = 0.2  # of the lambs born dead
_FRAIL, _FRAIL_HARD, _FRAIL_LARGE = 0.06, 0.3, 0.25  # share slow or weak; more after hard help and in large litters

# Older ewes and larger litters score a little higher: O'Connor and others 1985, Proc NZ Soc Anim Prod 45.
_LIKING, _LIKING_SPREAD = 4.3, 0.6
_LIKING_YOUNG, _LIKING_EWE_LAMB, _LIKING_A_LAMB = -0.5, -0.4, 0.1
_LITTLE_COLOSTRUM, _LITTLE_COLOSTRUM_YOUNG = 0.08, 0.2
_LITTERS_NOT_SCANNED = (1, 2, 2)


@dataclass(frozen=True)
class BornLamb:
    """A lamb as it came. `kg` None was not weighed; vigour, sucked and taken are None for a lamb born dead."""

    ewe: str
    number: int
    sex: Sex
    born: Born
    kg: float | None
    presentation: Presentation = Presentation.NORMAL
    helped: bool = False
    vigour: Vigour | None = None
    sucked: Sucked | None = None
    taken: Taken | None = None

    @property
    def name(self) -> str:
        return f"{self.ewe}-{self.number}"

    @property
    def alive(self) -> bool:
        return self.born is Born.ALIVE


@dataclass(frozen=True)
class Birth:
    """One ewe's lambing, or her abortion."""

    ewe: PlannedEwe
    story: Story | None
    day: date
    lambs: tuple[BornLamb, ...]
    help: Help = Help.NONE
    why: WhyHelped | None = None
    mothering: int | None = None
    colostrum: Colostrum = Colostrum.PLENTY
    sides: int = 2
    sides_next_day: int = 2
    teats: Teats = Teats.SOUND
    prolapse: Prolapse = Prolapse.NONE

    @property
    def aborted(self) -> bool:
        return self.story is Story.ABORTS

    @property
    def alive(self) -> tuple[BornLamb, ...]:
        return tuple(lamb for lamb in self.lambs if lamb.alive)


@cache
def births() -> tuple[Birth, ...]:
    """Every lambing and the one abortion, by day."""
    not_lambing = (Story.SOLD_EMPTY, Story.DIES_BEFORE_LAMBING)
    found = [
        _birth(ewe, stories().get(ewe.number)) for ewe in plan()
        if ewe.scanned != 0 and stories().get(ewe.number) not in not_lambing
    ]
    return tuple(sorted(found, key=lambda birth: (birth.day, birth.ewe.number)))


def _birth(ewe: PlannedEwe, story: Story | None) -> Birth:
    dice = chance("birth", ewe.number)
    litter = dice.choice(_LITTERS_NOT_SCANNED) if ewe.scanned is None else ewe.scanned
    if story is Story.ABORTS:
        lambs = tuple(BornLamb(ewe.number, n, dice.choice((Sex.EWE, Sex.RAM)), Born.ABORTED, None) for n in range(1, litter + 1))
        return Birth(ewe, story, ewe.mated_on + timedelta(days=_ABORTED_AT), lambs)
    off = dice.gauss(_LONGER.get(litter, _LONGER_LARGE), _DAYS_SPREAD)
    day = ewe.mated_on + timedelta(days=GESTATION + round(min(_MOST_OFF, max(-_MOST_OFF, off))))
    lambs = _litter(ewe, litter, story is Story.MUMMY, dice)
    help, why = _help(ewe, story, lambs, dice)
    lambs = _helped_into_the_world(lambs, help, why, dice)
    lambs = tuple(_fate(lamb, litter, help, why, story, dice) for lamb in lambs)
    return _ewe_at_birth(Birth(ewe, story, day, lambs, help, why), dice)


def _litter(ewe: PlannedEwe, litter: int, mummy: bool, dice: Random) -> tuple[BornLamb, ...]:
    coming = litter - mummy
    lambs = []
    for number in range(1, litter + 1):
        sex = dice.choice((Sex.EWE, ewe.group.sons))
        kg = birth_weight(dice, litter, coming, sex, ewe.ewe_lamb)
        lambs.append(BornLamb(ewe.number, number, sex, Born.ALIVE, kg))
    if mummy:
        lambs[-1] = replace(lambs[-1], born=Born.MUMMIFIED, kg=None)
    return tuple(lambs)


def _help(ewe: PlannedEwe, story: Story | None, lambs: Sequence[BornLamb], dice: Random) -> tuple[Help, WhyHelped | None]:
    if story in _STORY_HELP:
        return _STORY_HELP[story]
    if dice.random() > _HELPED.get(len(lambs), _HELPED_LARGE) + _HELPED_YOUNG * (not ewe.mature):
        return Help.NONE, None
    (why,) = dice.choices(list(_WHY), list(_WHY.values()))
    if why is WhyHelped.LARGE_LAMB and max(lamb.kg or 0 for lamb in lambs) < _LARGE_FROM.get(len(lambs), float("inf")):
        why = WhyHelped.LAY_WRONG
    return (Help.HARD if dice.random() < _HARD else Help.LIGHT), why


def _helped_into_the_world(
    lambs: tuple[BornLamb, ...], help: Help, why: WhyHelped | None, dice: Random,
) -> tuple[BornLamb, ...]:
    """The same lambs, those that were helped marked so, and how the awkward one lay."""
    coming = [lamb for lamb in lambs if lamb.born is not Born.MUMMIFIED]
    if help is Help.NONE or why is None:
        return lambs
    if why in (WhyHelped.SLOW, WhyHelped.NARROW):
        return tuple(replace(lamb, helped=lamb in coming) for lamb in lambs)
    awkward = max(coming, key=lambda lamb: lamb.kg or 0) if why is WhyHelped.LARGE_LAMB else dice.choice(coming)
    lay = Presentation.NORMAL
    if why is WhyHelped.LARGE_LAMB:
        lay = Presentation.LARGE
    elif why is WhyHelped.LAY_WRONG:
        (lay,) = dice.choices(list(_WRONG), list(_WRONG.values()))
    return tuple(replace(lamb, helped=True, presentation=lay) if lamb is awkward else lamb for lamb in lambs)


def _fate(
    lamb: BornLamb, litter: int, help: Help, why: WhyHelped | None, story: Story | None, dice: Random,
) -> BornLamb:
    """Alive or dead; and for a lamb alive its vigour and first milk."""
    if lamb.born is Born.MUMMIFIED:
        return replace(lamb, presentation=Presentation.NOT_SEEN)
    hard = lamb.helped and help is not Help.LIGHT
    dead = dice.random() < born_dead_risk(lamb.kg or 0, litter, hard)
    decayed = dice.random() < _DECAYED
    if dead or story is Story.CAESAREAN or (lamb.helped and why is WhyHelped.DEAD_LAMB):
        born = Born.DEAD_DECAYED if decayed and story is not Story.CAESAREAN else Born.DEAD_FRESH
        lay = Presentation.NOT_SEEN if help is Help.NONE else lamb.presentation
        return replace(lamb, born=born, presentation=lay)
    frail = _FRAIL + _FRAIL_HARD * hard + _FRAIL_LARGE * (litter > max(_HELPED))
    vigour = Vigour.STRONG if dice.random() > frail else dice.choice((Vigour.SLOW, Vigour.SLOW, Vigour.WEAK))
    sucked = Sucked.ALONE
    if vigour is not Vigour.STRONG:
        sucked = Sucked.TUBED if vigour is Vigour.WEAK else dice.choice((Sucked.HELPED, Sucked.ALONE))
    return replace(lamb, vigour=vigour, sucked=sucked, taken=Taken.YES)


def _ewe_at_birth(birth: Birth, dice: Random) -> Birth:
    """The ewe's side: liking for her lambs, milk, teats, and what her story adds."""
    young = not birth.ewe.mature
    liking = _LIKING + _LIKING_YOUNG * young + _LIKING_EWE_LAMB * birth.ewe.ewe_lamb + _LIKING_A_LAMB * len(birth.lambs)
    mothering = min(5, max(2, round(dice.gauss(liking, _LIKING_SPREAD))))
    little = dice.random() < (_LITTLE_COLOSTRUM_YOUNG if young else _LITTLE_COLOSTRUM)
    birth = replace(birth, mothering=mothering, colostrum=Colostrum.LITTLE if little else Colostrum.PLENTY)
    match birth.story:
        case Story.VAGINAL_PROLAPSE:
            birth = replace(birth, prolapse=Prolapse.VAGINAL)
        case Story.WOMB_PROLAPSE:
            birth = replace(birth, prolapse=Prolapse.WOMB)
        case Story.SIDE_DRY:
            birth = replace(birth, sides=1, sides_next_day=1)
        case Story.SIDE_SLOW:
            birth = replace(birth, sides=1)
        case Story.LARGE_TEATS:
            birth = _with_first(replace(birth, teats=Teats.LARGE), sucked=Sucked.HELPED)
        case Story.DAMAGED_TEAT:
            birth = replace(birth, teats=Teats.DAMAGED)
        case Story.NO_COLOSTRUM:
            birth = replace(birth, colostrum=Colostrum.NONE, lambs=tuple(_tubed(lamb) for lamb in birth.lambs))
        case Story.REFUSES:
            birth = _with_first(replace(birth, mothering=1), taken=Taken.REFUSED)
    if not any(lamb.alive for lamb in birth.lambs):
        birth = replace(birth, mothering=None)
    return birth


def _with_first(birth: Birth, sucked: Sucked | None = None, taken: Taken | None = None) -> Birth:
    """The same lambing, where the first live lamb sucked or was taken otherwise."""
    first = next(iter(birth.alive), None)
    return replace(birth, lambs=tuple(
        replace(lamb, sucked=sucked or lamb.sucked, taken=taken or lamb.taken) if lamb is first else lamb for lamb in birth.lambs
    ))


def _tubed(lamb: BornLamb) -> BornLamb:
    return replace(lamb, sucked=Sucked.TUBED) if lamb.alive else lamb
