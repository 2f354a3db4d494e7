"""Counts of one occasion set off against each other: strays are named and are no loss."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from seasons import season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.layout.choices import LambLeft, Stage
from template_builder.layout.columns import Row
from workbook.results.litters.account import imbalances, litter_account
from workbook.results.litters.occasions import strays
from workbook.rules.rule import REGISTRY, run
from workbook.season.season import Season

BORN, COUNTED = date(2026, 4, 1), date(2026, 6, 27)


def flock(book: dict[str, int], counts: Sequence[Row], **rows: list[Row]) -> Season:
    """So many singles in each group, known by number."""
    ewes = [(f"{group}{number}", group) for group, lambs in book.items() for number in range(lambs)]
    return season(
        ewes=[{"ewe": ewe, "group": group, "scanned": 1} for ewe, group in ewes],
        lambing=[{"ewe": ewe, "lambed_on": BORN, "born_alive": 1} for ewe, _ in ewes], counts=counts, **rows)


def count(group: str | None, lambs: int, days: int = 0, stage: Stage | None = Stage.WEANING) -> Row:
    return {"group": group, "lambs": lambs, "date": COUNTED + timedelta(days=days), "stage": stage}


def said(of: Season) -> list[str]:
    return [stray.words for stray in strays(of)]


def test_two_groups_that_come_to_the_book_together_have_lost_none() -> None:
    of = flock({"Brow": 169, "Mead": 96}, [count("Brow", 159), count("Mead", 106)])
    account = litter_account(of)
    assert (0, 265) == (account.total("short"), account.total("present"))
    assert ["10 lambs likely strayed from Brow to Mead"] == said(of)
    assert ("10 fewer than the book: 169 lambs expected in group Brow, 159 counted; 10 lambs likely strayed from Brow to Mead"
            ) == account.counts[0].words
    assert [(-10, -10), (10, 10)] == [(check.difference, check.strayed) for check in account.counts]
    assert 265 == account.total("present_seen")
    problems, _ = run(of, [REGISTRY[rule] for rule in ("B102", "B103", "B114")])
    assert ["B114"] == [problem.rule.id for problem in problems]


@pytest.mark.parametrize("days", [6, 7, -6, -7])
def test_counts_within_a_week_are_one_occasion(days: int) -> None:
    of = flock({"Brow": 12, "Mead": 8}, [count("Brow", 10), count("Mead", 10, days)])
    assert (0, ["2 lambs likely strayed from Brow to Mead"]) == (litter_account(of).total("short"), said(of))


@pytest.mark.parametrize("days", [8, -8])
def test_counts_further_apart_are_not(days: int) -> None:
    of = flock({"Brow": 12, "Mead": 8}, [count("Brow", 10), count("Mead", 10, days)])
    assert (2, []) == (litter_account(of).total("short"), said(of))


def test_a_week_runs_from_the_first_count() -> None:
    of = flock({"Brow": 12, "Low": 5, "Mead": 8}, [count("Low", 5), count("Brow", 10, 5), count("Mead", 10, 8)])
    assert 2 == litter_account(of).total("short")


@pytest.mark.parametrize(("brow", "low", "mead", "short", "words"), [
    (6, 10, 4, 0, ["4 lambs likely strayed from Brow to Mead"]),
    (5, 10, 4, 1, ["4 lambs likely strayed from Brow to Mead"]),
    (6, 10, 5, 0, ["4 lambs likely strayed from Brow to Mead"]),  # one more than the book stays an error
    (6, 8, 2, 4, ["2 lambs likely strayed from Low to Mead"]),  # as many before more
    (6, 7, 5, 2, ["4 lambs likely strayed from Brow to Mead", "1 lamb likely strayed from Low to Mead"]),
    (10, 10, 3, 0, []), (6, 10, 0, 4, []),
])
def test_what_is_set_off(brow: int, low: int, mead: int, short: int, words: list[str]) -> None:
    of = flock({"Brow": 10, "Low": 10, "Mead": 0}, [count("Brow", brow), count("Low", low), count("Mead", mead)],
               groups=[{"group": "Mead"}])
    assert (short, words) == (litter_account(of).total("short"), said(of))
    assert [] == imbalances(litter_account(of))
    over, _ = run(of, [REGISTRY["B102"]])
    assert bool(over) is (mead > 20 - brow - low)


def test_a_recount_stands_and_a_count_at_another_stage_is_another_occasion() -> None:
    again = flock({"Brow": 10, "Mead": 5}, [count("Brow", 7), count("Mead", 7), count("Brow", 8, 1)])
    assert (0, ["2 lambs likely strayed from Brow to Mead"]) == (litter_account(again).total("short"), said(again))
    other = flock({"Brow": 10, "Mead": 5}, [
        count("Brow", 8, 0, Stage.MARKING), count("Mead", 7, 0, Stage.MARKING), count("Brow", 10, 3), count("Mead", 5, 3)])
    assert (0, ["2 lambs likely strayed from Brow to Mead"]) == (litter_account(other).total("short"), said(other))


def test_lambs_written_as_missing_have_not_strayed() -> None:
    gone = [{"ewe": f"Brow{number}", "lamb_no": 1, "left_how": LambLeft.MISSING, "left_on": COUNTED + timedelta(days=2)}
            for number in range(2)]
    of = flock({"Brow": 10, "Mead": 5}, [count("Brow", 7), count("Mead", 7)], lambs=gone)
    assert (["1 lamb likely strayed from Brow to Mead"], 0) == (said(of), litter_account(of).total("short"))


def test_a_count_of_the_whole_flock_is_set_off_against_none() -> None:
    of = flock({"Brow": 10, "Mead": 5}, [count(None, 13), count("Mead", 7)])
    assert [] == said(of)
