"""Weights as people write them, in kilograms: with their unit, or in the one Season names."""

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from seasons import season

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.weights import weight_of
from template_builder.layout.whole import SHEET
from workbook.merging.files import merge_files
from workbook.reading.parsed import Reader
from workbook.reading.parsing import parse, parse_setting
from workbook.reading.season_file import Reading, read
from workbook.season.weights import bare_weight, weight_in_words

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
    book = openpyxl.load_workbook(path)
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
