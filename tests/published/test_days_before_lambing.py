"""Defaults of the plan before lambing against published figures; those without any say that they are common practice.

Days between heats: Merck Veterinary Manual; gestation: factsheets and a state handbook at second hand. Booster four to six
weeks before lambing: farm press (agriland.ie) and practice pages, at second hand. Most growth of the lambs in the last 60
days: state agriculture department (agric.wa.gov.au). Condition in late pregnancy: Cranston, Kenyon, Corner-Thomas and Morris
2017, Anim Biosci 30(9), abstract. Age groups at turnout, housing, helpers, adviser and fat singles: common practice, no
source.
"""

from datetime import date, timedelta

import pytest

from template_builder.layout.settings import SETTING
from template_builder.plan.calendar import TASKS, calendar
from template_builder.plan.feeding import Fed, FeedingPlan
from template_builder.plan.groups import InLamb, divide

WEEK = 7
# The least and the most that is published, and words by which the setting names where that is from.
PUBLISHED: list[tuple[str, float, float, str]] = [
    ("gestation", 144, 151, "144 to 151"),
    ("gestation_least", 138, 138, "138 to 159"),
    ("gestation_most", 159, 160, "138 to 159"),
    ("cycle", 16, 17, "Merck"),
    ("booster", 4 * WEEK, 6 * WEEK, "4 to 6 weeks"),
    ("thin_look", 0, 60, "last 60 days"),
    ("thin_below", 2.5, 3, "2.5 to 3"),
]
NO_SOURCE = ("mineral_check", "housing", "helpers", "fat_above")
FIRST = date(2026, 3, 10)


def default(id: str) -> float:
    value = SETTING[id].default
    assert isinstance(value, int | float), id
    return value


@pytest.mark.parametrize(("id", "least", "most", "named"), PUBLISHED, ids=[row[0] for row in PUBLISHED])
def test_a_default_lies_within_what_is_published_and_names_it(id: str, least: float, most: float, named: str) -> None:
    assert least <= default(id) <= most
    assert named in SETTING[id].source


@pytest.mark.parametrize("id", NO_SOURCE)
def test_what_is_not_published_says_so(id: str) -> None:
    assert SETTING[id].source.startswith("common practice")


def test_every_day_counted_back_is_either() -> None:
    assert set(TASKS) <= {*NO_SOURCE, *(id for id, *_ in PUBLISHED)}


def test_no_dose_or_ration_is_given() -> None:
    words = " ".join(f"{TASKS[id]} {SETTING[id].title} {SETTING[id].why}" for id in TASKS).lower()
    assert [] == [unit for unit in (" ml", " mg", " kg", " grams", " cc", "%") if unit in words]
    assert "vet" in words and "adviser" in words


@pytest.mark.parametrize("spread", [0, 7, 14])
def test_a_booster_is_never_under_four_weeks_before_a_ewe_of_the_group_is_due(spread: int) -> None:
    """Counted back from the first due day: the first ewes get it four to six weeks before, the others earlier."""
    ewes = [InLamb(2, FIRST + timedelta(days=day)) for day in (0, spread)]
    (day,) = [one.on for one in calendar(ewes, divide(ewes, 1), {task: default(task) for task in TASKS}) if one.task == "booster"]
    before = [(ewe.due - day).days for ewe in ewes if ewe.due]
    assert 4 * WEEK <= min(before) <= 6 * WEEK
    assert before == sorted(before)


@pytest.mark.parametrize(("condition", "thin"), [(2.0, True), (2.25, True), (2.5, False), (3.0, False)])
def test_twin_ewes_at_the_condition_that_reared_lighter_lambs_are_named_thin(condition: float, thin: bool) -> None:
    """Condition 2.0 in late pregnancy against 3.0, in the abstract named above."""
    plan = FeedingPlan(thin_below=default("thin_below"), fat_above=default("fat_above"))
    assert thin is plan.thin(Fed("1", InLamb(2), condition))
