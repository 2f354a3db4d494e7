"""Signs of trouble with a ewe herself: illness, abortion, afterbirth, feet, condition, medicines; and lambs she left behind."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime

from template_builder.layout import alerts
from template_builder.layout.alerts import Alert
from template_builder.layout.choices import Choice, Feet, Prolapse, Reason, Trouble, YesNo
from template_builder.layout.words import shown
from workbook.results.advice.signs import SAME_DAY, Sign, Watch, hours_ago, lambed_at, midnight, next_day_look, seen
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.hers import at_her_side
from workbook.results.clinical.looks import bad_in_a_word, last_look
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe
from workbook.season.withdrawals import runs_to

PROLAPSES: Mapping[Choice, Alert] = {
    Prolapse.VAGINAL: alerts.PROLAPSE, Prolapse.WOMB: alerts.WOMB_PROLAPSE, Prolapse.RECTAL: alerts.RECTAL_PROLAPSE,
}
TROUBLES: Mapping[Choice, Alert] = {
    Trouble.MASTITIS: alerts.MASTITIS, Trouble.SLEEPY: alerts.SLEEPY, Trouble.PROLAPSE: alerts.PROLAPSE,
}


def trouble_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """All signs of trouble with her."""
    yield from _illness(ewe)
    yield from _aborted(watch, ewe)
    yield from _afterbirth(watch, ewe)
    yield from _bad_in_a_word(ewe)
    yield from _badly_lame(ewe)
    yield from _very_thin(ewe)
    yield from _withdrawals(ewe, watch.when)


def _illness(ewe: Ewe) -> Iterator[Sign]:
    """A prolapse written on Lambing, and for each trouble the last check that found it."""
    last = {check["trouble"]: check for check in ewe.checks}
    if ewe.lambing and (prolapse := _prolapse_at_lambing(ewe)):
        alert, why, column = prolapse
        again = last.pop(Trouble.PROLAPSE, None)
        days = [day for day in (lambed_at(ewe), midnight(again.day("date")) if again else None) if day]
        cells = (ewe.lambing.at(column), *([again.at("trouble")] if again else []))
        yield Sign(alert, why, max(days, default=None), cells)
    for trouble, check in last.items():
        if isinstance(trouble, Choice) and trouble in TROUBLES:
            yield _checked(TROUBLES[trouble], check)


def _prolapse_at_lambing(ewe: Ewe) -> tuple[Alert, str, str] | None:
    """The prolapse on her Lambing row, in words, and the column that says so: with its kind, or in one word."""
    kind = ewe.lambing["prolapse"] if ewe.lambing else None
    if isinstance(kind, Choice) and kind in PROLAPSES:
        return PROLAPSES[kind], f"{kind.label} prolapse", "prolapse"
    told = any(row is ewe.lambing for row, _, _ in ewe.seen_with(Trouble.PROLAPSE))
    return (alerts.PROLAPSE, "prolapse", "trouble") if told else None


def _checked(alert: Alert, check: Record) -> Sign:
    return Sign(alert, _found(check, "trouble"), midnight(check.day("date")), (check.at("trouble"),))


def _found(row: Record, column: str) -> str:
    """What a look found, with its day: "thin found on 12 Mar 2026"."""
    value, day = shown(row[column]), row.day("date" if row.has("date") else "lambed_on")
    return f"{value} found on {shown(day)}" if day else value


def _aborted(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """One fact for all: seen to abort, or likely by her lambs and her dates. No look answers it."""
    if found := abortions(watch.season).get(ewe.key):
        alert = alerts.ABORTED if found.certain else alerts.ABORTION_SUSPECTED
        yield Sign(alert, found.why, midnight(found.day), found.cells, answered=None)


def _afterbirth(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Still held a day after lambing. Only a look made after that day can say otherwise."""
    since = hours_ago(ewe, watch.when)
    if ewe.lambing and ewe.lambing["afterbirth"] is YesNo.NO and (since is None or since >= alerts.AFTERBIRTH_HELD):
        cell = (ewe.lambing.at("afterbirth"),)
        yield Sign(alerts.AFTERBIRTH_HELD_BACK, "afterbirth not passed a day after lambing", lambed_at(ewe), cell,
                   alerts.AFTERBIRTH_HELD)


