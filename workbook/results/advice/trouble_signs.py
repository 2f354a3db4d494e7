"""Signs of trouble with a ewe or the lambs at her side: illness, milk, lambs refused or hollow, medicines, orphans."""

from collections.abc import Iterator, Mapping
from datetime import datetime

from template_builder.layout import alerts
from template_builder.layout.alerts import Alert
from template_builder.layout.choices import Belly, Born, Choice, NextDay, Prolapse, Sucked, Teats, Trouble
from template_builder.layout.sides import A_SIDE_DRY, BOTH_SIDES
from template_builder.layout.words import shown
from workbook.results.advice.signs import Sign, called, lambed_at, midnight
from workbook.results.clinical import hers
from workbook.results.clinical.looks import Look, last_look
from workbook.season.cells import Record
from workbook.season.families import Ewe, Lamb
from workbook.season.mating import later

PROLAPSES: Mapping[Choice, Alert] = {
    Prolapse.VAGINAL: alerts.PROLAPSE, Prolapse.WOMB: alerts.WOMB_PROLAPSE, Prolapse.RECTAL: alerts.RECTAL_PROLAPSE,
}
TROUBLES: Mapping[Choice, Alert] = {
    Trouble.MASTITIS: alerts.MASTITIS, Trouble.SLEEPY: alerts.SLEEPY, Trouble.PROLAPSE: alerts.PROLAPSE,
}
NEXT_DAY: Mapping[Choice, Alert] = {
    NextDay.ONE_HOLLOW: alerts.HOLLOW, NextDay.HELPED: alerts.HELPED_TO_SUCK, NextDay.TROUBLE: alerts.TROUBLE,
}


