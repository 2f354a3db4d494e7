"""The limits of rules: a value just inside, on and just outside; the day before, the day and the day after."""

from collections.abc import Callable
from datetime import date, datetime, time, timedelta

import pytest
from seasons import AS_OF, season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.choices import (
    Belly,
    Born,
    Colostrum,
    EweLeft,
    Help,
    HowRecorded,
    LambLeft,
    NextDay,
    RearedBy,
    Stage,
    Sucked,
    Taken,
    TreatedFor,
)
from template_builder.layout.columns import Row, Value
from workbook.rules.rule import REGISTRY, run

LAMBED = date(2026, 3, 16)
TODAY = AS_OF.date()
SOLD = {"left_how": LambLeft.SOLD}
DIED: Row = {"left_how": LambLeft.DIED}

Rows = dict[str, list[Row]]


def days(day: date, *offsets: int) -> list[date]:
    return [day + timedelta(days=offset) for offset in offsets]


def around(day: date, fires: str) -> list[tuple[date, bool]]:
    """The day before, the day and the day after; fires: "+" where the rule speaks."""
    return [(one, sign == "+") for one, sign in zip(days(day, -1, 0, 1), fires, strict=True)]


def ewe(**cells: Value) -> Rows:
    return {"ewes": [{"ewe": "1", **cells}]}


def lambing(day: date | None = LAMBED, **cells: Value) -> Rows:
    return {"lambing": [{"ewe": "1", "lambed_on": day, **cells}]}


def lambs(*rows: Row) -> Rows:
    return {"lambs": [{"ewe": "1", "lamb_no": number, "born": Born.ALIVE, **row} for number, row in enumerate(rows, start=1)]}


def weights(*weighed: tuple[date, float]) -> Rows:
    return {"weights": [{"animal": "1-1", "date": day, "kg": kg} for day, kg in weighed]}


def look(day: date, **cells: Value) -> Rows:
    return {"ewe_check": [{"ewe": "1", "date": day, **cells}]}


def treated(given_to: TreatedFor, animal: str, day: date) -> Rows:
    return {"treatments": [{"given_to": given_to, "animal": animal, "date": day}]}


def group(**cells: Value) -> Rows:
    return {"groups": [{"group": "Hill", **cells}]}


def both(*parts: Rows) -> Rows:
    return {sheet: rows for part in parts for sheet, rows in part.items()}


def scans(number: int) -> list[Row]:
    return [{"ewe": str(one), "scanned": 2} for one in range(1, number + 1)]


def aborted(*lambed: date, of: int) -> Rows:
    """So many ewes that aborted on these days, of so many in lamb."""
    rows = [(str(number), day) for number, day in enumerate(lambed, start=1)]
    return {"ewes": scans(of), "lambing": [{"ewe": one, "lambed_on": day} for one, day in rows],
            "lambs": [{"ewe": one, "lamb_no": 1, "born": Born.ABORTED} for one, _ in rows]}


def counted(stage: Stage, day: date) -> Rows:
    return both(group(weaning=LAMBED), {"counts": [{"date": day, "group": "Hill", "stage": stage, "lambs": 1}]})


def booked(counts: int, day: date, left: date | None = None) -> Rows:
    """One ewe in Hill, where so many were counted on a day."""
    return both(ewe(group="Hill", left_on=left), {"counts": [{"date": day, "group": "Hill", "ewes": counts}]})


