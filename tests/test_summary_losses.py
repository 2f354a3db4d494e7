"""Gaps, contrasts, losses of ewes and the flock's alarm as they stand in the summary workbook."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fake_result import busy_result, result
from openpyxl import load_workbook
from seasons import season

from template_builder.layout.choices import Born
from template_builder.layout.summary_tabs import LOSSES, SUMMARY
from workbook.output.report import result_json
from workbook.output.summary.book import write_summary
from workbook.results.pipeline import Result
from workbook.rules.rule import REGISTRY


@pytest.fixture(scope="module")
def busy() -> Result:
    return busy_result()


@pytest.fixture(scope="module")
def busy_book(busy: Result, tmp_path_factory: pytest.TempPathFactory) -> Any:
    return written(busy, tmp_path_factory.mktemp("summary"))


def written(of: Result, folder: Path) -> Any:
    write_summary(of, folder / "summary.xlsx")
    return load_workbook(folder / "summary.xlsx")


def texts(sheet: Any) -> Iterator[str]:
    for row in sheet.iter_rows(values_only=True):
        yield from (value for value in row if isinstance(value, str))


def test_each_gap_stands_on_summary_with_its_lambs_and_what_was_not_recorded(busy: Result, busy_book: Any) -> None:
    rows = {row[0]: row for row in busy_book[SUMMARY].iter_rows(values_only=True)}
    assert busy.gaps
    for gap in busy.gaps:
        assert (round(gap.lambs), gap.note) == (rows[gap.words][6], rows[gap.words][7] or "")


def test_each_comparison_stands_on_losses_with_the_method_above(busy: Result, busy_book: Any) -> None:
    shown = list(texts(busy_book[LOSSES]))
    assert busy.contrasts
    assert [one.words for one in busy.contrasts] == [text for text in shown if " against " in text]
    method = next(text for text in shown if "risk ratio; not the odds ratio" in text)
    assert "design effect 1 + (m - 1) x likeness" in method


def test_gaps_and_comparisons_as_data(busy: Result) -> None:
    data = json.loads(result_json(busy))
    assert [(gap.id, gap.lambs, gap.of, gap.against) for gap in busy.gaps] == [
        (gap["id"], gap["lambs"], gap["of"], gap["against"]) for gap in data["gaps"]]
    for one, told in zip(busy.contrasts, data["contrasts"], strict=True):
        assert (one.id, "risk ratio", one.risk_ratio.value) == (told["id"], told["measure"], told["risk_ratio"])
        assert (one.odds_ratio, one.first.loss.numerator, one.second.loss.denominator) == (
            told["odds_ratio"], told["first"]["lost"], told["second"]["of"])


def test_losses_of_ewes_stand_below_those_of_lambs(busy: Result, busy_book: Any) -> None:
    shown = list(texts(busy_book[LOSSES]))
    assert [table.title for table in busy.ewe_losses] == [text for text in shown if text in {t.title for t in busy.ewe_losses}]


def test_a_season_without_anything_says_so(tmp_path: Path) -> None:
    book = written(result(season()), tmp_path)
    assert any(text.startswith("No gap of a lamb or more") for text in texts(book[SUMMARY]))
    assert any(text.startswith("No two classes have 10 live-born lambs each") for text in texts(book[LOSSES]))


@pytest.mark.parametrize("aborted", [True, False])
def test_the_alarm_stands_on_summary_with_what_to_do(aborted: bool, tmp_path: Path) -> None:
    born = Born.ABORTED if aborted else Born.ALIVE
    of = season(ewes=[{"ewe": "1", "scanned": 1}], lambs=[{"ewe": "1", "lamb_no": 1, "born": born}])
    rule = REGISTRY["A101"]
    assert rule.check is not None
    book = written(result(of, [rule.problem(found) for found in rule.check(of)]), tmp_path)
    alarms = [text for text in texts(book[SUMMARY]) if text.startswith(rule.title)]
    assert [f"{rule.title}: 1 of 1 ewes scanned in lamb aborted (100.0 %); alarm from 2 %. {rule.fix}"] * aborted == alarms
