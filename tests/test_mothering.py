"""The mothering score: parts that add up, what is missing made up for, and only what is hers."""

from datetime import date

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout.choices import (
    Belly,
    Born,
    Cause,
    Colostrum,
    ConfirmedBy,
    LambLeft,
    NextDay,
    RearedBy,
    Sucked,
    Taken,
    Teats,
    Weighed,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import Row, Value
from workbook.results.scores.mothering import MotheringScore, mothering_scores
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)


def lamb(number: int = 1, ewe: str = "A", **cells: Value) -> Row:
    return {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **cells}


def lambing(ewe: str = "A", **cells: Value) -> Row:
    return {"ewe": ewe, "lambed_on": LAMBED, **cells}


def scored(records: Season, ewe: str = "a") -> MotheringScore:
    return mothering_scores(records)[ewe]


def shares(score: MotheringScore) -> dict[str, float | None]:
    return {part.id: None if part.points is None else part.points / part.most for part in score.parts}


PERFECT = {
    "mothering": 5, "sides_in_milk": 2, "sides_next_day": 2, "teats": Teats.SOUND, "colostrum": Colostrum.PLENTY,
    "next_day": NextDay.ALL_FULL,
}


def test_a_good_mother_has_all_points_of_what_was_judged() -> None:
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(taken=Taken.YES, belly=Belly.FULL)]))
    assert (100, 85, "good") == (score.score, score.coverage, score.word)
    assert {"acceptance": 1, "milk": 1, "full": 1, "alive": 1, "growth": None} == shares(score)


def test_a_worked_score() -> None:
    # Acceptance: mothering 3 is one half, one lamb taken and one taken slowly is three quarters; the mean is 0.625.
    # Milk: two sides, large teats (one half), little colostrum (one half): two thirds. Next day one hollow: one half.
    # Both lambs alive. Of 25, 25, 15 and 20 points: 15.625 + 16.667 + 7.5 + 20 = 59.79 of 85, that is 70.34 of 100.
    row = lambing(mothering=3, sides_in_milk=2, teats=Teats.LARGE, colostrum=Colostrum.LITTLE, next_day=NextDay.ONE_HOLLOW)
    score = scored(season(lambing=[row], lambs=[lamb(1, taken=Taken.YES), lamb(2, taken=Taken.SLOWLY)]))
    assert (pytest.approx(70.343, abs=1e-3), "fair") == (score.score, score.word)


@pytest.mark.parametrize(("column", "value", "part", "share"), [
    ("taken", Taken.YES, "acceptance", 1), ("taken", Taken.SLOWLY, "acceptance", 0.5), ("taken", Taken.REFUSED, "acceptance", 0),
    ("belly", Belly.FULL, "full", 1), ("belly", Belly.HOLLOW, "full", 0),
    ("colostrum", Colostrum.PLENTY, "milk", 1), ("colostrum", Colostrum.LITTLE, "milk", 0.5),
    ("colostrum", Colostrum.NONE, "milk", 0),
    ("teats", Teats.SOUND, "milk", 1), ("teats", Teats.LARGE, "milk", 0.5), ("teats", Teats.SMALL, "milk", 0.5),
    ("teats", Teats.BLOCKED, "milk", 0), ("teats", Teats.DAMAGED, "milk", 0),
    ("next_day", NextDay.ALL_FULL, "full", 1), ("next_day", NextDay.ONE_HOLLOW, "full", 0.5),
    ("next_day", NextDay.HELPED, "full", 0.5),
    ("next_day", NextDay.TROUBLE, "full", None),
    ("mothering", 0, "acceptance", None), ("mothering", 1, "acceptance", 0), ("mothering", 2, "acceptance", 0.25),
    ("mothering", 5, "acceptance", 1), ("mothering", 6, "acceptance", None),
    ("sides_in_milk", -1, "milk", None), ("sides_in_milk", 0, "milk", 0), ("sides_in_milk", 1, "milk", 0.5),
    ("sides_in_milk", 2, "milk", 1), ("sides_in_milk", 3, "milk", None), ("sides_next_day", 1, "milk", 0.5),
])
def test_what_one_cell_alone_is_worth(column: str, value: Value, part: str, share: float | None) -> None:
    of_lamb = column in ("taken", "belly")
    row = lambing() if of_lamb else lambing(**{column: value})
    score = scored(season(lambing=[row], lambs=[lamb(**{column: value} if of_lamb else {})]))
    assert share == shares(score)[part]


