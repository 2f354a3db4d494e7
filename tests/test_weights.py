"""Weights as people write them, in kilograms: with their unit, or in the one Season names."""

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner
from few_rows import blocks_cut_down
from hypothesis import given
from hypothesis import strategies as st
from raw_cells import empty
from seasons import AS_OF, season

from demo_workbooks import CLEAN, FOLDER
from template_builder.build import Plan, build
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.layout.choices import Born, Weighed, WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.paper_tabs import HANDLING, RUNNING, SHED, WEIGHING
from template_builder.layout.weights import unit_in, weight_of
from template_builder.layout.whole import SHEET
from workbook.cli import main
from workbook.merging.files import merge_files
from workbook.output.report import result_json
from workbook.reading.parsed import Reader
from workbook.reading.parsing import parse, parse_setting
from workbook.reading.season_file import Reading, read, read_cells
from workbook.results.pipeline import analyse, check
from workbook.rules.checks.units import WEIGHTS_LEAST, weights_in_other_unit
from workbook.season.season import Season
from workbook.season.weights import bare_weight, weight_in_words

pytestmark = pytest.mark.usefixtures("few_spare_rows")

KG, LB = WeightUnit.KG, WeightUnit.LB
POUND = 0.45359237  # international yard and pound agreement, 1959
BIRTH = SHEET["lambs"].column("birth_weight")
LITTER = SHEET["ewes"].column("past_litter_deviation")
IN_KG, IN_LB = Reader(year=2026), Reader(year=2026, weights_in=LB)


@pytest.mark.parametrize(("written", "kg"), [
    ("4.2", 4.2), ("4,2", 4.2), ("4", 4), ("4.2kg", 4.2), ("4,2 kg", 4.2), ("4.2 KG.", 4.2), ("4 kilos", 4), ("4 kilograms", 4),
    ("4200 g", 4.2), ("850g", 0.85), ("4 1/2 kg", 4.5), ("4½", 4.5), ("-2.5 kg", -2.5), ("+2.5", 2.5),
    ("9 lb", 9 * POUND), ("9lb", 9 * POUND), ("9 lbs.", 9 * POUND), ("9 LB", 9 * POUND), ("9 pounds", 9 * POUND),
    ("1 pound", POUND), ("9.5 lb", 9.5 * POUND), ("9,5 lb", 9.5 * POUND), ("9½ lb", 9.5 * POUND), ("9 3/4 lb", 9.75 * POUND),
    ("9lb 4oz", 9.25 * POUND), ("9 lb 4 oz", 9.25 * POUND), ("9lb4", 9.25 * POUND), ("9 lbs. 4 ozs.", 9.25 * POUND),
    ("9 lb, 4 ounces", 9.25 * POUND), ("9 lb 4.5 oz", (9 + 4.5 / 16) * POUND), ("9 lb 0 oz", 9 * POUND),
    ("148 oz", 9.25 * POUND), ("-5 lb", -5 * POUND),
    ("9 lb 15 oz", (9 + 15 / 16) * POUND), ("9 lb 15.9 oz", (9 + 15.9 / 16) * POUND), ("9 lb 16 oz", None), ("9 lb 17", None),
    ("9.5 lb 4 oz", None), ("9 kg 4 oz", None), ("9 4", None), ("9 lb 4 lb", None), ("1,250", None), ("1,250 g", None),
    ("4.2.1", None), ("about 9 lb", None), ("9 stone", None), ("9 days", None), ("lb", None), ("", None), ("4-5 kg", None),
    ("4.5½ kg", None), ("9" * 400, None), ("9/2 kg", None), ("?", None),
])
def test_written_weights(written: str, kg: float | None) -> None:
    assert (None if kg is None else pytest.approx(kg, abs=1e-9)) == weight_of(written, KG)


def test_the_pound_is_exact() -> None:
    assert (0.45359237, 0.45359237 / 16) == (weight_of("1 lb", KG), weight_of("1 oz", LB))


@pytest.mark.parametrize(("raw", "kg", "lb"), [
    (9, 9, 9 * POUND), (9.25, 9.25, 9.25 * POUND), ("9.25", 9.25, 9.25 * POUND), ("9½", 9.5, 9.5 * POUND),
    ("9 kg", 9, 9), ("9 lb", 9 * POUND, 9 * POUND), ("850 g", 0.85, 0.85), (0, 0, 0),
])
def test_a_weight_without_a_unit_is_in_that_of_season(raw: object, kg: float, lb: float) -> None:
    assert [pytest.approx(kg), pytest.approx(lb)] == [parse(BIRTH, raw, reader).value for reader in (IN_KG, IN_LB)]


