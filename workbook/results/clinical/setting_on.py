"""Which ewes are never offered another ewe's lamb, and why: one list for every place that speaks of setting on."""

from collections.abc import Iterator
from datetime import date, datetime

from template_builder.layout.alerts import NEXT_DAY, VERY_THIN_BELOW
from template_builder.layout.choices import Belly, Colostrum, Feet, NextDay, Sucked
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER, LOST_INTEREST, NO_ILLNESS, UNDER_TREATMENT
from template_builder.layout.sides import A_SIDE_DRY, BOTH_DRY
from workbook.results.clinical import hers
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.episodes import mastitis
from workbook.results.clinical.looks import bad_in_a_word, last_condition, last_look, last_looked_on, last_sides
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.season import Season
from workbook.season.withdrawals import runs_to


def not_for_setting_on(season: Season, ewe: Ewe, when: datetime) -> tuple[str, ...]:
    """Every reason, in words, why no lamb is set on to her at this moment; none where nothing written speaks against it."""
    abortion = abortions(season).get(ewe.key)
    told = (
        ("gone", ewe.gone),
        ("aborted" if abortion and abortion.certain else "abortion suspected", abortion is not None),
        *_milk(ewe),
        ("mastitis this season", bool(mastitis(ewe))),
        *_parts(ewe),
        *_unwilling(ewe),
        ("prolapse this season", ewe.prolapsed),
        ("ill at the last look", _ill(ewe)),
        ("under treatment", any(_treated(row, when.date()) for row in ewe.treatments)),
    )
    return tuple(why for why, is_so in told if is_so)


def _milk(ewe: Ewe) -> Iterator[tuple[str, bool]]:
    sides = last_sides(ewe)
    yield "both sides dry" if BOTH_DRY.said_by(sides) else "a side dry", A_SIDE_DRY.said_by(sides)
    yield "no colostrum", ewe.lambing is not None and ewe.lambing["colostrum"] is Colostrum.NONE
    yield "her own lamb was taken from her for want of milk", any(hers.short_of_milk(lamb) for lamb in ewe.lambs)


def _parts(ewe: Ewe) -> Iterator[tuple[str, bool]]:
    """Udder, teats, feet and condition, each at the last look."""
    udder, teats, feet = (last_look(ewe, part) for part in ("udder", "teats", "feet"))
    score = last_condition(ewe)
    yield "a bad udder", udder is not None and udder.value in BAD_UDDER
    yield "bad udder or teats", bool(bad_in_a_word(ewe))
    yield "bad teats", teats is not None and teats.value in BAD_TEATS
    yield "badly lame", feet is not None and feet.value is Feet.BADLY_LAME
    yield "very thin", score is not None and score < VERY_THIN_BELOW


def _unwilling(ewe: Ewe) -> Iterator[tuple[str, bool]]:
    """She refused a lamb, has no interest in hers, or has one that does not suck yet."""
    refused = hers.refused(ewe) or any(hers.refuses(ewe, lamb) for lamb in hers.at_her_side(ewe))
    mothering = ewe.lambing.whole("mothering") if ewe.lambing else None
    rows = [lamb.record for lamb in hers.at_her_side(ewe) if lamb.named]
    yield "refused a lamb", refused
    yield "lost interest in her lambs", mothering is not None and mothering <= LOST_INTEREST
    yield "a lamb of hers does not suck", any(row["sucked"] is Sucked.NO and row["belly"] is not Belly.FULL for row in rows)


def _ill(ewe: Ewe) -> bool:
    """Whether the last look found a trouble: a check on the day of the last one or without a day, else the next day's look."""
    last = last_looked_on(ewe)
    if any(check["trouble"] is not None and (check.day("date") or date.max) >= (last or date.min) for check in ewe.checks):
        return True
    found = ewe.lambing is not None and ewe.lambing["next_day"] is NextDay.TROUBLE
    return found and (last is None or ewe.lambed_on is None or last <= ewe.lambed_on + NEXT_DAY)


def _treated(row: Record, today: date) -> bool:
    """Whether a treatment of hers is from these days or its withdrawal still runs; one without a day may be of today."""
    if row["reason"] in NO_ILLNESS:
        return False
    day, ends = row.day("date"), runs_to(row)
    return day is None or day >= today - UNDER_TREATMENT or (ends is not None and ends >= today)
