"""Litters and lambs against their like: what is allowed for, what is joined, and what is too few to compare."""

from datetime import date, timedelta

import pytest
import random_rows
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout.choices import Born, LambLeft, RearedBy, Sex, Weighed
from template_builder.layout.columns import Row, Value
from workbook.results.scores.across import Share, across_seasons, share_of_ewe
from workbook.results.scores.comparing import Against, Level, by_number, compare, join_small
from workbook.results.scores.lamb_means import lamb_means
from workbook.results.scores.lamb_model import LambAgainst, lamb_model
from workbook.results.scores.like_ewes import litters_against
from workbook.results.scores.like_lambs import age_level
from workbook.results.scores.litter_weight import litter_weights
from workbook.results.scores.rearing import rearing
from workbook.results.statistics.least_squares import fit
from workbook.season.season import Season

LAMBED, AT_60, AT_90 = date(2026, 3, 1), date(2026, 4, 30), date(2026, 5, 30)


def ewe(name: str, born_year: int = 2021, **cells: Value) -> Row:
    return {"ewe": name, "born_year": born_year, **cells}


def lamb(name: str, number: int = 1, **cells: Value) -> Row:
    return {"ewe": name, "lamb_no": number, "sex": Sex.EWE, "birth_weight": 5.0, **cells}


def weighed(animal: str, kg: float, day: date = AT_90, occasion: Weighed = Weighed.WEANING) -> Row:
    return {"animal": animal, "date": day, "kg": kg, "occasion": occasion}


def flock_of(singles: int, twins: int, triplets: int = 0) -> Season:
    """Ewes with one lamb of 30, 31 ... kg, ewes with two of 25 kg each, and ewes with three of 20 kg each."""
    sizes = {f"{letter}{i}": size for letter, size, number in (("S", 1, singles), ("T", 2, twins), ("R", 3, triplets))
             for i in range(number)}
    lambs = [lamb(name, n) for name, size in sizes.items() for n in range(1, size + 1)]
    kg = {1: 30.0, 2: 25.0, 3: 20.0}
    return season(
        ewes=[ewe(name) for name in sizes], lambing=[{"ewe": name, "lambed_on": LAMBED} for name in sizes], lambs=lambs,
        weights=[weighed(f"{row['ewe']}-{row['lamb_no']}", kg[size] + (int(str(row["ewe"])[1:]) if size == 1 else 0))
                 for row in lambs for size in [sizes[str(row["ewe"])]]],
    )


def against(records: Season) -> dict[str, Against]:
    return dict(litters_against(litter_weights(records), lamb_model(records)).against)


# Litters.


def test_a_litter_stands_against_ewes_that_reared_as_many() -> None:
    found = against(flock_of(singles=11, twins=12))
    assert (5.0, 35) == (pytest.approx(found["s10"].deviation), found["s10"].number)
    assert 0.0 == pytest.approx(found["t0"].deviation)
    assert "35 lambs, allowing for birth and rearing type" == found["s0"].words


def test_a_number_reared_by_fewer_than_ten_is_not_compared() -> None:
    found = against(flock_of(singles=11, twins=12, triplets=9))
    assert (None, None, 9, "few: only 9 ewes with triplets reared") == (
        found["r0"].deviation, found["r0"].spreads, found["r0"].number, found["r0"].words)
    assert 11 + 24 + 27 == found["t0"].number
    assert 11 + 22 + 30 == against(flock_of(singles=11, twins=11, triplets=10))["r0"].number


def test_a_litter_with_a_lamb_that_has_too_few_like_it_is_not_compared_beside_others_that_are() -> None:
    """The last ewe lost a twin when both had been weighed, so that the other is the only twin reared as a single."""
    records = flock_of(singles=0, twins=12)
    weights = [*({**row.values, "kg": 25.0 + row.row % 3} for row in records.rows("weights")), weighed("T0-1", 26.0)]
    first, *others = (dict(row.values) for row in records.rows("lambs"))
    lambs = [{**first, "left_how": LambLeft.DIED, "left_on": AT_90}, *others]
    found = against(season(ewes=[row.values for row in records.rows("ewes")], lambs=lambs, weights=weights,
                           lambing=[row.values for row in records.rows("lambing")]))
    assert (None, None) == (found["t0"].deviation, found["t0"].spreads)
    assert None is not found["t1"].spreads