# Rule, what the value stands for, the rows with it, and for each value whether the rule speaks.
LIMITS: list[tuple[str, str, Callable[..., Rows], list[tuple[object, bool]]]] = [
    ("A101", "share", lambda number: aborted(LAMBED, of=number), [(49, True), (50, True), (51, False)]),
    ("A101", "within a week", lambda day: aborted(LAMBED, day, of=200),
     [(LAMBED, True), *zip(days(LAMBED, 6, 7, 8), (True, True, False), strict=True)]),
    ("B111", "ewes counted", lambda number: booked(number, LAMBED), [(0, False), (1, False), (2, True)]),
    ("B111", "left on", lambda day: booked(1, LAMBED, day), around(LAMBED, "++-")),
    ("C110", "first day", lambda day: both(ewe(mated_on=date(2025, 10, 20)), lambing(day)), around(date(2026, 3, 7), "+--")),
    ("C110", "last day", lambda day: both(
        group(ram_out=date(2025, 10, 25)), ewe(group="Hill", mated_on=date(2025, 10, 20)), lambing(day)),
     around(date(2026, 3, 29), "--+")),
    ("C110", "first day of the ram", lambda day: both(group(ram_in=date(2025, 10, 20)), ewe(group="Hill"), lambing(day)),
     around(date(2026, 3, 7), "+--")),
    ("C110", "last day of the ram", lambda day: both(group(ram_out=date(2025, 10, 20)), ewe(group="Hill"), lambing(day)),
     around(date(2026, 3, 29), "--+")),
    # Later than 160 days after mating, and within five days of 147 and a heat of 17.
    ("C145", "a heat later, least", lambda day: both(ewe(mated_on=date(2025, 10, 20)), lambing(day)),
     around(date(2026, 3, 29), "--+")),
    ("C145", "a heat later, most", lambda day: both(ewe(mated_on=date(2025, 10, 20)), lambing(day)),
     around(date(2026, 4, 7), "++-")),
    ("C145", "ram still there", lambda day: both(group(ram_out=day), ewe(group="Hill", mated_on=date(2025, 10, 20)),
                                                 lambing(date(2026, 4, 2))), around(date(2025, 11, 6), "-++")),
    ("C111", "order", lambda day: both(ewe(mated_on=LAMBED, scanned_on=day)), around(LAMBED, "+--")),
    ("C111", "ram order", lambda day: group(ram_in=LAMBED, ram_out=day), around(LAMBED, "+--")),
    ("C112", "date ahead", lambda day: ewe(scanned_on=day), around(TODAY, "--+")),
    ("C112", "moment ahead", lambda finished: lambing(finished=finished),
     [(AS_OF - timedelta(minutes=1), False), (AS_OF, False), (AS_OF + timedelta(minutes=1), True)]),
    ("C113", "not as scanned", lambda scanned: both(ewe(scanned=scanned), lambs({}, {})),
     [(0, False), (1, True), (2, False), (3, False), (4, True)]),
    ("C139", "large litter", lambda scanned: both(ewe(scanned=scanned), lambs({}, {}, {})),
     [(1, False), (2, False), (3, False), (4, True), (5, False)]),
    ("C139", "hard to scan", lambda scanned: both(ewe(scanned=scanned), lambs({})), [(1, False), (2, False), (3, False)]),
    ("C115", "last day", lambda due: ewe(scanned=2, due=due), around(date(2026, 8, 18), "+--")),
    ("C116", "single, least", lambda kg: lambs({"birth_weight": kg}), [(2.9, True), (3.0, False), (3.1, False)]),
    ("C116", "single, most", lambda kg: lambs({"birth_weight": kg}), [(7.4, False), (7.5, False), (7.6, True)]),
    ("C116", "twin, least", lambda kg: lambs({"birth_weight": kg}, {}), [(1.9, True), (2.0, False), (2.1, False)]),
    ("C116", "twin, most", lambda kg: lambs({"birth_weight": kg}, {}), [(5.9, False), (6.0, False), (6.1, True)]),
    ("C116", "triplet, most", lambda kg: lambs({"birth_weight": kg}, {}, {}), [(5.4, False), (5.5, False), (5.6, True)]),
    ("C117", "looked at after she left", lambda day: both(ewe(left_on=LAMBED), look(day)), around(LAMBED, "--+")),
    ("C117", "treated after she left", lambda day: both(ewe(left_on=LAMBED), treated(TreatedFor.EWE, "1", day)),
     around(LAMBED, "--+")),
    ("C118", "weighed after it left", lambda day: both(ewe(), lambs({"left_on": LAMBED, **SOLD}), weights((day, 20))),
     around(LAMBED, "--+")),
    ("C118", "treated after it left", lambda day: both(
        ewe(), lambs({"left_on": LAMBED, **SOLD}), treated(TreatedFor.LAMB, "1-1", day)), around(LAMBED, "--+")),
    ("C118", "left before birth", lambda day: both(
        ewe(), lambing(), lambs({"left_on": day, **SOLD}), weights((LAMBED + timedelta(days=40), 20))), around(LAMBED, "-++")),
    ("C129", "600 g a day", lambda kg: both(lambing(), lambs({"birth_weight": 4.0}), weights((days(LAMBED, 30)[0], kg))),
     [(21.9, False), (22.0, False), (22.1, True)]),
    ("C129", "days between", lambda day: both(lambing(), lambs({"birth_weight": 4.0}), weights((day, 30.0))),
     list(zip(days(LAMBED, 6, 7, 8), (False, True, True), strict=True))),
    ("C129", "a fifth lost", lambda kg: both(lambs({}), weights((LAMBED, 20.0), (days(LAMBED, 30)[0], kg))),
     [(15.9, True), (16.0, False), (16.1, False)]),
    ("C134", "scanned on", lambda day: both(ewe(scanned_on=LAMBED), lambing(day)), around(LAMBED, "+--")),
    ("C135", "moved", lambda day: both(lambing(), lambs({"moved_on": day})), around(LAMBED, "+--")),
    ("C135", "left", lambda day: both(lambing(), lambs({"left_on": day, **DIED})), around(LAMBED, "+--")),
    ("C135", "weighed", lambda day: both(lambing(), lambs({}), weights((day, 20))), around(LAMBED, "+--")),
    ("C135", "treated", lambda day: both(lambing(), lambs({}), treated(TreatedFor.LAMB, "1-1", day)), around(LAMBED, "+--")),
    ("C136", "finished", lambda minute: lambing(
        waters_seen=datetime(2026, 3, 16, 3, 30), finished=datetime(2026, 3, 16, 3, minute)),
     [(29, True), (30, False), (31, False)]),
    ("C137", "another day", lambda day: lambing(finished=datetime.combine(day, time(23, 59))),
     list(zip(days(LAMBED, -2, -1, 0, 1, 2), (True, False, False, False, True), strict=True))),
    ("C142", "set on after she left", lambda day: both(
        {"ewes": [{"ewe": "2", "left_on": LAMBED}]}, lambs({"foster_ewe": "2", "moved_on": day})), around(LAMBED, "--+")),
    ("C143", "dates out", lambda number: {"lambing": [
        {"ewe": str(one), "lambed_on": LAMBED + timedelta(days=1462)} for one in range(number)]},
     [(9, False), (10, True), (11, True)]),
    ("C147", "condition", lambda score: both(ewe(scanned_on=date(2026, 1, 12), condition=3.5), lambing(condition=score)),
     [(1.9, True), (2.0, False), (2.1, False), (4.9, False), (5.0, False)]),
    ("C148", "seen before she lambed", lambda day: both(lambing(), look(day, lambs_at_foot=1)), around(LAMBED, "+--")),
    ("C148", "seen in this season", lambda day: both(lambing(), look(day, lambs_at_foot=1)), around(date(2025, 6, 1), "-++")),
    ("C148", "lambs at foot", lambda number: both(lambing(), look(date(2026, 3, 1), lambs_at_foot=number)),
     [(0, False), (1, True)]),
    ("C149", "lambs at foot", lambda number: both(lambing(), lambs({}), look(date(2026, 6, 1), lambs_at_foot=number)),
     [(0, False), (1, False), (2, True)]),
    ("C149", "only lambs set on", lambda number: both(
        {"ewes": [{"ewe": "1"}], "lambs": [{"ewe": "2", "lamb_no": 1, "born": Born.ALIVE, "foster_ewe": "1"}]},
        look(date(2026, 6, 1), lambs_at_foot=number)), [(1, False), (2, True)]),
    ("C149", "no lambs known", lambda number: both(ewe(), look(date(2026, 6, 1), lambs_at_foot=number)), [(1, False)]),
    ("C149", "seen from lambing on", lambda day: both(lambing(), lambs({}), look(day, lambs_at_foot=2)), around(LAMBED, "-++")),
    ("C149", "left on", lambda day: both(
        lambing(), lambs({}, {"left_on": day, **DIED}), look(date(2026, 6, 1), lambs_at_foot=2)),
     around(date(2026, 6, 1), "+--")),
    ("C149", "moved on", lambda day: both(
        lambing(), lambs({}, {"reared_by": RearedBy.PET, "moved_on": day}), look(date(2026, 6, 1), lambs_at_foot=2)),
     around(date(2026, 6, 1), "+--")),
    ("C150", "lambs reared", lambda number: both(
        {"ewes": [{"ewe": "2"}]}, lambs(*[{"foster_ewe": "2"}] * number)), [(3, False), (4, False), (5, True)]),
    ("C151", "weaned by then", lambda day: both(
        group(weaning=LAMBED), ewe(group="Hill", left_on=day, left_how=EweLeft.SOLD), lambs({})), around(LAMBED, "+--")),
    ("C151", "weaned by age", lambda day: both(ewe(left_on=day, left_how=EweLeft.SOLD), lambing(), lambs({})),
     around(LAMBED + timedelta(days=90), "+--")),
    ("C151", "moved to her", lambda day: both(
        {"ewes": [{"ewe": "2", "left_on": LAMBED, "left_how": EweLeft.DIED}], "lambing": [{"ewe": "2", "lambed_on": LAMBED}]},
        lambs({"foster_ewe": "2", "moved_on": day})), around(LAMBED, "++-")),
    ("C152", "refused", lambda taken: lambs({"taken": taken}),
     [(Taken.REFUSED, True), (Taken.SLOWLY, False), (Taken.YES, False)]),
    ("C154", "lambings before", lambda number: ewe(born_year=2023, lambings_before=number), [(1, False), (2, False), (3, True)]),
    ("C154", "born", lambda year: both(ewe(born_year=year), lambing()), [(2024, False), (2025, False), (2026, True)]),
    ("C155", "days of withdrawal", lambda number: both(ewe(left_on=LAMBED, left_how=EweLeft.SOLD), {"treatments": [
        {"given_to": TreatedFor.EWE, "animal": "1", "date": LAMBED, "withdrawal": number}]}),
     [(None, False), (-1, False), (0, False), (1, True)]),
    ("C155", "how she left", lambda how: both(ewe(left_on=LAMBED, left_how=how), {"treatments": [
        {"given_to": TreatedFor.EWE, "animal": "1", "date": LAMBED, "withdrawal": 1}]}),
     [(how, how in (EweLeft.SOLD, EweLeft.CULLED)) for how in EweLeft]),
    ("C156", "at marking", lambda day: counted(Stage.MARKING, day), around(LAMBED, "--+")),
    ("C156", "at weaning, late", lambda day: counted(Stage.WEANING, day), around(LAMBED + timedelta(days=14), "--+")),
    ("C156", "at weaning, early", lambda day: counted(Stage.WEANING, day), around(LAMBED - timedelta(days=14), "+--")),
    ("C156", "ahead", lambda day: counted(Stage.MARKING, day), around(TODAY, "++-")),
    ("C159", "set on before she lambed", lambda day: both(
        {"ewes": [{"ewe": "2"}], "lambing": [{"ewe": "2", "lambed_on": LAMBED}]},
        lambs({"foster_ewe": "2", "moved_on": day})), around(LAMBED - timedelta(days=1), "+--")),
    ("C160", "ewes to the ram", lambda number: both(group(ewes_to_ram=number), ewe(group="hill")),
     [(0, True), (1, False), (2, False)]),
    ("C163", "twice in a day", lambda day: both(lambs({}), weights((LAMBED, 20), (day, 21))), around(LAMBED, "-+-")),
    ("C163", "twice in a day, one without a weight", lambda kg: both(lambs({}), {"weights": [
        {"animal": "1-1", "date": LAMBED, "kg": kg}, {"animal": "1-1", "date": LAMBED, "kg": 20}]}), [(None, False), (20, True)]),
    ("C163", "twice without a day", lambda day: both(lambs({}), {"weights": [
        {"animal": "1-1", "date": day, "kg": 19}, {"animal": "1-1", "date": day, "kg": 20}]}), [(None, False), (LAMBED, True)]),
    ("C153", "scan on Lambing", lambda scanned: both(ewe(scanned=2), lambing(scanned=scanned)),
     [(None, False), (1, True), (2, False), (3, True)]),
    ("C153", "scan on Ewes", lambda scanned: both(ewe(scanned=scanned), lambing(scanned=2)),
     [(None, False), (1, True), (2, False)]),
    ("C164", "season begins", lambda day: look(day), around(date(2025, 6, 1), "+--")),
    ("B103", "fewer", lambda number: both(
        group(how_recorded=HowRecorded.EACH_LAMB), ewe(group="Hill"), lambing(), lambs({}, {}),
        {"counts": [{"date": date(2026, 6, 1), "group": "Hill", "lambs": number}]}), [(1, True), (2, False), (3, False)]),
    ("B102", "more", lambda number: both(
        group(how_recorded=HowRecorded.EACH_LAMB), ewe(group="Hill"), lambing(), lambs({}, {}),
        {"counts": [{"date": date(2026, 6, 1), "group": "Hill", "lambs": number}]}), [(1, False), (2, False), (3, True)]),
]


