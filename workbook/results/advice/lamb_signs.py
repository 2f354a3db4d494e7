"""Signs of trouble with the lambs at a ewe's side and with their milk: colostrum, sides, teats, and whether she takes them."""

from collections.abc import Iterator, Mapping

from template_builder.layout import alerts
from template_builder.layout.alerts import NEXT_DAY, Alert
from template_builder.layout.choices import Belly, Choice, Colostrum, LambingTrouble, NextDay, Sucked, Teats
from template_builder.layout.sides import A_SIDE_DRY, BOTH_SIDES
from template_builder.layout.words import so_many
from workbook.results.advice.signs import (
    SAME_DAY,
    Sign,
    Watch,
    by_look,
    called,
    hours_ago,
    lambed_at,
    midnight,
    next_day_look,
    next_day_written,
)
from workbook.results.clinical import hers
from workbook.results.clinical.abortion import is_weak
from workbook.results.clinical.hers import at_her_side
from workbook.results.clinical.looks import last_look, place
from workbook.season.families import Ewe, Lamb

FOUND_NEXT_DAY: Mapping[Choice, Alert] = {
    NextDay.ONE_HOLLOW: alerts.HOLLOW, NextDay.HELPED: alerts.HELPED_TO_SUCK, NextDay.TROUBLE: alerts.TROUBLE,
}
BIG_LITTER = 3


def lamb_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """All signs of trouble with her milk and the lambs she rears."""
    if not watch.weaned(ewe):
        yield from _milk(ewe)
        yield from _large_teats(ewe)
    yield from _next_day(ewe)
    since = hours_ago(ewe, watch.when)
    if not next_day_look(ewe) and (since is None or since <= alerts.FIRST_DAYS):
        yield from _little_colostrum(ewe)
        yield from _small_lambs(ewe, watch.season.settings.number("small_lamb"))
    for lamb in at_her_side(ewe):
        yield from _lamb(ewe, lamb)
    yield from _refused_in_a_word(ewe)


def _milk(ewe: Ewe) -> Iterator[Sign]:
    """The last look counts: a side that came into milk later is no trouble any more."""
    look = last_look(ewe, "sides")
    sides = look.record.whole(look.column) if look else None
    if look and A_SIDE_DRY.said_by(sides):
        yield from by_look(ewe, look, alerts.SIDE_DRY, f"{sides} of {BOTH_SIDES} sides in milk")


def _large_teats(ewe: Ewe) -> Iterator[Sign]:
    look, lambs = last_look(ewe, "teats"), at_her_side(ewe)
    if look and look.value is Teats.LARGE and lambs:
        yield from by_look(ewe, look, alerts.LARGE_TEATS, f"large teats, {so_many(len(lambs), 'lamb')} at her side")


def _next_day(ewe: Ewe) -> Iterator[Sign]:
    """What the look found, unless the lamb it speaks of is named by its own hollow belly."""
    found = ewe.lambing["next_day"] if ewe.lambing else None
    if found is NextDay.ONE_HOLLOW and any(_hollow(lamb) for lamb in at_her_side(ewe)):
        return
    if ewe.lambing and isinstance(found, Choice) and found in FOUND_NEXT_DAY:
        yield Sign(FOUND_NEXT_DAY[found], f"next day: {found.label}", lambed_at(ewe), (ewe.lambing.at("next_day"),), NEXT_DAY)


def _hollow(lamb: Lamb) -> bool:
    return lamb.named and lamb.record["belly"] is Belly.HOLLOW


def _little_colostrum(ewe: Ewe) -> Iterator[Sign]:
    """She has little or none, and a lamb at her side that cannot fetch it by itself."""
    colostrum = ewe.lambing["colostrum"] if ewe.lambing else None
    lambs = [lamb for lamb in at_her_side(ewe) if _needs_colostrum(lamb)]
    unnamed = sum(not lamb.named for lamb in at_her_side(ewe))
    if ewe.lambing and colostrum is Colostrum.NONE and ewe.trouble is LambingTrouble.NO_MILK and unnamed:
        yield Sign(alerts.LITTLE_COLOSTRUM, f"no milk, {so_many(unnamed, 'lamb')} at her side", lambed_at(ewe),
                   (place(ewe.lambing, "colostrum"),))
    if ewe.lambing and colostrum in (Colostrum.LITTLE, Colostrum.NONE) and lambs:
        told = ", ".join(f"{called(lamb)} {_how_it_is(lamb)}" for lamb in lambs)
        cells = (place(ewe.lambing, "colostrum"), *(lamb.record.at("vigour" if is_weak(lamb) else "sucked") for lamb in lambs))
        yield Sign(alerts.LITTLE_COLOSTRUM, f"colostrum {colostrum}; {told}", lambed_at(ewe), cells)


def _needs_colostrum(lamb: Lamb) -> bool:
    return lamb.named and lamb.record["belly"] is not Belly.FULL and bool(_how_it_is(lamb))


def _how_it_is(lamb: Lamb) -> str:
    sucked = {Sucked.TUBED: "tubed", Sucked.NO: "has not sucked"}
    value = lamb.record.choice("sucked", Sucked)
    return "weak" if is_weak(lamb) else sucked.get(value, "") if value else ""


def _small_lambs(ewe: Ewe, limit: float) -> Iterator[Sign]:
    """Of three or more born, those of hers at her side that are lighter than a small lamb on Season."""
    small = [lamb for lamb in at_her_side(ewe)
             if lamb.bearer == ewe.key and lamb.birth_weight is not None and lamb.birth_weight < limit]
    if small and len(ewe.born) >= BIG_LITTER:
        told = ", ".join(f"{called(lamb)} {lamb.birth_weight:g} kg" for lamb in small)
        yield Sign(alerts.SMALL_LAMBS, f"{len(ewe.born)} born: {told}", lambed_at(ewe),
                   tuple(lamb.record.at("birth_weight") for lamb in small))


def _refused_in_a_word(ewe: Ewe) -> Iterator[Sign]:
    """She refused one of those at her side, nobody wrote which; the next day's look answers it."""
    if (cell := hers.refused_in_a_word(ewe)) and at_her_side(ewe) and not next_day_look(ewe):
        yield Sign(alerts.REFUSED, "refused a lamb, still with her", lambed_at(ewe), (cell,), SAME_DAY)


def _lamb(ewe: Ewe, lamb: Lamb) -> Iterator[Sign]:
    """Signs at one live lamb that she rears, her own or set on to her; of her own the next day's look answers those of birth."""
    if not lamb.named:
        return
    row = lamb.record
    since, belly = midnight(row.day("moved_on")) if lamb.set_on else lambed_at(ewe), row["belly"]
    looked = not lamb.set_on and next_day_written(ewe)
    if belly is Belly.HOLLOW:
        yield Sign(alerts.HOLLOW, f"{called(lamb)} hollow next day", since, (row.at("belly"),), NEXT_DAY)
    if row["sucked"] is Sucked.NO and belly is None and not looked:
        yield Sign(alerts.NOT_SUCKING, f"{called(lamb)} has not sucked", since, (row.at("sucked"),))
    if hers.refuses(ewe, lamb) and (lamb.set_on or (belly is None and not looked)):
        yield Sign(alerts.REFUSED, f"{called(lamb)} refused, still with her", since, (row.at("taken"),), SAME_DAY)
