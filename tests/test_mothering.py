"""The mothering score: parts that add up, what is missing made up for, and only what is hers."""

from collections.abc import Sequence
from datetime import date, timedelta

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
    LambingTrouble,
    LambLeft,
    NextDay,
    RearedBy,
    Sucked,
    Taken,
    Teats,
    Trouble,
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
    assert (100, 85, "few to compare") == (score.score, score.coverage, score.word)
    assert {"acceptance": 1, "milk": 1, "full": 1, "alive": 1, "growth": None} == shares(score)


def test_a_worked_score() -> None:
    # Acceptance: mothering 3 is one half, one lamb taken and one taken slowly is three quarters; the mean is 0.625.
    # Milk: two sides, large teats (one half), little colostrum (one half): two thirds. Next day one hollow: one half.
    # Both lambs alive. Of 25, 25, 15 and 20 points: 15.625 + 16.667 + 7.5 + 20 = 59.79 of 85, that is 70.34 of 100.
    row = lambing(mothering=3, sides_in_milk=2, teats=Teats.LARGE, colostrum=Colostrum.LITTLE, next_day=NextDay.ONE_HOLLOW)
    score = scored(season(lambing=[row], lambs=[lamb(1, taken=Taken.YES), lamb(2, taken=Taken.SLOWLY)]))
    assert pytest.approx(70.343, abs=1e-3) == score.score


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
    ("trouble", LambingTrouble.REFUSED, "acceptance", 0), ("trouble", LambingTrouble.OTHER, "acceptance", None),
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


@pytest.mark.parametrize(("points", "limit", "word"), [
    (49, None, "poor"), (50, None, "few to compare"), (51, None, "few to compare"),
    (50, 51, "poor"), (50, 50, "few to compare"), (50, 49, "few to compare"),
])
def test_poor_is_under_the_limit_of_policy(points: int, limit: int | None, word: str) -> None:
    weights = {"weight-acceptance": points, "weight-milk": 100 - points, "weight-full": 0, "weight-alive": 0, "weight-growth": 0}
    policy = [{"row_key": id, "limit": number} for id, number in {**weights, "score-fair": limit}.items()]
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
    assert ("1 of 2 lambs kept alive", ["Lambs!S5"]) == (alive.reason, [str(cell) for cell in alive.cells])


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
    assert (100, "all 1 ewe; only 1 of unknown age, litters of 6", None) == (score.score, score.of_class, score.above_class)


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


def test_of_nine_ewes_in_all_there_is_nobody_to_stand_among() -> None:
    score = mothering_scores(flock(9, poor=1))["e0"]
    assert ("few to compare", "all 9 ewes; only 9 mature, twins", None) == (score.word, score.of_class, score.above_class)
    assert "lower third" == mothering_scores(flock(10, poor=1))["e0"].word


# Nothing recorded.


def mixed(*ewes: Row, lambs: Sequence[Row] = ({}, {}), first: int = 0) -> Season:
    """Ewes of the given Lambing rows, each with such lambs; the first few first-time, the others mature."""
    names = [f"E{i}" for i in range(len(ewes))]
    return season(
        ewes=[{"ewe": ewe, "lambings_before": 0 if i < first else 2} for i, ewe in enumerate(names)],
        lambing=[lambing(ewe, **row) for ewe, row in zip(names, ewes, strict=True)],
        lambs=[lamb(n, ewe, **cells) for ewe in names for n, cells in enumerate(lambs, start=1)],
    )


SILENT = {id: value for id, value in PERFECT.items() if id != "next_day"}
HOLLOW: Row = {**PERFECT, "next_day": NextDay.ONE_HOLLOW}


def test_a_part_not_recorded_takes_the_mean_of_her_class() -> None:
    # Of ten of her class five have all the points of the next day's look and five half of them: 0.75 of 15.
    # Eleven first-time ewes have half: with them the mean of all were (10 x 0.75 + 11 x 0.5) / 21.
    scores = mothering_scores(mixed(*[HOLLOW] * 11, *[PERFECT] * 5, *[HOLLOW] * 5, SILENT, first=11))
    full = next(part for part in scores["e21"].parts if part.id == "full")
    assert (11.25, False, "nothing recorded: mean of 10 mature, twins") == (full.points, full.recorded, full.reason)
    assert (70, pytest.approx(100 * (25 + 25 + 11.25 + 20) / 85)) == (scores["e21"].coverage, scores["e21"].score)


