"""Which ewes are never offered another ewe's lamb, and why: one list for every place that speaks of setting on."""

from collections.abc import Iterator
from datetime import date, datetime

from template_builder.layout.alerts import NEXT_DAY, VERY_THIN_BELOW
from template_builder.layout.choices import Belly, Colostrum, Feet, NextDay, Prolapse, Sucked, Trouble
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER, LOST_INTEREST, NO_ILLNESS, UNDER_TREATMENT
from template_builder.layout.sides import A_SIDE_DRY, BOTH_DRY
from workbook.results.clinical import hers
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.episodes import mastitis
from workbook.results.clinical.looks import bad_in_a_word, last_look, last_looked_on
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.mating import later
from workbook.season.season import Season


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
        ("prolapse this season", _prolapsed(ewe)),
        ("ill at the last look", _ill(ewe)),
        ("under treatment", any(_treated(row, when.date()) for row in ewe.treatments)),
    )
    return tuple(why for why, is_so in told if is_so)


def _milk(ewe: Ewe) -> Iterator[tuple[str, bool]]:
    look = last_look(ewe, "sides")
    sides = look.record.whole(look.column) if look else None
    yield "both sides dry" if BOTH_DRY.said_by(sides) else "a side dry", A_SIDE_DRY.said_by(sides)
    yield "no colostrum", ewe.lambing is not None and ewe.lambing["colostrum"] is Colostrum.NONE
    yield "her own lamb was taken from her for want of milk", any(hers.short_of_milk(lamb) for lamb in ewe.lambs)


def _parts(ewe: Ewe) -> Iterator[tuple[str, bool]]:
    """Udder, teats, feet and condition, each at the last look."""
    udder, teats, feet, condition = (last_look(ewe, part) for part in ("udder", "teats", "feet", "condition"))
    score = condition.record.number(condition.column) if condition else None
    yield "a bad udder", udder is not None and udder.value in BAD_UDDER
    yield "bad udder or teats", bad_in_a_word(ewe)
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


def _prolapsed(ewe: Ewe) -> bool:
    written = ewe.lambing["prolapse"] if ewe.lambing else None
    return written not in (None, Prolapse.NONE) or bool(ewe.seen_with(Trouble.PROLAPSE))


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
    day, days = row.day("date"), row.whole("withdrawal")
    ends = None if day is None or days is None else later(day, days)
    return day is None or day >= today - UNDER_TREATMENT or (ends is not None and ends >= today)