def test_nine_litters_are_few_and_compared_with_nothing() -> None:
    found = against(flock_of(singles=9, twins=0))
    assert "few: only 9 lambs to compare" == compare(dict.fromkeys(range(9), 30.0), {}, "lambs").words
    assert {(None, "few: only 9 lambs to compare")} == {(one.deviation, one.words) for one in found.values()}


def test_where_nothing_is_left_over_there_is_no_spread() -> None:
    assert (0.0, 0.0) == (fit([3.0], {}).spread, fit([3.0, 5.0], {"one": ["a", "b"]}).spread)
    assert pytest.approx(2**0.5) == fit([3.0, 5.0], {}).spread


def test_a_lamb_known_by_number_does_not_stand_in_the_place_of_one_with_a_row() -> None:
    records = season(ewes=[ewe("A"), ewe("B")], lambing=[{"ewe": "B", "born_alive": 1}, {"ewe": "A", "lambed_on": LAMBED}],
                     lambs=[lamb("A")], weights=[weighed("A-1", 30)])
    assert {4} == set(lamb_model(records, Weighed.WEANING).lambs)


def test_where_nothing_was_weighed_nothing_is_said() -> None:
    assert ({}, None, "") == ((found := compare({}, {}, "ewes")).against, found.model, found.words)


def test_one_class_of_everything_is_compared_with_the_mean() -> None:
    found = against(flock_of(singles=10, twins=0))
    assert (-4.5, "10 lambs") == (pytest.approx(found["s0"].deviation), found["s0"].words)


def test_all_alike_has_no_spread() -> None:
    assert (pytest.approx(0.0, abs=1e-9), None) == ((found := against(flock_of(0, 12))["t0"]).deviation, found.spreads)


def test_an_incomplete_litter_is_not_compared() -> None:
    records = flock_of(singles=0, twins=12)
    short = Season(records.file, {**records.records, "weights": records.rows("weights")[1:]}, records.as_of)
    assert "t0" in litter_weights(short) and "t0" not in against(short)


def test_ewes_of_two_ages_and_groups_are_each_judged_by_their_own() -> None:
    # Two-year-olds wean 3 kg less, the hill group 4 kg less; one ewe of each is 2 kg better than that.
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": [], "weights": []}
    for i in range(48):
        young, hill = i % 2 == 0, i % 4 < 2
        name = f"E{i}"
        rows["ewes"].append(ewe(name, 2024 if young else 2020, group="Hill" if hill else "Mead"))
        rows["lambing"].append({"ewe": name, "lambed_on": LAMBED})
        rows["lambs"].append(lamb(name))
        rows["weights"].append(weighed(f"{name}-1", 35.0 - 3 * young - 4 * hill + 2 * (i in (0, 1, 2, 3))))
    found = against(season(**rows))  # type: ignore[arg-type]  # rows by sheet id
    # A twelfth of the 2 kg is taken for the class, as one ewe in each twelve has it.
    assert [pytest.approx(2 - 2 / 12)] * 4 == [found[f"e{i}"].deviation for i in range(4)]
    assert "48 lambs, allowing for age of ewe and group" == found["e0"].words


def test_the_group_turned_out_to_counts_before_the_group_on_ewes() -> None:
    rows: dict[str, list[Row]] = {
        "ewes": [ewe(f"E{i}", group="Mead") for i in range(20)],
        "lambing": [{"ewe": f"E{i}", "lambed_on": LAMBED, "turned_out_to": "Hill" if i < 10 else None} for i in range(20)],
        "lambs": [lamb(f"E{i}") for i in range(20)],
        "weights": [weighed(f"E{i}-1", 30.0 if i < 10 else 36.0) for i in range(20)],
    }
    assert {0.0} == {round(one.deviation or 0.0, 6) for one in against(season(**rows)).values()}  # type: ignore[arg-type]


