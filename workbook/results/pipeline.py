"""Read, check, account, score, advise: everything a season workbook says, in one result."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import workbook.rules.checks  # noqa: F401 - importing it fills the registry of rules
from template_builder.files.progress import Tell, silent
from template_builder.forecast.per_day import Forecast
from workbook.reading.season_file import Reading
from workbook.results.advice.decisions import Decision, decisions
from workbook.results.advice.her_years import last_years
from workbook.results.advice.problem_ewes import ProblemEwe, problem_ewes
from workbook.results.flock.flock_plan import FlockPlan, flock_plan
from workbook.results.flock.replacements import Candidate, replacements
from workbook.results.flock.worth_keeping import Worth, worth_keeping
from workbook.results.litters.account import Account, litter_account
from workbook.results.litters.contrasts import Contrast, contrasts
from workbook.results.litters.ewe_losses import ewe_loss_tables
from workbook.results.litters.figures import BEFORE, NOTHING, SO_FAR, Figure, figures, stage_of
from workbook.results.litters.gaps import Gap, gaps
from workbook.results.litters.group_account import GroupAccount, group_accounts
from workbook.results.litters.losses import LossTable, loss_tables
from workbook.results.litters.spread import forecast_of, forecast_to_come
from workbook.results.scores.mothering import MotheringScore, mothering_scores
from workbook.results.scores.rearing import Rearing, rearing
from workbook.rules.answers import answered, unanswered
from workbook.rules.checks.units import without_single_weights
from workbook.rules.rule import REGISTRY, Problem, Skipped, run
from workbook.season.season import Season


@dataclass(frozen=True)
class Result:
    """All that is known of a season at one moment; reports and the summary workbook are made from it alone.

    `stage` is "before lambing", "so far" (ewes still to lamb), "lambed" (no weaning records yet) or "weaned". `forecast` is
    as it stood at scanning, `to_come` what is still ahead at the season's moment (None once all have lambed). `years` are the
    last three years of each ewe still here, one line each, the latest first. `plan` is the flock of next year, `worth` what each
    ewe is worth keeping for, `replacements` the ewe lambs that may come in.
    """

    season: Season
    stage: str
    problems: tuple[Problem, ...]
    skipped: tuple[Skipped, ...]
    account: Account
    figures: tuple[Figure, ...]
    losses: tuple[LossTable, ...]
    mothering: Mapping[str, MotheringScore]
    problem_ewes: tuple[ProblemEwe, ...]
    decisions: Mapping[str, Decision]
    forecast: Forecast | None = None
    to_come: Forecast | None = None
    ewe_losses: tuple[LossTable, ...] = ()
    contrasts: tuple[Contrast, ...] = ()
    gaps: tuple[Gap, ...] = ()
    groups: tuple[GroupAccount, ...] = ()
    rearing: Rearing = Rearing()
    years: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    plan: FlockPlan = FlockPlan()
    worth: tuple[Worth, ...] = ()
    replacements: tuple[Candidate, ...] = ()

    @property
    def by_counts_alone(self) -> bool:
        """Whether no ewe and no lamb is known by number, only groups by their counts."""
        return bool(self.groups) and not (self.season.flock.ewes or self.season.flock.lambs)


@dataclass(frozen=True)
class Checked:
    """Every unanswered problem of a season in the order of its tabs and rows, and the rules that could not run."""

    season: Season
    problems: tuple[Problem, ...]
    skipped: tuple[Skipped, ...]


def check(reading: Reading, tell: Tell = silent) -> Checked:
    """All problems: those of reading the file and those the rules find."""
    season = reading.season
    tell("Checking the records")
    found, skipped = run(season, REGISTRY.values())
    problems = unanswered(without_single_weights([*reading.problems, *found]), answered(season))
    return Checked(season, tuple(sorted(problems, key=_by_place(season))), tuple(skipped))


def analyse(reading: Reading, tell: Tell = silent) -> Result:
    """Everything about a season at its moment."""
    checked = check(reading, tell)
    season = checked.season
    tell("Litter account")
    account, groups = litter_account(season), group_accounts(season)
    stage = stage_of(season, account)
    reared = rearing(season)
    litters = {key: weight.kg for key, weight in reared.litters.items() if weight.kg is not None}
    found, losses = figures(season, account, stage, litters, groups), loss_tables(season, account)
    tell("Scores and decisions")
    if stage == NOTHING:
        return Result(season, stage, checked.problems, checked.skipped, account, found, (), {}, (), {}, groups=groups)
    compared, decided, mothering = contrasts(season), decisions(season, stage), mothering_scores(season, reared)
    return Result(
        season=season, stage=stage, problems=checked.problems, skipped=checked.skipped, account=account,
        figures=found, losses=losses, ewe_losses=ewe_loss_tables(season),
        contrasts=compared, gaps=gaps(season, account, found, losses, compared),
        mothering=mothering, problem_ewes=problem_ewes(season, season.as_of),
        decisions=decided, years=last_years(season, decided), groups=groups, rearing=reared, forecast=forecast_of(season),
        to_come=forecast_to_come(season) if stage in (BEFORE, SO_FAR) else None,
        plan=flock_plan(season, decided), worth=worth_keeping(season, decided, mothering),
        replacements=replacements(season, decided, stage),
    )


class _by_place:
    """Sorts problems as a person goes through the file: by tab, row and column."""

    def __init__(self, season: Season) -> None:
        self.number = {tab: number for number, tab in enumerate(season.tabs)}

    def __call__(self, problem: Problem) -> tuple[int, str, int, int, str]:
        place = problem.place
        return (self.number.get(place.sheet, len(self.number)), place.sheet, place.row, place.column, problem.rule.id)
