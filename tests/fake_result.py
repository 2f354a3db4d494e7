"""A small invented flock and a result of it, made without reading a workbook: for tests of what is written from results."""

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TypeVar

from seasons import season

from template_builder.layout.choices import (
    Born,
    Cause,
    CheckOccasion,
    Choice,
    Colostrum,
    Help,
    LambLeft,
    Mouth,
    NextDay,
    Presentation,
    Prolapse,
    RearedBy,
    Sex,
    Stage,
    Sucked,
    Taken,
    Teats,
    Udder,
    Vigour,
    Weighed,
    WhyHelped,
    YesNo,
)
from template_builder.layout.columns import Row
from workbook.results.advice.decisions import decisions
from workbook.results.advice.problem_ewes import ProblemEwe
from workbook.results.flock.flock_plan import flock_plan
from workbook.results.flock.replacements import replacements
from workbook.results.flock.worth_keeping import worth_keeping
from workbook.results.litters.account import litter_account
from workbook.results.litters.contrasts import contrasts
from workbook.results.litters.ewe_losses import ewe_loss_tables
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.gaps import gaps
from workbook.results.litters.losses import loss_tables
from workbook.results.pipeline import Result
from workbook.results.scores.mothering import mothering_scores
from workbook.results.scores.rearing import rearing
from workbook.rules.rule import Found, Problem, Rule, Severity, Skipped
from workbook.season.cells import CellRef
from workbook.season.season import Season

Of = TypeVar("Of", bound=Choice)

HOSTILE = ("=1+1", "@x", "+1", "-1", "=HYPERLINK(\"http://a.invalid\")")
AS_OF = datetime(2026, 8, 20, 12, 0)
FIRST_DAY = date(2026, 3, 10)
SEED = 7

RULE = Rule("C199x", "lamb-too-heavy", "Lamb too heavy", Severity.WARNING, "Likely a slip.", "house rule",
            "Look it up and correct it, or answer it.", uses=("lambs.birth_weight",))
FAULT = replace(RULE, id="C198x", slug="tag-twice", title="Two lambs have the same tag", severity=Severity.ERROR)


def result(
    of: Season, problems: Sequence[Problem] = (), alerts: Sequence[ProblemEwe] = (), skipped: Sequence[Skipped] = (),
) -> Result:
    """A result of a season, with problems and alerts as given."""
    account = litter_account(of)
    stage = stage_of(of, account)
    found, losses, compared = figures(of, account, stage), loss_tables(of, account), contrasts(of)
    decided, mothering = decisions(of, stage), mothering_scores(of)
    return Result(
        season=of, stage=stage, problems=tuple(problems), skipped=tuple(skipped), account=account,
        figures=found, losses=losses, ewe_losses=ewe_loss_tables(of), contrasts=compared,
        gaps=gaps(of, account, found, losses, compared),
        mothering=mothering, problem_ewes=tuple(alerts), decisions=decided, rearing=rearing(of),
        plan=flock_plan(of, decided), worth=worth_keeping(of, decided, mothering),
        replacements=replacements(of, decided, stage),
    )


def empty_result() -> Result:
    """A season in which nothing at all was written."""
    return result(season())


def busy_result(ewes: int = 60, as_of: datetime = AS_OF) -> Result:
    """A flock with a bit of everything, hostile text among it."""
    of = replace(busy_season(ewes, as_of), own_columns={"Ewes": ("=1+1", "Our mark")}, own_sheets=("Hay",),
                 missing=frozenset({"lambs.electronic_tag"}))
    lambs = of.rows("lambs")
    problems = [
        RULE.problem(Found(lambs[0].at("birth_weight"), "a twin of 9.4 kg is heavier than 6 kg", "=9.4")),
        FAULT.problem(Found(lambs[3].at("tag"), f"tag 7001 is in row {lambs[0].row} too; " + "this goes on for long " * 6, "@x")),
        RULE.problem(Found(CellRef(of.file, "Treatments", 0, 0), "the sheet was not found")),
    ]
    first = of.rows("ewes")[0]
    alert = ProblemEwe("1001", "1001", "lambs not sucking next day", 1, "one hollow on the next day's look",
                       datetime(2026, 3, 12, 6, 30), "Hold her and let them suck; look again in three hours.", True, "7",
                       (first.at("ewe"),))
    alerts = [
        alert, replace(alert, alert="large teats", urgency=3, call_vet=False, since=None),
        replace(alert, urgency=4, alert="her season", why="lambed 12 Mar, helped hard; " * 8, next_step="Ask the vet."),
    ]
    return result(of, problems, alerts, [Skipped(RULE, ("lambs.electronic_tag",))])