# Joining.


def levels(**numbers: int) -> list[Level]:
    return [Level("", order, name) for order, (name, number) in enumerate(numbers.items()) for _ in range(number)]


@pytest.mark.parametrize(
    ("numbers", "expected"),
    [
        ({"two": 12, "three": 10}, {"two", "three"}),
        ({"two": 12, "three": 30, "four": 9}, {"two", "three and four"}),
        ({"two": 12, "three": 5, "four": 11}, {"two", "three and four"}),
        ({"two": 3, "three": 3, "four": 3, "five": 20}, {"two and three and four and five"}),
        ({"two": 4, "three": 4, "four": 4, "five": 20}, {"two and three and four", "five"}),
        ({"two": 4}, {"two"}),
    ],
)
def test_a_small_class_joins_the_smaller_neighbour(numbers: dict[str, int], expected: set[str]) -> None:
    assert expected == set(join_small(levels(**numbers)))


def test_classes_of_two_blocks_never_join() -> None:
    mixed = [Level("reared 1", 1, "1 born")] * 12 + [Level("reared 2", 2, "2 born")] * 12 + [Level("reared 2", 3, "3 born")] * 3
    assert {"1 born", "2 born and 3 born"} == set(join_small(mixed))


def test_an_effect_left_with_one_class_is_dropped() -> None:
    values = {number: float(number) for number in range(12)}
    effects = {"age of ewe": {number: Level("", number % 6, str(number % 6)) for number in values}}
    found = compare(values, effects, "ewes")
    assert ("12 ewes", {"age of ewe": ("0 and 1 and 2 and 3 and 4 and 5",)}) == (found.words, found.classes)
    assert -5.5 == pytest.approx(found.against[0].deviation)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"born_year": 2025}, "1 year"), ({"born_year": 2022}, "4 years"), ({"born_year": 2010}, "9 years"),
        ({"lambings_before": 0}, "first-time (birth year not known)"), ({"born_year": 2030}, "unknown (birth year not known)"),
    ],
)
def test_age_of_ewe(cells: Row, expected: str) -> None:
    records = season(ewes=[{"ewe": "A", **cells}])
    assert expected == age_level(records, records.flock.ewes["a"]).name


def test_a_ewe_without_a_birth_year_stands_beside_the_years_like_her() -> None:
    rows: list[Row] = [{"ewe": "first", "lambings_before": 0}, {"ewe": "mature", "lambings_before": 3}, {"ewe": "not known"}]
    rows += [{"ewe": f"{age} years", "born_year": 2026 - age} for age in (1, 2, 4, 5, 8, 9, 10)]
    records = season(ewes=rows)
    order = {key: age_level(records, one).order for key, one in records.flock.ewes.items()}
    expected = ["1 years", "first", "2 years", "4 years", "mature", "not known", "5 years", "8 years", "9 years", "10 years"]
    assert expected == sorted(order, key=lambda key: (order[key], len(key)))
    assert order["8 years"] < order["9 years"] == order["10 years"]


@settings(max_examples=examples(60), deadline=None)
@given(st.lists(st.tuples(st.floats(-1e3, 1e3), st.integers(0, 4), st.sampled_from("abc")), min_size=1, max_size=60))
def test_deviations_sum_to_nought_in_every_class_that_is_allowed_for(records: list[tuple[float, int, str]]) -> None:
    values = {at: kg for at, (kg, _, _) in enumerate(records)}
    effects = {"age of ewe": {at: Level("", age, str(age)) for at, (_, age, _) in enumerate(records)},
               "group": by_number({at: group for at, (_, _, group) in enumerate(records)})}
    found = compare(values, effects, "ewes")
    assert values.keys() == found.against.keys()
    if len(values) < 10:
        assert {None} == {one.deviation for one in found.against.values()}
        return
    for effect, levels_of in effects.items():
        for name, at in zip(names := join_small(list(levels_of.values())), values, strict=True):
            alike = [found.against[other].deviation or 0.0 for other, same in zip(values, names, strict=True) if same == name]
            assert len(alike) >= 10 and 0.0 == pytest.approx(sum(alike), abs=1e-6), (effect, name, at)


