"""What the build writes the reader reads: read(build(x)) equals x in values, wherever the sheets were moved to."""

from pathlib import Path

import pytest
from examples import examples
from hypothesis import HealthCheck, given, settings
from random_rows import seasons

from template_builder.build import Plan, build
from template_builder.layout.choices import Born
from template_builder.layout.columns import NOT_KNOWN, Row
from template_builder.layout.laying import lay_ready
from workbook.reading.season_file import read

pytestmark = pytest.mark.usefixtures("few_spare_rows")


def _values(path: Path, sheet: str) -> list[dict[str, object]]:
    return [dict(record.values) for record in read(path).season.rows(sheet)]


@settings(
    max_examples=examples(12), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(rows=seasons())
def test_read_gives_back_what_was_built(tmp_path: Path, rows: dict[str, list[Row]]) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Round trip", rows), force=True)
    season = read(path).season
    assert rows == {sheet: [dict(record.values) for record in season.rows(sheet)] for sheet in rows}


@pytest.mark.parametrize("name", ["0412", "826012345600012", "=x", "@x", "+1", "ab 12", "00012"])
def test_names_stay_as_they_are(tmp_path: Path, name: str) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Names", lay_ready([{"ewe": name, "scanned": 6}])))
    assert [name] == [row["ewe"] for row in _values(path, "ewes")]
    assert [(name, number) for number in range(1, 7)] == [(row["ewe"], row["lamb_no"]) for row in _values(path, "lambs")]


def test_a_row_laid_ready_is_no_lamb_until_someone_writes_in_it(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    rows = lay_ready([{"ewe": "0412", "scanned": 2}])
    rows["lambs"][1] = {**rows["lambs"][1], "born": Born.ALIVE}
    build(path, Plan("Touched", rows))
    assert [False, True] == [record.touched for record in read(path).season.rows("lambs")]


def test_not_known_may_stand_in_any_cell(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    row: Row = {"ewe": "1", "lambed_on": NOT_KNOWN, "sides_in_milk": NOT_KNOWN, "help": NOT_KNOWN}
    build(path, Plan("Not known", {"lambing": [row]}))
    reading = read(path)
    (record,) = reading.season.rows("lambing")
    assert (None, None, True) == (record.day("lambed_on"), record.whole("sides_in_milk"), record.filled("help"))
    assert () == reading.problems


def test_same_input_gives_the_same_bytes(tmp_path: Path) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 2}])
    for name in ("one", "two"):
        build(tmp_path / f"{name}.xlsx", Plan("Same", rows))
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_settings_and_policy_fall_back_to_their_defaults(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    own: dict[str, list[Row]] = {
        "season": [{"row_key": "gestation", "value": 145}], "policy": [{"row_key": "gummer", "limit": 3}],
    }
    build(path, Plan("Settings", own))
    reading = read(path)
    assert () == reading.problems
    assert (145, 17) == (reading.season.settings.number("gestation"), reading.season.settings.number("cycle"))
    assert {"gummer": 3.0, "broken-mouth": 1.0} == {
        rule.rule.id: rule.rule.limit for rule in reading.season.policy.rules if rule.rule.id in ("gummer", "broken-mouth")
    }
