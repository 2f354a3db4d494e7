"""Merging copies: nothing written is lost, nothing is chosen for anyone, and the order of the files makes no difference."""

import json
import re
import shutil
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from itertools import permutations
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result
from copies import Rows, handed_out, plain, unordered
from damage.ways import typed
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_rows import seasons
from seasons import season

from demo_workbooks import simulation
from template_builder.build import Plan, build
from template_builder.files.writing import WriteError
from template_builder.layout.choices import Action, Born, EweLeft, LambLeft, Milk, RearedBy, Sex, Stage, TreatedFor, Weighed
from template_builder.layout.columns import NOT_KNOWN, OWN, Kind, Row, Start, Value
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import CONFLICTS_TAB, HEADING_ROW, SHEET, TITLE_ROW
from template_builder.layout.words import LONGEST_QUOTED, LONGEST_TEXT, counted
from workbook.cli import main
from workbook.merging.files import NotMerged, merge_files
from workbook.merging.seasons import Conflict, Merged, merge
from workbook.output import report
from workbook.reading.season_file import read
from workbook.results.pipeline import analyse, check
from workbook.season.cells import Record
from workbook.season.matching import fold
from workbook.season.season import Season

pytestmark = pytest.mark.usefixtures("few_spare_rows")

GOLDEN = Path(__file__).parent / "golden"
NAMES = ("day.xlsx", "night.xlsx", "office.xlsx")
DAY = date(2026, 4, 1)


def copies(*rows: dict[str, list[Row]]) -> list[Season]:
    return [season(file=name, **found) for name, found in zip(NAMES, rows, strict=False)]


def merged(*rows: dict[str, list[Row]], base: dict[str, list[Row]] | None = None) -> Merged:
    return merge(copies(*rows), season(file="base.xlsx", **base) if base is not None else None)


def filled(found: Merged) -> dict[str, list[Row]]:
    return {sheet: rows for sheet, rows in plain(found.rows).items() if rows}


def said(conflict: Conflict) -> tuple[object, ...]:
    return conflict.row_name, conflict.heading, [claim.value for claim in conflict.claims], conflict.stands


def laid(**cells: Value) -> dict[str, list[Row]]:
    """A ewe scanned with two, her rows laid ready, with these cells on her Lambing row."""
    rows = lay_ready([{"ewe": "0412", "scanned": 2, "due": DAY}])
    return {**rows, "lambing": [{**rows["lambing"][0], **cells}]}


# Rows

def test_what_one_copy_fills_in_is_taken() -> None:
    found = merged(laid(born_alive=2), laid(born_dead=0), laid())
    assert laid(born_alive=2, born_dead=0) == filled(found)
    assert () == found.conflicts


def test_what_copies_agree_on_is_no_conflict() -> None:
    assert laid(born_alive=2) == filled(merged(laid(born_alive=2), laid(born_alive=2)))


def test_a_difference_is_left_blank_and_both_values_stand_on_conflicts() -> None:
    found = merged(laid(born_alive=2, recorded_by="AB"), laid(born_alive=3))
    assert laid(recorded_by="AB") == filled(found)
    (conflict,) = found.conflicts
    assert ("0412", "Born alive", [2, 3], None) == said(conflict)
    column = "ABCDEFGHIJKLMNOP"[[one.id for one in SHEET["lambing"]].index("born_alive")]
    assert [f"day.xlsx Lambing!{column}4, by AB", f"night.xlsx Lambing!{column}4"] == [c.source for c in conflict.claims]
    assert f"{column}4" == conflict.cell


def test_blank_not_known_and_nought_are_three_things() -> None:
    assert laid(born_dead=0) == filled(merged(laid(), laid(born_dead=0)))
    (conflict,) = merged(laid(born_dead=0), laid(born_dead=NOT_KNOWN)).conflicts
    assert [0, NOT_KNOWN] == [claim.value for claim in conflict.claims]


def test_three_values_are_three_claims() -> None:
    (conflict,) = merged(laid(born_alive=1), laid(born_alive=2), laid(born_alive=3)).conflicts
    assert [1, 2, 3] == [claim.value for claim in conflict.claims]


@pytest.mark.parametrize(("before", "one", "other", "stands", "claims"), [
    (1, 1, 2, 2, 0), (1, 2, 1, 2, 0), (1, 2, 3, 1, 2), (None, 2, 3, None, 2), (1, 2, 2, 2, 0), (1, None, 1, 1, 0),
    (1, None, None, None, 0), (1, None, 2, 2, 0),
])
def test_a_base_tells_who_has_changed_a_cell(
    before: Value, one: Value, other: Value, stands: Value, claims: int,
) -> None:
    rows = [laid(**({} if value is None else {"born_alive": value})) for value in (before, one, other)]
    found = merged(*rows[1:], base=rows[0])
    assert stands == found.rows["lambing"][0].get("born_alive")
    assert claims == sum(len(conflict.claims) for conflict in found.conflicts)