@pytest.mark.parametrize(("points", "word"), [(49, "poor"), (50, "fair"), (74, "fair"), (75, "good")])
def test_the_word_of_a_score(points: int, word: str) -> None:
    weights = {"weight-acceptance": points, "weight-milk": 100 - points, "weight-full": 0, "weight-alive": 0, "weight-growth": 0}
    policy = [{"row_key": id, "limit": number} for id, number in weights.items()]
    score = scored(season(policy=policy, lambing=[lambing(mothering=5, sides_in_milk=0)]))
    assert (points, word) == (score.score, score.word)


@pytest.mark.parametrize(("least", "enough"), [(44, True), (45, True), (46, False)])
def test_a_score_needs_the_least_coverage_of_policy(least: int, enough: bool) -> None:
    policy: list[Row] = [{"row_key": "least-coverage", "limit": least}]
    assert enough == (scored(season(policy=policy, lambing=[lambing(mothering=5)], lambs=[lamb()])).score is not None)


def test_under_the_least_coverage_there_is_no_score() -> None:
    score = scored(season(lambing=[lambing(mothering=5)], lambs=[lamb()]))  # 25 + 20 of 100 points
    assert (None, 45, "not enough recorded", "") == (score.score, score.coverage, score.word, score.of_class)


def test_all_well_is_enough_for_a_score() -> None:
    score = scored(season(lambing=[lambing(all_well=YesNo.YES)], lambs=[lamb()]))
    assert (100, 70) == (score.score, score.coverage)
    milk = next(part for part in score.parts if part.id == "milk")
    assert ["Lambing!E4", "Lambing!E4"] == [str(cell) for cell in milk.cells]


def test_ewes_that_did_not_lamb_have_no_score() -> None:
    records = season(ewes=[{"ewe": "A", "scanned": 0}], lambs=[lamb(1, "B") | {"born": Born.ABORTED}])
    assert {} == mothering_scores(records)


@pytest.mark.parametrize("cause", [cause for cause in Cause if cause is not Cause.STARVED])
def test_a_neutral_death_leaves_the_score_as_if_the_lamb_had_not_been(cause: Cause) -> None:
    dead = lamb(2, left_how=LambLeft.DIED, cause=cause)
    with_death = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(), dead]))
    assert 100 == with_death.score


def test_a_starved_lamb_takes_its_share_of_the_points() -> None:
    dead = lamb(2, left_how=LambLeft.DIED, cause=Cause.STARVED, confirmed_by=ConfirmedBy.SHEPHERD)
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(), dead]))
    assert 0.5 == shares(score)["alive"]
    alive = next(part for part in score.parts if part.id == "alive")
    assert ("1 of 2 lambs kept alive", ["Lambs!T5"]) == (alive.reason, [str(cell) for cell in alive.cells])


def test_a_lamb_starved_after_being_set_on_takes_points_from_the_foster_ewe_only() -> None:
    moved = lamb(2, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B", why_moved=WhyMoved.SPARE, left_how=LambLeft.DIED,
                 cause=Cause.STARVED, confirmed_by=ConfirmedBy.SHEPHERD)
    scores = mothering_scores(season(
        lambing=[lambing(**PERFECT), lambing("B", **PERFECT)], lambs=[lamb(), moved, lamb(1, "B")]))
    assert (1, 0.5) == (shares(scores["a"])["alive"], shares(scores["b"])["alive"])


@pytest.mark.parametrize(
    ("move", "acceptance", "milk"),
    [(WhyMoved.SPARE, 1, 1), (WhyMoved.REFUSED, 0.75, 1), (WhyMoved.NO_MILK, 1, 0.8), (WhyMoved.MASTITIS, 1, 0.8)],
)
def test_a_moved_lamb_counts_in_the_part_it_speaks_of(move: WhyMoved, acceptance: float, milk: float) -> None:
    moved = lamb(2, reared_by=RearedBy.PET, why_moved=move)
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(taken=Taken.YES), moved]))
    assert (acceptance, milk) == (shares(score)["acceptance"], shares(score)["milk"])