def test_only_what_comes_off_the_scale_follows_season() -> None:
    assert [5, 5] == [parse(LITTER, 5, reader).value for reader in (IN_KG, IN_LB)]
    assert [3, 3] == [parse_setting("single_least", 3, reader).value for reader in (IN_KG, IN_LB)]
    assert [5 * POUND, 3 * POUND] == [parse(LITTER, "5 lb", IN_KG).value, parse_setting("single_least", "3 lb", IN_KG).value]


@pytest.mark.parametrize(("raw", "reader", "said"), [
    (9, IN_KG, ""), (9.1, IN_KG, "Birth weight says 9.1; 1 to 9 kg is expected"), (1, IN_KG, ""), ("9 kg", IN_KG, "read as 9 kg"),
    (0.9, IN_KG, "Birth weight says 0.9; 1 to 9 kg is expected"), (19.8, IN_LB, ""), (2.3, IN_LB, ""),
    (19.9, IN_LB, "Birth weight says 19.9, read as 9.03 kg; 1 to 9 kg is expected"),
    (2.2, IN_LB, "Birth weight says 2.2, read as 1 kg; 1 to 9 kg is expected"),
    ("9 lb", IN_KG, "Birth weight says “9 lb”; read as 4.08 kg"), ("22 lb", IN_KG, "Birth weight says 22 lb, read as 9.98 kg"),
    ("heavy", IN_KG, "Birth weight says “heavy”; write a weight such as 4.2 kg or 9 lb 4 oz"),
])
def test_what_is_told_of_a_weight(raw: object, reader: Reader, said: str) -> None:
    fault = parse(BIRTH, raw, reader).fault
    assert (said, bool(said)) == (said if fault and said in fault.text else "", bool(fault))


def workbook(path: Path, weights: list[Any], unit: object = None, lightest: object = None) -> Path:
    """A season workbook in whose cells for birth weights these were typed, and on Season the unit."""
    rows: list[Row] = [{"ewe": "1", "lamb_no": number, "born": Born.ALIVE, "row_key": f"r{number}"}
                       for number in range(1, len(weights) + 1)]
    build(path, Plan("Small", {"ewes": [{"ewe": "1"}], "lambs": rows}))
    book = openpyxl.load_workbook(blocks_cut_down(path))
    for cell, weight in zip(column(book["Lambs"], "Birth weight"), weights, strict=False):
        cell.value = weight
    typed = {"Weights are in": unit, "Single, birth weight from": lightest}
    for row in book["Season"].iter_rows(min_row=4):
        if typed.get(str(row[0].value)) is not None:
            row[1].value = typed[str(row[0].value)]
    book.save(path)
    return path


def column(sheet: Any, title: str) -> list[Any]:
    number = next(cell.column for cell in sheet[3] if str(cell.value).startswith(title))
    return [sheet.cell(row, number) for row in range(4, 30)]


def kilos(reading: Reading) -> list[Value]:
    return [row.held("birth_weight") for row in reading.season.rows("lambs")]


@pytest.mark.parametrize("unit", ["lb", "lbs", "Pounds", "LB"])
def test_season_says_pounds(tmp_path: Path, unit: str) -> None:
    reading = read(workbook(tmp_path / "a.xlsx", [9, "9lb 4oz", "4,2 kg", "?"], unit))
    assert [pytest.approx(9 * POUND), pytest.approx(9.25 * POUND), 4.2, NOT_KNOWN] == kilos(reading)
    assert [9, "9lb 4oz", "4,2 kg", NOT_KNOWN] == [row.written("birth_weight") for row in reading.season.rows("lambs")]
    assert [9 * POUND, None, None, None] == [bare_weight(row, "birth_weight") for row in reading.season.rows("lambs")]


def test_weights_in_words_say_what_was_typed() -> None:
    rows = season(lambs=[{"ewe": "1", "birth_weight": 4.2}]).rows("lambs")
    assert "4.2 kg" == weight_in_words(rows[0], "birth_weight")


def test_weights_with_their_unit_come_to_one_line_for_a_column(tmp_path: Path) -> None:
    reading = read(workbook(tmp_path / "a.xlsx", ["9 lb", "9lb 4oz", "8 lb", "4,2 kg"]))
    assert ["Birth weight says “9 lb”; read as 4.08 kg (and 3 more cells of this column)"] == [
        problem.found.text for problem in reading.problems if problem.rule.id == "R110"]


def merged(folder: Path, *copies: Path, base: Path | None = None) -> list[Value]:
    target = folder / "merged.xlsx"
    merge_files(copies, target, base, force=True)
    reading = read(target)
    assert () == reading.season.rows("conflicts")
    return [row.written("birth_weight") for row in reading.season.rows("lambs")]


