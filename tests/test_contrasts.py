"""Comparisons of classes of lambs, worked out by hand; published values through them stand in tests/published."""

import random
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from math import exp, sqrt

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout.choices import Born, Help, LambLeft, YesNo
from template_builder.layout.columns import Row
from workbook.results.litters.contrasts import Contrast, contrasts
from workbook.results.statistics.proportions import Ratio
from workbook.season.season import Season

DAY = date(2026, 4, 1)
Z = 1.959964  # standard normal deviate of 97.5 %, from tables


def by_id(of: Season) -> dict[str, Contrast]:
    return {contrast.id: contrast for contrast in contrasts(of)}


def flock(
    litters: Iterable[tuple[int, int]], ewe: Row | None = None, lamb: Row | None = None, first: int = 1,
) -> dict[str, list[Row]]:
    """Rows for litters given as (born alive, of these lost)."""
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": []}
    for number, (born, lost) in enumerate(litters, start=first):
        rows["ewes"].append({"ewe": f"E{number}", **(ewe or {})})
        rows["lambing"].append({"ewe": f"E{number}", "lambed_on": DAY})
        rows["lambs"] += [
            {"ewe": f"E{number}", "lamb_no": n, "born": Born.ALIVE,
             "left_how": LambLeft.DIED if n <= lost else None, **(lamb or {})}
            for n in range(1, born + 1)
        ]
    return rows


def together(*parts: dict[str, list[Row]]) -> Season:
    return season(**{sheet: [row for part in parts for row in part[sheet]] for sheet in ("ewes", "lambing", "lambs")})


def singles(lost: int, of: int, first: int = 1, ewe: Row | None = None, lamb: Row | None = None) -> dict[str, list[Row]]:
    return flock([(1, 1)] * lost + [(1, 0)] * (of - lost), ewe, lamb, first)


def test_a_printed_relative_risk_and_its_interval() -> None:
    # 16 of 128 against 24 of 256: R package epitools, as printed in scipy's own unit tests. All lambs are singles, so that
    # nothing is known of likeness within litters and the interval is not widened.
    of = together(singles(16, 128, lamb={"helped": YesNo.YES}), singles(24, 256, 200, lamb={"helped": YesNo.NO}))
    found = by_id(of)["helped_v_not"]
    assert pytest.approx((4 / 3, 0.7347317, 2.419628), abs=1e-6) == found.risk_ratio
    assert (None, 1.0, 1.0) == (found.likeness, found.first.design_effect, found.second.design_effect)
    assert ("Lambs helped at birth were lost 1.3 times as often as those not helped (0.7 to 2.4): 16 of 128 against 24 of 256. "
            "This may be chance.") == found.words
    # (16 x 232) / (112 x 24): the odds ratio has its own name and is another number.
    assert pytest.approx(3712 / 2688) == found.odds_ratio


def test_litters_that_live_or_die_together_count_for_one_lamb_each() -> None:
    # Five twin litters lost whole and five kept whole: likeness 1, so twins count half (1 + (2 - 1) x 1) and singles in full.
    of = together(flock([(2, 2)] * 5 + [(2, 0)] * 5), singles(2, 10, 50))
    found = by_id(of)["twins_v_singles"]
    assert pytest.approx(1.0) == found.likeness
    assert (2.0, 1.0) == (pytest.approx(found.first.design_effect), found.second.design_effect)
    # Variance of the logarithm: 2 x (1/10 - 1/20) + (1/2 - 1/10) = 0.5.
    assert pytest.approx((2.5, 2.5 * exp(-Z * sqrt(0.5)), 2.5 * exp(Z * sqrt(0.5))), abs=1e-5) == found.risk_ratio
    assert ("Twins were lost 2.5 times as often as singles (0.6 to 10): 10 of 20 against 2 of 10. This may be chance."
            ) == found.words


def test_likeness_between_none_and_full_widens_by_the_design_effect() -> None:
    # Twelve twin litters: 3 lost whole, 3 lost one, 6 lost none. Mean 9/24; between litters
    # 2 x (3 x (5/8)^2 + 3 x (1/8)^2 + 6 x (3/8)^2) / 11 = 4.125 / 11 = 0.375; within 3 x 0.5 / 12 = 0.125; likeness
    # (0.375 - 0.125) / (0.375 + 0.125) = 0.5. Two groups of six litters: each design effect 1.5.
    one = flock([(2, 2)] * 3 + [(2, 1)] * 2 + [(2, 0)], {"group": "A"})
    other = flock([(2, 1)] + [(2, 0)] * 5, {"group": "B"}, first=20)
    found = by_id(together(one, other))["group:A"]
    assert (0.5, 1.5, 1.5) == pytest.approx((found.likeness, found.first.design_effect, found.second.design_effect))
    wide = sqrt(1.5 * (1 / 8 - 1 / 12 + 1 / 1 - 1 / 12))
    assert pytest.approx((8, 8 * exp(-Z * wide), 8 * exp(Z * wide)), rel=1e-5) == found.risk_ratio


def test_a_difference_that_is_no_chance_is_not_called_one() -> None:
    of = together(flock([(3, 1)] * 20), flock([(2, 0)] * 38 + [(2, 1)] * 2, first=50))
    found = by_id(of)["triplets_v_twins"]
    assert found.words.startswith("Triplets or more were lost 13 times as often as twins (")
    assert found.words.endswith("): 20 of 60 against 2 of 80.")
    assert not found.by_chance