@settings(max_examples=examples(40), deadline=None)
@given(random_rows.seasons(most=4))
def test_whatever_the_cells_hold_rearing_is_worked_out(rows: dict[str, list[Row]]) -> None:
    records = season(**rows)  # type: ignore[arg-type]  # rows by sheet id
    assert rearing(records).litters.keys() <= records.flock.ewes.keys()
    for occasion in (Weighed.EARLY, Weighed.WEANING):
        model = lamb_model(records, occasion)
        assert all(found.against.words for found in model.lambs.values())
        assert all(one.number >= 10 for table in lamb_means(model) for one in table.classes)


# Lambs.


def lamb_of(records: Season, row: int, occasion: Weighed = Weighed.WEANING) -> LambAgainst:
    return lamb_model(records, occasion).lambs[row]


def mixed_lambs(**last: Value) -> Season:
    """Twelve ewe and twelve ram lambs, singles; ram lambs are 3 kg heavier, the last ram lamb 2 kg more again."""
    names = [f"E{i}" for i in range(24)]
    lambs = [lamb(name, sex=Sex.EWE if i < 12 else Sex.RAM) for i, name in enumerate(names)]
    lambs[-1] = {**lambs[-1], **last}
    kgs = [30.0] * 12 + [33.0] * 11 + [35.0]
    return season(
        ewes=[ewe(name, group="Mead") for name in names], lambs=lambs,
        lambing=[{"ewe": name, "lambed_on": None if last.get("tag") and name == "E23" else LAMBED} for name in names],
        weights=[*(weighed(f"{name}-1", kg) for name, kg in zip(names, kgs, strict=True)),
                 *(weighed(f"{name}-1", kg - 10, AT_60, Weighed.EARLY) for name, kg in zip(names, kgs, strict=True))],
    )


@pytest.mark.parametrize("occasion", [Weighed.EARLY, Weighed.WEANING])
def test_a_lamb_stands_against_lambs_of_its_sex(occasion: Weighed) -> None:
    found = lamb_of(mixed_lambs(), 27, occasion)
    assert (True, pytest.approx(2 - 2 / 12), "24 lambs, allowing for sex") == (
        found.adjusted, found.against.deviation, found.against.words)


def test_a_lamb_of_unknown_age_is_compared_as_the_scale_said() -> None:
    found = lamb_of(mixed_lambs(tag="7001"), 27)
    assert (False, None, 35.0, pytest.approx(2 - 2 / 12)) == (
        found.adjusted, found.weight.kg, found.kg, found.against.deviation)
    assert "24 lambs, allowing for sex, not adjusted for age" == found.against.words
    assert pytest.approx(33 + 2 / 12) == found.expected


def test_a_lamb_alone_of_its_kind_stands_with_the_nearest_kind() -> None:
    assert "24 lambs, allowing for sex" == lamb_of(mixed_lambs(sex=Sex.WETHER), 27).against.words
    assert ("wether and ram", "ewe") == lamb_model(mixed_lambs(sex=Sex.WETHER)).comparison.classes["sex"]


def test_a_lamb_on_the_bottle_stands_against_others_on_the_bottle() -> None:
    found = lamb_of(mixed_lambs(reared_by=RearedBy.PET), 27)
    assert (None, "few: only 1 lamb reared by hand") == (found.against.deviation, found.against.words)


