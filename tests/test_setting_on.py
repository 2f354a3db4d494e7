"""Who is never offered another ewe's lamb: every reason by itself, and each limit before, on and after it."""

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta

import pytest
from edge_seasons import edge_season
from live_cells import in_rows
from seasons import season

from template_builder.layout import alerts
from template_builder.layout.alerts import END
from template_builder.layout.choices import (
    Belly,
    Born,
    Colostrum,
    EweLeft,
    Feet,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    WhyMoved,
)
from template_builder.layout.columns import Row, Value
from template_builder.live_values import live_values
from workbook.results.advice.problem_ewes import problem_ewes
from workbook.results.clinical.setting_on import not_for_setting_on

NIGHT = date(2026, 3, 12)
NOW = datetime.combine(NIGHT, time(20))
Rows = Mapping[str, list[Row]]
ILLNESS = (
    alerts.WOMB_PROLAPSE, alerts.PROLAPSE, alerts.RECTAL_PROLAPSE, alerts.ABORTED, alerts.ABORTION_SUSPECTED, alerts.MASTITIS,
    alerts.SLEEPY, alerts.REFUSED, alerts.NOT_SUCKING, alerts.TROUBLE, alerts.SIDE_DRY, alerts.BADLY_LAME, alerts.VERY_THIN,
)


def lambing(**cells: Value) -> Row:
    return {"ewe": "A", "lambed_on": NIGHT, "sides_in_milk": 2, **cells}


def lamb(**cells: Value) -> Row:
    return {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, **cells}


def check(**cells: Value) -> Row:
    return {"ewe": "A", "date": NIGHT, **cells}


def treatment(days_ago: int = 0, reason: Reason = Reason.OTHER, **cells: Value) -> Row:
    return {"given_to": TreatedFor.EWE, "animal": "A", "date": NIGHT - timedelta(days=days_ago), "reason": reason, **cells}


def reasons(rows: Rows) -> tuple[str, ...]:
    of = season(**{"ewes": [{"ewe": "A"}, {"ewe": "B"}], "lambing": [lambing()], **rows})
    return not_for_setting_on(of, of.flock.ewes["a"], NOW)


def test_a_ewe_in_milk_with_nothing_written_against_her_is_offered() -> None:
    assert () == reasons({})
    assert () == reasons({"lambs": [lamb(sucked=Sucked.ALONE, taken=Taken.YES)], "ewe_check": [check(udder=Udder.SOUND)]})


CASES: list[tuple[str, Rows]] = [
    ("gone", {"ewes": [{"ewe": "A", "left_how": EweLeft.DIED}]}),
    ("aborted", {"lambs": [lamb(born=Born.ABORTED)]}),
    ("abortion suspected", {"lambs": [lamb(born=Born.MUMMIFIED)]}),
    ("a side dry", {"lambing": [lambing(sides_in_milk=1)]}),
    ("both sides dry", {"lambing": [lambing(sides_in_milk=0)]}),
    ("no colostrum", {"lambing": [lambing(colostrum=Colostrum.NONE)]}),
    ("her own lamb was taken from her for want of milk", {"lambs": [lamb(why_moved=WhyMoved.NO_MILK, reared_by=RearedBy.PET)]}),
    ("mastitis this season", {"ewe_check": [check(date=NIGHT - timedelta(days=60), trouble=Trouble.MASTITIS), check()]}),
    ("a bad udder", {"ewe_check": [check(udder=Udder.LUMP)]}), ("a bad udder", {"ewe_check": [check(udder=Udder.HARD)]}),
    ("a bad udder", {"ewe_check": [check(udder=Udder.DAMAGED)]}),
    ("bad teats", {"lambing": [lambing(teats=Teats.LARGE)]}), ("bad teats", {"lambing": [lambing(teats=Teats.BLOCKED)]}),
    ("bad teats", {"ewe_check": [check(teats=Teats.DAMAGED)]}),
    ("refused a lamb", {"lambs": [lamb(taken=Taken.REFUSED, reared_by=RearedBy.PET, why_moved=WhyMoved.REFUSED)]}),
    ("refused a lamb", {"lambs": [{"ewe": "B", "foster_ewe": "A", "reared_by": RearedBy.FOSTER_EWE, "taken": Taken.REFUSED,
                                   "why_moved": WhyMoved.SPARE}]}),
    ("lost interest in her lambs", {"lambing": [lambing(mothering=1)]}),
    ("lost interest in her lambs", {"lambing": [lambing(mothering=2)]}),
    ("a lamb of hers does not suck", {"lambs": [lamb(sucked=Sucked.NO)]}),
    ("prolapse this season", {"lambing": [lambing(prolapse=Prolapse.RECTAL)]}),
    ("prolapse this season", {"ewe_check": [check(date=NIGHT - timedelta(days=30), trouble=Trouble.PROLAPSE), check()]}),
    ("ill at the last look", {"ewe_check": [check(trouble=Trouble.SLEEPY)]}),
    ("ill at the last look", {"lambing": [lambing(next_day=NextDay.TROUBLE)]}),
    ("badly lame", {"ewe_check": [check(feet=Feet.BADLY_LAME)]}),
    ("very thin", {"ewe_check": [check(condition=1.4)]}), ("very thin", {"lambing": [lambing(condition=1.4)]}),
    ("under treatment", {"treatments": [treatment(7)]}),
    ("under treatment", {"treatments": [treatment(8, withdrawal=8)]}),
    ("under treatment", {"treatments": [{**treatment(), "date": None}]}),
]


