"""The life table: worked by hand, held against the survival function of statsmodels, and against Turnbull's estimate."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from random import Random

import numpy as np
import pytest
from seasons import season
from statsmodels.duration.survfunc import SurvfuncRight

from template_builder.layout.choices import Belly, Born, LambLeft, Stage, Weighed
from template_builder.layout.columns import Row
from workbook.results.litters.account import litter_account
from workbook.results.litters.exits import exits, last_known
from workbook.results.litters.life_table import LifeStage, life_table
from workbook.season.season import Season

DAY = date(2026, 4, 1)
MARKING, WEANING = 40, 110  # days after birth
END = 150
GONE = dict(zip(("died", "missing", "sold"), (LambLeft.DIED, LambLeft.MISSING, LambLeft.SOLD), strict=True))


def day(age: int) -> date:
    return DAY + timedelta(days=age)


def flock(lambs: Sequence[tuple[str, int | None]], counts: Sequence[Row] = (), *, dated: bool = True,
          group: str = "Hill", as_of: int = END, **rows: list[Row]) -> Season:
    """A single a ewe, born on one day; each lamb by how it left ("" for still here) and its age then."""
    return season(
        datetime.combine(day(as_of), datetime.min.time()),
        groups=[{"group": group, "marking": day(MARKING), "weaning": day(WEANING)}] if dated else [],
        ewes=[{"ewe": str(n), "group": group} for n in range(len(lambs))],
        lambing=[{"ewe": str(n), "lambed_on": DAY} for n in range(len(lambs))],
        lambs=[{"ewe": str(n), "lamb_no": 1, "born": Born.ALIVE, "left_how": GONE.get(how),
                "left_on": None if age is None or not how else day(age)} for n, (how, age) in enumerate(lambs)],
        counts=counts, **rows)


def counted(lambs: int, age: int, stage: Stage = Stage.MARKING, group: str | None = "Hill") -> Row:
    return {"date": day(age), "group": group, "lambs": lambs, "stage": stage}


def stages(of: Season) -> dict[str, LifeStage]:
    return {stage.label: stage for stage in life_table(of)}


def lost(of: Season) -> dict[str, tuple[int, int | None]]:
    return {stage.label: (stage.lost, stage.at_risk) for stage in life_table(of)}


HERE = ("", None)


def test_by_hand() -> None:
    lambs = [("died", 1), ("died", 2), ("missing", 40), ("sold", 40), ("sold", 41), ("died", 110), ("died", 111), *[HERE] * 3]
    found = stages(flock(lambs))
    assert {"day of birth or next day": (1, 10), "to marking": (2, 9), "to weaning": (1, 6), "after weaning": (1, 4)} == lost(
        flock(lambs))
    marking = found["to marking"]
    assert (1, 1, 0, 1, 0) == (marking.died, marking.missing, marking.short, marking.sold, marking.still)
    assert (1 - 1 / 10) * (1 - 2 / 8.5) * (1 - 1 / 5.5) == pytest.approx(found["to weaning"].survived)


def test_what_a_count_misses_went_since_the_count_before() -> None:
    of = flock([HERE] * 20, [counted(17, MARKING), counted(15, WEANING, Stage.WEANING)])
    assert {"day of birth or next day": (0, 20), "to marking": (3, 20), "to weaning": (2, 17)} == lost(of)
    assert 5 == litter_account(of).total("short")


def test_lambs_found_again_had_not_gone() -> None:
    of = flock([HERE] * 20, [counted(15, MARKING), counted(18, WEANING, Stage.WEANING)])
    assert (2, 20) == lost(of)["to marking"]
    assert (0, 18) == lost(of)["to weaning"]


def test_a_count_of_the_flock_is_narrowed_by_those_of_its_groups_and_they_by_it() -> None:
    whole = flock([HERE] * 20, [counted(17, MARKING), counted(15, WEANING, Stage.WEANING, None)])
    assert [3, 2] == [stages(whole)[label].short for label in ("to marking", "to weaning")]
    group = flock([HERE] * 20, [counted(20, MARKING, group=None), counted(15, WEANING, Stage.WEANING)])
    assert [0, 5] == [stages(group)[label].short for label in ("to marking", "to weaning")]


def test_without_an_earlier_count_losses_are_spread_over_the_days() -> None:
    # 11 lambs in the 110 days from birth to weaning: one in every ten days, the first on day 5; four by marking.
    of = flock([HERE] * 20, [counted(9, WEANING, Stage.WEANING)])
    assert [5 + 10 * place for place in range(11)] == sorted(
        (exit.day - DAY).days for exit in exits(of).values() if exit.day is not None)
    assert [0, 4, 7] == [stage.short for stage in life_table(of)]


@pytest.mark.parametrize(("age", "short"), [(MARKING - 1, 1), (MARKING, 0), (MARKING + 1, 0)])
def test_a_lamb_weighed_on_the_day_of_the_count_or_later_was_there(age: int, short: int) -> None:
    weighed = [{"animal": "0-1", "date": day(age), "kg": 15.0, "occasion": Weighed.EARLY}]
    of = flock([HERE], [counted(0, MARKING)], weights=weighed)
    assert (short, short) == (litter_account(of).total("short"), sum(stage.short for stage in life_table(of)))


@pytest.mark.parametrize(("lambs", "label"), [(1, "to marking"), (0, "not known when"), (2, "not known when")])
def test_a_lamb_gone_on_a_day_not_written_went_by_the_count_that_met_the_book_without_it(lambs: int, label: str) -> None:
    of = flock([("died", None), HERE], [counted(lambs, MARKING)])
    assert 1 == stages(of)[label].died


def test_last_known_alive() -> None:
    of = season(
        ewes=[{"ewe": "1"}], lambing=[{"ewe": "1", "lambed_on": DAY, "turned_out_on": day(9)}],
        lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE}, {"ewe": "1", "lamb_no": 2, "belly": Belly.FULL,
                "left_how": LambLeft.DIED}, {"ewe": "1", "lamb_no": 3, "moved_on": day(5), "left_how": LambLeft.DIED},
               {"ewe": "1", "lamb_no": 4, "left_how": LambLeft.DIED}],
        weights=[{"animal": "1-1", "date": day(20), "kg": 9.0, "occasion": Weighed.EARLY}])
    assert [day(20), day(1), day(5), DAY] == [last_known(lamb, of.flock) for lamb in of.flock.lambs]


@pytest.mark.parametrize(("as_of", "at_risk", "still"), [
    (1, [2], [0]), (2, [2, 2], [0, 2]), (39, [2, 2], [0, 2]), (40, [2, 2], [0, 0]), (41, [2, 2, 2], [0, 0, 2])])
def test_a_stage_not_reached_has_nobody_at_risk(as_of: int, at_risk: list[int], still: list[int]) -> None:
    found = life_table(flock([HERE, HERE], as_of=as_of))
    assert (at_risk, still) == ([stage.at_risk for stage in found], [stage.still for stage in found])


@pytest.mark.parametrize("seed", range(20))
def test_survival_with_exact_days_is_that_of_statsmodels(seed: int) -> None:
    dice = Random(seed)
    lambs: list[tuple[str, int | None]] = [
        (how, dice.choice([*range(9), dice.randint(9, 140)]) if how else None)
        for how in dice.choices(["died", "missing", ""], [3, 1, 6], k=60)]
    lambs += [("sold", dice.randint(9, 140)) for _ in range(5)]
    found = life_table(flock(lambs, dated=False))
    kept = SurvfuncRight([END if age is None else age for _, age in lambs], [how in ("died", "missing") for how, _ in lambs])

    def at(age: int) -> float:
        return float(min((kept.surv_prob[kept.surv_times <= age]), default=1.0))

    assert [at(1), at(7)] == [pytest.approx(stage.survived) for stage in found[:2]]
    # Sold lambs count half in the stage in which they were sold: between none and all of it.
    late, here = found[2].lost, found[2].at_risk or 0
    assert at(7) * (1 - late / (here - 5)) <= (found[2].survived or 0) <= at(7) * (1 - late / here)


def turnbull(between: Sequence[tuple[int, int]], ages: Sequence[int]) -> list[float]:
    """Survival at ages by Turnbull's self-consistent estimate: each animal went in (after, by], by EM over single days."""
    cells = np.arange(1, END + 2)
    could = np.array([(after < cells) & (cells <= by) for after, by in between], dtype=float)
    mass = np.full(len(cells), 1 / len(cells))
    for _ in range(500):
        share = could * mass
        mass = (share / share.sum(axis=1, keepdims=True)).mean(axis=0)
    return [float(1 - mass[cells <= age].sum()) for age in ages]


@pytest.mark.parametrize("seed", range(10))
def test_survival_at_the_counts_is_turnbulls_estimate(seed: int) -> None:
    dice = Random(seed)
    lambs: list[tuple[str, int | None]] = [HERE] * 40 + [("died", dice.randint(1, 109)) for _ in range(dice.randint(0, 9))]
    at_marking = 40 - dice.randint(0, 6) + sum(age is not None and age > MARKING for _, age in lambs)
    there = sum(age is None or age > MARKING for _, age in lambs)
    first, then = there - at_marking, dice.randint(0, 6)
    of = flock(lambs, [counted(at_marking, MARKING), counted(40 - first - then, WEANING, Stage.WEANING)])
    alive = 40 - first - then
    between = [(age - 1, age) for _, age in lambs if age is not None]
    between += [(0, MARKING)] * first + [(MARKING, WEANING)] * then + [(END, END + 1)] * alive
    found = stages(of)
    assert turnbull(between, [MARKING, WEANING]) == pytest.approx(
        [found["to marking"].survived, found["to weaning"].survived], abs=1e-6)