def test_rows_match_wherever_they_were_sorted_to() -> None:
    rows = lay_ready([{"ewe": ewe, "scanned": 1} for ewe in ("1", "2", "3")])
    turned = {**rows, "lambing": [{**row, "born_alive": 1} for row in reversed(rows["lambing"])]}
    found = merged(rows, turned)
    assert [1, 1, 1] == [row["born_alive"] for row in found.rows["lambing"]]
    assert () == found.conflicts


def test_an_issued_cell_changed_in_one_copy_is_a_correction() -> None:
    rows = laid()
    found = merged(rows, {**rows, "ewes": [{**rows["ewes"][0], "scanned": 3}]})
    assert (3, ()) == (found.rows["ewes"][0]["scanned"], found.conflicts)


def test_a_row_without_its_hidden_key_goes_with_the_issued_row_of_the_same_ewe() -> None:
    rows = laid()
    bare: Row = {"ewe": "0412", "born_alive": 2}
    assert laid(born_alive=2)["lambing"] == filled(merged(rows, {"lambing": [bare]}))["lambing"]


@pytest.mark.parametrize(("sheet", "row", "same", "other"), [
    ("ewes", {"ewe": "A1", "notes": "x"}, {"ewe": "a1", "breed": "y"}, {"ewe": "A2"}),
    ("lambing", {"ewe": "A1", "born_alive": 1}, {"ewe": "A1", "born_dead": 1}, {"ewe": "A2"}),
    ("lambs", {"ewe": "A1", "lamb_no": 3, "sex": Sex.EWE}, {"ewe": "A1", "lamb_no": 3, "born": Born.ALIVE},
     {"ewe": "A1", "lamb_no": 4}),
    ("lambs", {"tag": "9", "sex": Sex.EWE}, {"tag": "9", "born": Born.ALIVE}, {"tag": "8", "sex": Sex.EWE}),
    ("weights", {"animal": "9", "date": DAY, "kg": 20.5}, {"animal": "9", "date": DAY, "notes": "wet"},
     {"animal": "9", "date": DAY, "occasion": Weighed.WEANING}),
    ("ewe_check", {"ewe": "A1", "date": DAY, "milk": Milk.DRY}, {"ewe": "A1", "date": DAY, "condition": 2.0},
     {"ewe": "A1", "date": date(2026, 4, 2), "milk": Milk.DRY}),
    ("counts", {"date": DAY, "stage": Stage.TURNOUT, "lambs": 5}, {"date": DAY, "stage": Stage.TURNOUT, "ewes": 3},
     {"date": DAY, "stage": Stage.TURNOUT, "group": "Hill", "lambs": 5}),
    ("treatments", {"date": DAY, "animal": "A1", "product": "x", "batch": "1"},
     {"date": DAY, "animal": "A1", "product": "x", "amount": "2"},
     {"date": DAY, "animal": "A1", "product": "y"}),
    ("treatments", {"date": DAY, "given_to": TreatedFor.ALL_EWES, "product": "x"},
     {"date": DAY, "given_to": TreatedFor.ALL_EWES, "product": "x", "amount": "2"},
     {"date": DAY, "given_to": TreatedFor.ALL_LAMBS, "product": "x"}),
    ("groups", {"group": "Hill", "ewes_to_ram": 40}, {"group": "hill", "turnout": DAY}, {"group": "Low"}),
    ("answers", {"rule": "C105", "sheet": "Lambs", "row_name": "A1", "value": "9", "answer": "right"},
     {"rule": "C105", "sheet": "Lambs", "row_name": "A1", "value": "9", "answered_by": "AB"},
     {"rule": "C105", "sheet": "Lambs", "row_name": "A1", "value": "8", "answer": "right"}),
])
def test_rows_added_by_hand_match_by_what_they_are_about(sheet: str, row: Row, same: Row, other: Row) -> None:
    found = merged({sheet: [row]}, {sheet: [other, same]})
    assert unordered({sheet: [{**same, **row}, other]}) == unordered(filled(found))
    assert () == found.conflicts


def test_rows_about_the_same_thing_stay_apart_and_in_order() -> None:
    once: Row = {"animal": "9", "date": DAY, "kg": 20.0}
    again: Row = {"animal": "9", "date": DAY, "kg": 21.0}
    assert [once, again] == filled(merged({"weights": [once, again]}, {"weights": [once]}))["weights"]
    assert [once, again] == filled(merged({"weights": [once]}, {"weights": [once, again]}))["weights"]
    assert [once] == filled(merged({"weights": [once]}, {"weights": [once]}))["weights"]


def test_rows_that_do_not_say_what_they_are_about_are_never_put_together() -> None:
    one: Row = {"kg": 20.0}
    other: Row = {"kg": 21.0}
    assert [other, one] == filled(merged({"weights": [one]}, {"weights": [other, one]}))["weights"]


def test_settings_and_rules_differ_from_their_defaults_without_a_conflict() -> None:
    season_rows: list[Row] = [{"row_key": "gestation", "value": 145}]
    found = merged({"policy": [{"row_key": "gummer", "limit": 3.0, "action": Action.CULL}], "season": season_rows},
                   {"policy": [{"row_key": "gummer", "limit": 1.0, "action": Action.CULL, "why": "an older wording"}]})
    assert (3.0, ()) == (found.rows["policy"][0]["limit"], found.conflicts)
    assert "why" not in found.rows["policy"][0]
    assert season_rows == found.rows["season"]
    (conflict,) = merged({"season": season_rows}, {"season": [{"row_key": "gestation", "value": 146}]}).conflicts
    assert ("gestation", [145, 146], None) == (found.rows["season"][0]["row_key"], *said(conflict)[2:])


