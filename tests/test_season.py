"""Settings and selection rules as the farm has set them, each falling back to what they are where nothing is written."""

from datetime import date, datetime

import pytest
from seasons import AS_OF, season

from template_builder.layout.choices import Action, Compare, DateOrder, OnOff, When
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.policy import RULES, WEIGHTS
from template_builder.layout.settings import SETTING
from workbook.season.season import Policy, Settings


def settings(id: str, value: Value) -> Settings:
    return season(season=[{"row_key": id, "value": value}, {"row_key": "no setting", "value": 3}]).settings


@pytest.mark.parametrize(("written", "number", "own"), [
    (None, 147, False), (NOT_KNOWN, 147, False), (145, 145, True), (145.5, 145.5, True),
])
def test_a_setting_is_the_farms_own_or_its_default(written: Value, number: float, own: bool) -> None:
    found = settings("gestation", written)
    assert (number, number, own) == (found.number("gestation"), found.maybe("gestation"), found.own("gestation"))
    assert SETTING["cycle"].default == found.number("cycle")


def test_a_setting_without_a_default_may_be_blank_and_one_of_another_kind_is_a_mistake_in_calling() -> None:
    found = settings("target_loss", None)
    assert (None, "", None) == (found.maybe("target_loss"), found.text("gestation"), found.moment("gestation"))
    with pytest.raises(TypeError, match="is not a number"):
        found.number("target_loss")
    with pytest.raises(TypeError, match="is no DateOrder"):
        found.choice("gestation", DateOrder)


@pytest.mark.parametrize(("written", "moment"), [
    (datetime(2026, 4, 1, 6, 30), datetime(2026, 4, 1, 6, 30)), (date(2026, 4, 1), datetime(2026, 4, 1)), (None, None), (3, None),
])
def test_a_day_alone_is_its_first_moment(written: Value, moment: datetime | None) -> None:
    assert moment == settings("as_of", written).moment("as_of")


@pytest.mark.parametrize(("year", "first"), [(None, date(AS_OF.year - 1, 6, 1)), (2024, date(2023, 6, 1))])
def test_the_days_of_a_season_are_those_of_its_year(year: int | None, first: date) -> None:
    assert first == season(season=[{"row_key": "year", "value": year}]).days.first


def lambings(*days: date | None) -> list[Row]:
    return [{"ewe": str(number), "lambed_on": day} for number, day in enumerate(days)]


LAST, THIS = date(2025, 3, 20), date(2026, 1, 10)
IN_JANUARY = datetime(2026, 1, 15)


@pytest.mark.parametrize(("days", "year"), [
    ([], 2026), ([None, None], 2026), ([LAST], 2025), ([LAST, THIS], 2026), ([LAST, LAST, THIS], 2025),
    ([LAST, THIS, THIS], 2026),
    ([date(2024, 12, 31)] * 3, 2026), ([date(2025, 1, 1)], 2025), ([date(2025, 12, 31)], 2025), ([date(2026, 1, 1)], 2026),
    ([date(2027, 3, 20)] * 3, 2026), ([date(2022, 3, 19)] * 3, 2026),
])
def test_the_year_is_that_of_the_moment_or_the_one_before_while_more_ewes_lambed_then(
    days: list[date | None], year: int,
) -> None:
    assert year == season(lambing=lambings(*days), as_of=IN_JANUARY).year


@pytest.mark.parametrize("year", [2024, 2025, 2026, 2027])
def test_a_year_written_on_season_stands_whatever_the_lambings_say(year: int) -> None:
    found = season(lambing=lambings(LAST, LAST), season=[{"row_key": "year", "value": year}], as_of=IN_JANUARY)
    assert (year, date(year, 12, 31)) == (found.year, found.days.last)


def test_dates_all_four_years_out_are_found_where_no_year_is_written() -> None:
    moved = season(lambing=lambings(*[date(2022, 3, 19)] * 12))
    assert (2026, -1462) == (moved.year, moved.days_out)


@pytest.mark.parametrize(("flock", "year", "title"), [
    ("Hill Farm", 2026, "Hill Farm 2026"), ("Hill Farm", None, "Hill Farm"), (None, 2026, "2026"), (None, None, ""),
])
def test_a_season_is_called_by_its_flock_and_year(flock: str | None, year: int | None, title: str) -> None:
    assert title == season(season=[{"row_key": "flock", "value": flock}, {"row_key": "year", "value": year}]).title


def policy(*rows: Row) -> Policy:
    return season(policy=list(rows)).policy


def test_a_rule_is_as_the_farm_set_it_and_else_as_it_is() -> None:
    rule = RULES[0]
    other: Row = {"row_key": rule.id, "on": OnOff.OFF if rule.on is OnOff.ON else OnOff.ON, "limit": rule.limit + 1,
                  "compare": Compare.AT_MOST if rule.compare is Compare.AT_LEAST else Compare.AT_LEAST,
                  "action": Action.NOTE, "when": When.TWO_OF_THREE if rule.when is When.AT_ONCE else When.AT_ONCE}
    found = policy(other).rules[0]
    assert tuple(other[id] for id in ("on", "limit", "compare", "action", "when")) == (
        found.rule.on, found.rule.limit, found.rule.compare, found.rule.action, found.rule.when)
    assert ("season.xlsx", 4) == (found.place.file, found.place.row)
    assert list(RULES) == [placed.rule for placed in policy({"row_key": rule.id, "limit": NOT_KNOWN}).rules]
    assert list(RULES) == [placed.rule for placed in policy().rules]


def test_a_weight_is_as_the_farm_set_it_and_else_as_it_is() -> None:
    assert {weight.id: weight.limit for weight in WEIGHTS} == policy().weights
    assert 0 == policy({"row_key": WEIGHTS[0].id, "limit": 0}).weights[WEIGHTS[0].id]
