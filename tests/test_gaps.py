"""Gaps in lambs, worked out by hand and again from the rows."""

import random
import re
from collections.abc import Sequence
from datetime import date

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season
from statsmodels.stats.proportion import proportion_confint

from template_builder.layout.choices import Born, Cause, EweLeft, LambLeft, Stage
from template_builder.layout.columns import Row
from workbook.results.litters.account import litter_account
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.gaps import Gap, gaps
from workbook.results.litters.losses import loss_tables
from workbook.results.statistics.proportions import FEW, widened_wilson
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def found(of: Season) -> dict[str, Gap]:
    account = litter_account(of)
    return {gap.id: gap for gap in gaps(of, account, figures(of, account, stage_of(of, account)), loss_tables(of, account))}


Litter = tuple[int, int, int]
"""Lambs born alive, of these lost, and born dead."""


def flock(litters: Sequence[Litter], empty: int = 0, to_ram: int | None = None, **set_to: float) -> Season:
    """A season of litters, each as scanned, with empty ewes that were sold; `set_to` are settings."""
    ewes: list[Row] = [{"ewe": f"E{n}", "scanned": alive + dead} for n, (alive, _, dead) in enumerate(litters)]
    ewes += [{"ewe": f"X{n}", "scanned": 0, "left_how": EweLeft.SOLD} for n in range(empty)]
    return season(
        ewes=ewes, lambing=[{"ewe": f"E{n}", "lambed_on": DAY} for n in range(len(litters))],
        lambs=[row for n, litter in enumerate(litters) for row in lambs(f"E{n}", *litter)],
        groups=[{"group": "Low", "ewes_to_ram": to_ram}] if to_ram else [],
        season=[{"row_key": id, "value": value} for id, value in set_to.items()],
    )


def lambs(ewe: str, alive: int, lost: int, dead: int) -> list[Row]:
    return [
        {"ewe": ewe, "lamb_no": n, "born": Born.ALIVE if n <= alive else Born.DEAD_FRESH,
         "left_how": LambLeft.DIED if n <= lost else None, "cause": Cause.SCOUR if n == 1 and n <= lost else None}
        for n in range(1, alive + dead + 1)
    ]


# 100 ewes: 20 triplets, 60 twins, 20 singles, 200 lambs. Lost 15 of 60, 12 of 119 and 1 of 20 live-born; one twin born dead.
LITTERS = [(3, 3, 0)] * 5 + [(3, 0, 0)] * 15 + [(2, 2, 0)] * 6 + [(2, 0, 0)] * 53 + [(1, 0, 1)] + [(1, 1, 0)] + [(1, 0, 0)] * 19


def test_triplets_held_against_last_season() -> None:
    gap = found(flock(LITTERS, last_loss_triplets=12))["triplets"]
    # 15 - 12 % of 60 = 7.8
    assert (pytest.approx(7.8), 60, "last season", "may be chance; causes for 5 of 15 dead") == (
        gap.lambs, gap.of, gap.against, gap.note)
    assert ("If the loss of live-born triplets or more had been as last season (12 %), 8 more lambs: 15 of 60 were lost "
            "(25.0 %).") == gap.words


# 15 of 60 triplets lost, in five litters of twenty: as sure as 5 of 20, by the score interval 11.2 to 46.9 %. Of all 200
# lambs 29 lost or born dead, nearly all with their litter: 60.0 squared lambs off where strangers give 24.8, and 8.5 to 23.7 %.
@pytest.mark.parametrize(("setting", "id", "value", "chance"), [
    ("last_loss_triplets", "triplets", 11.1, False), ("last_loss_triplets", "triplets", 11.3, True),
    ("target_loss", "total_loss_pct", 8.4, False), ("target_loss", "total_loss_pct", 8.6, True),
])
def test_a_figure_within_the_interval_of_what_was_counted_may_be_chance(
    setting: str, id: str, value: float, chance: bool,
) -> None:
    assert chance == found(flock(LITTERS, **{setting: value}))[id].note.startswith("may be chance; causes for")


def test_the_end_of_the_interval_may_still_be_chance() -> None:
    end = 100 * (proportion_confint(5, 20, method="wilson")[0])  # five litters of twenty
    low = widened_wilson(15, 60, 3.0).low or 0
    assert pytest.approx(end) == 100 * low
    for value, chance in ((100 * low - 1e-9, False), (100 * low, True), (100 * low + 1e-9, True)):
        assert chance == ("may be chance" in found(flock(LITTERS, last_loss_triplets=value))["triplets"].note)


def test_the_own_target_goes_before_last_season() -> None:
    gap = found(flock(LITTERS, last_loss_triplets=12, target_loss_triplets=5))["triplets"]
    assert (pytest.approx(12), "own target", 5) == (gap.lambs, gap.against, gap.reference)
    assert "had met the farm's own target (5 %), 12 more lambs" in gap.words


