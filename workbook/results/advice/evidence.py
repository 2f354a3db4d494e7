"""One number for each evidence of the selection rules, from the clinical reading of a ewe, with its cells."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from template_builder.layout.choices import (
    Choice,
    Colostrum,
    Feet,
    Help,
    HowRecorded,
    Mouth,
    Prolapse,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Value
from template_builder.layout.sides import A_SIDE_DRY, dry_sides
from workbook.results.advice.empties import Chance, chance
from workbook.results.advice.poor import poor_of_three
from workbook.results.clinical import episodes, hers
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.looks import Look, bad_in_a_word, is_later, last_look, looks, place
from workbook.results.clinical.rearing import reared_none
from workbook.results.scores.rearing import rearing
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Lamb
from workbook.season.mating import group_of, groups, last_possible_day
from workbook.season.season import Season


class Seen(NamedTuple):
    """The number, None where nothing was recorded that bears on it, and the cells: those that count, else those looked at.

    `at_mating`: it is of the look before mating. `words` say more of it than the number does.
    """

    value: float | None
    cells: tuple[CellRef, ...] = ()
    at_mating: bool = False
    words: str = ""


Told = tuple[Record, str]  # a record and the column that says so
Looker = Callable[[Season, Ewe], Seen]

NOTHING = Seen(None)

# Below this condition (0 to 5) a ewe is thin on any day after lambing; from memory, usual targets are 2 and more.
THIN_BELOW = 2.0

# So many looks in a row say that it does not mend: house rule.
LOOKS_IN_A_ROW = 2

NOT_SOUND_TEETH = (Mouth.BROKEN, Mouth.GUMMER)


def evidence(season: Season, ewe: Ewe) -> Mapping[str, Seen]:
    """All evidence about one ewe by id, in the order of Policy."""
    return {id: look(season, ewe) for id, look in LOOKERS.items()}


def _at_lambing(ewe: Ewe, column: str) -> list[Told]:
    return [(ewe.lambing, column)] if ewe.lambing else []


def _known(told: Iterable[Told]) -> list[Told]:
    return [(record, column) for record, column in told if record[column] is not None]


def _places(told: Iterable[Told]) -> tuple[CellRef, ...]:
    return tuple(place(record, column) for record, column in told)


def _count(told: Iterable[Told], found: Callable[[Value], bool], others: Iterable[Told] = ()) -> Seen:
    """How often it was found. `others` were looks that could have found it elsewhere: they make the number known."""
    known = _known(told)
    hits = [one for one in known if found(one[0][one[1]])]
    seen = hits or known + _known(others)
    return Seen(float(len(hits)), _places(seen)) if seen else NOTHING


def _one_of(*values: Choice) -> Callable[[Value], bool]:
    return lambda value: value in values


def _last(part: str, *values: Choice) -> Looker:
    """Whether the last look at a part found one of these."""

    def look(season: Season, ewe: Ewe) -> Seen:
        last = last_look(ewe, part)
        return Seen(float(last.value in values), (last.place,), last.before_mating) if last else NOTHING

    return look


def _prolapse(kind: Prolapse) -> Looker:
    return lambda season, ewe: _count(_at_lambing(ewe, "prolapse"), _one_of(kind))


def _prolapse_unnamed(season: Season, ewe: Ewe) -> Seen:
    """A prolapse seen at a check or told in one word, whose kind does not stand on Lambing. One event, however often seen."""
    told = [(record, column) for record, column, _ in ewe.seen_with(Trouble.PROLAPSE)]
    return NOTHING if ewe.prolapse or not told else Seen(1.0, _places(told))


def _dry_at_lambing(season: Season, ewe: Ewe) -> Seen:
    """Sides dry at lambing or next day, the last look there was; a later look takes its place."""
    last = last_look(ewe, "sides")
    sides = last.record.whole(last.column) if last else None
    if last is None or sides is None or is_later(ewe, last):
        return NOTHING
    return Seen(float(dry_sides(sides)), (last.place,))


def _dry_later(season: Season, ewe: Ewe) -> Seen:
    last = last_look(ewe, "sides")
    if last is None or not is_later(ewe, last):
        return NOTHING
    return Seen(float(A_SIDE_DRY.said_by(last.record.whole(last.column))), (last.place,))


def _mastitis(season: Season, ewe: Ewe) -> Seen:
    return _times(episodes.mastitis(ewe), looks(ewe, "udder"))


def _lame_treatments(season: Season, ewe: Ewe) -> Seen:
    return _times(episodes.lameness_treatments(ewe), looks(ewe, "feet"))


def _times(found: Sequence[Sequence[episodes.Told]], looked: Iterable[Look]) -> Seen:
    """How often an illness happened, with all that tells of it. Looks that could have found it make known that it never did."""
    told = tuple(place(record, column) for one in found for record, column, _ in one)
    cells = told or tuple(look.place for look in looked)
    return Seen(float(len(found)), cells) if cells else NOTHING


def _badly_lame(season: Season, ewe: Ewe) -> Seen:
    last = looks(ewe, "feet")[-LOOKS_IN_A_ROW:]
    if not last:
        return NOTHING
    still = len(last) == LOOKS_IN_A_ROW and all(look.value is Feet.BADLY_LAME for look in last)
    return Seen(float(still), tuple(look.place for look in last))


def _empty(kind: Chance) -> Looker:
    def look(season: Season, ewe: Ewe) -> Seen:
        if ewe.record is None or ewe.scanned is None:
            return NOTHING
        return Seen(float(ewe.scanned == 0 and not ewe.lambed and chance(season, ewe) is kind), (ewe.record.at("scanned"),))

    return look


def _never_lambed(season: Season, ewe: Ewe) -> Seen:
    """Scanned in lamb, and too late to lamb by now. A group known by its counts alone has no lambings to miss."""
    group = group_of(ewe, groups(season))
    if ewe.record is None or ewe.scanned is None or (group is not None and group["how_recorded"] is HowRecorded.COUNTS_ONLY):
        return NOTHING
    last = last_possible_day(season, ewe, group)
    late = last is not None and season.as_of.date() > last
    never = late and ewe.scanned > 0 and not ewe.lambed and not ewe.aborted
    dates = [column for column in ("mated_on", "due") if ewe.record[column] is not None]
    return Seen(float(never), tuple(ewe.record.at(column) for column in ("scanned", *dates[:1])))


def _aborted(season: Season, ewe: Ewe) -> Seen:
    """Seen to abort, or likely by her lambs and her dates."""
    if found := abortions(season).get(ewe.key):
        return Seen(1.0, found.cells, words=found.why)
    told = [(lamb.record, "born") for lamb in ewe.lambs if lamb.named]
    return _count(told, lambda value: False, _at_lambing(ewe, "lambed_on"))


def _reared_none(season: Season, ewe: Ewe) -> Seen:
    found = reared_none(season, ewe)
    if found is None:
        return NOTHING
    born = len(ewe.born_alive)
    words = f"{born} born alive" if found else ""
    return Seen(float(found), tuple(dict.fromkeys(map(_fate_cell, ewe.born_alive))), words=words)


def _poor(season: Season, ewe: Ewe) -> Seen:
    """In how many of her last three lambings she reared none, or a litter a third under those of like ewes."""
    found = poor_of_three(season, ewe)
    if found.number is None:
        return NOTHING
    litter = rearing(season).litters.get(ewe.key) if found.now.light else None
    here = litter.cells if litter else map(_fate_cell, ewe.born_alive) if found.now.poor is not None else ()
    return Seen(float(found.number), tuple(dict.fromkeys((*here, *found.earlier))), words=found.words)


def _fate_cell(lamb: Lamb) -> CellRef:
    """Where it stands what became of a lamb: how it left, else how it is reared, else that it was born."""
    if not lamb.named:
        return lamb.record.at("born_alive")
    told = ("left_how", "left_on", "why_moved", "reared_by", "foster_ewe", "born")
    return lamb.record.at(next((column for column in told if lamb.record.filled(column)), "ewe"))


def _refused(season: Season, ewe: Ewe) -> Seen:
    lambs = [lamb for lamb in ewe.born_alive if hers.taken(lamb)]
    refused = [lamb for lamb in lambs if hers.refused_by(lamb) == ewe.key]
    said = [(lamb.record, "taken" if lamb.record["taken"] is hers.taken(lamb) else "why_moved") for lamb in refused or lambs]
    if cell := hers.refused_in_a_word(ewe):
        return Seen(1.0, (cell,))
    return Seen(float(len(refused)), _places(said)) if lambs else NOTHING


def _udder_or_teats(season: Season, ewe: Ewe) -> Seen:
    """Either was called bad in one word at lambing; a later look at one of them takes its place."""
    return Seen(1.0, (cell,)) if (cell := bad_in_a_word(ewe)) else NOTHING


def _lost_hers(season: Season, ewe: Ewe) -> Seen:
    lambs = hers.with_her(ewe)
    lost = [lamb for lamb in lambs if hers.lost(ewe, lamb)]
    cells = [lamb.record.at("cause") for lamb in lost] or [lamb.record.at("left_how") for lamb in lambs]
    return Seen(float(len(lost)), tuple(cells)) if lambs else NOTHING


def _no_milk(season: Season, ewe: Ewe) -> Seen:
    told = [*_at_lambing(ewe, "colostrum"), *((lamb.record, "why_moved") for lamb in ewe.lambs if lamb.named)]
    return _count(told, _one_of(Colostrum.NONE, WhyMoved.NO_MILK))


def _narrow(season: Season, ewe: Ewe) -> Seen:
    if ewe.lambing is None or (ewe.lambing["help"] is Help.NONE and not ewe.lambing.filled("why_helped")):
        return _count(_at_lambing(ewe, "help"), lambda value: False)
    return _count(_at_lambing(ewe, "why_helped"), lambda why: isinstance(why, WhyHelped) and hers.WHY_HELPED[why].hers)


def _thin(season: Season, ewe: Ewe) -> Seen:
    """Thin at her last two looks. Broken teeth explain it, so that nothing counts; an unseen mouth leaves it open."""
    mouth = last_look(ewe, "mouth")
    last = conditions(ewe)[-LOOKS_IN_A_ROW:]
    if mouth is None or not last:
        return NOTHING
    thin = len(last) == LOOKS_IN_A_ROW and all(map(is_thin, last)) and mouth.value not in NOT_SOUND_TEETH
    return Seen(float(thin), (*(look.place for look in last), mouth.place))


def conditions(ewe: Ewe) -> list[Look]:
    """Looks that say how fat she is: a score, or thin named as her trouble."""
    at_lambing = [look for look in looks(ewe, "condition") if look.record is ewe.lambing]
    checks = [
        Look(check, "trouble" if check["trouble"] is Trouble.THIN else "condition") for check in ewe.checks
        if check["trouble"] is Trouble.THIN or check["condition"] is not None
    ]
    return at_lambing + checks


def is_thin(look: Look) -> bool:
    value = look.value
    return value is Trouble.THIN or (isinstance(value, int | float) and value < THIN_BELOW)


def _condition_at_mating(season: Season, ewe: Ewe) -> Seen:
    last = last_look(ewe, "condition")
    if last is None or not last.before_mating:
        return NOTHING
    return Seen(last.record.number(last.column), (last.place,), at_mating=True)


LOOKERS: Mapping[str, Looker] = {
    "prolapse_vaginal": _prolapse(Prolapse.VAGINAL),
    "prolapse_womb": _prolapse(Prolapse.WOMB),
    "prolapse_rectal": _prolapse(Prolapse.RECTAL),
    "prolapse_unnamed": _prolapse_unnamed,
    "dry_at_lambing": _dry_at_lambing,
    "dry_later": _dry_later,
    "udder_lump_hard": _last("udder", Udder.LUMP, Udder.HARD),
    "udder_damaged": _last("udder", Udder.DAMAGED),
    "mastitis": _mastitis,
    "teats_large": _last("teats", Teats.LARGE),
    "teats_bad": _last("teats", Teats.BLOCKED, Teats.DAMAGED),
    "udder_or_teats": _udder_or_teats,
    "gummer": _last("mouth", Mouth.GUMMER),
    "broken": _last("mouth", Mouth.BROKEN),
    "jaw": _last("mouth", Mouth.OVERSHOT, Mouth.UNDERSHOT),
    "lame_treatments": _lame_treatments,
    "badly_lame": _badly_lame,
    "empty_mature": _empty(Chance.HAD),
    "empty_young": _empty(Chance.ONE_MORE),
    "empty_unknown": _empty(Chance.UNKNOWN),
    "never_lambed": _never_lambed,
    "aborted": _aborted,
    "reared_none": _reared_none,
    "poor_lambings": _poor,
    "refused": _refused,
    "lost_hers": _lost_hers,
    "no_milk": _no_milk,
    "narrow": _narrow,
    "thin": _thin,
    "condition_at_mating": _condition_at_mating,
}
