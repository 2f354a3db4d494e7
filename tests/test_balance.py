"""Rules on balance: what their case files cannot show."""

from dataclasses import replace

import pytest
from seasons import season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.choices import Born
from workbook.results.litters import account as account_module
from workbook.results.litters.movements import Fate, movements
from workbook.rules.rule import REGISTRY, run
from workbook.season.season import Season

TWINS = season(
    ewes=[{"ewe": "0412", "scanned": 2}], lambing=[{"ewe": "0412", "born_alive": 1}],
    lambs=[{"ewe": "0412", "lamb_no": number, "born": Born.ALIVE} for number in (1, 2)],
)


def test_a_fault_in_the_classifier_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(of: Season) -> tuple[object, ...]:
        first, *rest = movements(of)
        return (replace(first, fate=Fate.SOLD), *rest)

    assert ([], []) == run(TWINS, [REGISTRY["B101"]])
    monkeypatch.setattr(account_module, "movements", wrong)
    problems, _ = run(replace(TWINS), [REGISTRY["B101"]])
    assert "Lambs!D4: Born alive of ewes in column 2 of the account: 2, but their parts come to 3" == (
        f"{problems[0].place}: {problems[0].found.text}")
    assert any("of ewe 0412" in problem.found.text for problem in problems)


def test_disagreeing_births_name_the_lambs_cells() -> None:
    (problem,), _ = run(TWINS, [REGISTRY["B104"]])
    assert "Lambing!F4" == str(problem.place)
    assert ("Lambs!D4", "Lambs!D5") == tuple(str(cell) for cell in problem.found.also)


def test_a_count_that_is_not_used_is_called_by_its_group() -> None:
    problems, _ = run(season(counts=[{"group": "Hill", "lambs": 40}, {"lambs": 41}]), [REGISTRY["B107"]])
    assert ["Hill", "whole flock"] == [problem.found.row_name for problem in problems]
