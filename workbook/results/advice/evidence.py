"""One number for each evidence of the selection rules, from what was recorded about a ewe this season, with its cells."""

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from template_builder.layout.choices import (
    Born,
    CheckOccasion,
    Choice,
    Colostrum,
    Feet,
    Help,
    HowRecorded,
    Milk,
    Mouth,
    Prolapse,
    Reason,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Value
from template_builder.layout.sides import A_SIDE_DRY, dry_sides
from workbook.results.scores import hers
from workbook.results.scores.mothering_parts import place
from workbook.season.ages import AgeClass, age_class
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe
from workbook.season.mating import group_of, groups, last_possible_day
from workbook.season.season import Season


class Seen(NamedTuple):
    """The number, None where nothing was recorded that bears on it, and the cells: those that count, else those looked at."""

    value: float | None
    cells: tuple[CellRef, ...] = ()


Look = tuple[Record, str]
Looker = Callable[[Season, Ewe], Seen]

NOTHING = Seen(None)

# Below this condition (0 to 5) a ewe is thin on any day after lambing; from memory, usual targets are 2 and more.
THIN_BELOW = 2.0

# So many looks in a row that found her badly lame mean that she does not recover: house rule.
LOOKS_NOT_RECOVERING = 2

NOT_SOUND_TEETH = (Mouth.BROKEN, Mouth.GUMMER)


def evidence(season: Season, ewe: Ewe) -> Mapping[str, Seen]:
    """All evidence about one ewe by id, in the order of Policy."""
    return {id: look(season, ewe) for id, look in LOOKERS.items()}


def milk_looks(ewe: Ewe) -> tuple[Look, ...]:
    """Looks after lambing at the sides in milk, where milk was to be expected: next day, then checks by date."""
    next_day = [(ewe.lambing, "sides_next_day")] if ewe.lambing else []
    checks = [(check, "sides_in_milk") for check in ewe.checks if milk_expected(ewe, check)]
    return tuple(look for look in next_day + checks if look[0].whole(look[1]) is not None)


def milk_expected(ewe: Ewe, check: Record) -> bool:
    """Not before or on the day she lambed, not before mating, and not where she is dry without lambs."""
    day, at_foot = check.day("date"), check.whole("lambs_at_foot")
    if check["occasion"] is CheckOccasion.BEFORE_MATING or (check["milk"] is Milk.DRY and not at_foot):
        return False
    if ewe.lambing is None and not ewe.born:
        return bool(at_foot) or check["milk"] is not None
    return not (day and ewe.lambed_on and day <= ewe.lambed_on)


def _at_lambing(ewe: Ewe, column: str) -> list[Look]:
    return [(ewe.lambing, column)] if ewe.lambing else []


def _at_checks(ewe: Ewe, column: str) -> list[Look]:
    return [(check, column) for check in ewe.checks]


def _known(looks: Iterable[Look]) -> list[Look]:
    return [(record, column) for record, column in looks if record[column] is not None]


def _places(looks: Iterable[Look]) -> tuple[CellRef, ...]:
    return tuple(place(record, column) for record, column in looks)


def _count(looks: Iterable[Look], found: Callable[[Value], bool], others: Iterable[Look] = ()) -> Seen:
    """How many looks found it. `others` were looks that could have found it elsewhere: they make the number known."""
    known = _known(looks)
    hits = [look for look in known if found(look[0][look[1]])]
    seen = hits or known + _known(others)
    return Seen(float(len(hits)), _places(seen)) if seen else NOTHING


def _one_of(*values: Choice) -> Callable[[Value], bool]:
    return lambda value: value in values


def _prolapse(kind: Prolapse) -> Looker:
    return lambda season, ewe: _count(_at_lambing(ewe, "prolapse"), _one_of(kind))


def _prolapse_unnamed(season: Season, ewe: Ewe) -> Seen:
    """A check that found a prolapse whose kind does not stand on Lambing. One event, however often it was seen."""
    looks = [look for look in _at_checks(ewe, "trouble") if look[0]["trouble"] is Trouble.PROLAPSE]
    named = ewe.lambing is not None and ewe.lambing["prolapse"] not in (None, Prolapse.NONE)
    return NOTHING if named or not looks else Seen(1.0, _places(looks))


def _dry_at_lambing(season: Season, ewe: Ewe) -> Seen:
    sides = ewe.lambing.whole("sides_in_milk") if ewe.lambing else None
    if sides is None:
        return NOTHING
    return Seen(float(dry_sides(sides)), _places(_at_lambing(ewe, "sides_in_milk")))


def _dry_later(season: Season, ewe: Ewe) -> Seen:
    return _count(milk_looks(ewe), lambda sides: isinstance(sides, int) and A_SIDE_DRY.said_by(sides))


def _udder(*values: Udder) -> Looker:
    return lambda season, ewe: _count(_at_checks(ewe, "udder"), _one_of(*values))


def _mastitis(season: Season, ewe: Ewe) -> Seen:
    """Checks, treatments and lambs moved; each is a time it was recorded."""
    looks = [*_at_checks(ewe, "trouble"), *((row, "reason") for row in ewe.treatments)]
    looks += [(lamb.record, "why_moved") for lamb in ewe.lambs if hers.short_of_milk(lamb)]
    hits = [(record, column) for record, column in looks
            if record[column] in (Trouble.MASTITIS, Reason.MASTITIS, WhyMoved.MASTITIS)]
    return _count(hits, lambda value: True, _at_checks(ewe, "udder"))


def _teats(*values: Teats) -> Looker:
    return lambda season, ewe: _count([*_at_lambing(ewe, "teats"), *_at_checks(ewe, "teats")], _one_of(*values))


def _last_mouth(*values: Mouth) -> Looker:
    return lambda season, ewe: _count(_known(_at_checks(ewe, "mouth"))[-1:], _one_of(*values))


def _lame_treatments(season: Season, ewe: Ewe) -> Seen:
    hits = [(row, "reason") for row in ewe.treatments if row["reason"] is Reason.LAMENESS]
    return _count(hits, lambda value: True, _at_checks(ewe, "feet"))


def _badly_lame(season: Season, ewe: Ewe) -> Seen:
    last = _known(_at_checks(ewe, "feet"))[-LOOKS_NOT_RECOVERING:]
    if not last:
        return NOTHING
    still = len(last) == LOOKS_NOT_RECOVERING and all(record["feet"] is Feet.BADLY_LAME for record, _ in last)
    return Seen(float(still), _places(last))


def _empty(age: AgeClass) -> Looker:
    def look(season: Season, ewe: Ewe) -> Seen:
        if ewe.record is None or ewe.scanned is None:
            return NOTHING
        return Seen(float(ewe.scanned == 0 and not ewe.lambed and age_class(season, ewe) is age), (ewe.record.at("scanned"),))

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
    """Lambs aborted; a check that says she aborted stands for one where no lamb was written down."""
    born = _count([(lamb.record, "born") for lamb in ewe.lambs if lamb.named], _one_of(Born.ABORTED),
                  _at_lambing(ewe, "lambed_on"))
    checks = [look for look in _at_checks(ewe, "trouble") if look[0]["trouble"] is Trouble.ABORTED]
    return born if born.value or not checks else Seen(1.0, _places(checks))


def _refused(season: Season, ewe: Ewe) -> Seen:
    lambs = [lamb for lamb in ewe.born_alive if hers.taken(lamb)]
    refused = [lamb for lamb in lambs if hers.refused_by(lamb) == ewe.key]
    said = [(lamb.record, "taken" if lamb.record["taken"] is hers.taken(lamb) else "why_moved") for lamb in refused or lambs]
    return Seen(float(len(refused)), _places(said)) if lambs else NOTHING


def _lost_hers(season: Season, ewe: Ewe) -> Seen:
    lambs = hers.with_her(ewe)
    lost = [lamb for lamb in lambs if hers.lost_by(lamb) == ewe.key]
    cells = [lamb.record.at("cause") for lamb in lost] or [lamb.record.at("left_how") for lamb in lambs]
    return Seen(float(len(lost)), tuple(cells)) if lambs else NOTHING


def _no_milk(season: Season, ewe: Ewe) -> Seen:
    looks = [*_at_lambing(ewe, "colostrum"), *((lamb.record, "why_moved") for lamb in ewe.lambs if lamb.named)]
    return _count(looks, _one_of(Colostrum.NONE, WhyMoved.NO_MILK))


def _narrow(season: Season, ewe: Ewe) -> Seen:
    if ewe.lambing is None or (ewe.lambing["help"] is Help.NONE and not ewe.lambing.filled("why_helped")):
        return _count(_at_lambing(ewe, "help"), lambda value: False)
    return _count(_at_lambing(ewe, "why_helped"), lambda why: isinstance(why, WhyHelped) and hers.WHY_HELPED[why].hers)


def _thin(season: Season, ewe: Ewe) -> Seen:
    """Looks that found her thin. Broken teeth explain it, so that nothing counts; an unseen mouth leaves it open."""
    mouth = _known(_at_checks(ewe, "mouth"))[-1:]
    looks = [look for look in ewe.checks if look["condition"] is not None or look["trouble"] is Trouble.THIN]
    if not mouth or not looks:
        return NOTHING
    sound = mouth[0][0]["mouth"] not in NOT_SOUND_TEETH
    thin = [(look, column) for look in looks if sound and (column := _thin_in(look))]
    cells = _places(thin or _known((look, "condition") for look in looks))
    return Seen(float(len(thin)), (*cells, *_places(mouth)))


def _thin_in(look: Record) -> str:
    """The column that says she was thin, empty where none does."""
    if look["trouble"] is Trouble.THIN:
        return "trouble"
    condition = look.number("condition")
    return "condition" if condition is not None and condition < THIN_BELOW else ""


LOOKERS: Mapping[str, Looker] = {
    "prolapse_vaginal": _prolapse(Prolapse.VAGINAL),
    "prolapse_womb": _prolapse(Prolapse.WOMB),
    "prolapse_rectal": _prolapse(Prolapse.RECTAL),
    "prolapse_unnamed": _prolapse_unnamed,
    "dry_at_lambing": _dry_at_lambing,
    "dry_later": _dry_later,
    "udder_lump_hard": _udder(Udder.LUMP, Udder.HARD),
    "udder_damaged": _udder(Udder.DAMAGED),
    "mastitis": _mastitis,
    "teats_large": _teats(Teats.LARGE),
    "teats_bad": _teats(Teats.BLOCKED, Teats.DAMAGED),
    "gummer": _last_mouth(Mouth.GUMMER),
    "broken": _last_mouth(Mouth.BROKEN),
    "jaw": _last_mouth(Mouth.OVERSHOT, Mouth.UNDERSHOT),
    "lame_treatments": _lame_treatments,
    "badly_lame": _badly_lame,
    "empty_mature": _empty(AgeClass.MATURE),
    "empty_young": _empty(AgeClass.FIRST),
    "empty_unknown": _empty(AgeClass.UNKNOWN),
    "never_lambed": _never_lambed,
    "aborted": _aborted,
    "refused": _refused,
    "lost_hers": _lost_hers,
    "no_milk": _no_milk,
    "narrow": _narrow,
    "thin": _thin,
}
