"""The summary's tab of lambs: what is told of their weights, and where it is not there."""

from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest
from fake_result import result
from seasons import season

from template_builder.layout.choices import Sex, Weighed
from template_builder.layout.columns import Row
from template_builder.layout.summary_tabs import LAMBS
from workbook.output.summary.book import write_summary
from workbook.results.scores.lamb_means import MeansTable, lamb_means
from workbook.results.scores.lamb_model import lamb_model
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)


def flock(rams: dict[str, int], *, breed_by_ram: bool = False, dated: bool = True, heavier: float = 0.0) -> Season:
    """Ewes with a single each, by the ram they went to; ram lambs 3 kg heavier, and those of the first ram as told."""
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": [], "weights": []}
    number = 0
    for at, (ram, ewes) in enumerate(rams.items()):
        for _ in range(ewes):
            number += 1
            name, male = f"E{number}", number % 2 == 0
            breed = ("Mule" if at % 2 else "Cheviot") if breed_by_ram else ("Mule", "Cheviot")[number % 4 < 2]
            rows["ewes"].append({"ewe": name, "born_year": 2021, "ram": ram or None, "breed": breed})
            rows["lambing"].append({"ewe": name, "lambed_on": LAMBED if dated else None, "born_alive": 1})
            rows["lambs"].append({"ewe": name, "lamb_no": 1, "sex": Sex.RAM if male else Sex.EWE, "birth_weight": 4.0})
            kg = 30 + 3 * male + heavier * (at == 0) + (number * 7 % 5 - 2) / 2
            rows["weights"].append({"animal": f"{name}-1", "date": LAMBED + timedelta(90), "kg": kg,
                                    "occasion": Weighed.WEANING})
    return season(**rows)  # type: ignore[arg-type]  # rows by sheet id


def tables(of: Season) -> dict[str, MeansTable]:
    return {table.effect: table for table in lamb_means(lamb_model(of))}


@pytest.mark.parametrize(("few", "expected"), [
    (9, {"T1": 20, "T2": 29}), (10, {"T1": 20, "T2": 20, "T3": 10}), (11, {"T1": 20, "T2": 20, "T3": 11}),
])
def test_no_ram_has_a_row_with_under_ten_lambs(few: int, expected: dict[str, int]) -> None:
    found = tables(flock({"T1": 20, "T2": 20, "T3": few}))["ram"]
    assert sorted(expected.values()) == sorted(one.number for one in found.classes)
    assert all(one.number >= 10 for table in tables(flock({"T1": 20, "T2": 20, "T3": few})).values() for one in table.classes)


def test_many_rams_of_few_lambs_are_one_class_and_lambs_of_no_ram_written_another() -> None:
    found = tables(flock({"T1": 20, "": 12, "a": 4, "b": 4, "c": 4}))["ram"]
    assert {"T1": 20, "not written": 12, "rams of few lambs": 12} == {one.name: one.number for one in found.classes}


def test_where_nothing_is_written_or_all_is_one_class_there_is_no_table() -> None:
    assert ["sex", "breed of ewe"] == list(tables(flock({"": 40})))


def test_rams_that_served_one_breed_each_are_told_with_it() -> None:
    found = tables(flock({"T1": 20, "T2": 20}, breed_by_ram=True))
    assert (("ram",), ("breed of ewe",)) == (found["breed of ewe"].left_out, found["ram"].left_out)
    assert () == tables(flock({"T1": 20, "T2": 20}))["ram"].left_out


def test_differences_stand_against_the_flock_and_are_drawn_in_by_chance() -> None:
    alike, apart = (tables(flock({"T1": 30, "T2": 30, "T3": 30}, heavier=kg))["ram"] for kg in (0.0, 4.0))
    assert {0.0} == {one.shrunk for one in alike.classes}
    best = next(one for one in apart.classes if one.name == "T1")
    assert 4 - 4 / 3 == pytest.approx(best.above, abs=0.2)
    assert 0.8 * best.above < (best.shrunk or 0.0) < best.above
    assert {None} == {one.shrunk for one in tables(flock({"T1": 30}))["sex"].classes}


# The tab.


def tab(of: Season, folder: Path) -> list[tuple[object, ...]] | None:
    folder.mkdir(exist_ok=True)
    write_summary(result(of), path := folder / "summary.xlsx")
    book = openpyxl.load_workbook(path)
    return [tuple(row) for row in book[LAMBS].iter_rows(values_only=True)] if LAMBS in book.sheetnames else None


def test_the_tab_shows_the_means(tmp_path: Path) -> None:
    rows = tab(flock({"T1": 20, "T2": 20}), tmp_path) or []
    said = " ".join(str(cell) for row in rows for cell in row if cell is not None)
    assert "Weights are brought to 90 days" in said
    assert "Compared: 40 lambs, allowing for sex, ram and breed of ewe." in said
    sexes = {str(row[0]): row[1:5] for row in rows if row[0] in ("ram", "ewe")}
    assert (20, 20) == (sexes["ram"][0], sexes["ewe"][0])
    difference = next(one for one in tables(flock({"T1": 20, "T2": 20}))["sex"].classes if one.name == "ram")
    give_or_take = round(1.96 * difference.mean.error, 1)
    assert (round(difference.mean.value, 1), give_or_take, round(difference.above, 1)) == sexes["ram"][1:]
    assert "Ram lambs weigh" in said and "kg more than ewe lambs like them in all else (95 % interval" in said


def test_without_lambing_dates_the_tab_says_so(tmp_path: Path) -> None:
    rows = tab(flock({"T1": 20, "T2": 20}, dated=False), tmp_path) or []
    assert "Weights are as the scale said, not adjusted for age: too few lambing dates are known." == rows[1][0]


def test_nine_lambs_are_too_few_and_none_weighed_has_no_tab(tmp_path: Path) -> None:
    rows = tab(flock({"T1": 9}), tmp_path) or []
    assert "Too few lambs were weighed, or all are of one kind, so there is nothing to set side by side." == rows[-1][0]
    bare = flock({"T1": 20})
    assert None is tab(Season(bare.file, {**bare.records, "weights": ()}, bare.as_of), tmp_path / "bare")
