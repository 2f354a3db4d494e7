"""What went wrong with ewes in the season, by kind: which ewes, whether or not anybody still has to look at them."""

from collections.abc import Callable
from typing import NamedTuple

from template_builder.layout.choices import (
    Belly,
    Choice,
    Colostrum,
    EweLeft,
    Feet,
    Help,
    LambingTrouble,
    NextDay,
    Prolapse,
    Reason,
    Trouble,
    WhyHelped,
    YesNo,
)
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER
from template_builder.layout.sides import A_SIDE_DRY
from workbook.results.clinical import hers
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.episodes import mastitis
from workbook.results.clinical.looks import bad_in_a_word, last_look, last_sides
from workbook.season.families import Ewe
from workbook.season.season import Season

Happened = Callable[[Season, Ewe], bool]


class Kind(NamedTuple):
    """One kind of trouble, and the ewes it happened to in the order of the flock."""

    title: str
    ewes: tuple[Ewe, ...]


def season_by_kind(season: Season) -> tuple[Kind, ...]:
    """Every kind that happened to any ewe, those that are gone too; a ewe stands under each kind of hers once."""
    ewes = season.flock.ewes.values()
    kinds = (Kind(title, tuple(ewe for ewe in ewes if so(season, ewe))) for title, so in KINDS)
    return tuple(kind for kind in kinds if kind.ewes)


def _aborted(certain: bool) -> Happened:
    def so(season: Season, ewe: Ewe) -> bool:
        found = abortions(season).get(ewe.key)
        return found is not None and found.certain is certain
    return so


def _lambing(column: str, *values: Choice) -> Happened:
    """What Lambing says of her."""
    return lambda _, ewe: ewe.lambing is not None and ewe.lambing[column] in values


def _seen(column: str, value: Choice) -> Happened:
    """What any look at her found."""
    return lambda _, ewe: any(check[column] is value for check in ewe.checks)


def _last(part: str, *values: Choice) -> Happened:
    def so(_: Season, ewe: Ewe) -> bool:
        look = last_look(ewe, part)
        return look is not None and look.value in values
    return so


def _side_dry(_: Season, ewe: Ewe) -> bool:
    return A_SIDE_DRY.said_by(last_sides(ewe))


def _prolapse_of_no_kind(season: Season, ewe: Ewe) -> bool:
    return ewe.prolapse is None and ewe.prolapsed


def _sleepy(season: Season, ewe: Ewe) -> bool:
    return _seen("trouble", Trouble.SLEEPY)(season, ewe) or any(row["reason"] is Reason.METABOLIC for row in ewe.treatments)


def _hollow(season: Season, ewe: Ewe) -> bool:
    bellies = any(lamb.named and lamb.record["belly"] is Belly.HOLLOW for lamb in ewe.lambs)
    return bellies or _lambing("next_day", NextDay.ONE_HOLLOW)(season, ewe)


def _left(how: EweLeft) -> Happened:
    return lambda _, ewe: ewe.record is not None and ewe.record["left_how"] is how


KINDS: tuple[tuple[str, Happened], ...] = (
    ("aborted", _aborted(certain=True)),
    ("abortion suspected", _aborted(certain=False)),
    ("vaginal prolapse", _lambing("prolapse", Prolapse.VAGINAL)),
    ("womb prolapse", _lambing("prolapse", Prolapse.WOMB)),
    ("rectal prolapse", _lambing("prolapse", Prolapse.RECTAL)),
    ("prolapse, which is not written", _prolapse_of_no_kind),
    ("caesarean", _lambing("help", Help.CAESAREAN)),
    ("helped by the vet", _lambing("help", Help.VET)),
    ("helped hard", _lambing("help", Help.HARD)),
    ("cervix did not open", _lambing("why_helped", WhyHelped.NOT_OPEN)),
    ("afterbirth not passed", _lambing("afterbirth", YesNo.NO)),
    ("little or no colostrum", _lambing("colostrum", Colostrum.LITTLE, Colostrum.NONE)),
    ("mastitis", lambda _, ewe: bool(mastitis(ewe))),
    ("a side dry at the last look", _side_dry),
    ("bad udder at the last look", _last("udder", *BAD_UDDER)),
    ("bad teats at the last look", _last("teats", *BAD_TEATS)),
    ("bad udder or teats, which is not written", lambda _, ewe: bool(bad_in_a_word(ewe))),
    ("refused a lamb", lambda _, ewe: hers.refused(ewe)),
    ("lamb taken from her for want of milk", lambda _, ewe: any(hers.short_of_milk(lamb) for lamb in ewe.lambs)),
    ("hollow lambs next day", _hollow),
    ("lambs lost, in a word", _lambing("trouble", LambingTrouble.LAMBS_LOST)),
    ("other trouble at lambing", _lambing("trouble", LambingTrouble.OTHER)),
    ("sleepy or down", _sleepy),
    ("badly lame", _seen("feet", Feet.BADLY_LAME)),
    ("thin", _seen("trouble", Trouble.THIN)),
    ("died", _left(EweLeft.DIED)),
    ("missing", _left(EweLeft.MISSING)),
)
