"""What programs read: the JSON of check and analyse against the schema that the package holds and `explain json` prints."""

import json
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from fake_result import busy_result, empty_result, result
from jsonschema import Draft202012Validator
from seasons import season

import workbook
from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN, HILL_MESSY, MESSY
from demo_workbooks.simulation.half_way import half_season
from workbook.cli import main
from workbook.output.data.whole import schema, schema_json
from workbook.output.report import as_json, result_json
from workbook.reading.season_file import Reading, read
from workbook.results.litters.lines import LINES
from workbook.results.pipeline import Result, analyse, check

SHIPPED = Path(workbook.__file__).parent / "output" / "data" / "schema.json"
EWES = [{"ewe": str(n), "scanned": 2, "due": date(2026, 4, 1)} for n in range(12)]


def validator(of: str) -> Draft202012Validator:
    return Draft202012Validator({"$ref": f"#/$defs/{of}", "$defs": schema()["$defs"]},
                                format_checker=Draft202012Validator.FORMAT_CHECKER)


def problems(of: str, text: str) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in validator(of).iter_errors(json.loads(text))]


def test_the_schema_in_the_package_is_up_to_date_and_a_schema(golden: Callable[[Path, str], None]) -> None:
    golden(SHIPPED, schema_json() + "\n")
    Draft202012Validator.check_schema(schema())


def test_explain_prints_the_schema_and_lists_it() -> None:
    done = CliRunner().invoke(main, ["explain", "json"])
    assert (0, schema()) == (done.exit_code, json.loads(done.stdout))
    assert "\n  json  " in CliRunner().invoke(main, ["explain"]).stdout


@pytest.mark.parametrize("name", [CLEAN, MESSY, HILL_CLEAN, HILL_MESSY])
def test_what_is_written_of_the_demos_is_as_the_schema_says(name: str) -> None:
    reading = read(FOLDER / name)
    assert [] == problems("analyse", result_json(analyse(reading)))
    assert [] == problems("check", as_json(check(reading)))


def half_way() -> Result:
    return analyse(Reading(season(as_of=datetime(2026, 4, 3, 12, 0), **half_season(date(2026, 4, 2))), ()))


def untouched(month: int) -> Result:
    return analyse(Reading(season(as_of=datetime(2026, month, 1), ewes=EWES), ()))


@pytest.mark.parametrize("of", [half_way, busy_result, empty_result, lambda: untouched(1), lambda: untouched(7)])
def test_so_is_what_is_written_of_a_season_at_any_moment(of: Callable[[], Result]) -> None:
    assert [] == problems("analyse", result_json(of()))


def described(part: Mapping[str, Any], path: str) -> Iterator[tuple[str, str]]:
    """Every field under a part of the schema with its description."""
    for name, field in part.get("properties", {}).items():
        yield f"{path}.{name}", field.get("description", "")
        yield from described(field, f"{path}.{name}")


def test_every_field_is_described() -> None:
    fields = dict(pair for name, shape in schema()["$defs"].items() for pair in described(shape, name))
    assert len(fields) > 150
    assert [] == [path for path, means in fields.items() if len(means) < 8]
    assert {line.id for line in LINES} == schema()["$defs"]["analyse"]["properties"]["account"]["properties"].keys()


@pytest.mark.parametrize("spoil", [
    lambda told: told["figures"][0].pop("known"), lambda told: told["figures"][0].update(more=1),
    lambda told: told["ewes"][0].update(decision="sell"), lambda told: told["season"].update(as_of="yesterday"),
    lambda told: told["account"]["born"].update(all="12"), lambda told: told.update(version=2),
])
def test_what_is_not_so_is_found(spoil: Callable[[dict[str, Any]], object]) -> None:
    told = json.loads(result_json(busy_result()))
    spoil(told)
    assert 1 == len(problems("analyse", json.dumps(told)))


def test_a_ewe_that_left_is_told_with_how_and_without_a_decision() -> None:
    of = season(
        groups=[{"group": "Low"}],
        ewes=[{"ewe": "1", "group": "low", "ram": "R7", "born_year": 2022},
              {"ewe": "2", "left_on": date(2026, 5, 1), "left_how": "died"}],
        lambing=[{"ewe": "1", "lambed_on": date(2026, 4, 1)}])
    here, gone = json.loads(result_json(result(of)))["ewes"]
    assert ("1", "low", "R7", 4, None) == tuple(here[field] for field in ("ewe", "group", "ram", "age", "left"))
    assert here["decision"] is not None
    assert ({"on": "2026-05-01", "how": None}, None, []) == (gone["left"], gone["decision"], gone["reasons"])


def test_scan_losses_policy_and_problem_ewes_are_there() -> None:
    of = busy_result()
    told = json.loads(result_json(of))
    assert [rule.rule.id for rule in of.season.policy.rules] == [rule["id"] for rule in told["policy"]]
    assert [table.id for table in of.losses] == [table["id"] for table in told["losses"]]
    assert len(of.problem_ewes) == len(told["problem_ewes"])
    scanned = sum(int(lambs) * ewes for lambs, ewes in told["scan"]["ewes_with"].items())
    assert of.account.total("scanned") == scanned
    assert sum(row["ewes"] for row in told["scan"]["born"]) <= sum(told["scan"]["ewes_with"].values())