def test_merging_keeps_what_was_typed(tmp_path: Path) -> None:
    first = workbook(tmp_path / "a.xlsx", [9, "9lb 4oz", "4,2 kg", "850 g", None], "lb", "6 lb")
    second = workbook(tmp_path / "b.xlsx", [9, "9 lb 4 oz", 9.25, None, "heavy"], "lb")
    assert [9, "9lb 4oz", "4,2 kg", "850 g", None] == merged(tmp_path, first, first)
    settings = read(tmp_path / "merged.xlsx").season.settings
    assert ("6 lb", 6 * POUND) == (settings.rows["single_least"].written("value"), settings.number("single_least"))
    conflicting = tmp_path / "c.xlsx"
    merge_files([first, second], conflicting)
    said = [str(cell.value) for row in openpyxl.load_workbook(conflicting)["Conflicts"].iter_rows(min_row=4) for cell in row]
    assert (True, False) == ("4,2 kg" in said, "9lb 4oz" in said)  # 9.25 lb is another weight; 9 lb 4 oz is the same one


def test_copies_in_two_units_keep_their_meaning(tmp_path: Path) -> None:
    pounds, kilograms = workbook(tmp_path / "a.xlsx", [9, None, "4 kg"], "lb"), workbook(tmp_path / "b.xlsx", [None, 4.2, "4 kg"])
    assert ["9 lb", "4.2 kg", "4 kg"] == merged(tmp_path, pounds, kilograms)
    reading = read(tmp_path / "merged.xlsx")
    assert [pytest.approx(9 * POUND), 4.2, 4] == kilos(reading)
    assert LB is reading.season.settings.choice("weights_in", WeightUnit)


def test_a_base_in_the_other_unit_is_compared_by_what_it_weighs(tmp_path: Path) -> None:
    base = workbook(tmp_path / "base.xlsx", [4.2, "9 lb"])
    copy = workbook(tmp_path / "a.xlsx", ["4.2 kg", 9], "lb")
    assert ["4.2 kg", "9 lb"] == merged(tmp_path, copy, copy, base=base)


@given(st.integers(0, 400), st.integers(0, 15))
def test_pounds_and_ounces_come_to_what_a_pound_weighs(pounds: int, ounces: int) -> None:
    assert pytest.approx((pounds + ounces / 16) * POUND) == weight_of(f"{pounds} lb {ounces} oz", KG)


Retype = Callable[[float], object]


def retyped(cells: Cells, habit: Retype, unit: WeightUnit) -> Cells:
    """The workbook with every birth weight and every weight as one habit leaves them, and the unit on Season."""
    places = {"Lambs": "Birth weight (kg)", "Weights": "Weight (kg)"}
    tabs = dict(cells.tabs)
    for tab, title in places.items():
        number = next(cell.column for cell in dict(tabs[tab])[3] if cell.value == title)
        tabs[tab] = tuple((row, tuple(
            cell._replace(value=habit(cell.value)) if cell.column == number and isinstance(cell.value, int | float) else cell
            for cell in line)) for row, line in tabs[tab])
    row = next(row for row, line in tabs["Season"] if any(cell.value == "Weights are in" for cell in line))
    lines = dict(tabs["Season"])
    lines[row] = tuple(sorted([*(cell for cell in lines[row] if cell.column != 2), Cell(2, unit.label)], key=lambda c: c.column))
    return replace(cells, tabs={**tabs, "Season": tuple(sorted(lines.items()))})


def figures(reading: Reading) -> dict[str, Any]:
    return {figure["id"]: figure["value"] for figure in json.loads(result_json(analyse(reading)))["figures"]}


@cache
def clean() -> Cells:
    return open_cells(FOLDER / CLEAN)


@cache
def in_kilograms() -> dict[str, Any]:
    return figures(read_cells(clean()))


@pytest.mark.parametrize(("habit", "unit"), [
    (lambda kg: f"{kg / POUND!r} lb", KG), (lambda kg: kg / POUND, LB), (lambda kg: f"{kg} kg".replace(".", ","), LB),
], ids=["pounds as text", "Season says pounds", "kilograms as text, Season says pounds"])
def test_a_season_in_pounds_has_the_same_figures(habit: Retype, unit: WeightUnit) -> None:
    reading = read_cells(retyped(clean(), habit, unit))
    found = figures(reading)
    assert in_kilograms().keys() == found.keys()
    for id, value in in_kilograms().items():
        assert value == (pytest.approx(found[id]) if isinstance(value, float) else found[id]), id
    assert {"R110", "R133"} >= {problem.rule.id for problem in check(reading).problems}


