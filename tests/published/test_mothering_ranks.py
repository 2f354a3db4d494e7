"""The mothering score ranks ewes as an independent recomputation does, and what it rests on is what it says it rests on."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from statistics import fmean
from typing import NamedTuple

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from lambs_again import FORMULA, lambs_again
from scipy.stats import kendalltau
from seasons import season

from demo_workbooks import simulation
from template_builder.layout.choices import (
    MOTHERING_LEVELS,
    Belly,
    Born,
    Cause,
    Colostrum,
    ConfirmedBy,
    LambLeft,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Taken,
    Teats,
    Trouble,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import Row, Value
from workbook.results.advice.decisions import decisions
from workbook.results.scores.lamb_model import lamb_model
from workbook.results.scores.litter_weight import litter_weights
from workbook.results.scores.mothering import mothering_scores
from workbook.season.season import Season

GROWTH = "growth"
Rows = Mapping[str, Sequence[Row]]


@cache
def rows() -> Rows:
    return simulation.clean_season()


def as_season(of: Rows) -> Season:
    return season(**of)  # type: ignore[arg-type]  # rows by sheet id


@cache
def as_recorded() -> Season:
    return as_season(rows())


# Ranks.


def test_tau_b_with_ties_of_a_published_example() -> None:
    # Kendall 1970, Rank Correlation Methods, as in the tests of scipy: tau-b 0.85895569. Checks the yardstick used below.
    first, second = [1, 2, 2, 4, 4, 6, 6, 8, 9, 9], [1, 2, 4, 4, 4, 4, 8, 8, 8, 10]
    assert 0.85895569 == pytest.approx(kendalltau(first, second, variant="b").statistic)


WEIGHTS = (25, 25, 15, 20, 15)
Shares = list[float | None]


class Again(NamedTuple):
    score: float
    full: bool


def recomputed() -> dict[str, Again]:
    """The score from the rows alone: no join, no record, no part of the program but litter weights. Default weights."""
    shares, classes = _shares(), _classes()
    found = {}
    for ewe, own in shares.items():
        if sum(most for most, share in zip(WEIGHTS, own, strict=True) if share is not None) >= 60:
            whole = [share if share is not None else _usual(shares, classes, ewe, at) for at, share in enumerate(own)]
            found[ewe] = Again(sum(most * share for most, share in zip(WEIGHTS, whole, strict=True)), None not in own)
    return found


def _usual(shares: Mapping[str, Shares], classes: Mapping[str, tuple[bool, int]], ewe: str, at: int) -> float:
    """The mean of a part over the ewes of her class that have it, over all where these are under ten."""
    known = {key: share for key, own in shares.items() if (share := own[at]) is not None}
    alike = [share for key, share in known.items() if classes[key] == classes[ewe]]
    return fmean(alike if len(alike) >= 10 else known.values())


def _classes() -> dict[str, tuple[bool, int]]:
    """Whether it is her first lambing, and how many lambs she bore."""
    born: dict[str, int] = defaultdict(int)
    for row in rows()["lambs"]:
        if row.get("born") in (Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED) and "ewe" in row:
            born[str(row["ewe"])] += 1
    return {str(row["ewe"]): (row["lambings_before"] == 0, born[str(row["ewe"])]) for row in rows()["ewes"]}


def _shares() -> dict[str, Shares]:
    lambing = {str(row["ewe"]): row for row in rows()["lambing"] if "lambed_on" in row}
    own: dict[str, list[Row]] = defaultdict(list)
    beside: dict[str, list[Row]] = defaultdict(list)
    next_day: dict[str, list[Row]] = defaultdict(list)
    for row in rows()["lambs"]:
        if "ewe" not in row or row.get("born") is not Born.ALIVE:
            continue
        own[str(row["ewe"])].append(row)
        by = row.get("reared_by")
        if by in (None, RearedBy.OWN_EWE) and "foster_ewe" not in row:
            beside[str(row["ewe"])].append(row)
        elif "foster_ewe" in row:
            beside[str(row["foster_ewe"])].append(row)
        if (under := _under_next_day(row, lambing)) is not None:
            next_day[under].append(row)
    growth = _growth()
    found: dict[str, Shares] = {}
    for ewe, row in lambing.items():
        starved = [lamb for lamb in beside[ewe] if _starved(ewe, row, lamb, [*own[ewe], *beside[ewe]])]
        failed = _reared_none_by_fault(own[ewe], beside[ewe], starved)
        found[ewe] = [
            _accepted(row, own[ewe]), _milk(ewe, row, own[ewe]), _full(row, next_day[ewe]),
            0.0 if failed else _alive(beside[ewe], starved), 0.0 if failed else growth.get(ewe),
        ]
    return found


def _under_next_day(lamb: Row, lambing: Mapping[str, Row]) -> str | None:
    ewe = str(lamb["ewe"])
    if lamb.get("reared_by") in (None, RearedBy.OWN_EWE) and "foster_ewe" not in lamb:
        return ewe
    moved, day = lamb.get("moved_on"), lambing[ewe]["lambed_on"]
    if not isinstance(moved, date) or not isinstance(day, date) or (moved - day).days == 1:
        return None
    foster = str(lamb["foster_ewe"]) if "foster_ewe" in lamb else None
    return foster if moved <= day else ewe


def _reared_none_by_fault(own: list[Row], beside: list[Row], starved: list[Row]) -> bool:
    """None of hers lived to weaning, and one starved though she could feed it, or was taken from her for a fault of hers."""
    faults = (WhyMoved.REFUSED, WhyMoved.NO_MILK, WhyMoved.MASTITIS)
    taken = any(lamb.get("why_moved") in faults for lamb in own)
    return bool(own) and all(_dead(lamb) for lamb in beside) and (taken or bool(starved))


def _dead(lamb: Row) -> bool:
    return lamb.get("left_how") in (LambLeft.DIED, LambLeft.MISSING)


def _starved(ewe: str, row: Row, lamb: Row, lambs: list[Row]) -> bool:
    """Starved, as somebody made sure, with both sides in milk when last looked at and no third lamb at her side that day."""
    sure = lamb.get("confirmed_by") not in (None, ConfirmedBy.NOBODY)
    looks = [check["sides_in_milk"] for check in rows()["ewe_check"] if check["ewe"] == ewe and "sides_in_milk" in check]
    sides = [*looks[-1:], row.get("sides_next_day"), row.get("sides_in_milk"), 2 if row.get("all_well") is YesNo.YES else None]
    milk = next((side for side in sides if side is not None), None) == 2 and row.get("colostrum") is not Colostrum.NONE
    there = {id(one) for one in lambs if all(one.get(day) is None or one[day] >= lamb["left_on"]  # type: ignore[operator]
                                             for day in ("left_on", "moved_on") if "left_on" in lamb)}
    return lamb.get("left_how") is LambLeft.DIED and lamb.get("cause") is Cause.STARVED and sure and milk and len(there) <= 2


def _accepted(row: Row, lambs: list[Row]) -> float | None:
    worth = {Taken.YES: 1.0, Taken.SLOWLY: 0.5, Taken.REFUSED: 0.0}
    well = row.get("all_well") is YesNo.YES
    taken = []
    for lamb in lambs:
        moved = lamb.get("why_moved")
        how = Taken.REFUSED if moved is WhyMoved.REFUSED else lamb.get("taken", Taken.YES if well else None)
        if how is not None and (moved in (None, WhyMoved.REFUSED) or "foster_ewe" not in lamb):
            taken.append(worth[how])  # type: ignore[index]
    level = row.get("mothering")
    return _mean([None if not isinstance(level, int) else (level - 1) / 4, fmean(taken) if taken else None])


def _milk(ewe: str, row: Row, lambs: list[Row]) -> float | None:
    well = row.get("all_well") is YesNo.YES
    sides = [row.get("sides_in_milk", 2 if well else None), row.get("sides_next_day")]
    teats = {Teats.SOUND: 1.0, Teats.LARGE: 0.5, Teats.SMALL: 0.5, Teats.BLOCKED: 0.0, Teats.DAMAGED: 0.0}
    colostrum = {Colostrum.PLENTY: 1.0, Colostrum.LITTLE: 0.5, Colostrum.NONE: 0.0}
    moved = [0.0 for lamb in lambs if lamb.get("why_moved") is WhyMoved.NO_MILK]
    return _mean([
        *moved, *[0.0] * _mastitis(ewe, lambs), *(side / 2 if isinstance(side, int) else None for side in sides),
        teats.get(row.get("teats", Teats.SOUND if well else None)), colostrum.get(row.get("colostrum")),  # type: ignore[call-overload]
    ])


def _mastitis(ewe: str, lambs: list[Row]) -> int:
    """How often she was ill: days written, those within a fortnight of one another as one."""
    seen = [row["date"] for row in rows()["ewe_check"] if row.get("ewe") == ewe and row.get("trouble") is Trouble.MASTITIS]
    seen += [row["date"] for row in rows()["treatments"] if row.get("animal") == ewe and row.get("reason") is Reason.MASTITIS]
    seen += [lamb["moved_on"] for lamb in lambs if lamb.get("why_moved") is WhyMoved.MASTITIS]
    days = sorted(day for day in seen if isinstance(day, date))
    return sum(at == 0 or (day - days[at - 1]).days > 14 for at, day in enumerate(days))


def _full(row: Row, lambs: list[Row]) -> float | None:
    look = {NextDay.ALL_FULL: 1.0, NextDay.ONE_HOLLOW: 0.5, NextDay.HELPED: 0.5}
    bellies = [1.0 if lamb["belly"] is Belly.FULL else 0.0 for lamb in lambs if isinstance(lamb.get("belly"), Belly)]
    return _mean([look.get(row.get("next_day")), fmean(bellies) if bellies else None])  # type: ignore[call-overload]


def _alive(lambs: list[Row], starved: list[Row]) -> float | None:
    lost = len(starved)
    kept = sum(lamb.get("left_how") in (None, LambLeft.SOLD) for lamb in lambs)
    return kept / (kept + lost) if kept + lost else None


def _mean(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return fmean(known) if known else None


def _growth() -> dict[str, float]:
    """Residuals of lambs by statsmodels summed over a litter, in spreads of litters as large, from two below to two above."""
    lambs = lambs_again(rows())
    left = dict(zip(lambs["row"], smf.ols(FORMULA, data=lambs).fit().resid, strict=True))
    # Bought orphans have no age: how those stand is taken as it is.
    left |= {row: one.against.deviation for row, one in lamb_model(as_recorded()).lambs.items() if not one.adjusted}
    litters = [(as_recorded().flock.ewes[key].name, litter.rows) for key, litter in litter_weights(as_recorded()).items()
               if len(litter.rows) == litter.reared and all(row in left for row in litter.rows)]
    sums = pd.DataFrame([(ewe, len(own), sum(left[row] for row in own)) for ewe, own in litters], columns=["ewe", "size", "kg"])
    spreads = sums.groupby("size")["kg"].transform(lambda kgs: np.sqrt((kgs**2).sum() / (len(kgs) - 1)))
    return {ewe: float(min(max((z + 2) / 4, 0), 1)) for ewe, z in zip(sums["ewe"], sums["kg"] / spreads, strict=True)}


def test_scores_rank_the_demo_flock_as_an_independent_recomputation_does() -> None:
    again = recomputed()
    scored = {as_recorded().flock.ewes[key].name: found for key, found in mothering_scores(as_recorded()).items()
              if found.score is not None}
    assert scored.keys() == again.keys() and len(scored) > 150
    expected = {ewe: one.score for ewe, one in again.items()}
    assert expected == pytest.approx({ewe: one.score for ewe, one in scored.items()}, abs=1e-5)
    places = [scored[ewe].place for ewe in scored]
    best_last = [again[ewe].score + 1000 * again[ewe].full for ewe in scored]
    assert -1.0 == pytest.approx(kendalltau(places, best_last, variant="b").statistic, abs=1e-3)


def test_words_are_a_third_each_of_every_class_but_for_ewes_alike() -> None:
    """By class of the demo flock with ten or more: the words above the cut are those of the best third."""
    again, classes = recomputed(), _classes()
    words = {as_recorded().flock.ewes[key].name: found.word for key, found in mothering_scores(as_recorded()).items()}
    by_class: dict[tuple[bool, int], list[str]] = defaultdict(list)
    for ewe in again:
        by_class[classes[ewe]].append(ewe)
    large = [ewes for ewes in by_class.values() if len(ewes) >= 10]
    assert len(large) >= 4
    for ewes in large:
        scores = [round(again[ewe].score, 5) for ewe in ewes]
        alike = max(map(scores.count, scores))
        for word, best in (("upper third", True), ("lower third", False)):
            named = [ewe for ewe in ewes if words[ewe] == word or (words[ewe] == "poor" and not best)]
            assert abs(len(named) - len(ewes) / 3) <= alike / 2
            ends = sorted((again[ewe].score for ewe in ewes), reverse=best)[: len(named)]
            assert sorted(again[ewe].score for ewe in named) == pytest.approx(sorted(ends))


# Direction.


def test_acceptance_runs_as_the_published_scale_does() -> None:
    # O'Connor and others 1985, Proc NZ Soc Anim Prod 45: one to five, high is good, one leaves and does not come back.
    assert (1, "Leaves and does not come back") == (MOTHERING_LEVELS[0][0], MOTHERING_LEVELS[0][2])
    points = []
    for level, _, _ in MOTHERING_LEVELS:
        found = mothering_scores(season(lambing=[{"ewe": "A", "mothering": level, "born_alive": 1}]))["a"]
        points.append(next(part.points for part in found.parts if part.id == "acceptance"))
    assert [0.0, 6.25, 12.5, 18.75, 25.0] == points


# One changed cell.

CHANGES: list[tuple[str, str, Value]] = [
    ("lambing", "mothering", 1), ("lambing", "sides_in_milk", 0), ("lambing", "teats", Teats.BLOCKED),
    ("lambing", "prolapse", Prolapse.VAGINAL), ("lambing", "next_day", NextDay.ONE_HOLLOW), ("lambs", "taken", Taken.REFUSED),
    ("lambs", "belly", Belly.HOLLOW), ("lambs", "birth_weight", 2.5), ("ewes", "past_faults", 2), ("ewes", "scanned", 0),
    ("ewe_check", "trouble", None), ("weights", "kg", 12.0),
]


def concerned(row: Row) -> set[str]:
    """The ewes a row speaks of; a weighing speaks of the ewe that rears the lamb, a change of birth weight too."""
    flock = as_recorded().flock
    found = {str(row[column]).casefold() for column in ("ewe", "foster_ewe") if column in row}
    if "animal" in row:
        lamb = flock.lamb_called(str(row["animal"]))
        found |= {key for key in (lamb.bearer, lamb.rearer) if key} if lamb else {str(row["animal"]).casefold()}
    return found


def what_rests_on_it(of: Season) -> dict[str, tuple[object, ...]]:
    """For each ewe her decision, and the recorded parts of her score but growth, which stands against all others."""
    decided, scores = decisions(of, "weaned"), mothering_scores(of)
    return {key: (decided.get(key), [part for part in scores[key].parts if part.recorded and part.id != GROWTH]
                  if key in scores else None) for key in of.flock.ewes}


@cache
def before() -> dict[str, tuple[object, ...]]:
    return what_rests_on_it(as_recorded())


@settings(max_examples=examples(25), deadline=None)
@given(st.data(), st.sampled_from(CHANGES))
def test_one_changed_cell_changes_only_the_ewes_it_speaks_of(data: st.DataObject, change: tuple[str, str, Value]) -> None:
    sheet, column, value = change
    number = data.draw(st.integers(0, len(rows()[sheet]) - 1))
    old = rows()[sheet][number]
    changed = [*rows()[sheet][:number], {**old, column: value}, *rows()[sheet][number + 1 :]]
    after = what_rests_on_it(as_season({**rows(), sheet: changed}))
    assert {key for key in before() if before()[key] != after[key]} <= concerned(old)


@settings(max_examples=examples(15), deadline=None)
@given(st.data())
def test_one_changed_weight_changes_only_the_litter_it_is_part_of(data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(rows()["weights"]) - 1))
    old = rows()["weights"][number]
    changed = [*rows()["weights"][:number], {**old, "kg": 12.0}, *rows()["weights"][number + 1 :]]
    earlier, later = litter_weights(as_recorded()), litter_weights(as_season({**rows(), "weights": changed}))
    assert {key for key in earlier if earlier[key].kg != later[key].kg} <= concerned(old)


def test_the_cells_changed_above_do_matter() -> None:
    lambing = [dict(row) for row in rows()["lambing"]]
    ewe = str(next(row for row in lambing if row.get("all_well") is YesNo.YES)["ewe"])
    changed = [{**row, "prolapse": Prolapse.VAGINAL} if row["ewe"] == ewe else row for row in lambing]
    after = what_rests_on_it(as_season({**rows(), "lambing": changed}))
    assert {ewe.casefold()} == {key for key in before() if before()[key] != after[key]}
    key, litter = next((key, one) for key, one in litter_weights(as_recorded()).items() if one.kg is not None)
    weighings = [row.row for row in as_recorded().rows("weights") if row.at("kg") in litter.cells]
    light = [{**row, "kg": 12.0} if at in weighings else row for at, row in enumerate(rows()["weights"], start=4)]
    later = litter_weights(as_season({**rows(), "weights": light}))
    assert {key} == {key for key, one in litter_weights(as_recorded()).items() if one.kg != later[key].kg}
