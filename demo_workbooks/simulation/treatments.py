"""The rows of Treatments. Products are described, not named; amounts are left to the vet; withdrawals are invented."""

from datetime import date, timedelta

from demo_workbooks.simulation.births import Birth, births
from demo_workbooks.simulation.departures import ewes_gone, lambs_lost
from demo_workbooks.simulation.farm import DRENCHED, GROUPS, PEOPLE, chance
from demo_workbooks.simulation.lamb_rows import called
from demo_workbooks.simulation.looks import LAME_DAYS, MASTITIS_AT, SICK_FOR
from demo_workbooks.simulation.stories import Story, stories
from template_builder.layout.choices import Cause, Help, Reason, TreatedFor
from template_builder.layout.columns import Row

_VACCINATED = date(2026, 2, 10)
_FLIES = date(2026, 6, 5)
_INJECTION, _PAIN_RELIEF, _FOOT_SPRAY, _DRINK = "antibiotic injection", "pain relief", "foot spray", "energy drink"
_VACCINE, _POUR_ON, _DRENCH = "booster vaccine", "fly pour-on", "worm drench"
_WITHDRAWAL = {_INJECTION: 28, _PAIN_RELIEF: 15, _FOOT_SPRAY: 0, _DRINK: 0, _VACCINE: 0, _POUR_ON: 40, _DRENCH: 28}
_HARD = (Help.HARD, Help.VET, Help.CAESAREAN)
_ILL_LAMB = {Cause.JOINT_ILL: Reason.JOINT_ILL, Cause.SCOUR: Reason.SCOUR, Cause.PNEUMONIA: Reason.PNEUMONIA}


def treatment_rows() -> list[Row]:
    """All treatments in order of date: single ewes and lambs, groups, the whole flock."""
    rows = [
        _row(_VACCINATED, TreatedFor.ALL_EWES, None, _VACCINE, Reason.VACCINE),
        *(_row(_FLIES, TreatedFor.GROUP, group, _POUR_ON, Reason.FLY) for group in GROUPS),
        _row(DRENCHED, TreatedFor.ALL_LAMBS, None, _DRENCH, Reason.WORMS),
    ]
    for birth in births():
        rows += _of_ewe(birth)
        rows += _of_lambs(birth)
    for number, gone in ewes_gone().items():
        if stories()[number] is Story.DIES_BEFORE_LAMBING:
            rows.append(_row(gone.on - timedelta(days=SICK_FOR), TreatedFor.EWE, number, _DRINK, Reason.METABOLIC))
    return sorted(rows, key=lambda row: (str(row["date"]), str(row.get("animal", ""))))


def _of_ewe(birth: Birth) -> list[Row]:
    number, ewe = birth.ewe.number, TreatedFor.EWE
    rows: list[Row] = []
    if birth.help in _HARD:
        rows += [_row(birth.day, ewe, number, product, Reason.LAMBING) for product in (_INJECTION, _PAIN_RELIEF)]
    match birth.story:
        case Story.MASTITIS:
            day = birth.day + timedelta(days=MASTITIS_AT)
            rows += [_row(day, ewe, number, product, Reason.MASTITIS) for product in (_INJECTION, _PAIN_RELIEF)]
        case Story.LAME_AGAIN:
            days = [birth.day + timedelta(days=days) for days in LAME_DAYS]
            rows += [_row(day, ewe, number, _INJECTION, Reason.LAMENESS) for day in days]
        case Story.BADLY_LAME:
            rows.append(_row(birth.day + timedelta(days=LAME_DAYS[0]), ewe, number, _INJECTION, Reason.LAMENESS))
            rows.append(_row(birth.day + timedelta(days=LAME_DAYS[1]), ewe, number, _FOOT_SPRAY, Reason.LAMENESS))
    return rows


def _of_lambs(birth: Birth) -> list[Row]:
    """Lambs that later died of what they were treated for, on the day before."""
    rows: list[Row] = []
    for lamb in birth.alive:
        gone = lambs_lost().get(lamb.name)
        if gone is not None and gone.cause in _ILL_LAMB and (gone.on - birth.day).days > 1:
            day = gone.on - timedelta(days=1)
            rows.append(_row(day, TreatedFor.LAMB, called(lamb.name), _INJECTION, _ILL_LAMB[gone.cause]))
    return rows


def _row(day: date, given_to: TreatedFor, animal: str | None, product: str, reason: Reason) -> Row:
    row: Row = {
        "date": day, "given_to": given_to, "animal": animal, "product": product,
        "batch": f"MADE-UP-{chance('batch', product).randrange(100, 999)}", "amount": "as prescribed", "reason": reason,
        "withdrawal": _WITHDRAWAL[product], "given_by": chance("given by", day, animal).choice(PEOPLE),
    }
    return {column: value for column, value in row.items() if value is not None}
