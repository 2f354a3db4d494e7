"""Ten thousand random seasons: accounts balance in every class, order changes nothing, a repeated row adds nothing.

Slow: run them before a release with `pytest -m slow`. Seeds are fixed, so that a season that fails
can be made again from its number.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    Cause,
    EweLeft,
    Help,
    LambLeft,
    RearedBy,
    Stage,
    Trouble,
    Weighed,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row
from workbook.results.litters.account import Account, imbalances, litter_account
from workbook.results.litters.contrasts import contrasts
from workbook.results.litters.ewe_losses import ewe_loss_tables
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.gaps import gaps
from workbook.results.litters.group_account import group_accounts
from workbook.results.litters.life_table import life_table
from workbook.results.litters.losses import LossTable, loss_tables
from workbook.season.season import Season

SEASONS = 10_000
USUAL = 150  # of these, in every run
MOST_EWES = 14
DAY = date(2026, 3, 1)
SHEETS = ("groups", "ewes", "lambing", "lambs", "ewe_check", "counts", "weights")
DIGITS = 7
Rows = dict[str, list[Row]]


def random_rows(number: int) -> Rows:
    """A season of some ewes, written carelessly: blanks, not known, repeats of lambs, numbers of nobody."""
    dice = Random(number)
    rows: Rows = {sheet: [] for sheet in SHEETS}
    ram_out, weaning = dice.choice([None, date(2025, 12, 1)]), dice.choice([None, DAY + timedelta(days=100)])
    rows["groups"] = [{"group": "Hill", "ewes_to_ram": dice.choice([None, 5, 40]), "ram_out": ram_out},
                      {"group": "Low", "weaning": weaning}]
    rows["season"] = [{"row_key": id, "value": dice.choice([None, 0, 5, 20])} for id in (
        "target_loss", "last_loss_triplets", "last_loss_twins", "last_stillborn", "target_empty", "last_reared")]
    ewes = [f"{dice.choice(['', '0'])}{n}" for n in range(1, dice.randint(1, MOST_EWES) + 1)]
    for ewe in ewes:
        _ewe(ewe, ewes, rows, dice)
    for _ in range(dice.randint(0, 2)):
        rows["lambs"].append(_lamb(None, ewes, dice) | {"came_from": dice.choice(list(CameFrom))})
    for _ in range(dice.randint(0, 3)):
        rows["counts"].append({"date": _day(dice), "group": dice.choice([None, "Hill", "low", "Nowhere"]),
                               "stage": dice.choice(list(Stage)), "lambs": dice.choice([None, dice.randint(0, 30)])})
    return rows


def _ewe(ewe: str, ewes: Sequence[str], rows: Rows, dice: Random) -> None:
    left = dice.random() < 0.15
    rows["ewes"].append({
        "ewe": ewe, "scanned": dice.choice([None, NOT_KNOWN, 0, 1, 1, 2, 2, 2, 3, 4, 6]), "due": dice.choice([None, _day(dice)]),
        "group": dice.choice([None, "hill", "Hill", "Low"]), "ram": dice.choice([None, "T1", "t1", "L2"]),
        "born_year": dice.choice([None, 2019, 2022, 2025]), "lambings_before": dice.choice([None, 0, 3]),
        "left_on": _day(dice) if left else None, "left_how": dice.choice([None, *EweLeft]) if left else None,
        "left_why": dice.choice([None, "fell", "Fell", "not seen"]) if left else None,
    })
    if dice.random() < 0.8:
        rows["lambing"].append({
            "ewe": ewe, "lambed_on": dice.choice([None, _day(dice)]), "born_alive": dice.choice([None, 0, 1, 2, 3]),
            "born_dead": dice.choice([None, None, 0, 1]), "help": dice.choice([None, *Help]),
            "all_well": dice.choice([None, *YesNo]),
        })
    numbers = range(1, dice.choice([0, 1, 2, 2, 3, 4]) + 1)
    rows["lambs"] += [_lamb(ewe, ewes, dice) | {"lamb_no": number} for number in numbers]
    if dice.random() < 0.1:
        rows["ewe_check"].append({"ewe": ewe, "date": _day(dice), "trouble": dice.choice(list(Trouble))})
    if numbers and dice.random() < 0.3:
        rows["weights"].append({"animal": f"{ewe}-1", "date": _day(dice), "kg": 30.0, "occasion": Weighed.WEANING})


def _lamb(ewe: str | None, ewes: Sequence[str], dice: Random) -> dict[str, object]:
    gone = dice.random() < 0.3
    return {
        "ewe": ewe, "born": dice.choice([None, *Born, *[Born.ALIVE] * 6]), "birth_weight": dice.choice([None, 2.5, 4.0, 6.0]),
        "reared_by": dice.choice([None, None, *RearedBy]), "foster_ewe": dice.choice([None, None, None, "nobody", *ewes]),
        "left_on": dice.choice([None, _day(dice)]) if gone else None,
        "left_how": dice.choice([None, *LambLeft]) if gone else None,
        "cause": dice.choice([None, *Cause]) if gone else None,
    }


def _day(dice: Random) -> date:
    return DAY + timedelta(days=dice.randint(-30, 120))


@dataclass(frozen=True)
class Said:
    """What a season says, in a form that can be compared."""

    account: dict[str, dict[str, int]]
    losses: dict[str, dict[str, tuple[float, int]]]
    contrasts: dict[str, tuple[float | None, ...]]
    gaps: dict[str, float]
    figures: dict[str, tuple[float | None, float | None]]


def said(of: Season) -> tuple[Account, Said]:
    account = litter_account(of)
    found, losses, compared = figures(of, account, stage_of(of, account)), loss_tables(of, account), contrasts(of)
    return account, Said(
        {line: dict(classes) for line, classes in account.lines.items()},
        {table.id: _classes(table) for table in (*losses, *ewe_loss_tables(of))},
        {one.id.casefold(): tuple(_round(part) for part in one.risk_ratio) for one in compared},
        {gap.id.casefold(): round(gap.lambs, DIGITS) for gap in gaps(of, account, found, losses, compared)},
        {figure.id: (_round(figure.value), _round(figure.denominator)) for figure in found},
    )


def _classes(table: LossTable) -> dict[str, tuple[float, int]]:
    """Lost and all of each class; a name is shown as first written, so the case of its letters may differ."""
    return {item.label.casefold(): (item.loss.numerator, item.loss.denominator) for item in table.classes}


def _round(number: float | None) -> float | None:
    return None if number is None else round(number, DIGITS)


PER_EWE = ("scanning_pct_ram", "scanning_pct_scanned", "lambing_pct", "reared_pct", "ewe_efficiency")
"""Figures in per cent that are no share: there may be more lambs than ewes."""


def shares_hold(of: Season) -> None:
    """Every share lies in 0 to 100 %, within its interval and its bounds, and of what it rests on no more is known than is."""
    account = litter_account(of)
    for figure in figures(of, account, stage_of(of, account), groups=group_accounts(of)):
        assert figure.known is None or figure.of is not None and 0 <= figure.known <= figure.of, figure
        if figure.value is None:
            continue
        for low, high in ((figure.low, figure.high), (figure.least, figure.most)):
            if low is not None and high is not None:
                assert low - 1e-9 <= figure.value <= high + 1e-9, figure
                assert figure.id in PER_EWE or (low >= 0 and high <= 100 + 1e-9), figure
        if figure.unit == "%" and figure.id not in PER_EWE:
            assert 0 <= figure.value <= 100, figure


def hold(number: int) -> None:
    """What must hold of one season."""
    rows, dice = random_rows(number), Random(-number)
    shares_hold(season(**rows))
    account, first = said(season(**rows))
    assert [] == imbalances(account), f"season {number} does not balance"
    for table in ("litter_size", "birth_weight", "help", "ewe_age", "ram", "group", "reared_by"):
        alive = sum(of for _, of in first.losses[table].values())
        assert first.account["born_alive"]["all"] == alive, f"season {number}: {table} does not hold every live-born lamb"
    _life_adds_up(season(**rows), account, number)
    mixed = {sheet: dice.sample(found, len(found)) for sheet, found in rows.items()}
    assert first == said(season(**mixed))[1], f"season {number} depends on the order of its rows"
    again = {sheet: dice.sample(rows[sheet], min(2, len(rows[sheet]))) for sheet in ("ewes", "lambing")}
    twice = {**rows, **{sheet: [*rows[sheet], *found] for sheet, found in again.items()}}
    assert first == said(season(**twice))[1], f"season {number} changes when a ewe's row is repeated"


def _life_adds_up(of: Season, account: Account, number: int) -> None:
    """The life table holds every lamb that went, once, and no more in a stage than were there."""
    stages = life_table(of)
    for how in ("died", "missing", "short", "sold"):
        assert account.total(how) == sum(getattr(stage, how) for stage in stages), f"season {number}: {how}"
    for stage in stages:
        assert stage.at_risk is None or stage.lost + stage.sold + stage.still <= stage.at_risk, f"season {number}: {stage.label}"


# In these more lambs are short at a count than the ewes to the ram have unseen.
MORE_SHORT = (5187, 5534)


@pytest.mark.parametrize("seed", [*range(USUAL), *MORE_SHORT])
def test_some_random_seasons(seed: int) -> None:
    hold(seed)


@pytest.mark.slow
def test_ten_thousand_random_seasons() -> None:
    for number in range(USUAL, SEASONS):
        hold(number)