@pytest.mark.parametrize(("known", "points", "of"), [
    (9, 15 * (9 + 11 * 0.5) / 20, "all 20 ewes; only 9 mature, twins"),
    (10, 15, "10 mature, twins"), (11, 15, "11 mature, twins"),
])
def test_a_part_known_of_few_of_her_class_takes_the_mean_of_all_ewes(known: int, points: float, of: str) -> None:
    scores = mothering_scores(mixed(*[HOLLOW] * 11, *[PERFECT] * known, SILENT, first=11))
    full = next(part for part in scores[f"e{11 + known}"].parts if part.id == "full")
    assert (pytest.approx(points), f"nothing recorded: mean of {of}") == (full.points, full.reason)


def test_a_part_known_of_no_ewe_is_left_out_of_all() -> None:
    scores = mothering_scores(mixed(*[SILENT] * 3))
    assert [(100, 70, 1)] * 3 == [(score.score, score.coverage, score.place) for score in scores.values()]
    assert (None, False) == ((growth := scores["e0"].parts[-1]).points, growth.recorded)


def test_ewes_with_all_parts_recorded_have_the_first_places() -> None:
    # Ewe 2 has nothing recorded of the next day; what stands in for it gives her 97.8, above the 94.1 of ewe 1.
    poorer: Row = {**PERFECT, "mothering": 4, "sides_next_day": 1}
    scores = mothering_scores(mixed(PERFECT, poorer, SILENT, HOLLOW))
    assert [1, 3, 4, 2] == [scores[f"e{number}"].place for number in range(4)]
    assert (scores["e2"].score or 0) > (scores["e3"].score or 0) > (scores["e1"].score or 0)


def test_ewes_alike_share_a_place() -> None:
    scores = mothering_scores(mixed(PERFECT, HOLLOW, PERFECT, {}))
    assert [1, 3, 1, None] == [score.place for score in scores.values()]


# Whose it is.


def moved(number: int, on: int | None, why: WhyMoved | None = WhyMoved.SPARE, **cells: Value) -> Row:
    """A lamb of A set on to B so many days after A lambed."""
    day = None if on is None else LAMBED + timedelta(days=on)
    return lamb(number, reared_by=RearedBy.FOSTER_EWE, foster_ewe="B", why_moved=why, moved_on=day, **cells)


@pytest.mark.parametrize(("on", "own", "foster"), [
    (0, 1, 0.5), (1, 1, 1), (2, 0.5, 1), (None, 1, 1),
], ids=["before the look", "on its day", "after it", "no day"])
def test_a_belly_counts_at_the_ewe_the_lamb_was_under_that_day(on: int | None, own: float, foster: float) -> None:
    hollow = moved(2, on, belly=Belly.HOLLOW)
    scores = mothering_scores(season(
        lambing=[lambing(), lambing("B")], lambs=[lamb(belly=Belly.FULL), hollow, lamb(1, "B", belly=Belly.FULL)]))
    assert (own, foster) == (shares(scores["a"])["full"], shares(scores["b"])["full"])


def test_a_foster_ewe_loses_nothing_for_what_the_mother_did() -> None:
    refused = moved(1, 3, WhyMoved.REFUSED, taken=Taken.REFUSED, belly=Belly.HOLLOW)
    rows = [lambing(**PERFECT), lambing("B", **PERFECT)]
    without = mothering_scores(season(lambing=rows, lambs=[lamb(1, "B", taken=Taken.YES)]))["b"]
    scores = mothering_scores(season(lambing=rows, lambs=[refused, lamb(1, "B", taken=Taken.YES)]))
    assert (100, 100) == (without.score, scores["b"].score)
    assert (0.5, 0.5, 0) == tuple(shares(scores["a"])[part] for part in ("acceptance", "full", "alive"))


def test_the_next_days_look_stays_hers_whatever_was_set_on_to_her() -> None:
    scores = mothering_scores(season(lambing=[lambing(), lambing("B", next_day=NextDay.ONE_HOLLOW)],
                                     lambs=[lamb(), moved(2, 0), lamb(1, "B")]))
    assert (None, 0.5) == (shares(scores["a"])["full"], shares(scores["b"])["full"])