def test_a_twin_reared_alone_is_told_from_a_twin_reared_as_a_twin() -> None:
    names = [f"E{i}" for i in range(24)]
    lambs = [row for i, name in enumerate(names) for row in (
        lamb(name), lamb(name, 2, left_how=LambLeft.DIED if i < 12 else None, left_on=date(2026, 3, 2) if i < 12 else None))]
    records = season(
        ewes=[ewe(name) for name in names], lambs=lambs, lambing=[{"ewe": name, "lambed_on": LAMBED} for name in names],
        weights=[weighed(f"{row['ewe']}-{row['lamb_no']}", 30.0 if "left_how" not in row or row["left_how"] is None else 1.0)
                 for row in lambs if row.get("left_how") is None],
    )
    found = lamb_of(records, 4)
    assert (0.0, "36 lambs, allowing for birth and rearing type") == (
        pytest.approx(found.against.deviation, abs=1e-9), found.against.words)


def test_dead_born_lambs_and_lambs_not_weighed_have_no_weight() -> None:
    records = season(lambs=[lamb("A", born=Born.DEAD_FRESH), lamb("A", 2)], weights=[weighed("A-1", 30.0)])
    assert {} == lamb_model(records, Weighed.WEANING).lambs


def by_day(twin_lighter: float = 0.0) -> Season:
    """Twelve ewes with a single, twelve with twins, none with a lambing date; ram lambs 3 kg heavier than ewe lambs."""
    rows: dict[str, list[Row]] = {"ewes": [], "lambs": [], "weights": []}
    for number in range(24):
        name, twin = f"E{number}", number >= 12
        rows["ewes"].append(ewe(name, group="Hill"))
        for n in range(1, 2 + twin):
            male = (number + n) % 2 == 0
            rows["lambs"].append(lamb(name, n, sex=Sex.RAM if male else Sex.EWE))
            rows["weights"].append(weighed(f"{name}-{n}", 30.0 + 3 * male - twin_lighter * twin + 4 * (number == 0)))
    return season(**rows)  # type: ignore[arg-type]  # rows by sheet id


def test_without_lambing_dates_litters_are_compared_as_the_scale_said() -> None:
    found = rearing(by_day(twin_lighter=5.0))
    assert (None, "not adjusted for age") == (found.litters["e0"].kg, found.litters["e0"].words)
    assert 24 == len(found.comparison.against)
    assert "36 lambs, allowing for sex and birth and rearing type, not adjusted for age" == found.comparison.words
    # 4 kg more, less her share of what the twelve singles are allowed; sex and litter are allowed for in all others.
    assert 3.0 < (found.comparison.against["e0"].deviation or 0.0) < 4 - 4 / 13
    assert all(abs(found.comparison.against[f"e{at}"].deviation or 0.0) < 0.8 for at in range(1, 24))
    assert None is found.lambs.target


def far_lambs(far: int, near: int, days: int) -> Season:
    """Lambs of 0.25 kg a day from 4 kg at birth, some weighed so many days from 90 where they had gained half as much a day."""
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": [], "weights": []}
    for number in range(far + near):
        later = (days + number % 3) if number < far else 0
        rows["ewes"].append(ewe(name := f"E{number}"))
        rows["lambing"].append({"ewe": name, "lambed_on": LAMBED})
        rows["lambs"].append(lamb(name, birth_weight=4.0))
        kg = 4 + 0.25 * 90 + 0.125 * later + (number % 2)
        rows["weights"].append(weighed(f"{name}-1", kg, AT_90 + timedelta(days=later)))
    return season(**rows)  # type: ignore[arg-type]  # rows by sheet id


@pytest.mark.parametrize(("far", "days", "in_model"), [
    (9, 40, False), (10, 40, True), (11, 40, True), (10, -31, True),
    (30, 26, False),  # none is more than 28 days away
    (29, 27, False), (30, 27, True),  # nine, ten of them are 29 days away
])
def test_ten_lambs_weighed_far_from_the_one_age_keep_their_weight(far: int, days: int, in_model: bool) -> None:
    records = far_lambs(far, 20, days)
    found = lamb_model(records)
    assert in_model == ("allowing for weighing day" in found.comparison.words)
    assert in_model == (found.lambs[4 + 2].kg == records.rows("weights")[2]["kg"])