def trouble_signs(ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """All signs of trouble with her and the lambs she rears."""
    yield from _illness(ewe)
    yield from _aborted(ewe)
    yield from _milk(ewe)
    yield from _large_teats(ewe)
    yield from _next_day(ewe)
    for lamb in at_her_side(ewe):
        yield from _lamb(ewe, lamb)
    yield from _withdrawals(ewe, when)


def at_her_side(ewe: Ewe) -> tuple[Lamb, ...]:
    """Live lambs booked on her, own and set on, that have not left."""
    return tuple(lamb for lamb in ewe.suckled if lamb.left_how is None)


def _illness(ewe: Ewe) -> Iterator[Sign]:
    """A prolapse written on Lambing, and for each trouble the last check that found it."""
    last = {check["trouble"]: check for check in ewe.checks}
    kind = ewe.lambing["prolapse"] if ewe.lambing else None
    if ewe.lambing and isinstance(kind, Choice) and kind in PROLAPSES:
        last.pop(Trouble.PROLAPSE, None)
        yield Sign(PROLAPSES[kind], f"{kind.label} prolapse", lambed_at(ewe), (ewe.lambing.at("prolapse"),))
    for trouble, check in last.items():
        if isinstance(trouble, Choice) and trouble in TROUBLES:
            yield _checked(TROUBLES[trouble], check, "trouble")


def _checked(alert: Alert, check: Record, column: str) -> Sign:
    day = check.day("date")
    why = f"{shown(check[column])} found on {shown(day)}" if day else shown(check[column])
    return Sign(alert, why, midnight(day), (check.at(column),))


def _aborted(ewe: Ewe) -> Iterator[Sign]:
    lambs = [lamb for lamb in ewe.lambs if lamb.born is Born.ABORTED]
    checks = [check for check in ewe.checks if check["trouble"] is Trouble.ABORTED]
    if not lambs and not checks:
        return
    days = [day for check in checks if (day := check.day("date"))] or [day for day in [ewe.lambed_on] if day]
    cells = [*(lamb.record.at("born") for lamb in lambs), *(check.at("trouble") for check in checks)]
    number = f"{len(lambs)} {'lamb' if len(lambs) == 1 else 'lambs'} aborted" if lambs else "aborted"
    yield Sign(alerts.ABORTED, number, midnight(days[0]) if days else None, tuple(cells))


def _milk(ewe: Ewe) -> Iterator[Sign]:
    """The last look counts: a side that came into milk later is no trouble any more."""
    look = last_look(ewe, "sides")
    sides = look.record.whole(look.column) if look else None
    if look and A_SIDE_DRY.said_by(sides):
        yield Sign(alerts.SIDE_DRY, f"{sides} of {BOTH_SIDES} sides in milk", _seen(ewe, look), (look.place,))


def _large_teats(ewe: Ewe) -> Iterator[Sign]:
    look, lambs = last_look(ewe, "teats"), at_her_side(ewe)
    if look and look.value is Teats.LARGE and lambs:
        noun = "lamb" if len(lambs) == 1 else "lambs"
        yield Sign(alerts.LARGE_TEATS, f"large teats, {len(lambs)} {noun} at her side", _seen(ewe, look), (look.place,))


def _seen(ewe: Ewe, look: Look) -> datetime | None:
    """The day of a look at her; of what stands on Lambing, and of a look without its day, that of her lambing."""
    return (midnight(look.day) if look.record.has("date") else None) or lambed_at(ewe)


def _next_day(ewe: Ewe) -> Iterator[Sign]:
    """What the look found, unless the lamb it speaks of is named by its own hollow belly."""
    found = ewe.lambing["next_day"] if ewe.lambing else None
    if found is NextDay.ONE_HOLLOW and any(_hollow(lamb) for lamb in at_her_side(ewe)):
        return
    if ewe.lambing and isinstance(found, Choice) and found in NEXT_DAY:
        yield Sign(NEXT_DAY[found], f"next day: {found.label}", lambed_at(ewe), (ewe.lambing.at("next_day"),))


def _hollow(lamb: Lamb) -> bool:
    return lamb.named and lamb.record["belly"] is Belly.HOLLOW


def _lamb(ewe: Ewe, lamb: Lamb) -> Iterator[Sign]:
    """Signs at one live lamb that she rears, her own or set on to her."""
    if not lamb.named:
        return
    row = lamb.record
    since = midnight(row.day("moved_on")) if lamb.set_on else lambed_at(ewe)
    full, hollow = row["belly"] is Belly.FULL, row["belly"] is Belly.HOLLOW
    if hollow:
        yield Sign(alerts.HOLLOW, f"{called(lamb)} hollow next day", since, (row.at("belly"),))
    if row["sucked"] is Sucked.NO and not full:
        yield Sign(alerts.NOT_SUCKING, f"{called(lamb)} has not sucked", since, (row.at("sucked"),))
    if hers.refuses(ewe, lamb):
        yield Sign(alerts.REFUSED, f"{called(lamb)} refused, still with her", since, (row.at("taken"),))


def _withdrawals(ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """Treatments written for her alone; those of her group stand in the medicine book."""
    for row in ewe.treatments:
        day, days = row.day("date"), row.whole("withdrawal")
        product = row.text("product") or "treatment"
        cells = (row.at("date"), row.at("withdrawal"))
        ends = None if day is None or days is None else later(day, days)
        if ends is None:
            yield Sign(alerts.WITHDRAWAL_UNKNOWN, f"{product}: withdrawal or date not written", midnight(day), cells)
        elif when.date() <= ends:
            yield Sign(alerts.WITHDRAWAL, f"{product}: withdrawal written here ends on {shown(ends)}", midnight(day), cells)


def orphan_signs(ewe: Ewe, group: Record | None) -> Iterator[Sign]:
    """Live lambs still booked on a ewe that has died or left before they were weaned."""
    lambs = at_her_side(ewe)
    weaned = group.day("weaning") if group else None
    if ewe.record is None or not lambs or (weaned and ewe.left_on and ewe.left_on >= weaned):
        return
    names = ", ".join(lamb.name for lamb in lambs)
    how = shown(ewe.record["left_how"]) or "gone"
    cells = (ewe.record.at("left_how" if ewe.record.filled("left_how") else "left_on"),
             *(lamb.record.at("reared_by" if lamb.named else "born_alive") for lamb in lambs))
    yield Sign(alerts.ORPHANS, f"{how}; still booked on her: {names}", midnight(ewe.left_on), tuple(dict.fromkeys(cells)))
