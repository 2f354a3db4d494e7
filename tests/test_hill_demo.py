"""The hill demo from end to end: by ewe and by count, clean without a problem, messy with exactly its list."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from dumps import dump

from demo_workbooks import HILL_CLEAN, HILL_MESSY, HILL_SCAN, HILL_SUMMARY, HILL_TALLY
from demo_workbooks.simulation import hill
from demo_workbooks.simulation.hill.slips import SLIPS
from demo_workbooks.simulation.writing import write_hill
from template_builder.layout.choices import HowRecorded, Verdict
from template_builder.layout.columns import Start
from template_builder.scan.by_ewe import ScanList
from template_builder.scan.reading import read_list
from template_builder.scan.season_rows import Mating, season_rows
from template_builder.scan.tally import TallyList
from template_builder.scan.tally_rows import tally_season_rows
from workbook.cli import main
from workbook.output import report
from workbook.reading.season_file import read
from workbook.results.litters.lines import LINES, SECOND_SUMS
from workbook.results.pipeline import Result, analyse

COMMITTED = Path(__file__).parent.parent / "demo_workbooks"
GOLDEN = Path(__file__).parent / "golden"
RAMS = Mating(date(2025, 11, 18), date(2026, 1, 3))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("hill")
    write_hill(made)
    return made


@pytest.fixture(scope="module")
def result(folder: Path) -> Result:
    return analyse(read(folder / HILL_CLEAN))


@pytest.mark.parametrize("name", [HILL_CLEAN, pytest.param(HILL_MESSY, marks=pytest.mark.long), HILL_SUMMARY])
def test_committed_workbooks_are_what_is_written_now(folder: Path, name: str) -> None:
    assert dump(COMMITTED / name) == dump(folder / name), "run python -m demo_workbooks.make_demos and read the difference"


@pytest.mark.parametrize("name", [HILL_SCAN, HILL_TALLY])
def test_committed_lists_are_what_is_written_now(folder: Path, name: str) -> None:
    assert (COMMITTED / name).read_text(encoding="utf-8") == (folder / name).read_text(encoding="utf-8")


def test_the_lists_give_its_ewes_and_its_tally(folder: Path) -> None:
    by_ewe, tally = read_list(folder / HILL_SCAN), read_list(folder / HILL_TALLY)
    assert isinstance(by_ewe, ScanList) and isinstance(tally, TallyList)
    assert ((), ()) == (by_ewe.unplaced, tally.unplaced)
    season = hill.clean_season()
    rows = season_rows(by_ewe.rows, RAMS, start=Start.OUTDOORS)
    assert [row["row_key"] for row in rows["ewes"]] == [row["row_key"] for row in season["ewes"]]
    assert rows["lambing"] == [{column: row[column] for column in laid} for row, laid in
                               zip(season["lambing"], rows["lambing"], strict=True)]
    (built,) = tally_season_rows(tally.rows, RAMS)["groups"]
    (heft,) = (row for row in season["groups"] if row["how_recorded"] is HowRecorded.COUNTS_ONLY)
    assert built == {column: heft[column] for column in built}


def test_six_hundred_ewes_and_two_calls_alike() -> None:
    assert 600 == sum(int(str(row["ewes_to_ram"])) for row in hill.groups())
    assert hill.clean_season() == hill.clean_season()
    assert "invented" in hill.TITLE and "invented" in hill.scan_list_csv().splitlines()[0]


def test_the_clean_season_has_no_problem(folder: Path) -> None:
    done = CliRunner().invoke(main, ["check", str(folder / HILL_CLEAN), "--strict"])
    assert f"{HILL_CLEAN}: no problem found\n" == done.output
    assert 0 == done.exit_code


def test_the_messy_season_gives_exactly_its_list(folder: Path, golden: Callable[[Path, str], None]) -> None:
    done = CliRunner().invoke(main, ["check", str(folder / HILL_MESSY)])
    golden(GOLDEN / "hill-season-messy-problems.txt", done.output)
    assert 1 == done.exit_code
    assert len(SLIPS) <= done.output.count("\n    ")


@pytest.mark.parametrize("name", [HILL_CLEAN, HILL_MESSY])
def test_accounts_balance(folder: Path, name: str) -> None:
    told = json.loads(report.result_json(analyse(read(folder / name))))
    account = told["account"]
    for line, parts in [(line.id, line.parts) for line in LINES if line.parts] + list(SECOND_SUMS):
        for kind in account["scanned"]:
            assert account[line][kind] == sum(account[part][kind] for part in parts), (line, kind)
    assert 3 == len(told["groups"])
    for group in told["groups"]:
        for before, stage, after in (("scanned", "marking", "marked"), ("marked", "weaning", "weaned")):
            assert group[before] + group[f"more_at_{stage}"] == (
                group[after] + group[f"lost_to_{stage}"] + group[f"sold_to_{stage}"] + group[f"moved_by_{stage}"]), group["group"]


def test_rates_are_near_what_is_published(result: Result) -> None:
    figures = {figure.id: figure.value or 0 for figure in result.figures}
    # 1.2 to 1.4 scanned per hill ewe in lamb: Teagasc, at second hand. 0.7 to 6 % born dead: veterinary pathology review.
    assert 1.2 <= figures["litter_scanned"] <= 1.4
    assert 0.7 <= figures["stillbirth_pct"] <= 6
    # Scan to weaning 15 % good, 20 % common, 25 % poor: from memory. Ewes 4 % a year: Hansard, 19 January 1994.
    assert 15 <= figures["total_loss_pct"] <= 25
    assert 2 <= figures["ewe_deaths_pct"] <= 6


def test_advice_is_of_use(result: Result) -> None:
    verdicts = {decision.verdict for decision in result.decisions.values()}
    assert {Verdict.CULL, Verdict.DRAFT, Verdict.WATCH, Verdict.KEEP} <= verdicts
    assert all(decision.reasons for decision in result.decisions.values() if decision.verdict is Verdict.CULL)
    looked_at = [decision for decision in result.decisions.values() if "udder" in decision.checked]
    assert 0.3 <= len(looked_at) / len(result.decisions) <= 0.8


def test_the_summary_has_its_groups(folder: Path) -> None:
    told = dump(folder / HILL_SUMMARY)
    assert "Litter account!A" in told and ": By group\n" in told
    assert "Known by counts only, and in no line of the account above and no table per ewe: High Heft." in told
    assert "High Heft: 220 lambs expected of 198 ewes scanned (148 with 1, 36 with 2)" in told


def test_the_demo_command_writes_its_six_files_only(tmp_path: Path) -> None:
    assert 0 == CliRunner().invoke(main, ["demo", str(tmp_path / "demo")]).exit_code
    assert 6 == len(list((tmp_path / "demo").iterdir()))


def test_lambs_short_at_the_counts_are_lost_between_them_and_in_their_groups(result: Result) -> None:
    """Counted 216 + 173 at marking of 230 + 194 booked, 213 + 164 at weaning; 23 had died before, 5 are on the bottle."""
    told = {stage["stage"]: stage for stage in json.loads(report.result_json(result))["life_table"]}
    assert {"day of birth or next day": (452, 0, 0), "to marking": (452, 23, 35), "to weaning": (394, 0, 12)} == {
        name: (stage["at_risk"], stage["died"], stage["short"]) for name, stage in told.items()}
    groups = next(table for table in result.losses if table.id == "group")
    assert {"Near Heft": (28, 243), "Far Heft": (42, 209)} == {
        item.label: (item.loss.numerator, item.loss.denominator) for item in groups.classes}
    compared = next(one for one in result.contrasts if one.id.startswith("group"))
    assert pytest.approx((42 / 209) / (28 / 243)) in (compared.risk_ratio.value, 1 / (compared.risk_ratio.value or 1))
    assert (377, 382) == (result.account.total("present_seen"), result.account.total("present"))