def test_tubing_is_neutral() -> None:
    tubed, alone = (
        scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(sucked=sucked)])).score for sucked in (Sucked.TUBED, Sucked.ALONE)
    )
    assert tubed == alone


def test_a_litter_of_six_alive() -> None:
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(n, taken=Taken.YES) for n in range(1, 7)]))
    assert (100, "1 of unknown age, litters of 6", None) == (score.score, score.of_class, score.above_class)


def flock(number: int, poor: int = 0) -> Season:
    """Mature ewes with twins; the first few show no interest in them."""
    names = [f"E{i}" for i in range(number)]
    return season(
        ewes=[{"ewe": ewe, "lambings_before": 2} for ewe in names],
        lambing=[lambing(ewe, **{**PERFECT, "mothering": 1 if i < poor else 5}) for i, ewe in enumerate(names)],
        lambs=[lamb(n, ewe) for ewe in names for n in (1, 2)],
    )


def test_of_class_compares_with_her_age_class_and_litter_size() -> None:
    # The poor one has 60 of 85 points, 70.6 of 100; the mean of ten is 97.1.
    scores = mothering_scores(flock(10, poor=1))
    assert ("10 mature, twins", -26) == (scores["e0"].of_class, scores["e0"].above_class)
    assert ("10 mature, twins", 3) == (scores["e1"].of_class, scores["e1"].above_class)
    assert 0 == mothering_scores(flock(10))["e0"].above_class


def test_a_class_under_ten_is_few() -> None:
    score = mothering_scores(flock(9))["e0"]
    assert ("9 mature, twins", None) == (score.of_class, score.above_class)


def test_litter_growth_runs_from_nought_to_all_over_two_standard_deviations_either_way() -> None:
    names = [f"E{i}" for i in range(11)]
    records = season(
        lambing=[lambing(ewe, **PERFECT) for ewe in names], lambs=[lamb(1, ewe, birth_weight=5.0) for ewe in names],
        weights=[{"animal": f"{ewe}-1", "date": date(2026, 5, 30), "kg": 25.0 + i, "occasion": Weighed.WEANING}
                 for i, ewe in enumerate(names)],
    )
    scores = mothering_scores(records)
    # Eleven weights one kilogram apart and no class to tell them by: mean 30, standard deviation 3.3166; own arithmetic.
    expected = (0.5 - 5 / 3.3166 / 4, 0.5, 0.5 + 5 / 3.3166 / 4)
    assert expected == pytest.approx([shares(scores[ewe])["growth"] for ewe in ("e0", "e5", "e10")], abs=1e-4)
    assert "litter +5.0 kg against 11 ewes" == scores["e10"].parts[-1].reason


def maybe(values: list[object]) -> st.SearchStrategy[object]:
    return st.one_of(st.none(), st.sampled_from(values))


@settings(max_examples=examples(60), deadline=None)
@given(
    st.fixed_dictionaries({
        "mothering": maybe([1, 2, 3, 4, 5]), "sides_in_milk": maybe([0, 1, 2]), "sides_next_day": maybe([0, 1, 2]),
        "teats": maybe(list(Teats)), "colostrum": maybe(list(Colostrum)), "next_day": maybe(list(NextDay)),
    }),
    st.lists(st.fixed_dictionaries({
        "taken": maybe(list(Taken)), "belly": maybe(list(Belly)), "why_moved": maybe(list(WhyMoved)),
        "left_how": maybe(list(LambLeft)), "cause": maybe(list(Cause)),
    }), max_size=6),
)
def test_parts_add_up_to_the_score(row: dict[str, object], lambs: list[dict[str, object]]) -> None:
    score = scored(season(lambing=[lambing(**row)], lambs=[lamb(n, **cells) for n, cells in enumerate(lambs, start=1)]))
    judged = [part for part in score.parts if part.points is not None]
    assert all(0 <= part.points <= part.most and part.cells and part.reason for part in judged if part.points is not None)
    assert pytest.approx(sum(part.most for part in judged)) == score.coverage
    if score.score is not None:
        points = sum(part.points for part in judged if part.points is not None)
        assert pytest.approx(100 * points / sum(part.most for part in judged)) == score.score
        assert 0 <= score.score <= 100