def test_where_nearly_all_are_weighed_far_from_it_all_keep_their_weight() -> None:
    found = lamb_model(far_lambs(30, 9, 45))
    assert 39 == found.comparison.against[4].number
    scale = [row["kg"] for row in far_lambs(30, 9, 45).rows("weights")]
    assert scale == [one.kg for one in found.lambs.values()]


# Across seasons.


def across(now: float | None, **cells: Value) -> tuple[float, int, str] | None:
    records = season(ewes=[{"ewe": "A", **cells}])
    found = across_seasons(records, {} if now is None else {"a": Against(now, None, 40, "")}).get("a")
    return None if found is None else (round(found.kg, 4), found.seasons, found.words)


@pytest.mark.parametrize(
    ("now", "cells", "expected"),
    [
        # Weight of 1, 2 and 3 records at a repeatability of 0.28: 0.28, 0.4375, 0.5385.
        (8.0, {}, (2.24, 1, "mean of 1 season +8.0 kg")),
        (8.0, {"past_litter_deviation": 2.0, "past_litter_seasons": 2}, (2.1538, 3, "mean of 3 seasons +4.0 kg")),
        (None, {"past_litter_deviation": -4.0, "past_litter_seasons": 2}, (-1.75, 2, "mean of 2 seasons -4.0 kg")),
        (None, {"past_litter_deviation": 2.0}, (0.56, 1, "mean of 1 season +2.0 kg")),
        (None, {"past_litter_seasons": 2}, None),
        (None, {"past_litter_deviation": 2.0, "past_litter_seasons": 0}, None),
    ],
)
def test_across_seasons(now: float | None, cells: Row, expected: tuple[float, int, str] | None) -> None:
    found = across(now, **cells)
    assert (expected and (*expected[:2], f"{expected[2]}, repeatability 0.28 as on Policy")) == found


def test_the_repeatability_on_policy_counts() -> None:
    records = season(ewes=[{"ewe": "A"}], policy=[{"row_key": "repeatability", "limit": 0.4}])
    assert 3.2 == pytest.approx(across_seasons(records, {"a": Against(8.0, None, 40, "")})["a"].kg)


def with_seasons(number: int, alike: float) -> tuple[Season, dict[str, Against]]:
    """Ewes with an earlier season each and this one, alike or the other way round by a share."""
    kgs = [(-1.0) ** at * (1 + at % 4) for at in range(number)]
    ewes = [{"ewe": f"E{at}", "past_litter_deviation": kg, "past_litter_seasons": 1} for at, kg in enumerate(kgs)]
    now = {f"e{at}": Against(alike * kg, None, 40, "") for at, kg in enumerate(kgs)}
    return season(ewes=[*ewes, {"ewe": "once"}], policy=[{"row_key": "repeatability", "limit": 0.4}]), now


@pytest.mark.parametrize(("number", "alike", "expected"), [
    (29, 1.0, Share(0.4, "as on Policy")), (30, 1.0, Share(1.0, "from 30 ewes of this flock")),
    (31, -1.0, Share(0.0, "from 31 ewes of this flock")),
])
def test_thirty_ewes_with_two_seasons_say_how_alike_seasons_are(number: int, alike: float, expected: Share) -> None:
    found = share_of_ewe(*with_seasons(number, alike))
    assert expected == (pytest.approx(found.value, abs=1e-9), found.words)


def test_ewes_with_one_season_alone_say_nothing_of_it() -> None:
    records, now = with_seasons(40, 1.0)
    assert "as on Policy" == share_of_ewe(records, dict(list(now.items())[:29])).words
    assert "as on Policy" == share_of_ewe(records, dict.fromkeys(now, Against(None, None, 3, "few"))).words


def test_a_ewe_not_compared_has_no_value_from_this_season() -> None:
    assert {} == dict(rearing(flock_of(singles=9, twins=0)).across)
