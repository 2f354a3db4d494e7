"""Gaps, contrasts, losses of ewes and the flock's alarm as they stand in the summary workbook."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fake_result import busy_result, result
from openpyxl import load_workbook
from seasons import season

from template_builder.layout.choices import Born, LambLeft
from template_builder.layout.summary_tabs import LOSSES, MEETING, METHOD
from workbook.output.report import result_json
from workbook.output.summary.book import write_summary
from workbook.results.litters.life_table import life_table
from workbook.results.pipeline import Result
from workbook.rules.rule import REGISTRY
from workbook.season.season import Season


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


def test_each_gap_stands_on_meeting_with_its_lambs_and_what_was_not_recorded(busy: Result, busy_book: Any) -> None:
    rows = {row[0]: row for row in busy_book[MEETING].iter_rows(values_only=True)}
    assert busy.gaps
    for gap in busy.gaps:
        assert (round(gap.lambs), gap.note) == (rows[gap.words][7], rows[gap.words][8] or "")


def test_each_comparison_stands_on_losses_and_its_method_on_method(busy: Result, busy_book: Any) -> None:
    shown = list(texts(busy_book[LOSSES]))
    assert busy.contrasts
    assert [one.words for one in busy.contrasts] == [text for text in shown if " against " in text]
    method = next(text for text in texts(busy_book[METHOD]) if "risk ratio; not the odds ratio" in text)
    assert "design effect 1 + (m - 1) x likeness" in method


def test_gaps_and_comparisons_as_data(busy: Result) -> None:
    data = json.loads(result_json(busy))
    assert [(gap.id, gap.lambs, gap.of, gap.against) for gap in busy.gaps] == [
        (gap["id"], gap["lambs"], gap["of"], gap["against"]) for gap in data["gaps"]]
    for one, told in zip(busy.contrasts, data["contrasts"], strict=True):
        assert (one.id, "risk ratio", one.risk_ratio.value) == (told["id"], told["measure"], told["risk_ratio"])
        assert (one.odds_ratio, one.first.loss.numerator, one.second.loss.denominator) == (
            told["odds_ratio"], told["first"]["lost"], told["second"]["of"])


def test_the_life_table_stands_on_losses_and_as_data(busy: Result, busy_book: Any) -> None:
    stages, data = life_table(busy.season), json.loads(result_json(busy))["life_table"]
    rows = list(busy_book[LOSSES].iter_rows(values_only=True))
    top = next(number for number, row in enumerate(rows) if row[0] == "Stage")
    shown = rows[top + 1:top + 1 + len(stages)]
    assert len(stages) > 2
    for stage, row, told in zip(stages, shown, data, strict=True):
        numbers = (stage.at_risk, stage.died, stage.missing, stage.short, stage.sold)
        assert (stage.label, *numbers) == row[:6]
        assert (*numbers, stage.lost) == tuple(told[key] for key in ("at_risk", "died", "missing", "short", "sold", "lost"))
        assert (stage.survived, row[6]) == (told["survived"], stage.survived and pytest.approx(100 * stage.survived))
    assert sum(stage.lost for stage in stages) == busy.account.total("died", "missing", "short")


def by_ram(*lost: tuple[str, int, int]) -> Season:
    """Single lambs by ram: name, lost, all."""
    rows = [(f"{ram}{n}", ram, n < died) for ram, died, all in lost for n in range(all)]
    return season(
        ewes=[{"ewe": ewe, "ram": ram} for ewe, ram, _ in rows], lambing=[{"ewe": ewe} for ewe, *_ in rows],
        lambs=[{"ewe": ewe, "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED if died else None}
               for ewe, _, died in rows])


@pytest.mark.parametrize(("second", "words"), [
    # Eight of twenty is the highest share, but the sixty of B lost more lambs beyond the share of all.
    (18, "Heaviest loss: by ram, B: 18 of 60 live-born lambs lost, 7 lambs more than at the 18.0 % of all in that table."),
    (8, "No ram stands out with more lambs lost than chance gives."),
])
def test_the_first_page_names_a_ram_by_the_lambs_lost_or_none(second: int, words: str, tmp_path: Path) -> None:
    small = 8 if second > 10 else 3
    of = result(by_ram(("A", 5, 60), ("B", second, 60), ("C", small, 20), ("D", 5, 60)))
    told = [text for text in texts(written(of, tmp_path)[MEETING]) if "stands out" in text or text.startswith("Heaviest")]
    assert [words] == told


def test_rams_stand_on_losses_with_shares_that_allow_for_chance(tmp_path: Path) -> None:
    of = result(by_ram(("A", 6, 60), ("B", 8, 60), ("C", 3, 20)))
    rows = [row for row in written(of, tmp_path)[LOSSES].iter_rows(values_only=True) if row[0] in ("A", "B", "C")]
    # No more scatter than chance: each has the 17 of 140 of all. Beyond that B lost 8 - 60 x 17 / 140.
    assert [pytest.approx(100 * 17 / 140)] * 3 == [row[5] for row in rows]
    assert pytest.approx(8 - 60 * 17 / 140) == rows[1][6]
    data = json.loads(result_json(of))["differences"]
    assert [("ram", False, 1, ["A", "B", "C"])] == [
        (one["id"], one["beyond_chance"], one["tables"], [each["class"] for each in one["classes"]]) for one in data]


def test_losses_of_ewes_stand_below_those_of_lambs(busy: Result, busy_book: Any) -> None:
    shown = list(texts(busy_book[LOSSES]))
    assert [table.title for table in busy.ewe_losses] == [text for text in shown if text in {t.title for t in busy.ewe_losses}]


def test_a_season_without_anything_says_so(tmp_path: Path) -> None:
    book = written(result(season()), tmp_path)
    assert any(text.startswith("No gap of a lamb or more") for text in texts(book[MEETING]))
    assert any(text.startswith("No two kinds of lambs have 10 live-born lambs each") for text in texts(book[LOSSES]))


@pytest.mark.parametrize("aborted", [True, False])
def test_the_alarm_stands_on_meeting_with_what_to_do(aborted: bool, tmp_path: Path) -> None:
    born = Born.ABORTED if aborted else Born.ALIVE
    of = season(ewes=[{"ewe": "1", "scanned": 1}], lambs=[{"ewe": "1", "lamb_no": 1, "born": born}])
    rule = REGISTRY["A101"]
    assert rule.check is not None
    book = written(result(of, [rule.problem(found) for found in rule.check(of)]), tmp_path)
    alarms = [text for text in texts(book[MEETING]) if text.startswith(rule.title)]
    assert [f"{rule.title}: 1 of 1 ewes scanned in lamb aborted (100.0 %); alarm from 2 %. {rule.fix}"] * aborted == alarms
