"""Lambs per ewe mated by age of the ewe, through whole seasons.

"Analysis of production records from a lowland sheep flock. 2": Clun Forest ewes 1955-66, more than 4,800 lambing records.
Barren 44, 7 and 5 % of ewes mated, litters of 1.15, 1.55 and 1.75, printed as 0.64, 1.44 and 1.68 lambs per ewe mated. All
printed figures are rounded, hence the tolerance.
"""

from datetime import date, timedelta
from typing import NamedTuple

import pytest
from seasons import season

from template_builder.layout.choices import Born, EweLeft, LambLeft
from template_builder.layout.columns import Row
from workbook.results.litters.account import imbalances, litter_account
from workbook.results.litters.figures import Figure, figures, stage_of
from workbook.results.litters.losses import loss_tables
from workbook.season.season import Season

MATED = 2000  # ewes of each age: the smallest hundred that makes every share a whole number
LAMBED_ON = date(2026, 3, 1)


class Age(NamedTuple):
    label: str
    born_year: int
    barren: float
    litter: float
    printed: float


AGES = (
    Age("ewe lamb or 1 year", 2025, 0.44, 1.15, 0.64), Age("2 years", 2024, 0.07, 1.55, 1.44),
    Age("3 to 5 years", 2022, 0.05, 1.75, 1.68),
)


def rows(age: Age) -> dict[str, list[Row]]:
    """Ewes of one age: the barren scanned empty and sold, the others with singles and twins that make the litter size."""
    barren = round(age.barren * MATED)
    lambed = MATED - barren
    twins = round((age.litter - 1) * lambed)
    sizes = [0] * barren + [2] * twins + [1] * (lambed - twins)
    names = [f"{age.born_year}/{n}" for n in range(MATED)]
    return {
        "ewes": [{"ewe": name, "scanned": size, "born_year": age.born_year, "left_how": None if size else EweLeft.SOLD}
                 for name, size in zip(names, sizes, strict=True)],
        "lambing": [{"ewe": name, "lambed_on": LAMBED_ON, "born_alive": size}
                    for name, size in zip(names, sizes, strict=True) if size],
        "groups": [{"group": age.label, "ewes_to_ram": MATED}],
    }


def figures_of(of: Season) -> dict[str, Figure]:
    account = litter_account(of)
    assert [] == imbalances(account)
    return {figure.id: figure for figure in figures(of, account, stage_of(of, account))}


@pytest.mark.parametrize("age", AGES, ids=lambda age: age.label)
def test_lambs_per_ewe_mated(age: Age) -> None:
    found = figures_of(season(**rows(age)))
    assert (100 * age.barren, age.litter) == (pytest.approx(found["empty_pct"].value), pytest.approx(found["litter_born"].value))
    assert pytest.approx(100 * (1 - age.barren) * age.litter) == found["lambing_pct"].value
    assert pytest.approx(100 * age.printed, abs=2) == found["lambing_pct"].value
    # A ewe lambs or is barren: the lambs per ewe mated are ewes lambed x litter size.
    assert found["lambing_pct"].value == pytest.approx((found["ewes_lambed_pct"].value or 0) * (found["litter_born"].value or 0))


def test_the_ages_of_one_flock_keep_their_lambs_apart() -> None:
    parts = [rows(age) for age in AGES]
    of = season(**{sheet: [row for part in parts for row in part[sheet]] for sheet in ("ewes", "lambing", "groups")})
    table = next(table for table in loss_tables(of, litter_account(of)) if table.id == "ewe_age")
    per_mated = {item.label: item.loss.denominator / MATED for item in table.classes}
    assert {age.label: pytest.approx(age.printed, abs=0.02) for age in AGES} == per_mated
    assert {age.label: pytest.approx((1 - age.barren) * age.litter) for age in AGES} == per_mated
    assert "ages of ewes for 7,496 of 7,496 live-born lambs" == table.note  # 1,288 + 2,883 + 3,325


def test_losses_chained_over_their_denominators() -> None:
    # USDA NAHMS Sheep 2011: 96.0 % of lambs born alive, 6.3 % of these lost before marking and 4.9 % after; 14.8 % of all born
    # is own arithmetic and takes the 4.9 % as of live-born too. Here 12,500 lambs, the least that come out whole.
    born, alive, before, after = 12500, 12000, 756, 588
    lambs = [
        {"ewe": str(n), "lamb_no": 1, "born": Born.ALIVE if n < alive else Born.DEAD_FRESH,
         "left_how": LambLeft.DIED if n < before + after else None,
         "left_on": LAMBED_ON + timedelta(days=20 if n < before else 60) if n < before + after else None}
        for n in range(born)
    ]
    of = season(
        ewes=[{"ewe": str(n), "scanned": 1, "group": "All"} for n in range(born)],
        lambing=[{"ewe": str(n), "lambed_on": LAMBED_ON} for n in range(born)], lambs=lambs,
        groups=[{"group": "All", "marking": LAMBED_ON + timedelta(days=42), "weaning": LAMBED_ON + timedelta(days=110)}],
    )
    found, stages = figures_of(of), {item.label: item for item in loss_tables(of, litter_account(of))[0].classes}
    assert pytest.approx((4.0, 11.2)) == (found["stillbirth_pct"].value, found["loss_live_born_pct"].value)
    assert pytest.approx((0.063, 0.049)) == (stages["to marking"].loss.value, stages["to weaning"].loss.value)
    assert pytest.approx(100 * (1 - 0.960 * (1 - 0.063 - 0.049))) == found["total_loss_pct"].value
    assert pytest.approx(14.8, abs=0.05) == found["total_loss_pct"].value
    # Of the lambs alive at marking the later loss is a larger share: 588 of 11,244.
    later = stages["to weaning"].of_start
    assert later is not None and (588, 11244) == (later.numerator, later.denominator)