def singles(kgs: Sequence[float], **settings: float) -> Season:
    return season(
        season=[{"row_key": id, "value": value} for id, value in settings.items()],
        ewes=[{"ewe": str(number)} for number, _ in enumerate(kgs)],
        lambs=[{"ewe": str(number), "lamb_no": 1, "born": Born.ALIVE, "birth_weight": kg} for number, kg in enumerate(kgs)])


def weaned(kgs: Sequence[float], occasion: Weighed = Weighed.WEANING) -> Season:
    return season(
        ewes=[{"ewe": str(number)} for number, _ in enumerate(kgs)],
        lambs=[{"ewe": str(number), "lamb_no": 1, "tag": f"T{number}", "born": Born.ALIVE} for number, _ in enumerate(kgs)],
        weights=[{"animal": f"T{number}", "kg": kg, "occasion": occasion} for number, kg in enumerate(kgs)])


def asked(of: Season) -> list[str]:
    return [str(found.place) for found in weights_in_other_unit(of)]


@pytest.mark.parametrize(("number", "fires"), [(7, False), (8, True), (9, True)])
def test_so_many_weights_make_a_question(number: int, fires: bool) -> None:
    assert (8, ["Lambs!F4"] if fires else []) == (WEIGHTS_LEAST.value, asked(singles([10.0] * number)))
    assert (["Weights!C4"] if fires else []) == asked(weaned([66.0] * number))


@pytest.mark.parametrize(("kg", "fires"), [
    (7.4, False), (7.5, False), (7.6, True),  # the heaviest single expected
    (16.5, True), (16.6, False),  # 7.5 kg are 16.53 lb
])
def test_the_middle_weight_is_above_what_is_expected_and_within_it_in_pounds(kg: float, fires: bool) -> None:
    assert (["Lambs!F4"] if fires else []) == asked(singles([kg] * 8))
    assert (["Lambs!F4"] if fires else []) == asked(singles([4.0] * 3 + [kg] * 5 + [30.0]))  # the middle one of nine


@pytest.mark.parametrize(("pounds", "fires"), [(15, True), (16, True), (17, False)])
def test_the_heaviest_expected_in_pounds_is_still_expected(pounds: float, fires: bool) -> None:
    assert (["Lambs!F4"] if fires else []) == asked(singles([pounds] * 8, single_most=16 * POUND))


@pytest.mark.parametrize(("kg", "fires"), [(49.9, False), (50, False), (50.1, True), (110.2, True), (110.3, False)])
def test_weaning_weights_are_judged_by_what_season_expects_of_them(kg: float, fires: bool) -> None:
    assert (["Weights!C4"] if fires else []) == asked(weaned([kg] * 8))
    assert [] == asked(weaned([kg] * 8, Weighed.EARLY))


def test_litters_are_judged_each_by_its_own_range() -> None:
    rows = [{"ewe": str(ewe), "lamb_no": lamb, "born": Born.ALIVE, "birth_weight": 6.6} for ewe in range(4) for lamb in (1, 2)]
    ewes = [{"ewe": str(ewe)} for ewe in range(4)]
    assert ["Lambs!F4"] == asked(season(ewes=ewes, lambs=rows))  # 6.6 kg is much for a twin
    assert [] == asked(singles([6.6] * 8))  # and not for a single


def typed(weights: Sequence[object]) -> Reading:
    return read_cells(typed_cells(weights))


def typed_cells(weights: Sequence[object]) -> Cells:
    """Single lambs with these birth weights as typed."""
    book = empty()
    tabs = dict(book.tabs)
    born, weight = (number for number, known in enumerate(SHEET["lambs"], start=1) if known.id in ("born", "birth_weight"))
    for tab, cells in (("Ewes", lambda n, _: (Cell(1, f"E{n}"),)),
                       ("Lambs", lambda n, kg: (Cell(1, f"E{n}"), Cell(2, 1), Cell(born, "alive"), Cell(weight, kg)))):
        rows = {n: cells(n, kg) for n, kg in enumerate(weights, start=4)}
        tabs[tab] = tuple(sorted({**dict(tabs[tab]), **rows}.items()))
    return replace(book, tabs=tabs)


def about_weights(reading: Reading) -> list[tuple[str, str]]:
    problems = check(reading).problems
    return [(problem.rule.id, str(problem.place)) for problem in problems if problem.rule.id in ("R105", "C116", "C167")]