def test_own_columns_are_cells_like_any_other() -> None:
    found = merged(laid(**{f"{OWN}Paddock": 3}), laid(**{f"{OWN}Dog": "x", f"{OWN}Paddock": 4}))
    (conflict,) = found.conflicts
    assert ("0412", "Paddock", [3, 4], None) == said(conflict)
    assert "x" == filled(found)["lambing"][0][f"{OWN}Dog"]


def test_text_that_cannot_be_read_is_a_value_too() -> None:
    def unreadable(rows: dict[str, list[Row]], name: str, **raw: Value) -> Season:
        made = season(file=name, **rows)
        (row,) = made.rows("lambing")
        return replace(made, records={**made.records, "lambing": (replace(row, raw=raw),)})

    soon, later = (unreadable(laid(lambed_on=NOT_KNOWN), name, lambed_on=text) for name, text in (("a", "soon"), ("b", "later")))
    assert "soon" == merge([soon, *copies(laid())]).rows["lambing"][0]["lambed_on"]
    (conflict,) = merge([soon, later]).conflicts
    assert ["later", "soon"] == [claim.value for claim in conflict.claims]


# What holds whatever is written

small = st.fixed_dictionaries({
    "lambing": st.lists(st.fixed_dictionaries({}, optional={
        "ewe": st.sampled_from(["0412", "412", "AB 1", "ab 1"]), "born_alive": st.integers(0, 2), "notes": st.sampled_from("xyX"),
        "row_key": st.sampled_from(["k1", "k2"]), f"{OWN}Dog": st.integers(0, 1), f"{OWN}Hay": st.integers(0, 1),
    }).filter(lambda row: bool(row.keys() - {"row_key"})), max_size=4),
    "lambs": st.lists(st.fixed_dictionaries({}, optional={
        "ewe": st.sampled_from(["0412", "A"]), "lamb_no": st.integers(1, 2), "tag": st.sampled_from(["1", "2"]),
        "sex": st.one_of(st.sampled_from(Sex), st.just(NOT_KNOWN)), "row_key": st.sampled_from(["k1", "k2"]),
    }).filter(lambda row: bool(row.keys() - {"row_key"})), max_size=4),
    "weights": st.lists(st.fixed_dictionaries({"kg": st.sampled_from([20.0, 21, 22.5])}, optional={
        "animal": st.sampled_from(["0412-1", "1"]), "date": st.sampled_from([DAY, NOT_KNOWN]),
        "occasion": st.sampled_from([Weighed.EARLY, Weighed.WEANING]),
    }), max_size=5),
})
filled_in = st.one_of(small, seasons(2))


@settings(max_examples=examples(30), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=st.lists(filled_in, min_size=2, max_size=3), base=st.none() | small)
def test_the_order_of_the_files_makes_no_difference(rows: list[Rows], base: Rows | None) -> None:
    before = season(file="base.xlsx", **base) if base is not None else None
    first, *others = [merge(order, before) for order in permutations(copies(*rows))]
    assert [first] * len(others) == others


@settings(max_examples=examples(30), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=filled_in, times=st.integers(1, 3))
def test_a_file_merged_with_itself_changes_nothing(rows: Rows, times: int) -> None:
    found = merged(*[rows] * times)
    assert {sheet: some for sheet, some in rows.items() if some} == filled(found)
    assert () == found.conflicts


@settings(max_examples=examples(30), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=st.lists(filled_in, min_size=2, max_size=3))
def test_every_value_is_in_the_rows_or_on_conflicts(rows: list[Rows]) -> None:
    given_copies = copies(*rows)
    found = merge(given_copies)
    for row in (row for copy in given_copies for sheet in copy.records for row in copy.rows(sheet)):
        claimed = {(conflict.heading, claim.value) for conflict in found.conflicts for claim in conflict.claims
                   if row.file in {cell.file for cell in claim.cells} and row.row in {cell.row for cell in claim.cells}}
        assert any(_holds(kept, row, claimed) for kept in found.rows[row.sheet_id]), row


def _holds(kept: Row, row: Record, claimed: set[tuple[str, Value]]) -> bool:
    """Whether a merged row has every value of a row of a copy, but for those on Conflicts."""
    return all(
        _alike(row.sheet_id, column, kept.get(column), value) or (_heading(row.sheet_id, column), value) in claimed
        for column, value in row.values.items() if column != "row_key"  # nobody has typed it
    )


def _heading(sheet: str, column: str) -> str:
    return column.removeprefix(OWN) if column.startswith(OWN) else SHEET[sheet].column(column).title.split(" (")[0]


def _alike(sheet: str, column: str, one: Value, other: Value) -> bool:
    number = not column.startswith(OWN) and SHEET[sheet].column(column).kind is Kind.IDENTIFIER
    return fold(one) == fold(other) if number and isinstance(one, str) and isinstance(other, str) else one == other


