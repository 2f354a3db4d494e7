"""Lamb weights brought to one age, and the litters they make."""

from datetime import date

import pytest
from seasons import season

from template_builder.layout.choices import Cause, LambLeft, RearedBy, Sex, Weighed
from template_builder.layout.columns import Row, Value
from workbook.results.litters.ewe_facts import reared as lambs_reared
from workbook.results.scores.adjusted import NOT_ADJUSTED, AdjustedWeight, birth_weights, lamb_weight, window
from workbook.results.scores.litter_weight import litter_weights
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)
AT_90 = date(2026, 5, 30)


def lamb(ewe: str, number: int = 1, **cells: Value) -> Row:
    return {"ewe": ewe, "lamb_no": number, "sex": Sex.EWE, **cells}


def weighed(animal: str, kg: float, day: date = AT_90, occasion: Weighed = Weighed.WEANING) -> Row:
    return {"animal": animal, "date": day, "kg": kg, "occasion": occasion}


def first_weight(records: Season, occasion: Weighed = Weighed.WEANING) -> AdjustedWeight:
    found = lamb_weight(records, records.flock.lambs[0], occasion, birth_weights(records))
    assert found is not None
    return found


def one_lamb(day: date = AT_90, occasion: Weighed = Weighed.WEANING, **cells: Value) -> Season:
    return season(
        lambing=[{"ewe": "A", "lambed_on": LAMBED}], lambs=[lamb("A", **cells)], weights=[weighed("A-1", 30.0, day, occasion)],
    )


def test_weaning_weight_at_the_age_on_season() -> None:
    found = first_weight(one_lamb(birth_weight=4.5, day=date(2026, 5, 24)))  # 84 days, as in the published test
    assert (31.8214, 84, "") == (pytest.approx(found.kg, abs=1e-4), found.age, found.words)
    assert ["Weights!C4", "Weights!B4", "Lambing!D4", "Lambs!F4"] == [str(cell) for cell in found.cells]


def test_early_weight_has_its_own_age_and_window() -> None:
    assert "" == first_weight(one_lamb(date(2026, 5, 7), Weighed.EARLY, birth_weight=4.0), Weighed.EARLY).words  # 67 days
    late = first_weight(one_lamb(date(2026, 5, 8), Weighed.EARLY, birth_weight=4.0), Weighed.EARLY)  # 68 days
    assert "weighed at 68 days: more than 7 days from 60, take with care" == late.words


@pytest.mark.parametrize(("days", "warned"), [(61, True), (62, False), (118, False), (119, True)])
def test_window_at_weaning_is_28_days(days: int, warned: bool) -> None:
    found = first_weight(one_lamb(date.fromordinal(LAMBED.toordinal() + days), birth_weight=4.0))
    assert warned is ("take with care" in found.words)


def test_a_birth_weight_not_taken_is_the_constant_of_its_litter() -> None:
    found = first_weight(one_lamb())
    assert (5.5, "birth weight not taken, 5.5 kg used") == (found.birth_weight, found.words)


@pytest.mark.parametrize(("number", "expected"), [(4, 5.5), (5, 6.0)])
def test_a_flock_mean_stands_in_from_five_lambs_of_its_sex_and_litter_size(number: int, expected: float) -> None:
    others = [f"B{i}" for i in range(number)]
    records = season(
        lambing=[{"ewe": ewe, "lambed_on": LAMBED} for ewe in ["A", *others]],
        lambs=[lamb("A"), *(lamb(ewe, birth_weight=6.0) for ewe in others), lamb("R", sex=Sex.RAM, birth_weight=8.0)],
        weights=[weighed("A-1", 30.0)],
    )
    assert expected == first_weight(records).birth_weight


def test_without_a_birth_date_there_is_no_adjusted_weight() -> None:
    records = season(lambs=[lamb("A")], weights=[weighed("A-1", 30.0)])
    assert (None, NOT_ADJUSTED) == (first_weight(records).kg, first_weight(records).words)


def test_without_a_dam_there_is_no_adjusted_weight() -> None:
    records = season(lambs=[{"tag": "7001", "sex": Sex.EWE}], weights=[weighed("7001", 30.0)])
    assert (None, NOT_ADJUSTED) == (first_weight(records).kg, first_weight(records).words)