@pytest.mark.parametrize(("apart", "milk"), [(14, 4 / 5), (15, 4 / 6)], ids=["one illness", "two"])
def test_each_illness_of_mastitis_is_a_look_that_found_no_milk(apart: int, milk: float) -> None:
    days = (LAMBED + timedelta(days=9), LAMBED + timedelta(days=9 + apart))
    ill: list[Row] = [{"ewe": "A", "date": day, "trouble": Trouble.MASTITIS} for day in days]
    four_sound = {id: value for id, value in PERFECT.items() if id != "next_day"}
    score = scored(season(lambing=[lambing(**four_sound)], lambs=[lamb()], ewe_check=ill))
    assert pytest.approx(milk) == shares(score)["milk"]
    assert "mastitis, " in next(part.reason for part in score.parts if part.id == "milk")


def test_a_lamb_moved_for_mastitis_is_part_of_the_illness() -> None:
    ill: Row = {"ewe": "A", "date": LAMBED + timedelta(days=9), "trouble": Trouble.MASTITIS}
    bottle = lamb(2, reared_by=RearedBy.PET, why_moved=WhyMoved.MASTITIS, moved_on=LAMBED + timedelta(days=12))
    row = lambing(sides_in_milk=2)
    told = [scored(season(lambing=[row], lambs=[lamb(), bottle], ewe_check=checks)) for checks in ([], [ill])]
    assert [0.5, 0.5] == [shares(score)["milk"] for score in told]


# Reared none.


def weighed(*lambs: Row, illness: Sequence[Row] = ()) -> Season:
    """Ten mature ewes with twins weighed at weaning, one kilogram apart, and ewe A with these lambs."""
    names = [f"E{i}" for i in range(10)]
    return season(
        ewes=[{"ewe": ewe, "lambings_before": 2} for ewe in ("A", *names)],
        lambing=[lambing(ewe, **PERFECT) for ewe in ("A", *names)],
        lambs=[*lambs, *(lamb(n, ewe, birth_weight=5.0) for ewe in names for n in (1, 2))],
        weights=[{"animal": f"{ewe}-{n}", "date": date(2026, 5, 30), "kg": 25.0 + i, "occasion": Weighed.WEANING}
                 for i, ewe in enumerate(names) for n in (1, 2)],
        ewe_check=illness,
    )


def pet(number: int, why: WhyMoved) -> Row:
    return lamb(number, reared_by=RearedBy.PET, why_moved=why, moved_on=LAMBED + timedelta(days=20))


def dead(number: int, cause: Cause, by: ConfirmedBy = ConfirmedBy.LABORATORY) -> Row:
    return lamb(number, left_how=LambLeft.DIED, left_on=LAMBED + timedelta(days=20), cause=cause, confirmed_by=by)


@pytest.mark.parametrize(("lambs", "hers", "cell"), [
    ([pet(1, WhyMoved.MASTITIS), dead(2, Cause.OTHER_INFECTION)], True, "why_moved"),
    ([pet(1, WhyMoved.NO_MILK), dead(2, Cause.NOT_KNOWN)], True, "why_moved"),
    ([pet(1, WhyMoved.REFUSED), pet(2, WhyMoved.SPARE)], True, "why_moved"),
    ([dead(1, Cause.STARVED), dead(2, Cause.PREDATOR)], True, "cause"),
    ([dead(1, Cause.PREDATOR), dead(2, Cause.NOT_KNOWN)], False, ""),
    ([dead(1, Cause.STARVED, ConfirmedBy.NOBODY), dead(2, Cause.PREDATOR)], False, ""),
    ([pet(1, WhyMoved.EWE_DIED), pet(2, WhyMoved.EWE_DIED)], False, ""),
    ([pet(1, WhyMoved.SPARE), pet(2, WhyMoved.SPARE)], False, ""),
])
def test_a_ewe_that_reared_none_by_a_fault_of_hers_kept_none_alive_and_grew_none(
    lambs: list[Row], hers: bool, cell: str,
) -> None:
    score = scored(weighed(*lambs))
    alive, growth = score.parts[-2:]
    assert [hers, hers] == [alive.recorded, growth.recorded]
    if hers:
        places = {str(row.at(cell)) for row in weighed(*lambs).rows("lambs")[:2] if row.filled(cell)}
        assert (0, 0, "reared none, by a fault of hers") == (alive.points, growth.points, growth.reason)
        assert {str(alive.cells[0]), str(growth.cells[0])} <= places
    else:  # the mean of the eleven: all lambs of the ten alive, their litters on average as theirs
        assert (20, pytest.approx(7.5)) == (alive.points, growth.points)


