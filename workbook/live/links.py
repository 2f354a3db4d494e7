"""Values of the hidden blocks for Groups, Lambing, Ewe check and Treatments."""

from collections.abc import Sequence

from template_builder.choices import CheckOccasion, HowRecorded, Milk, Teats, TreatedFor, Trouble
from template_builder.live.columns import LiveRow, LiveValue, place
from template_builder.live.formulas import DAY, EWE, MINUTES, NO_MINUTE, UNREADABLE, unknown
from workbook.advice.evidence import milk_expected
from workbook.cells import Record
from workbook.live.rows import Rows, bad, code, key, number, text

_TROUBLES = {
    "mastitis": Trouble.MASTITIS, "sleepy": Trouble.SLEEPY, "prolapse": Trouble.PROLAPSE, "aborted": Trouble.ABORTED,
}


def is_number(value: LiveValue) -> bool:
    return isinstance(value, int | float)


def lambing(rows: Rows) -> list[LiveRow]:
    """Which ewe each row written on Lambing is about."""
    return [_lambing(rows, record) for record in rows.typed["lambing"]]


def _lambing(rows: Rows, record: Record) -> LiveRow:
    name = text(record, "ewe") if record.touched else ""
    return {"touched": int(record.touched), "name": name, "ewe": rows.ewe(name)}


def checks(rows: Rows) -> list[LiveRow]:
    """Looks at ewes, with a key for each thing a look may tell."""
    return [_check(rows, number, record) for number, record in enumerate(rows.typed["ewe_check"], start=1)]


def _check(rows: Rows, row: int, record: Record) -> LiveRow:
    name = text(record, "ewe")
    ewe = rows.ewe(name)
    known = record if ewe > 0 else None
    date, sides, at_foot = (number(known, column) for column in ("date", "sides_in_milk", "lambs_at_foot"))
    occasion, milk = code(known, "occasion", CheckOccasion), code(known, "milk", Milk)
    teats, trouble = code(known, "teats", Teats), code(known, "trouble", Trouble)
    own = key(row, ewe, date) if ewe > 0 else ""
    expected = ewe > 0 and milk_expected(rows.season.flock.ewes[rows.season.flock.names.match(name).key],
                                         rows.season.rows("ewe_check")[row - 1])
    wrong = bad(date, sides, at_foot) or UNREADABLE in (occasion, milk, teats, trouble)

    def when(condition: bool) -> LiveValue:
        return own if condition else ""

    return {
        "name": name, "ewe": ewe, "date": date, "sides": sides, "at_foot": at_foot, "occasion": occasion, "milk": milk,
        "teats": teats, "trouble": trouble, "bad": ewe if wrong else 0, "key": own, "look_key": when(is_number(date)),
        "teats_key": when(0 < teats < unknown(Teats)), "expected": int(expected), "milk_key": when(expected and is_number(sides)),
        **{f"{id}_key": when(trouble == place(kind)) for id, kind in _TROUBLES.items()},
    }


def treatments(rows: Rows) -> list[LiveRow]:
    """Treatments, with the day their withdrawal ends."""
    return [_treatment(rows, number, record) for number, record in enumerate(rows.typed["treatments"], start=1)]


def _treatment(rows: Rows, row: int, record: Record) -> LiveRow:
    given_to = code(record, "given_to", TreatedFor)
    known = record if given_to else None
    animal, date, days = text(known, "animal"), number(known, "date"), number(known, "withdrawal")
    ewe = rows.ewe(animal) if given_to == place(TreatedFor.EWE) else 0
    group = rows.group(animal) if given_to == place(TreatedFor.GROUP) else 0
    all_ewes = given_to == place(TreatedFor.ALL_EWES)
    until = int(date) + int(days) if isinstance(date, int | float) and isinstance(days, int | float) else None
    since = int(date) * MINUTES if isinstance(date, int | float) else NO_MINUTE
    running = until is not None and until >= int(rows.now)
    return {
        "given_to": given_to, "animal": animal, "date": date, "days": days, "ewe": ewe, "group": group,
        "until": "" if until is None else until, "bad": max(ewe, 0) if bad(date, days) else 0, "minute": since,
        "until_key": "" if ewe < 1 or until is None else ewe * EWE + until * DAY + row,
        "running_key": ewe * EWE + since if ewe > 0 and running else "",
        "unknown_key": ewe * EWE + since if ewe > 0 and until is None else "",
        "group_key": "" if group < 1 or until is None else group * EWE + until * DAY + row,
        "group_unknown": group if group > 0 and until is None else 0,
        "all_ewes": until if all_ewes and until is not None else "",
        "all_ewes_unknown": int(all_ewes and until is None),
    }


def groups(rows: Rows, treated: Sequence[LiveRow]) -> list[LiveRow]:
    """Groups, with the last withdrawal written for each."""
    return [_group(number, record, treated) for number, record in enumerate(rows.typed["groups"], start=1)]


def _group(row: int, record: Record, treated: Sequence[LiveRow]) -> LiveRow:
    name = text(record, "group")
    known = record if name else None
    ram_out, weaning = number(known, "ram_out"), number(known, "weaning")
    ends = [int(one["until"]) for one in treated if one["group"] == row and one["until"] != ""]
    return {
        "name": name, "ram_out": ram_out, "weaning": weaning, "bad": sum(bad(value) for value in (ram_out, weaning)),
        "counted": int(code(known, "how_recorded", HowRecorded) == place(HowRecorded.COUNTS_ONLY)),
        "until": max(ends, default=0), "unknown": sum(one["group_unknown"] == row for one in treated),
    }