@settings(max_examples=examples(20), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=st.lists(filled_in, min_size=2, max_size=3))
def test_merging_the_merged_again_changes_nothing(rows: list[Rows]) -> None:
    once = filled(merged(*rows))
    again = merged(once, once)
    assert (once, ()) == (filled(again), again.conflicts)


# Files

def run(*words: object) -> Result:
    done = CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def write(folder: Path, *rows: Rows, names: Sequence[str] = NAMES) -> list[Path]:
    paths = [folder / name for name, _ in zip(names, rows, strict=False)]
    for path, found in zip(paths, rows, strict=False):
        build(path, Plan("Home Farm 2026", found, Start.OUTDOORS))
    return paths


def values(path: Path) -> Rows:
    return {sheet: [dict(row.values) for row in rows] for sheet, rows in read(path).season.records.items()}


def who(sheet: str, row: Row, column: str) -> int:
    """The night shift writes the lambings it recorded and the sex and tags of their lambs; weights and counts are typed later."""
    if sheet == "lambing":
        return len(str(row.get("recorded_by", ""))) % 2
    if sheet == "lambs":
        return (int(str(row.get("ewe", "0"))[-1]) + (column in ("tag", "sex"))) % 2
    return 2


@pytest.mark.long
def test_three_copies_of_the_demo_season_make_it_whole(tmp_path: Path) -> None:
    full = simulation.clean_season()
    parts = handed_out(full, 3, who)
    cells = [sum(len(row) for row in part["lambs"]) for part in parts]
    assert len(set(cells)) == 3, "each copy holds a part of the lambs of its own"
    day, night, office = write(tmp_path, *parts)
    done = run("merge", night, office, day, "-o", tmp_path / "all.xlsx")
    assert (0, True) == (done.exit_code, "No conflicts." in done.output), done.output
    build(tmp_path / "full.xlsx", Plan("Home Farm 2026", full))
    assert unordered(values(tmp_path / "full.xlsx")) == unordered(values(tmp_path / "all.xlsx"))
    assert [row["ewe"] for row in full["lambing"]] == [row["ewe"] for row in values(tmp_path / "all.xlsx")["lambing"]]


@pytest.mark.long
def test_a_season_full_of_slips_merged_with_itself_keeps_every_slip(tmp_path: Path) -> None:
    (path,) = write(tmp_path, simulation.messy_season())
    done = run("merge", path, path, "-o", tmp_path / "all.xlsx")
    assert 0 == done.exit_code, done.output
    before, after = read(path), read(tmp_path / "all.xlsx")
    told = {"date-as-text", "number-as-text"}  # these are written as what they were read as
    found = [[(p.rule.id, p.place.sheet, p.place.cell, p.found.text) for p in reading.problems if p.rule.slug not in told]
             for reading in (before, after)]
    assert found[0] and found[0] == found[1]
    assert values(path) == values(tmp_path / "all.xlsx")
    raws = [[dict(row.raw) for row in reading.season.rows("lambing") if row.raw] for reading in (before, after)]
    assert raws[0] and raws[0] == raws[1]


UNREADABLE: Sequence[tuple[str, object]] = (
    ("lambed_on", "about Easter"), ("lambed_on", 46113), ("lambed_on", time(2, 30)),
    ("born_alive", "two or three"), ("born_alive", True), ("born_alive", datetime(2026, 4, 2)), ("colostrum", 7),
    ("ewe", datetime(2026, 4, 2)), ("ewe", 826000000000000), ("pen", time(2, 30)),
)


def test_what_cannot_be_read_is_carried_as_it_was_written(tmp_path: Path) -> None:
    """One row for each, in one workbook: what is said of each row is the same before and after."""
    rows: list[Row] = [{"ewe": f"04{number}", "notes": "x"} for number, _ in enumerate(UNREADABLE, start=12)]
    (path,) = write(tmp_path, {"lambing": rows})
    book = openpyxl.load_workbook(path)
    for row, (column, written) in enumerate(UNREADABLE, start=HEADING_ROW + 1):
        cell = book["Lambing"].cell(row, [known.id for known in SHEET["lambing"]].index(column) + 1)
        cell.number_format = "General"
        cell.value = written  # type: ignore[assignment]  # dates bring their own format
    book.save(path)
    run("merge", path, path, "-o", tmp_path / "all.xlsx")
    before, after = (sorted((p.place.row, p.rule.id, p.found.text) for p in read(file).problems if p.place.sheet == "Lambing")
                     for file in (path, tmp_path / "all.xlsx"))
    assert [row for row, _ in enumerate(UNREADABLE, start=HEADING_ROW + 1)] == sorted({row for row, *_ in before})
    assert before == after


