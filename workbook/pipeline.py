"""Read, check, account, score, advise: everything a season workbook says, in one result."""

from collections.abc import Mapping
from dataclasses import dataclass

from workbook.advice.decisions import Decision
from workbook.advice.problem_ewes import ProblemEwe
from workbook.agreement import Agreement
from workbook.litters.account import Account
from workbook.litters.figures import Figure
from workbook.litters.losses import LossTable
from workbook.rules import Problem, Skipped
from workbook.scores.mothering import MotheringScore
from workbook.season import Season


@dataclass(frozen=True)
class Result:
    """All that is known of a season at one moment; reports and the summary workbook are made from it alone.

    `stage` is "before lambing", "so far" (ewes still to lamb), "lambed" (no weaning records yet) or "weaned".
    """

    season: Season
    stage: str
    problems: tuple[Problem, ...]
    skipped: tuple[Skipped, ...]
    account: Account
    figures: tuple[Figure, ...]
    scanning: Agreement | None
    losses: tuple[LossTable, ...]
    mothering: Mapping[str, MotheringScore]
    problem_ewes: tuple[ProblemEwe, ...]
    decisions: Mapping[str, Decision]