def test_a_ewe_with_mastitis_that_reared_none_does_not_stand_high() -> None:
    # All 25 for acceptance, 4 of 5 looks for milk: 20, all 15 next day; a lamb on the bottle for mastitis, one dead of disease.
    ill: Row = {"ewe": "A", "date": LAMBED + timedelta(days=20), "trouble": Trouble.MASTITIS}
    score = scored(weighed(pet(1, WhyMoved.MASTITIS), dead(2, Cause.OTHER_INFECTION), illness=[ill]))
    assert (60, "lower third", 11) == (score.score, score.word, score.place)


def test_a_ewe_that_lost_one_of_two_keeps_the_points_for_the_other() -> None:
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[lamb(), pet(2, WhyMoved.MASTITIS)]))
    assert 1 == shares(score)["alive"]


def test_growth_is_left_out_where_no_litter_is_weighed_though_a_ewe_reared_none() -> None:
    score = scored(season(lambing=[lambing(**PERFECT)], lambs=[pet(1, WhyMoved.REFUSED)]))
    assert (0, None) == (shares(score)["alive"], shares(score)["growth"])


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
    assert "litter +5.0 kg against 11 lambs" == scores["e10"].parts[-1].reason


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
    judged = [part for part in score.parts if part.recorded]
    assert [part.id for part in judged] == [part.id for part in score.parts if part.points is not None]
    assert all(0 <= part.points <= part.most and part.cells and part.reason for part in judged if part.points is not None)
    assert pytest.approx(sum(part.most for part in judged)) == score.coverage
    if score.score is not None:
        points = sum(part.points for part in judged if part.points is not None)
        assert pytest.approx(100 * points / sum(part.most for part in judged)) == score.score
        assert 0 <= score.score <= 100


# Missing never outranks evidence.

LEVELS, LOOKS = [1, 2, 3, 4, 5], [NextDay.ALL_FULL, NextDay.ONE_HOLLOW]
SEEN: dict[str, list[Value]] = {"mothering": [*LEVELS], "sides_in_milk": [0, 1, 2], "next_day": [*LOOKS]}
A_EWE = st.fixed_dictionaries({}, optional={column: st.sampled_from(values) for column, values in SEEN.items()})
A_FULL_EWE = st.fixed_dictionaries({column: st.sampled_from(values) for column, values in SEEN.items()})
OF_PART = {"acceptance": "mothering", "milk": "sides_in_milk", "full": "next_day"}
WORDS = ["poor", "few to compare", "lower third", "middle third", "upper third"]


@settings(max_examples=examples(150), deadline=None)
@given(A_FULL_EWE, st.lists(A_EWE, min_size=1, max_size=30), st.sampled_from(sorted(OF_PART)), st.integers(0, 30))
def test_a_ewe_with_a_part_not_recorded_is_not_ranked_above_her_equal_with_it_recorded(
    known: Row, others: list[Row], part: str, first: int,
) -> None:
    """Of two ewes of one class, alike but that a part of the one is not recorded, and that of the other is at what stands in
    for it or better, the one has no better place in the flock, no higher score and no better word."""
    blank = {column: value for column, value in known.items() if column != OF_PART[part]}
    scores = list(mothering_scores(mixed(*others, known, blank, first=min(first, len(others)))).values())
    known_score, blank_score = scores[-2:]
    seen, stand_in = (next(one for one in score.parts if one.id == part) for score in (known_score, blank_score))
    assert (True, False) == (seen.recorded, stand_in.recorded)
    assert known_score.score is not None and blank_score.score is not None
    assert known_score.place is not None and blank_score.place is not None
    if (seen.points or 0) >= (stand_in.points or 0):
        assert known_score.score >= blank_score.score
        assert known_score.place < blank_score.place
        assert WORDS.index(known_score.word) >= WORDS.index(blank_score.word)
    else:
        assert known_score.score <= blank_score.score
        assert known_score.place < blank_score.place


@settings(max_examples=examples(60), deadline=None)
@given(st.lists(A_EWE, min_size=1, max_size=30), st.integers(0, 30))
def test_full_records_have_the_first_places_and_each_place_tells_how_many_stand_before(
    ewes: list[Row], first: int,
) -> None:
    scores = mothering_scores(mixed(*ewes, first=first))
    placed = [score for score in scores.values() if score.place is not None]
    assert {score.ewe for score in scores.values() if score.score is not None} == {score.ewe for score in placed}
    parts = {part.id for score in scores.values() for part in score.parts if part.recorded}
    full = [score for score in placed if {part.id for part in score.parts if part.recorded} >= parts]
    assert all((score.place or 0) <= len(full) for score in full)
    assert all(sum((other.place or 0) < (score.place or 0) for other in placed) + 1 == score.place for score in placed)