@pytest.fixture(scope="module")
def conflicting_once(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("conflicting")
    rows = lay_ready([{"ewe": "0412", "scanned": 2, "due": DAY}, {"ewe": "0415", "scanned": 1, "due": DAY}])
    first, second = rows["lambing"]
    lamb, *others = rows["lambs"]
    return write(
        folder,
        {**rows, "lambing": [{**first, "born_alive": 2, "recorded_by": "AB"}, second], "lambs": [{**lamb, "tag": "=1"}, *others]},
        {**rows, "lambing": [{**first, "born_alive": 1}, {**second, "lambed_on": DAY}], "lambs": [{**lamb, "tag": "2"}, *others]},
        rows, names=("day.xlsx", "night.xlsx", "as-sent.xlsx"),
    )


@pytest.fixture
def conflicting(conflicting_once: list[Path], tmp_path: Path) -> list[Path]:
    """Two copies that differ about a lambing and a tag, and the workbook as it was sent."""
    return [Path(shutil.copy(path, tmp_path)) for path in conflicting_once]


def test_conflicts_are_listed_by_cell(conflicting: list[Path], tmp_path: Path, golden: Callable[[Path, str], None]) -> None:
    day, night, _ = conflicting
    done = run("merge", day, night)
    assert 1 == done.exit_code
    golden(GOLDEN / "merge.txt", done.output.replace(str(tmp_path), "FOLDER"))
    sheet = openpyxl.load_workbook(tmp_path / "day-merged.xlsx")[CONFLICTS_TAB]
    lines = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=1)]
    top = next(number for number, line in enumerate(lines) if line[0] == "Sheet")
    headings = ["Sheet", "Cell", "About", "Column", "Stands now", "What stands is right (yes)",
                "Value A", "A written in", "Value B", "B written in"]
    assert headings == lines[top]
    assert [(1, 2), ("2", "=1")] == [(line[6], line[8]) for line in lines[top + 1:]]
    found = read(tmp_path / "day-merged.xlsx").season
    assert ((), "Home Farm 2026") == (found.own_sheets, openpyxl.load_workbook(tmp_path / "day-merged.xlsx")["_meta"]["B3"].value)
    assert not found.rows("lambing")[0].filled("born_alive")


def test_with_the_base_only_what_both_changed_is_a_conflict(conflicting: list[Path], tmp_path: Path) -> None:
    day, night, sent = conflicting
    assert 1 == run("merge", day, night, "--base", sent, "-o", tmp_path / "one.xlsx").exit_code
    done = run("merge", day, sent, "--base", sent, "-o", tmp_path / "two.xlsx")
    assert (0, True) == (done.exit_code, "No conflicts." in done.output)
    done = run("merge", day, night, "--base", night, "-o", tmp_path / "three.xlsx")
    assert (0, 2) == (done.exit_code, read(tmp_path / "three.xlsx").season.rows("lambing")[0]["born_alive"])


def test_conflicts_of_an_earlier_merge_are_kept(conflicting: list[Path], tmp_path: Path) -> None:
    day, night, sent = conflicting
    run("merge", day, night)
    done = run("merge", tmp_path / "day-merged.xlsx", sent, "-o", tmp_path / "again.xlsx")
    assert 1 == done.exit_code  # they are still open
    assert "Earlier conflicts, kept as values: from day-merged.xlsx" in done.output
    sheet = openpyxl.load_workbook(tmp_path / "again.xlsx")["Earlier conflicts"]
    assert "day.xlsx Lambing!" in str([[cell.value for cell in row] for row in sheet])


@pytest.fixture(scope="module")
def how_it_left_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("how-it-left")
    rows = lay_ready([{"ewe": "0412", "scanned": 2, "due": DAY}])
    born = {"born": Born.ALIVE, "reared_by": RearedBy.OWN_EWE}
    lambs = [{**lamb, **born} for lamb in rows["lambs"]]
    lambing = [{**rows["lambing"][0], "lambed_on": DAY}]
    left = ((date(2026, 4, 2), LambLeft.DIED), (date(2026, 4, 5), LambLeft.MISSING))
    told = [{**rows, "lambing": lambing, "lambs": [{**lambs[0], "left_on": day, "left_how": how}, lambs[1]]} for day, how in left]
    write(folder, *told, names=("day.xlsx", "night.xlsx"))
    assert 1 == run("merge", folder / "day.xlsx", folder / "night.xlsx", "-o", folder / "all.xlsx").exit_code
    return folder / "all.xlsx"


@pytest.fixture
def merged_file(how_it_left_once: Path, tmp_path: Path) -> Path:
    """Two copies that differ about how and when a lamb left, merged."""
    return Path(shutil.copy(how_it_left_once, tmp_path))


def test_a_lamb_that_left_somehow_is_gone_until_it_is_settled_how(merged_file: Path, tmp_path: Path) -> None:
    done = run("check", merged_file, "--format", "json")
    assert 1 == done.exit_code
    found = [problem["cell"] for problem in json.loads(done.output)["problems"] if problem["slug"] == "conflict-open"]
    assert 2 == len(found)
    result = analyse(read(merged_file))
    lines = result.account.lines
    assert (2, 0, 1, 1) == tuple(lines[line]["all"] for line in ("born_alive", "died", "missing", "present"))
    assert "2 cells are in open conflict" in report.headline(result)
    done = run("analyse", merged_file, "-o", tmp_path / "summary.xlsx")
    assert 1 == done.exit_code
    first = openpyxl.load_workbook(tmp_path / "summary.xlsx").worksheets[0]
    assert any("2 cells are in open conflict" in str(cell.value) for row in first.iter_rows(max_row=12) for cell in row)