def test_litter_is_the_sum_of_own_and_set_on_lambs() -> None:
    records = season(
        lambing=[{"ewe": "A", "lambed_on": LAMBED}, {"ewe": "B", "lambed_on": LAMBED}],
        lambs=[lamb("A", birth_weight=5.0), lamb("B", birth_weight=5.0),
               lamb("B", 2, birth_weight=4.0, reared_by=RearedBy.FOSTER_EWE, foster_ewe="A")],
        weights=[weighed("A-1", 30.0), weighed("B-1", 28.0), weighed("B-2", 26.0)],
    )
    litters = litter_weights(records)
    assert {"a": (56.0, 2), "b": (28.0, 1)} == {key: (litter.kg, litter.reared) for key, litter in litters.items()}


def test_a_lamb_present_but_not_weighed_makes_the_litter_incomplete_not_small() -> None:
    records = season(lambing=[{"ewe": "A", "lambed_on": LAMBED}], lambs=[lamb("A"), lamb("A", 2)],
                     weights=[weighed("A-1", 30.0)])
    assert (None, 2, "incomplete: A-2 not weighed") == (
        (litter := litter_weights(records)["a"]).kg, litter.reared, litter.words)


def test_a_lamb_that_died_before_weaning_is_not_waited_for() -> None:
    dead = lamb("A", 2, left_how=LambLeft.DIED, left_on=date(2026, 3, 9), cause=Cause.PREDATOR)
    records = season(lambing=[{"ewe": "A", "lambed_on": LAMBED}], lambs=[lamb("A", birth_weight=5.0), dead],
                     weights=[weighed("A-1", 30.0)])
    assert (30.0, 1) == ((litter := litter_weights(records)["a"]).kg, litter.reared)


@pytest.mark.parametrize(("left", "reared"), [(date(2026, 6, 9), 1), (date(2026, 6, 10), 1), (date(2026, 6, 11), 2)])
@pytest.mark.parametrize(("on_ewes", "turned_out_to"), [("Low", None), ("low ", None), ("Hill", "low")])
def test_a_lamb_lost_after_the_weaning_of_its_group_was_reared(
    left: date, reared: int, on_ewes: str, turned_out_to: str | None,
) -> None:
    """The same lambs as the figures count as reared, whichever way the group is written."""
    records = season(
        ewes=[{"ewe": "A", "group": on_ewes}], groups=[{"group": "Low", "weaning": date(2026, 6, 10)}, {"group": "Hill"}],
        lambing=[{"ewe": "A", "lambed_on": LAMBED, "turned_out_to": turned_out_to}], weights=[weighed("A-1", 30.0)],
        lambs=[lamb("A"), lamb("A", 2, left_how=LambLeft.DIED, left_on=left)],
    )
    assert (reared, reared) == (litter_weights(records)["a"].reared, len(lambs_reared(records)))


def test_early_litters_hold_the_lambs_weighed_early_though_one_died_after() -> None:
    dead = lamb("A", 2, birth_weight=4.0, left_how=LambLeft.DIED, left_on=date(2026, 5, 20))
    early = date(2026, 4, 30)  # 60 days
    records = season(
        lambing=[{"ewe": "A", "lambed_on": LAMBED}], lambs=[lamb("A", birth_weight=5.0), dead],
        weights=[weighed("A-1", 22.0, early, Weighed.EARLY), weighed("A-2", 18.0, early, Weighed.EARLY), weighed("A-1", 30.0)],
    )
    assert (40.0, 2) == ((litter := litter_weights(records, Weighed.EARLY)["a"]).kg, litter.reared)
    assert (30.0, 1) == ((litter := litter_weights(records)["a"]).kg, litter.reared)


@pytest.mark.parametrize(("target", "days"), [
    (1, 7), (30, 7), (60, 7), (74.6, 7), (75, 7), (75.4, 28), (90, 28), (120, 28),
])
def test_the_window_is_that_of_the_nearest_age_published(target: float, days: int) -> None:
    assert days == window(target)