def test_every_figure_of_the_flock_that_can_be_held_against_one() -> None:
    of = flock(LITTERS, empty=10, to_ram=120, target_loss=10, target_reared=150, target_empty=4, last_stillborn=0)
    assert "reared_pct" not in found(of)
    weaned = {"date": date(2026, 8, 10), "stage": Stage.WEANING, "lambs": 171}
    of = season(**{sheet: [row.values for row in rows] for sheet, rows in of.records.items() if rows}, counts=[weaned])
    gaps_found = found(of)
    assert ["empty_pct", "reared_pct", "total_loss_pct", "stillbirth_pct"] == [id for id in gaps_found if id.endswith("_pct")]
    # Reared 200 - 1 - 28 = 171 of 120 ewes to the ram; 150 per 100 would be 180.
    assert (pytest.approx(9), 120) == (gaps_found["reared_pct"].lambs, gaps_found["reared_pct"].of)
    # Lost 29 of 200; 10 % would be 20.
    assert (pytest.approx(9), 200) == (gaps_found["total_loss_pct"].lambs, gaps_found["total_loss_pct"].of)
    # 10 of 110 empty; 4 % would be 4.4; the others were scanned with 200 lambs in 100 ewes.
    assert (pytest.approx(11.2), "scan for 110 of 110 ewes") == (gaps_found["empty_pct"].lambs, gaps_found["empty_pct"].note)
    assert gaps_found["empty_pct"].words == (
        "If the share of empty ewes had met the farm's own target (4 %), 11 more lambs scanned: 10 of 110 ewes were scanned "
        "empty (9.1 %), the others carried 2.00 each.")


def test_a_cause_written_as_not_known_is_no_cause() -> None:
    of = flock(LITTERS, last_loss_triplets=12)
    rows = {sheet: [row.values for row in found] for sheet, found in of.records.items() if found}
    first, *others = (n for n, row in enumerate(rows["lambs"]) if row.get("cause"))
    told = [{**row, "cause": Cause.NOT_KNOWN} if n in others else row for n, row in enumerate(rows["lambs"])]
    assert "may be chance; causes for 1 of 15 dead" == found(season(**{**rows, "lambs": told}))["triplets"].note


def test_one_lamb_is_one_lamb() -> None:
    gap = found(flock(LITTERS, last_stillborn=0))["stillbirth_pct"]
    assert (1.0, "If the share born dead had been as last season (0 %), 1 more lamb: 1 of 200 lambs were born dead (0.5 %).") == (
        gap.lambs, gap.words)


def test_without_any_figure_classes_of_the_flock_are_held_against_each_other_and_it_is_said() -> None:
    gaps_found = found(flock([(3, 1, 0)] * 18 + [(3, 0, 0)] * 2 + [(2, 1, 0)] * 6 + [(2, 0, 0)] * 54))
    assert {"within the flock"} == {gap.against for gap in gaps_found.values()}
    gap = gaps_found["triplets_v_twins"]
    assert pytest.approx(18 - 60 * 6 / 120) == gap.lambs
    assert gap.words == ("Within the flock: if triplets or more had been lost like twins (5.0 %), 15 more lambs: 18 of 60 were "
                         "lost (30.0 %).")


def test_classes_that_may_differ_by_chance_are_not_held_against_each_other() -> None:
    # 15 of 60 triplets and 12 of 119 twins, but litters lived or died whole: five litters of triplets against six of twins.
    assert {} == found(flock(LITTERS))


@pytest.mark.parametrize(("first", "later", "shown"), [(10, 2, True), (2, 10, False), (6, 2, False)])
def test_first_lambings_are_held_against_later_ones_never_the_other_way_round(first: int, later: int, shown: bool) -> None:
    of = flock([(1, 1, 0)] * first + [(1, 0, 0)] * (20 - first) + [(1, 1, 0)] * later + [(1, 0, 0)] * (20 - later))
    ewes = [{"ewe": f"E{n}", "scanned": 1, "lambings_before": 0 if n < 20 else 3} for n in range(40)]
    both = season(ewes=ewes, **{sheet: [row.values for row in of.rows(sheet)] for sheet in ("lambing", "lambs")})
    assert shown == ("first_lambing_v_later" in found(both))


def test_triplets_with_a_figure_of_their_own_are_not_held_against_twins() -> None:
    assert "triplets_v_twins" not in found(flock(LITTERS, last_loss_triplets=24))


def test_no_gap_of_less_than_a_lamb_and_none_where_the_season_did_better() -> None:
    gaps_found = found(flock(LITTERS, last_loss_triplets=24, last_loss_twins=50, last_loss=99))
    assert set() == {"triplets", "twins", "total_loss_pct"} & gaps_found.keys()