def _bad_in_a_word(ewe: Ewe) -> Iterator[Sign]:
    """Udder or teats called bad in one word; the next day's look answers it, as it does what is written at lambing."""
    if (cell := bad_in_a_word(ewe)) and not next_day_look(ewe):
        yield Sign(alerts.BAD_UDDER, "bad udder or teats, which is not written", lambed_at(ewe), (cell,))


def _badly_lame(ewe: Ewe) -> Iterator[Sign]:
    look = last_look(ewe, "feet")
    if look and look.value is Feet.BADLY_LAME and not _treated_since(ewe, look.day, Reason.LAMENESS):
        yield Sign(alerts.BADLY_LAME, f"{_found(look.record, 'feet')}, no treatment for it written since", seen(ewe, look),
                   (look.place,))


def _very_thin(ewe: Ewe) -> Iterator[Sign]:
    """Found thin, or very thin when last scored; of both the later one."""
    found: list[tuple[datetime | None, str, CellRef]] = []
    thin = next((check for check in reversed(ewe.checks) if check["trouble"] is Trouble.THIN), None)
    if thin is not None:
        found.append((midnight(thin.day("date")), _found(thin, "trouble"), thin.at("trouble")))
    look = last_look(ewe, "condition")
    score = look.record.number(look.column) if look else None
    if look and score is not None and score < alerts.VERY_THIN_BELOW:
        found.append((seen(ewe, look), f"condition {_found(look.record, look.column)}", look.place))
    if not found:
        return
    since, why, cell = max(found, key=lambda one: one[0] or datetime.max)
    if not _treated_since(ewe, since and since.date()):
        yield Sign(alerts.VERY_THIN, f"{why}, no treatment written since", since, (cell,), SAME_DAY)


def _treated_since(ewe: Ewe, day: date | None, reason: Reason | None = None) -> bool:
    """Whether she was treated (for this) on that day or later; what has no day comes last, as among looks."""
    rows = [row for row in ewe.treatments if reason is None or row["reason"] is reason]
    return any((row.day("date") or date.max) >= (day or date.max) for row in rows)


def _withdrawals(ewe: Ewe, when: datetime) -> Iterator[Sign]:
    """Treatments written for her alone; those of her group stand in the medicine book."""
    for row in ewe.treatments:
        ends = runs_to(row)
        product = row.text("product") or "treatment"
        cells = (row.at("date"), row.at("withdrawal"))
        if ends is None:
            alert, why = alerts.WITHDRAWAL_UNKNOWN, f"{product}: withdrawal or date not written"
        elif when.date() <= ends:
            alert, why = alerts.WITHDRAWAL, f"{product}: withdrawal written here ends on {shown(ends)}"
        else:
            continue
        yield Sign(alert, why, midnight(row.day("date")), cells, answered=None, closes=False)


def orphan_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """Live lambs still booked on a ewe that has died or left, until they are weaned."""
    lambs = at_her_side(ewe)
    if ewe.record is None or not lambs or watch.weaned(ewe):
        return
    names = ", ".join(lamb.name for lamb in lambs)
    how = shown(ewe.record["left_how"]) or "gone"
    cells = (ewe.record.at("left_how" if ewe.record.filled("left_how") else "left_on"),
             *(lamb.record.at("reared_by" if lamb.named else "born_alive") for lamb in lambs))
    yield Sign(alerts.ORPHANS, f"{how}; still booked on her: {names}", midnight(ewe.left_on), tuple(dict.fromkeys(cells)),
               answered=None)