@pytest.mark.parametrize(("rule", "rows", "value", "fires"), [
    pytest.param(rule, rows, value, fires, id=f"{rule}, {what}: {value}")
    for rule, what, rows, values in LIMITS for value, fires in values
])
def test_a_rule_speaks_from_its_limit_on(rule: str, rows: Callable[..., Rows], value: object, fires: bool) -> None:
    problems, skipped = run(season(**rows(value)), [REGISTRY[rule]])
    assert (fires, []) == (bool(problems), skipped)
    assert {rule} >= {problem.rule.id for problem in problems}


def swaps(first: date, then: date) -> str:
    rows = both(ewe(), lambing(first), lambs({"left_on": then, **DIED}))
    (problem,) = run(season(**rows), [REGISTRY["C135"]])[0]
    return problem.found.text.partition("; ")[2]


@pytest.mark.parametrize(("born", "left", "offered"), [
    (date(2026, 4, 3), date(2026, 3, 7), ""),  # 27 days: more likely a slip of a few days
    (date(2026, 4, 3), date(2026, 3, 6), "did you mean 3 Jun 2026?"),
    (date(2026, 4, 3), date(2026, 3, 5), "did you mean 3 May 2026?"),
    (date(2026, 5, 3), date(2026, 3, 13), "did you mean 5 Mar 2026?"),
    (date(2026, 5, 3), date(2026, 2, 28), ""),  # neither comes right
])
def test_day_and_month_swapped_are_offered_from_four_weeks_apart(born: date, left: date, offered: str) -> None:
    assert offered == swaps(born, left)