def test_a_ewe_that_left_somehow_gets_no_decision(tmp_path: Path) -> None:
    rows = lay_ready([{"ewe": "0412", "scanned": 2, "due": DAY}, {"ewe": "0415", "scanned": 2, "due": DAY}])
    first, second = rows["ewes"]
    write(tmp_path, {**rows, "ewes": [{**first, "left_how": EweLeft.DIED}, second]},
          {**rows, "ewes": [{**first, "left_how": EweLeft.SOLD}, second]}, names=("day.xlsx", "night.xlsx"))
    run("merge", tmp_path / "day.xlsx", tmp_path / "night.xlsx", "-o", tmp_path / "all.xlsx")
    assert ["0415"] == [decision.name for decision in analyse(read(tmp_path / "all.xlsx")).decisions.values()]


def _written(path: Path, sheet: str, cells: dict[str, object]) -> Path:
    book = openpyxl.load_workbook(path)
    for cell, value in cells.items():
        book[sheet][cell] = value
    book.save(path)
    return path


def _conflict_cells(path: Path) -> dict[str, str]:
    """Where each conflict stands, and its line on Conflicts."""
    sheet = openpyxl.load_workbook(path)[CONFLICTS_TAB]
    return {str(row[1].value): row[5].coordinate for row in sheet.iter_rows() if str(row[0].value) == "Lambs"}


def test_conflicts_stand_a_space_from_the_edge_and_print_one_page_wide(merged_file: Path) -> None:
    sheet = openpyxl.load_workbook(merged_file)[CONFLICTS_TAB]
    cells = [cell for row in sheet.iter_rows(min_row=4) for cell in row if isinstance(cell.value, str)]
    assert cells and {("left", 1)} == {(cell.alignment.horizontal, cell.alignment.indent) for cell in cells}
    numbers = [cell for row in sheet.iter_rows(min_row=4) for cell in row if isinstance(cell.value, int | float)]
    assert {("right", 1)} >= {(cell.alignment.horizontal, cell.alignment.indent) for cell in numbers}
    assert sheet.sheet_properties.pageSetUpPr.fitToPage


def test_a_conflict_is_settled_by_the_right_value_or_by_a_word(merged_file: Path) -> None:
    (day, line), (how, _) = _conflict_cells(merged_file).items()
    _written(merged_file, "Lambs", {how: "died"})
    assert [day] == _open(merged_file)
    _written(merged_file, CONFLICTS_TAB, {line: "Yes"})
    assert [] == _open(merged_file)


def _open(path: Path) -> list[str]:
    return [problem.place.cell for problem in check(read(path)).problems if problem.rule.slug == "conflict-open"]


def test_open_conflicts_are_carried_on_by_the_next_merge_and_settled_ones_are_not(merged_file: Path, tmp_path: Path) -> None:
    third = _third(tmp_path)
    again = run("merge", merged_file, third, "-o", tmp_path / "again.xlsx")
    assert 1 == again.exit_code
    assert 2 == len(_open(tmp_path / "again.xlsx"))
    assert "day.xlsx" in again.output and "night.xlsx" in again.output
    (_, _), (how, _) = _conflict_cells(merged_file).items()
    _written(merged_file, "Lambs", {how: "died"})
    run("merge", merged_file, third, "-o", tmp_path / "later.xlsx")
    assert 1 == len(_open(tmp_path / "later.xlsx"))


def _third(folder: Path) -> Path:
    rows = lay_ready([{"ewe": "0412", "scanned": 2, "due": DAY}])
    return write(folder, {**rows, "lambing": [{**rows["lambing"][0], "notes": "quiet"}]}, names=("third.xlsx",))[0]


def test_a_file_given_twice_under_two_names_is_said(conflicting: list[Path], tmp_path: Path) -> None:
    day, *_ = conflicting
    twin = tmp_path / "twin.xlsx"
    twin.write_bytes(day.read_bytes())
    done = run("merge", day, twin, "-o", tmp_path / "all.xlsx")
    assert "day.xlsx and twin.xlsx hold the same, cell by cell" in done.output


@pytest.mark.parametrize(("here", "there", "alike"), [
    (datetime(2026, 3, 20, 2, 10), datetime(2026, 3, 20, 2, 10, 59), True), (time(2, 10), time(2, 10, 30), True),
    (datetime(2026, 3, 20, 2, 10), datetime(2026, 3, 20, 2, 11), False),
])
def test_times_are_the_same_to_the_minute(here: Value, there: Value, alike: bool) -> None:
    rows = [laid(waters_seen=value) for value in (here, there)]
    assert alike is not bool(merged(*rows).conflicts)


