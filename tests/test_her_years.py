"""Her last three years in one line each, and what a season adds to her history."""

import json
from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import Born, LambLeft, OnOff, Prolapse, Sex, Taken, Weighed
from template_builder.layout.columns import Row
from workbook.output.report import result_json
from workbook.reading.season_file import Reading
from workbook.results.advice.decisions import decisions
from workbook.results.advice.her_years import HerSeason, her_last_years, her_season
from workbook.results.pipeline import analyse
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)
LAMB: Row = {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}
EARLIER: Row = {"past_year_1": "2025: scanned 2; 2 born, 2 reared", "past_year_2": "2024: scanned empty",
                "past_year_3": "2023: x"}


def of(records: Season, stage: str = "weaned") -> HerSeason:
    return her_season(records, records.flock.ewes["a"], decisions(records, stage).get("a"))


def flock(*lambs: Row, stage: str = "weaned", policy: list[Row] | None = None, **ewe: object) -> HerSeason:
    rows: Row = {"ewe": "A", **ewe}  # type: ignore[dict-item]
    return of(season(ewes=[rows], lambs=lambs, policy=policy or []), stage)


@pytest.mark.parametrize(("lambs", "ewe", "line"), [
    ((), {}, ""),
    ((), {"scanned": 0, "lambings_before": 3}, "2026: scanned empty"),
    ((LAMB,), {"scanned": 1}, "2026: scanned 1; 1 born, 1 reared"),
    (({**LAMB, "left_how": LambLeft.DIED},), {}, "2026: 1 born, 0 reared; reared none of her lambs"),
    (({**LAMB, "taken": Taken.REFUSED},), {"scanned": 2}, "2026: scanned 2; 1 born, 1 reared; refused her lambs"),
    (({**LAMB, "born": Born.ABORTED},), {"scanned": 1}, "2026: scanned 1; aborted"),
    ((), {"scanned": 2, "mated_on": date(2025, 10, 1)}, "2026: scanned 2; scanned in lamb, never lambed"),
], ids=str)
def test_a_season_in_one_line(lambs: tuple[Row, ...], ewe: Row, line: str) -> None:
    assert line == flock(*lambs, **ewe).line


def test_before_weaning_nothing_is_reared_yet() -> None:
    assert "2026: 1 born, 1 with her so far" == flock(LAMB, stage="so far").line


def test_the_litter_stands_in_the_line_against_like_ewes() -> None:
    names = [f"E{number:02}" for number in range(11)] + ["A"]
    records = season(
        lambing=[{"ewe": name, "lambed_on": LAMBED, "prolapse": Prolapse.RECTAL} for name in names],
        lambs=[{"ewe": name, "lamb_no": 1, "born": Born.ALIVE, "sex": Sex.EWE, "birth_weight": 4.0} for name in names],
        weights=[{"animal": f"{name}-1", "date": LAMBED + timedelta(90), "kg": 18.0 if name == "A" else 30.0,
                  "occasion": Weighed.WEANING} for name in names])
    assert "2026: 1 born, 1 reared; rectal prolapse; litter 11 kg under like ewes" == of(records).line
    other = her_season(records, records.flock.ewes["e00"], None)
    assert "2026: 1 born, 1 reared; litter 1 kg above like ewes" == other.line


@pytest.mark.parametrize(("lamb", "expected"), [
    (None, (False, None, None, None, None)),
    ({}, (True, 1, 1, 0, 0)),
    ({"taken": Taken.REFUSED}, (True, 1, 1, 1, 0)),
    ({"left_how": LambLeft.DIED}, (True, 1, 0, 1, 1)),
    ({"left_how": LambLeft.SOLD}, (True, 1, 1, 0, 0)),
    ({"born": Born.DEAD_FRESH}, (True, 1, 0, None, None)),
    ({"born": Born.ABORTED}, (True, 0, 0, None, None)),
], ids=str)
def test_what_a_season_adds(lamb: Row | None, expected: tuple[object, ...]) -> None:
    assert expected == flock(*([] if lamb is None else [{**LAMB, **lamb}]))[:5]


def test_a_rule_switched_off_is_no_fault() -> None:
    off: list[Row] = [{"row_key": "refused-lambs", "on": OnOff.OFF}]
    refused: Row = {**LAMB, "taken": Taken.REFUSED}
    assert (1, 0) == (flock(refused).fault, flock(refused, policy=off).fault)


@pytest.mark.parametrize(("lambs", "years"), [((LAMB,), ["2026", "2025", "2024"]), ((), ["2025", "2024", "2023"])])
def test_three_years_the_latest_first(lambs: tuple[Row, ...], years: list[str]) -> None:
    records = season(ewes=[{"ewe": "A", **EARLIER}], lambs=lambs)
    lines = her_last_years(records, records.flock.ewes["a"], decisions(records, "weaned")["a"])
    assert years == [line.split(":")[0] for line in lines]
    assert EARLIER["past_year_1"] in lines


def test_a_ewe_without_a_row_on_ewes_has_this_season_alone() -> None:
    records = season(lambs=[LAMB])
    assert ("2026: 1 born, 1 reared",) == her_last_years(records, records.flock.ewes["a"], None)


def test_the_result_has_them_for_every_ewe_there_is_a_decision_on() -> None:
    result = analyse(Reading(season(ewes=[{"ewe": "A", **EARLIER}, {"ewe": "B", "left_on": LAMBED}], lambs=[LAMB]), ()))
    assert ["a"] == list(result.years)
    told = json.loads(result_json(result))["ewes"]
    assert [list(result.years["a"]), []] == [ewe["last_years"] for ewe in told], "none of a ewe that has left"
    assert 3 == len(told[0]["last_years"])
