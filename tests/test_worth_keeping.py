"""The next ewes to go: the parts their places rest on, and that a gap neither saves nor condemns a ewe."""

from datetime import date

import pytest
from scipy.stats import kendalltau
from seasons import season

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN
from template_builder.layout.choices import Action, Reason, TreatedFor
from template_builder.layout.columns import Row
from workbook.reading.season_file import read
from workbook.results.advice.decisions import decisions
from workbook.results.flock.worth_keeping import A_NOTE, EACH, Worth, worth_keeping
from workbook.results.pipeline import Result, analyse
from workbook.results.scores.mothering import MotheringScore, mothering_scores

YEAR = 2026


def ranked(ages: list[int | None], scores: dict[str, float] | None = None, **rows: list[Row]) -> dict[str, Worth]:
    ewes: list[Row] = [{"ewe": f"{number:03}", "scanned": 2, "born_year": None if age is None else YEAR - age}
                       for number, age in enumerate(ages, start=1)]
    one = season(ewes=ewes, season=[{"row_key": "year", "value": YEAR}], **rows)
    given = {ewe: MotheringScore(ewe, score, 100, (), "") for ewe, score in (scores or {}).items()}
    return {worth.name: worth for worth in worth_keeping(one, decisions(one, "weaned"), given)}


def test_the_oldest_goes_first_where_nothing_else_is_known() -> None:
    found = ranked([2, 6, 4])
    assert ["002", "003", "001"] == list(found)
    assert [0, EACH / 2, EACH] == [worth.age for worth in found.values()]


def test_a_part_not_recorded_has_the_mean_of_the_others() -> None:
    found = ranked([3, 3, 3], {"001": 100.0, "002": 40.0})
    assert pytest.approx(.7 * EACH) == found["003"].mothering
    assert "mothering" in found["003"].guessed and "mothering" not in found["001"].guessed
    assert ["002", "003", "001"] == list(found)


def test_a_flock_nothing_is_known_of_stands_in_the_middle() -> None:
    (worth,) = ranked([None]).values()
    assert (EACH / 2, EACH / 2, EACH / 2, EACH) == (worth.age, worth.mothering, worth.litters, worth.notes)
    assert ("age", "mothering", "litters") == worth.guessed


@pytest.mark.parametrize(("times", "off"), [(0, 0), (1, 0), (2, A_NOTE)])
def test_a_note_about_her_feet_takes_points_off(times: int, off: float) -> None:
    treated: list[Row] = [{"date": date(YEAR, 6, 1 + 20 * at), "given_to": TreatedFor.EWE, "animal": "001", "withdrawal": 0,
                           "reason": Reason.LAMENESS} for at in range(times)]
    found = ranked([3, 3], treatments=treated, policy=[{"row_key": "lame-twice", "action": Action.NOTE}])
    assert (EACH - off, EACH) == (found["001"].notes, found["002"].notes)


@pytest.fixture(scope="module", params=[CLEAN, HILL_CLEAN])
def demo(request: pytest.FixtureRequest) -> Result:
    return analyse(read(FOLDER / request.param))


def test_parts_stay_within_their_points_and_add_up(demo: Result) -> None:
    for worth in demo.worth:
        parts = (worth.age, worth.mothering, worth.litters, worth.notes)
        assert all(0 <= part <= EACH for part in parts)
        assert pytest.approx(sum(parts)) == worth.points


def test_the_order_is_that_of_an_independent_recomputation(demo: Result) -> None:
    """Kendall's tau-b of the places with points worked out anew from the parts as they are said: 1 where all agree."""
    found = demo.worth
    ages = {ewe.key: demo.season.year - ewe.record.whole("born_year") for ewe in demo.season.flock.ewes.values()  # type: ignore[operator]
            if ewe.record and ewe.record.whole("born_year")}
    here = [ages[one.ewe] for one in found if one.ewe in ages]
    again = []
    for one in found:
        age = 25 * (max(here) - ages[one.ewe]) / (max(here) - min(here)) if one.ewe in ages else one.age
        score = mothering_scores(demo.season)[one.ewe].score if "mothering" not in one.guessed else None
        kg = demo.rearing.across[one.ewe].kg if "litters" not in one.guessed else None
        again.append(age + (one.mothering if score is None else score / 4)
                     + (one.litters if kg is None else min(max(12.5 + 2.5 * kg, 0), 25)) + one.notes)
    tau = kendalltau(range(len(again)), [round(points, 6) for points in again]).statistic
    assert sorted(round(points, 6) for points in again) == [round(points, 6) for points in again]
    assert tau > .99 or len(set(again)) < len(again)