def test_an_open_question_stands_alone_and_its_weights_are_not_queried_one_by_one() -> None:
    pounds = [8.5, 9.5, 10, 10.5, 11, 11.5, 12]
    assert {"R105", "C116"} == {rule for rule, _ in about_weights(typed(pounds))}
    assert [("C167", "Lambs!F4")] == about_weights(typed([*pounds, 9]))


def test_a_weight_with_its_own_unit_is_neither_asked_about_nor_folded() -> None:
    assert [] == about_weights(typed(["10 lb"] * 8))
    assert [("C167", "Lambs!F4"), ("R105", "Lambs!F12")] == about_weights(typed([*[10] * 8, "10 kg"]))


SHEETS_IN_LB = {"Lambs": "Birth weight (lb)", "Weights": "Weight (lb)"}
PAPER_IN_LB = {
    SHED: "Birth weight (lb)", RUNNING: "Birth weight (lb)", HANDLING: "Weight (lb)", WEIGHING: "Weight (lb)",
}


@pytest.fixture(scope="module")
def in_pounds(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What build makes of a scan list for a farm that weighs in pounds."""
    folder = tmp_path_factory.mktemp("pounds")
    (folder / "scan.csv").write_text("Ewe,Lambs,Due\n0412,2,2026-04-01\n0415,1,2026-04-03\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(folder / "scan.csv"), "--weights", "lb", "-o", str(folder / "season.xlsx")])
    assert 0 == done.exit_code, done.output
    return folder / "season.xlsx"


def test_a_workbook_in_pounds_says_so_in_headings_and_on_paper(in_pounds: Path) -> None:
    cells = open_cells(in_pounds)
    for tab, title in SHEETS_IN_LB.items():
        assert title in {cell.value for cell in dict(cells.tabs[tab])[3]}
    printed = open_cells(in_pounds.with_name("season-paper.xlsx"))
    for tab, title in PAPER_IN_LB.items():
        heads = " ".join(str(cell.value) for _, line in printed.tabs[tab][:3] for cell in line)
        assert (True, False) == (title in heads, "(kg)" in heads), tab
    assert LB is read_cells(cells, AS_OF).season.settings.choice("weights_in", WeightUnit)
    assert [] == [str(problem) for problem in read_cells(cells, AS_OF).problems]


def test_a_workbook_in_pounds_is_limited_in_pounds_while_typing(in_pounds: Path) -> None:
    sheet = openpyxl.load_workbook(in_pounds)["Lambs"]
    (rule,) = (rule for rule in sheet.data_validations.dataValidation if rule.formula1 and '"lb"' in rule.formula1)
    assert ("F4>=2.2,F4<=19.8" in rule.formula1, "2.2 to 19.8 lb" in rule.error) == (True, True)
    mirrored = {cell.value for cell in sheet[1] if isinstance(cell.value, int | float)}
    assert {3.3, 16.5} == mirrored  # 1.5 and 7.5 kg, the least and most of any litter


def test_bare_numbers_in_a_workbook_in_pounds_are_pounds(in_pounds: Path) -> None:
    book = openpyxl.load_workbook(in_pounds)
    book["Lambs"]["F4"] = 9
    book["Lambs"]["E4"] = "alive"
    path = in_pounds.with_name("filled.xlsx")
    book.save(path)
    reading = read(path)
    assert pytest.approx(9 * POUND) == reading.season.rows("lambs")[0].number("birth_weight")
    assert [] == [problem for problem in reading.problems if problem.rule.id in ("R116", "R133")]
    again = path.with_name("merged.xlsx")
    merge_files([path, path], again)
    assert "Birth weight (lb)" in {cell.value for cell in dict(open_cells(again).tabs["Lambs"])[3]}
    assert 9 == read(again).season.rows("lambs")[0].written("birth_weight")


@pytest.mark.parametrize(("heading", "unit"), [
    ("Birth weight (kg)", KG), ("BIRTH WEIGHT LBS", LB), ("Weight in pounds", LB), ("Weight", None), ("kg or lb", None),
    ("", None), ("Bulb", None),
])
def test_a_heading_names_a_unit(heading: str, unit: WeightUnit | None) -> None:
    assert unit is unit_in(heading)


def test_the_question_of_a_column_takes_that_of_its_heading_with_it() -> None:
    cells = dict(typed_cells([10] * 8).tabs)
    cells["Lambs"] = tuple((number, tuple(cell._replace(value="Birth weight (lb)") if cell.value == "Birth weight (kg)" else cell
                                          for cell in line)) for number, line in cells["Lambs"])
    rules = [problem.rule.id for problem in check(read_cells(replace(typed_cells([10] * 8), tabs=cells))).problems]
    assert ["C167"] == [rule for rule in rules if rule in ("R105", "R133", "C116", "C167")]