@pytest.mark.parametrize(("low", "high", "chance"), [
    (0.5, 2.0, True), (1.0, 2.0, True), (1.01, 2.0, False), (0.5, 1.0, True), (0.5, 0.99, False), (1.5, 1.9, False),
    (None, None, True), (None, 0.5, True), (1.5, None, True),
])
def test_a_difference_may_be_chance_where_its_interval_holds_one(low: float | None, high: float | None, chance: bool) -> None:
    found = by_id(together(singles(3, 12, lamb={"birth_weight": 2.5}), singles(3, 30, 50, lamb={"birth_weight": 4.0})))
    told = found["light_v_middle"]
    assert told.table
    apart, alike = replace(told.table, chance=0.049), replace(told.table, chance=0.05)
    assert chance == replace(told, risk_ratio=Ratio(1.2, low, high), table=apart).by_chance
    # Where all classes of the kind together may be chance, or are too small to tell, so may any two of them.
    assert replace(told, risk_ratio=Ratio(1.2, low, high), table=alike).by_chance
    assert replace(told, risk_ratio=Ratio(1.2, low, high), table=None).by_chance


@pytest.mark.parametrize(("of", "compared"), [(9, False), (10, True)])
def test_classes_of_fewer_than_ten_are_not_compared(of: int, compared: bool) -> None:
    both = together(singles(3, of, lamb={"birth_weight": 2.5}), singles(3, 30, 50, lamb={"birth_weight": 4.0}))
    assert compared is ("light_v_middle" in by_id(both))


@pytest.mark.parametrize(("light", "words"), [
    (0, "Of lambs under 3 kg at birth none were lost, of those of 3 to under 5 kg some were: 0 of 12 against 4 of 20. This may "
        "be chance."),
    (12, "Lambs under 3 kg at birth were lost 5.0 times as often as those of 3 to under 5 kg (2.1 to 12): 12 of 12 against "
         "4 of 20."),
])
def test_none_lost_and_all_lost(light: int, words: str) -> None:
    both = together(singles(light, 12, lamb={"birth_weight": 2.9}), singles(4, 20, 50, lamb={"birth_weight": 3.0}))
    assert words == by_id(both)["light_v_middle"].words


def test_nobody_lost_is_no_comparison() -> None:
    assert {} == by_id(together(singles(0, 12, lamb={"birth_weight": 2.9}), singles(0, 20, 50, lamb={"birth_weight": 3.0})))


def test_first_lambing_is_known_from_lambings_before_alone() -> None:
    of = together(singles(5, 10, ewe={"lambings_before": 0}), singles(2, 10, 50, ewe={"lambings_before": 3}), singles(1, 4, 90))
    found = by_id(of)["first_lambing_v_later"]
    assert (5, 10, 2, 10) == (found.first.loss.numerator, found.first.loss.denominator, found.second.loss.numerator,
                              found.second.loss.denominator)
    assert "not recorded for 4 of 24 live-born lambs" == found.note


def test_each_of_three_rams_against_the_rest_and_of_two_groups_one() -> None:
    of = together(
        singles(5, 10, ewe={"ram": "T1", "group": "hill"}), singles(2, 10, 50, ewe={"ram": "t1", "group": "Hill"}),
        singles(2, 20, 90, ewe={"ram": "T2", "group": "Low"}), singles(1, 20, 150, ewe={"ram": "T3", "group": "low"}))
    found = by_id(of)
    assert ["ram:T1", "ram:T2", "ram:T3", "group:hill"] == list(found)
    counts = {id: (one.first.loss.numerator, one.first.loss.denominator, one.second.loss.denominator)
              for id, one in found.items()}
    assert {"ram:T1": (7, 20, 40), "ram:T2": (2, 20, 40), "ram:T3": (1, 20, 40), "group:hill": (7, 20, 40)} == counts
    assert (False, True) == (found["ram:T1"].either, found["group:hill"].either)
    assert "Lambs by ram T1 were lost 4.7 times as often as those of all other rams (1.3 to 16): 7 of 20 against 3 of 40." == (
        found["ram:T1"].words)


def test_help_all_well_is_no_help_and_bought_lambs_stand_apart() -> None:
    rows = singles(3, 12)
    rows["lambing"] = [{**row, "all_well": YesNo.YES} for row in rows["lambing"]]
    helped = singles(6, 12, 50)
    helped["lambing"] = [{**row, "help": Help.HARD} for row in helped["lambing"]]
    rows["lambs"] += [{"came_from": "bought", "left_how": LambLeft.DIED}]
    found = by_id(together(rows, helped))["helped_v_not"]
    assert pytest.approx(2.0) == found.risk_ratio.value


litter = st.tuples(st.integers(1, 4), st.integers(0, 4), st.sampled_from(["A", "B", "C"]), st.sampled_from([2.5, 4.0, None]))
litters = st.lists(litter, min_size=5, max_size=40)


@settings(max_examples=examples(60), deadline=None)
@given(litters, st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_no_comparison(written: list[tuple[int, int, str, float | None]], dice: random.Random) -> None:
    parts = [flock([(born, min(born, lost))], {"ram": ram}, {"birth_weight": kg}, first)
             for first, (born, lost, ram, kg) in enumerate(written, start=1)]
    rows = {sheet: [row for part in parts for row in part[sheet]] for sheet in ("ewes", "lambing", "lambs")}
    mixed = {sheet: dice.sample(found, len(found)) for sheet, found in rows.items()}
    assert contrasts(season(**rows)) == contrasts(season(**mixed))