def busy_season(ewes: int, as_of: datetime) -> Season:
    dice = random.Random(SEED)
    rows: dict[str, list[Row]] = {
        "ewes": [], "lambing": [], "lambs": [], "weights": [], "ewe_check": [], "counts": [], "season": [], "groups": [],
    }
    rows["season"] = [
        {"row_key": "flock", "value": "Invented Flock"}, {"row_key": "year", "value": 2026},
        {"row_key": "target_loss", "value": 15},
    ]
    rows["groups"] = [{"group": "lowland", "ewes_to_ram": ewes + 4, "ram_in": date(2025, 10, 14), "turnout": date(2026, 4, 2)}]
    for number in range(ewes):
        _add_ewe(dice, rows, str(1001 + number), as_of)
    rows["ewes"][-1] = {**rows["ewes"][-1], "group": HOSTILE[0], "notes": HOSTILE[4]}
    rows["counts"] = [{"date": date(2026, 4, 20), "group": "lowland", "stage": Stage.MARKING, "lambs": int(1.35 * ewes)}]
    rows["lambs"].append({"tag": "B1", "born": Born.ALIVE, "notes": HOSTILE[2]})
    written = {sheet: [row for row in of if _written_by(row, as_of.date())] for sheet, of in rows.items()}
    return season(as_of, **written)  # type: ignore[arg-type]  # sheet ids, none of them "file"


def _written_by(row: Row, day: date) -> bool:
    """Whether a dated row can have been written on that day."""
    dated = row.get("date")
    return not isinstance(dated, date) or dated <= day


def _one_of(dice: random.Random, values: type[Of], *shares: int) -> Of:
    """A value of a list, by the shares of its first ones; those that came to the list later are as rare as the last."""
    listed = tuple(values)
    return dice.choices(listed, (*shares, *shares[-1:] * (len(listed) - len(shares))))[0]


def _add_ewe(dice: random.Random, rows: dict[str, list[Row]], ewe: str, as_of: datetime) -> None:
    scanned = dice.choices((0, 1, 2, 3, None), (4, 20, 50, 18, 4))[0]
    lambed_on = FIRST_DAY + timedelta(days=int(dice.gauss(10, 5)))
    base: Row = {"ewe": ewe, "scanned": scanned, "due": FIRST_DAY + timedelta(days=10)}
    rows["ewes"].append({
        **base, "group": "lowland", "born_year": dice.randint(2019, 2024), "lambings_before": dice.randint(0, 4),
    })
    if scanned == 0 or lambed_on > as_of.date():
        return
    born = max(0, (scanned or 2) + dice.choices((-1, 0, 1), (8, 88, 4))[0])
    by_count = dice.random() < 0.1
    helped = _one_of(dice, Help, 80, 10, 6, 2, 2)
    rows["lambing"].append({
        **base, "lambed_on": lambed_on, "help": helped,
        "why_helped": None if helped is Help.NONE else dice.choice(tuple(WhyHelped)),
        "born_alive": born if by_count else None, "mothering": dice.randint(2, 5), "colostrum": dice.choice(tuple(Colostrum)),
        "sides_in_milk": dice.choices((2, 1), (94, 6))[0], "teats": _one_of(dice, Teats, 90, 4, 2, 2, 2),
        "prolapse": _one_of(dice, Prolapse, 95, 3, 1, 1), "next_day": _one_of(dice, NextDay, 85, 6, 6, 3),
        "all_well": YesNo.YES if dice.random() < 0.2 else None,
        "notes": "A longer note about what happened that night in the far pen by the door" if dice.random() < 0.1 else None,
    })
    for lamb in range(1, 0 if by_count else born + 1):
        _add_lamb(dice, rows, ewe, lamb, lambed_on)
    rows["ewe_check"].append({
        "ewe": ewe, "date": date(2026, 8, 1), "occasion": dice.choice(tuple(CheckOccasion)),
        "udder": _one_of(dice, Udder, 90, 4, 3, 3), "mouth": _one_of(dice, Mouth, 80, 8, 6, 3, 2, 1),
    })


def _add_lamb(dice: random.Random, rows: dict[str, list[Row]], ewe: str, number: int, lambed_on: date) -> None:
    born = _one_of(dice, Born, 90, 5, 2, 2, 1)
    died = born is Born.ALIVE and dice.random() < 0.14
    weight = round(dice.gauss(4.4, 0.9), 1) if dice.random() < 0.85 else None
    rows["lambs"].append({
        "ewe": ewe, "lamb_no": number, "born": born, "sex": dice.choice((Sex.EWE, Sex.RAM)), "birth_weight": weight,
        "presentation": dice.choice(tuple(Presentation)), "vigour": dice.choice(tuple(Vigour)),
        "sucked": _one_of(dice, Sucked, 80, 8, 8, 4), "taken": _one_of(dice, Taken, 90, 6, 4),
        "reared_by": RearedBy.PET if dice.random() < 0.04 else None,
        "left_on": lambed_on + timedelta(days=dice.choice((0, 1, 4, 30))) if died else None,
        "left_how": LambLeft.DIED if died else None, "cause": dice.choice((*tuple(Cause), None)) if died else None,
    })
    if born is Born.ALIVE and not died:
        rows["weights"].append({
            "animal": f"{ewe}-{number}", "date": lambed_on + timedelta(days=92), "kg": round(dice.gauss(31, 4), 1),
            "occasion": Weighed.WEANING,
        })