DISPUTED: Row = {"sheet": "Ewes", "row_name": "1", "column": "Scanned", "value_a": "1", "value_b": "3"}
OPERATED = {"lambing": [{"ewe": "1", "help": Help.CAESAREAN}], "treatments": [
    {"given_to": TreatedFor.EWE, "animal": "2", "date": LAMBED}], "ewes": [{"ewe": "1"}, {"ewe": "2"}]}


@pytest.mark.parametrize(("rule", "rows", "value"), [
    ("C158", OPERATED, "caesarean"),
    ("C157", both(lambing(colostrum=Colostrum.NONE), lambs({"sucked": Sucked.ALONE})), "none"),
    ("C162", both(lambing(next_day=NextDay.ALL_FULL), lambs({"belly": Belly.HOLLOW})), "hollow"),
    ("C152", lambs({"taken": Taken.REFUSED}), "refused"), ("C132", lambing(colostrum=Colostrum.PLENTY, sides_in_milk=0), "0"),
    ("C134", both(ewe(scanned_on=LAMBED), lambing(date(2026, 3, 1))), "1 Mar 2026"),
    ("C166", both(ewe(), {"conflicts": [DISPUTED]}), "blank"),
    ("C166", both(ewe(scanned=2), {"conflicts": [{**DISPUTED, "stands": "2"}]}), "2"),
])
def test_the_value_of_a_problem_is_what_was_found(rule: str, rows: Rows, value: str) -> None:
    assert [value] == [problem.found.value for problem in run(season(**rows), [REGISTRY[rule]])[0]]
