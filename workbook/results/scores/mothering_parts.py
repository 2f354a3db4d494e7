"""The parts of the mothering score: each looks at a few cells and gives shares from 0 (bad) to 1 (good)."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import fmean

from template_builder.layout.choices import MOTHERING_LEVELS, Belly, Choice, Colostrum, NextDay, Taken, Teats, WhyMoved
from template_builder.layout.columns import Value
from template_builder.layout.sides import BOTH_SIDES
from template_builder.layout.words import shown, so_many
from workbook.results.clinical import hers
from workbook.results.clinical.episodes import mastitis
from workbook.results.clinical.looks import place
from workbook.results.clinical.rearing import reared_none
from workbook.results.scores.rearing import Rearing
from workbook.results.statistics.proportions import FEW
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.season import Season

# How good each written value is; what is not named here says nothing about her. House rules.
TAKEN: Mapping[Choice, float] = {Taken.YES: 1.0, Taken.SLOWLY: 0.5, Taken.REFUSED: 0.0}
COLOSTRUM: Mapping[Choice, float] = {Colostrum.PLENTY: 1.0, Colostrum.LITTLE: 0.5, Colostrum.NONE: 0.0}
TEATS: Mapping[Choice, float] = {
    Teats.SOUND: 1.0, Teats.LARGE: 0.5, Teats.SMALL: 0.5, Teats.BLOCKED: 0.0, Teats.DAMAGED: 0.0,
}
NEXT_DAY: Mapping[Choice, float] = {NextDay.ALL_FULL: 1.0, NextDay.ONE_HOLLOW: 0.5, NextDay.HELPED: 0.5}
BELLY: Mapping[Choice, float] = {Belly.FULL: 1.0, Belly.HOLLOW: 0.0}

# The day of the look at bellies, counted from the day the lamb's own ewe lambed.
NEXT = timedelta(days=1)

# A litter this many standard deviations above like ewes has all the points for growth, as far below has none: house rule.
SPREADS = 2.0


@dataclass(frozen=True)
class Shares:
    """Single judgements that make up a part: `values` from 0 to 1, in words, and the cells they rest on."""

    values: tuple[float, ...]
    words: tuple[str, ...]
    cells: tuple[CellRef, ...]

    @property
    def mean(self) -> float | None:
        return fmean(self.values) if self.values else None

    @property
    def reason(self) -> str:
        return ", ".join(dict.fromkeys(self.words))

    def __add__(self, other: "Shares") -> "Shares":
        return Shares(self.values + other.values, self.words + other.words, self.cells + other.cells)


NONE = Shares((), (), ())
REARED_NONE = "reared none, by a fault of hers"


def acceptance(ewe: Ewe) -> Shares:
    """How she behaves with her lambs, and whether she took those she bore alive; the two count alike."""
    took = [(how, _taken_cell(lamb)) for lamb in ewe.born_alive if (how := hers.taken(lamb))]
    if cell := hers.refused_in_a_word(ewe):
        took.append((Taken.REFUSED, cell))
    return _behaviour(ewe.lambing) + _together(
        [TAKEN[how] for how, _ in took], [f"lamb taken: {how.label}" for how, _ in took], [cell for _, cell in took],
    )


def _taken_cell(lamb: Lamb) -> CellRef:
    column = "taken" if lamb.record.choice("taken", Taken) is hers.taken(lamb) else "why_moved"
    return place(lamb.record, column)


def _behaviour(lambing: Record | None) -> Shares:
    level = None if lambing is None else lambing.whole("mothering")
    least, most = MOTHERING_LEVELS[0][0], MOTHERING_LEVELS[-1][0]
    if lambing is None or level is None or not least <= level <= most:
        return NONE
    return Shares(((level - least) / (most - least),), (f"mothering {level}",), (lambing.at("mothering"),))


def milk_and_teats(ewe: Ewe) -> Shares:
    """Sides in milk at lambing and next day, teats, colostrum, each illness of mastitis, each lamb moved for want of her milk.

    All count alike, the last two as none. A lamb moved for mastitis is part of the illness.
    """
    shares = _nought([told[0][0].at(told[0][1]) for told in mastitis(ewe)], "mastitis")
    moved = [lamb for lamb in ewe.lambs if hers.short_of_milk(lamb) and hers.why_moved(lamb) is not WhyMoved.MASTITIS]
    for lamb in moved:
        shares += _nought([lamb.record.at("why_moved")], f"lamb moved: {shown(lamb.record['why_moved'])}")
    if ewe.lambing is None:
        return shares
    for column in ("sides_in_milk", "sides_next_day"):
        shares += _sides(ewe.lambing, column)
    return shares + _listed(ewe.lambing, "teats", TEATS) + _listed(ewe.lambing, "colostrum", COLOSTRUM)


def _nought(cells: list[CellRef], words: str) -> Shares:
    """A judgement of 0 for each cell."""
    return Shares((0.0,) * len(cells), (words,) * len(cells), tuple(cells))


def _sides(lambing: Record, column: str) -> Shares:
    sides = lambing.whole(column)
    if sides is None or not 0 <= sides <= BOTH_SIDES:
        return NONE
    when = " next day" if column == "sides_next_day" else ""
    return Shares((sides / BOTH_SIDES,), (f"{so_many(sides, 'side')} in milk{when}",), (place(lambing, column),))


def _listed(record: Record, column: str, worth: Mapping[Choice, float]) -> Shares:
    value: Value = record[column]
    if not isinstance(value, Choice) or value not in worth:
        return NONE
    return Shares((worth[value],), (f"{column.replace('_', ' ')} {value.label}",), (place(record, column),))


def full_next_day(flock: Flock, ewe: Ewe) -> Shares:
    """The next day's look at her, and the bellies of the lambs that were under her that day; the two count alike.

    A lamb set on later was under its own ewe still. One moved on that very day, or on a day nobody wrote, says nothing.
    """
    look = NONE if ewe.lambing is None else _listed(ewe.lambing, "next_day", NEXT_DAY)
    under = [lamb for lamb in ewe.family if lamb.named and hers.under(lamb, _next_day(flock, lamb)) == ewe.key]
    bellies = [_listed(lamb.record, "belly", BELLY) for lamb in under]
    return look + _together(
        [value for belly in bellies for value in belly.values], [word for belly in bellies for word in belly.words],
        [cell for belly in bellies for cell in belly.cells],
    )


def _next_day(flock: Flock, lamb: Lamb) -> date | None:
    own = flock.ewe(lamb.own_ewe)
    lambed = own.lambed_on if own else None
    return None if lambed in (None, date.max) else lambed + NEXT


def kept_alive(season: Season, ewe: Ewe) -> Shares:
    """Of the live-born lambs she was rearing, those not lost by her own doing; none where she `reared_none_by_fault`.

    A lamb that died or went missing for a reason that is not hers is left out altogether.
    """
    if cells := reared_none_by_fault(season, ewe):
        return Shares((0.0,), (REARED_NONE,), cells)
    lost = [lamb for lamb in hers.with_her(ewe) if hers.lost(ewe, lamb)]
    kept = [lamb for lamb in hers.with_her(ewe) if not lamb.lost]
    if not lost and not kept:
        return NONE
    words = f"{len(kept)} of {len(kept) + len(lost)} lambs kept alive"
    cells = tuple([lamb.record.at("cause") for lamb in lost] or [lamb.record.at("born") for lamb in kept])
    return Shares((len(kept) / (len(kept) + len(lost)),), (words,), cells)


def litter_growth(season: Season, ewe: Ewe, reared: Rearing) -> Shares:
    """Her litter against like ewes: half the points where it is as theirs, all of them two standard deviations above.

    None of them where she `reared_none_by_fault` in a flock whose litters were weighed.
    """
    if reared.comparison.model is not None and (cells := reared_none_by_fault(season, ewe)):
        return Shares((0.0,), (REARED_NONE,), cells)
    against = reared.against(ewe.key)
    if against is None or against.deviation is None or against.spreads is None or against.number < FEW:
        return NONE
    share = min(max((against.spreads + SPREADS) / (2 * SPREADS), 0.0), 1.0)
    return Shares((share,), (f"litter {against.deviation:+.1f} kg against {against.words}",), reared.litters[ewe.key].cells)


def reared_none_by_fault(season: Season, ewe: Ewe) -> tuple[CellRef, ...]:
    """Where it is written, for a ewe that reared none and by whose fault one of her lambs died or had to be taken from her.

    She kept none alive and grew none. Where none of it was her fault there is nothing: her year without a lamb says nothing of
    her as a mother, and both parts are as not recorded.
    """
    if not reared_none(season, ewe):
        return ()
    taken = [lamb for lamb in ewe.born_alive if (why := hers.why_moved(lamb)) and hers.MOVES[why].hers]
    lost = [lamb for lamb in hers.with_her(ewe) if hers.lost(ewe, lamb)]
    return (*(lamb.record.at("why_moved") for lamb in taken), *(lamb.record.at("cause") for lamb in lost))


def _together(values: list[float], words: list[str], cells: Iterable[CellRef]) -> Shares:
    """Several lambs as one judgement."""
    return Shares((fmean(values),), tuple(words), tuple(cells)) if values else NONE
