"""The summary's tab of lambs: what is told of their weights, and where it is not there."""

from pathlib import Path

import openpyxl
from fake_result import result
from weighed_lambs import flock, tables

from template_builder.layout.summary_tabs import LAMBS
from workbook.output.summary.book import write_summary
from workbook.season.season import Season


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
