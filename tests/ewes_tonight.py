"""The list of problem ewes of one ewe, A, that lambed one night: what tests of its signs share."""

from datetime import date, datetime, time, timedelta

from seasons import season

from template_builder.layout.choices import Born, Reason, TreatedFor
from template_builder.layout.columns import Row, Value
from workbook.results.advice.problem_ewes import ProblemEwe, problem_ewes

NIGHT = date(2026, 3, 12)
NEXT = NIGHT + timedelta(days=1)


def listed(when: datetime, **rows: list[Row]) -> tuple[ProblemEwe, ...]:
    return problem_ewes(season(**rows), when)


def titles(when: datetime, **rows: list[Row]) -> list[str]:
    return [problem.alert for problem in listed(when, **rows)]


def only(when: datetime, **rows: list[Row]) -> ProblemEwe:
    (problem,) = listed(when, **rows)
    return problem


def at(day: date, hour: int = 12, minute: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute))


def lambing(**cells: Value) -> Row:
    return {"ewe": "A", "lambed_on": NIGHT, **cells}


def lamb(number: int = 1, **cells: Value) -> Row:
    return {"ewe": "A", "lamb_no": number, "born": Born.ALIVE, **cells}


def check(day: date = NIGHT, **cells: Value) -> Row:
    return {"ewe": "A", "date": day, **cells}


def treatment(**cells: Value) -> Row:
    return {"given_to": TreatedFor.EWE, "animal": "A", "reason": Reason.LAMENESS, "product": "Spray", **cells}