@pytest.mark.parametrize(("why", "rows"), CASES, ids=[f"{number} {why}" for number, (why, _) in enumerate(CASES)])
def test_each_reason_by_itself(why: str, rows: Rows) -> None:
    assert (why,) == reasons(rows)


QUIET: list[Rows] = [
    {"lambing": [lambing(sides_in_milk=1, sides_next_day=2)]}, {"lambing": [lambing(mothering=3)]},
    {"lambing": [lambing(colostrum=Colostrum.LITTLE)]}, {"lambing": [lambing(condition=1.5)]},
    {"lambing": [lambing(teats=Teats.SMALL)]}, {"lambing": [lambing(prolapse=Prolapse.NONE)]},
    {"ewe_check": [check(udder=Udder.HARD), check(date=NIGHT + timedelta(days=1), udder=Udder.SOUND)]},
    {"ewe_check": [check(trouble=Trouble.SLEEPY), check(date=NIGHT + timedelta(days=1), udder=Udder.SOUND)]},
    {"ewe_check": [check(feet=Feet.LAME)]}, {"ewe_check": [check(condition=1.5)]},
    {"ewe_check": [check(date=NIGHT - timedelta(days=1), teats=Teats.LARGE)], "lambing": [lambing(teats=Teats.SOUND)]},
    {"lambing": [lambing(next_day=NextDay.TROUBLE)], "ewe_check": [check(date=NIGHT + timedelta(days=2))]},
    {"lambs": [lamb(sucked=Sucked.NO, belly=Belly.FULL)]}, {"lambs": [lamb(why_moved=WhyMoved.SPARE, reared_by=RearedBy.PET)]},
    {"lambs": [{"ewe": "B", "foster_ewe": "A", "reared_by": RearedBy.FOSTER_EWE, "taken": Taken.REFUSED,
                "why_moved": WhyMoved.REFUSED}]},
    {"treatments": [treatment(8)]}, {"treatments": [treatment(8, withdrawal=7)]},
    {"treatments": [treatment(0, reason, withdrawal=28) for reason in (Reason.VACCINE, Reason.WORMS, Reason.FLY)]},
]


@pytest.mark.parametrize("rows", QUIET, ids=map(str, range(len(QUIET))))
def test_no_reason(rows: Rows) -> None:
    assert () == reasons(rows)


@pytest.mark.parametrize(("next_look", "ill"), [(0, True), (1, True), (2, False)])
def test_trouble_next_day_until_a_look_after_that_day(next_look: int, ill: bool) -> None:
    rows: Rows = {"lambing": [lambing(next_day=NextDay.TROUBLE)], "ewe_check": [check(date=NIGHT + timedelta(days=next_look))]}
    assert (("ill at the last look",) if ill else ()) == reasons(rows)


@pytest.mark.parametrize("seed", range(40))
def test_no_ewe_stands_both_on_set_on_and_on_tonights_list_for_illness(seed: int) -> None:
    rows, now = edge_season(seed)
    ill = {alert.title for alert in ILLNESS}
    listed = {one.name for one in problem_ewes(season(now, **rows), now) if one.alert in ill and one.urgency < END}
    offered = {row["ewe"] for row in in_rows(live_values(rows, now))["room"] if row["key"] != ""}
    assert set() == listed & offered