def test_the_merged_file_opens_on_conflicts_and_its_cells_are_marked(merged_file: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(merged_file)
    assert CONFLICTS_TAB == book.active.title
    assert [CONFLICTS_TAB] == [sheet.title for sheet in book if sheet.sheet_view.tabSelected]
    for cell in _conflict_cells(merged_file):
        assert "day.xlsx" in book["Lambs"][cell].comment.text
        blocks = [block for block in book["Lambs"].conditional_formatting if cell in block.sqref]
        ranked = sorted((rule.priority, str(rule.formula)) for block in blocks for rule in block.rules)
        assert "to correct" in ranked[0][1] and "to correct" in str(blocks[0].rules[0].formula)
    done = run("check", merged_file, "--marked", tmp_path / "marked.xlsx")
    assert 1 == done.exit_code, done.output
    marked = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    assert ["To correct"] == [sheet.title for sheet in marked if sheet.sheet_view.tabSelected]
    assert "To correct" == marked.active.title


def test_what_is_the_persons_own_is_kept(tmp_path: Path) -> None:
    rows = laid()
    day, night = write(tmp_path, {**rows, "ewes": [{**rows["ewes"][0], f"{OWN}Paddock": "Top"}]}, rows)
    for path, hay in ((day, "=1+1"), (night, "40 bales")):
        book = openpyxl.load_workbook(path)
        book.create_sheet("Hay").append(["1 Apr", hay, datetime(2026, 4, 1)])
        book.create_sheet("Same").append([1.5, True, "@x"])
        book["Ewes"].cell(TITLE_ROW + 1, 60, "notes")  # the heading of a column of the program, over a column of one's own
        book["Ewes"].cell(TITLE_ROW + 2, 60, f"of {path.stem}" if path == day else None)
        book.save(path)
    done = run("merge", day, night, "-o", tmp_path / "all.xlsx")
    assert 0 == done.exit_code, done.output
    assert "Paddock, notes (2)" in done.output
    book = openpyxl.load_workbook(tmp_path / "all.xlsx")
    assert {("1 Apr", "40 bales", datetime(2026, 4, 1)), ("1 Apr", "=1+1", datetime(2026, 4, 1))} == {
        tuple(cell.value for cell in book[tab][1]) for tab in ("Hay", "Hay (2)")}
    assert {"s"} == {book[tab]["B1"].data_type for tab in ("Hay", "Hay (2)")}
    assert ["Same"] == [tab for tab in book.sheetnames if tab.startswith("Same")]
    (ewe,) = values(tmp_path / "all.xlsx")["ewes"]
    assert ("Top", "of day") == (ewe[f"{OWN}Paddock"], ewe[f"{OWN}notes (2)"])


def test_an_answer_on_a_marked_copy_goes_to_answers(tmp_path: Path) -> None:
    day, night = write(tmp_path, laid(born_alive=2), laid())
    run("check", day, "--marked", tmp_path / "marked.xlsx")
    book = openpyxl.load_workbook(tmp_path / "marked.xlsx")
    sheet = book["To correct"]
    heading = next(row for row in sheet.iter_rows() if row[0].value == "Rule")
    place = next(cell for cell in heading if str(cell.value).startswith("Right as written"))
    sheet.cell(place.row + 1, place.column, "AB looked")
    rule = sheet.cell(place.row + 1, 1).value
    book.save(tmp_path / "marked.xlsx")
    assert 0 == run("merge", tmp_path / "marked.xlsx", night, "-o", tmp_path / "all.xlsx").exit_code
    assert [(rule, "AB looked")] == [(row["rule"], row["answer"]) for row in values(tmp_path / "all.xlsx")["answers"]]


def test_what_stands_in_a_column_of_ones_own_beside_an_answer_is_kept() -> None:
    asked: Row = {"rule": "C116", "sheet": "Lambs", "row_name": "0412-1", "value": "9.1 kg", "answer": "AB looked",
                  f"{OWN}Scales": "the old ones"}
    found = merge([season(file="day.xlsx", to_correct=[asked]), season(file="night.xlsx")])
    assert ([], ["the old ones"]) == ([*found.conflicts], [row[f"{OWN}Scales"] for row in found.rows["answers"]])


def test_a_totals_row_is_left_out_and_named(tmp_path: Path) -> None:
    day, night = write(tmp_path, {**laid(), "weights": [{"animal": "Total", "kg": 20.0}]}, laid())
    assert "left out: day.xlsx Weights!" in run("merge", day, night).output


@pytest.mark.parametrize("text", [
    pytest.param("x" * 40_000, id="letters", marks=pytest.mark.long), pytest.param("\N{SHEEP}" * 20_000, id="sheep")])
def test_a_text_longer_than_a_cell_is_cut_and_named(tmp_path: Path, text: str) -> None:
    """In a cell of ours, a column and a sheet of the person's own; a spreadsheet counts a picture as two characters."""
    day, night = write(tmp_path, laid(), laid())
    book = openpyxl.load_workbook(day)
    book["Lambs"]["AC3"] = "Paddock"
    book.create_sheet("My notes")["A1"] = "x"
    book.save(day)
    stretched = tmp_path / "long.xlsx"
    typed(("Lambs!W4", text), ("Lambs!AC4", text), ("My notes!A1", text)).change(day, stretched)
    done = run("merge", stretched, night, "-o", tmp_path / "all.xlsx")
    assert done.exception is None, done.exception
    assert ["Lambs!W4", "Lambs!AC4", "My notes!A1"] == re.findall(
        r"left out: long.xlsx (.+): a text of 40,000 characters; a cell holds 32,767, and the rest was left out", done.output)
    merged = {sheet.title: sheet for sheet in openpyxl.load_workbook(tmp_path / "all.xlsx")}
    for sheet, cell in (("Lambs", "W4"), ("My notes", "A1")):
        assert text.startswith(str(merged[sheet][cell].value)) and LONGEST_TEXT - 1 <= counted(str(merged[sheet][cell].value))


def test_a_long_value_in_conflict_is_quoted_from_its_beginning(tmp_path: Path) -> None:
    day, night = write(tmp_path, laid(notes="x" * 5_000), laid(notes="y"))
    output = run("merge", day, night, "-o", tmp_path / "all.xlsx").output
    assert f"{'x' * LONGEST_QUOTED}… (day.xlsx" in output and "x" * (LONGEST_QUOTED + 1) not in output


@pytest.mark.parametrize(("column", "here", "there"), [
    ("stage", Stage.TURNOUT, Stage.MARKING), ("group", "Hill", "Low"), ("date", DAY, date(2026, 4, 2)),
])
def test_counts_of_another_day_group_or_stage_are_two_counts(column: str, here: Value, there: Value) -> None:
    count: Row = {"date": DAY, "group": "Hill", "stage": Stage.TURNOUT, "lambs": 20}
    found = merged({"counts": [{**count, column: here}]}, {"counts": [{**count, column: there, "lambs": 18}]})
    assert (2, ()) == (len(found.rows["counts"]), found.conflicts)


def test_one_count_with_two_numbers_is_a_conflict() -> None:
    count: Row = {"date": DAY, "group": "Hill", "stage": Stage.TURNOUT, "lambs": 20}
    found = merged({"counts": [count]}, {"counts": [{**count, "lambs": 18}]})
    assert (1, 1) == (len(found.rows["counts"]), len(found.conflicts))


def test_different_flocks_are_refused_in_a_sentence(tmp_path: Path) -> None:
    flocks = [lay_ready([{"ewe": f"{letter}{number}", "scanned": 2} for number in range(20)]) for letter in "AB"]
    done = run("merge", *write(tmp_path, *flocks))
    assert (2, 1) == (done.exit_code, done.output.count("\n"))
    assert "day.xlsx and night.xlsx are of different flocks: of 20 and 20 ewes they have 0 in common" in done.output
    assert not (tmp_path / "day-merged.xlsx").exists()


def test_another_year_of_the_same_flock_is_refused(tmp_path: Path) -> None:
    years: list[Rows] = [
        {**lay_ready([{"ewe": "1", "scanned": 2, "due": date(year, 4, 1)}]), "season": [{"row_key": "year", "value": year}]}
        for year in (2025, 2026)
    ]
    done = run("merge", *write(tmp_path, *years))
    assert 2 == done.exit_code and "the lambing year on Season is 2025 in one and 2026 in the other" in done.output


def test_copies_of_one_name_are_told_apart_by_their_folders(tmp_path: Path) -> None:
    for folder in ("day", "night"):
        (tmp_path / folder).mkdir()
    paths = [write(tmp_path / folder, laid(born_alive=number), names=("s.xlsx",))[0]
             for number, folder in enumerate(("day", "night"), start=1)]
    done = run("merge", *paths, "-o", tmp_path / "all.xlsx")
    assert "day/s.xlsx Lambing!" in done.output and "night/s.xlsx Lambing!" in done.output


def test_copies_are_called_by_so_much_of_their_path_as_tells_them_apart(tmp_path: Path) -> None:
    for name, ewe in (("low", "1"), ("high", "2")):
        (tmp_path / name).mkdir()
        (path,) = write(tmp_path / name, {"ewes": [{"ewe": ewe}]}, names=("day.xlsx",))
        shutil.copy(path, tmp_path / f"{name}.xlsx")
    for low, high in (("low.xlsx", "high.xlsx"), ("low/day.xlsx", "high/day.xlsx")):
        with pytest.raises(NotMerged, match=f"^{low} and {high} are of different flocks"):
            merge_files([tmp_path / low, tmp_path / high], tmp_path / "all.xlsx")


def test_a_copy_is_never_written_over(tmp_path: Path) -> None:
    day, night = write(tmp_path, laid(), laid())
    before = day.read_bytes()
    done = run("merge", day, night, "-o", day, "--force")
    assert (2, before) == (done.exit_code, day.read_bytes())
    assert "never changed" in done.output
    assert 0 == run("merge", day, night).exit_code
    assert 2 == run("merge", day, night).exit_code
    assert 0 == run("merge", day, night, "--force").exit_code


def test_a_file_that_is_there_is_written_over_only_when_asked(tmp_path: Path) -> None:
    paths, target = write(tmp_path, laid(), laid()), tmp_path / "all.xlsx"
    merge_files(paths, target)
    before = target.read_bytes()
    with pytest.raises(WriteError, match="already there"):
        merge_files(paths, target)
    assert before == target.read_bytes()
    assert ("day.xlsx", "night.xlsx") == merge_files(paths, target, force=True).files


def test_one_copy_alone_is_no_merge(tmp_path: Path) -> None:
    done = run("merge", *write(tmp_path, laid()))
    assert 2 == done.exit_code and "two copies or more" in done.output