def test_ewes_still_to_lamb_leave_lambs_reared_out_and_losses_so_far() -> None:
    of = season(
        ewes=[*({"ewe": str(n), "scanned": 2} for n in range(10)), {"ewe": "late", "scanned": 1, "due": date(2026, 8, 30)}],
        lambing=[{"ewe": str(n), "lambed_on": DAY} for n in range(10)],
        lambs=[row for n in range(10) for row in lambs(str(n), 2, 1, 0)], groups=[{"group": "Low", "ewes_to_ram": 20}],
        season=[{"row_key": "target_loss", "value": 10}, {"row_key": "target_reared", "value": 150}],
    )
    gaps_found = found(of)
    assert "reared_pct" not in gaps_found
    assert ("so far only; causes for 10 of 10 dead", 20) == (gaps_found["total_loss_pct"].note, gaps_found["total_loss_pct"].of)


def test_blank_births_are_said_where_the_born_dead_are_held_against_a_figure() -> None:
    rows: list[Row] = [{"ewe": "1", "lamb_no": 1, "birth_weight": 4.0}, {"ewe": "1", "lamb_no": 2, "born": Born.DEAD_FRESH}]
    rows += [{"ewe": str(n), "lamb_no": 1, "born": Born.ALIVE} for n in range(2, 10)]
    of = season(ewes=[{"ewe": "1", "scanned": 2}], lambs=rows, season=[{"row_key": "last_stillborn", "value": 0}])
    assert "born alive or dead not written for 1 lamb, counted as alive" == found(of)["stillbirth_pct"].note


def test_an_empty_season_has_no_gap() -> None:
    assert {} == found(season())
    assert {} == found(season(season=[{"row_key": "target_loss", "value": 1}, {"row_key": "target_empty", "value": 1}]))


percents = st.integers(0, 30).map(float)
litter = st.tuples(st.integers(0, 4), st.integers(0, 4), st.integers(0, 2)).filter(lambda litter: litter[0] + litter[2] > 0)
some_litters = st.lists(litter, min_size=1, max_size=30)


@settings(max_examples=examples(80), deadline=None)
@given(some_litters, st.integers(0, 8), percents, percents, percents, percents)
def test_gaps_are_the_differences_counted_anew_from_the_litters(
    litters: list[Litter], empty: int, total: float, triplets: float, dead: float, none: float,
) -> None:
    litters = [(alive, min(alive, lost), born_dead) for alive, lost, born_dead in litters]
    of = flock(litters, empty, target_loss=total, last_loss_triplets=triplets, last_stillborn=dead, target_empty=none)
    lambs_born = sum(alive + born_dead for alive, _, born_dead in litters)
    lost, stillborn = sum(lost for _, lost, _ in litters), sum(born_dead for *_, born_dead in litters)
    large = [litter for litter in litters if litter[0] + litter[2] >= 3]
    expected = {
        "total_loss_pct": lost + stillborn - total / 100 * lambs_born,
        "stillbirth_pct": stillborn - dead / 100 * lambs_born,
        "empty_pct": (empty - none / 100 * (len(litters) + empty)) * lambs_born / len(litters),
        "triplets": sum(lost for _, lost, _ in large) - triplets / 100 * sum(alive for alive, _, _ in large),
    }
    shown = found(of)
    assert 5 >= len(shown)
    assert sorted((gap.lambs for gap in shown.values()), reverse=True) == [gap.lambs for gap in shown.values()]
    for id, gap in shown.items():
        if id in expected:
            assert pytest.approx(expected[id]) == gap.lambs
            said = re.search(r"(\d+) more lambs?\b", gap.words)
            assert said and abs(int(said[1]) - expected[id]) <= 0.5 + 1e-9
    of_each = {"total_loss_pct": lambs_born, "stillbirth_pct": lambs_born, "empty_pct": len(litters) + empty,
               "triplets": sum(alive for alive, _, _ in large)}
    assert not [id for id in shown if of_each.get(id, FEW) < FEW]
    missing = [lambs for id, lambs in expected.items() if lambs >= 1.001 and of_each[id] >= FEW and id not in shown]
    assert not missing or len(shown) == 5 and max(missing) <= min(gap.lambs for gap in shown.values())


@settings(max_examples=examples(40), deadline=None)
@given(some_litters, st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_no_gap(litters: list[Litter], dice: random.Random) -> None:
    litters = [(alive, min(alive, lost), born_dead) for alive, lost, born_dead in litters]
    of = flock(litters, 3, target_loss=5, target_empty=1)
    mixed = season(**{sheet: [row.values for row in dice.sample(rows, len(rows))] for sheet, rows in of.records.items()})
    assert found(of) == found(mixed)
