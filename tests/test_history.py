"""Earlier seasons as the history columns of Ewes tell them: which of her last lambings count, and last year's warning."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import Born, LambLeft, Sex, Verdict, Weighed
from template_builder.layout.columns import NOT_KNOWN, Row
from template_builder.layout.warning import last_years_warning
from workbook.results.advice.decisions import decisions
from workbook.results.advice.evidence import evidence
from workbook.results.advice.poor import poor_lambing, share_of_like_ewes
from workbook.results.scores.rearing import rearing
from workbook.season.history import earlier_faults
from workbook.season.season import Season


def faults(**cells: object) -> int:
    records = season(ewes=[{"ewe": "A", **cells}])  # type: ignore[dict-item]
    return earlier_faults(records.flock.ewes["a"])


@pytest.mark.parametrize(("cells", "expected"), [
    ({}, 0),
    ({"past_fault_1": 1}, 1),
    ({"past_fault_1": 0, "past_fault_2": 1}, 1),
    ({"past_fault_1": 1, "past_fault_2": 1}, 2),
    ({"past_fault_1": 0, "past_fault_2": 0, "past_fault_3": 1}, 0),  # with this lambing it would be the fourth
    ({"past_fault_1": NOT_KNOWN, "past_fault_2": 1}, 1),
    ({"past_fault_1": 0, "past_faults": 2}, 0),  # in which stands before in how many
    ({"past_faults": 1}, 1), ({"past_refused": 1}, 1), ({"past_lost": 2}, 2), ({"past_faults": 3}, 2), ({"past_faults": -1}, 0),
], ids=str)
def test_the_last_two_lambings_before_this_one_count(cells: Row, expected: int) -> None:
    assert expected == faults(**cells)


@pytest.mark.parametrize(("before", "first_of_two", "in_how_many"), [(0, 0, 0), (1, 0, 0), (2, 0, 1), (3, 1, 1)])
def test_a_fault_at_her_first_lambing_does_not_count(before: int, first_of_two: int, in_how_many: int) -> None:
    # Told in which: the lambing before the last had the fault. Told in how many: it is put on another where there is one.
    assert first_of_two == faults(lambings_before=before, past_fault_1=0, past_fault_2=1)
    assert in_how_many == faults(lambings_before=before, past_faults=1)


def test_the_last_lambing_is_her_first_only_where_there_was_no_other() -> None:
    assert (0, 1) == tuple(faults(lambings_before=before, past_fault_1=1) for before in (1, 2))


@pytest.mark.parametrize(("row", "words"), [
    ({}, ""),
    ({"past_warning": "large teats", "past_prolapse": "vaginal 2025"}, "large teats"),
    ({"past_prolapse": "vaginal 2025", "past_udder": "lump 2024"}, "prolapse vaginal 2025, udder lump 2024"),
    ({"past_abortion": "2025", "past_refused": 1, "past_fault_1": 1}, "aborted 2025, refused lambs before"),
    ({"past_fault_1": 1}, "a fault before"), ({"past_fault_1": 0}, ""), ({"past_fault_3": 1}, "a fault before"),
    ({"past_faults": 1}, "a fault before"), ({"past_faults": NOT_KNOWN}, ""),
], ids=str)
def test_last_years_warning_is_one_line(row: Row, words: str) -> None:
    assert words == last_years_warning(row)


# A ewe poor in two of her last three lambings, though no fault may be written.


def of_three(lost: bool | None, **cells: object) -> float | None:
    """The number of poor lambings of a ewe whose one lamb died, lived, or of whose lambing nothing is written (None)."""
    lambs: list[Row] = [] if lost is None else [{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE,
                                                 "left_how": LambLeft.DIED if lost else None}]
    records = season(ewes=[{"ewe": "A", **cells}], lambs=lambs)  # type: ignore[dict-item]
    return evidence(records, records.flock.ewes["a"])["poor_lambings"].value


@pytest.mark.parametrize(("lost", "cells", "expected"), [
    (None, {}, None), (False, {}, 0), (True, {}, 1),
    (True, {"past_poor_1": 1}, 2), (True, {"past_poor_1": 0, "past_poor_2": 1}, 2),
    (True, {"past_poor_1": 1, "past_poor_2": 1}, 3), (False, {"past_poor_1": 1, "past_poor_2": 1}, 2),
    (True, {"past_poor_1": 0, "past_poor_2": 0, "past_poor_3": 1}, 1),  # the fourth lambing back
    (None, {"past_poor_1": 0, "past_poor_2": 1, "past_poor_3": 1}, 2),  # she did not lamb: the last three are these
    (True, {"past_poor_1": 1, "lambings_before": 1}, 1), (True, {"past_poor_1": 1, "lambings_before": 2}, 2),
    (True, {"past_poor_1": 0, "lambings_before": 0}, 0),  # this one is her first
], ids=str)
def test_poor_lambings_of_her_last_three(lost: bool | None, cells: dict[str, object], expected: float | None) -> None:
    assert expected == of_three(lost, **cells)


# Twenty ewes with a single each of one age; the litter of the first is so much lighter than like ewes'.
KG = 30.0


def one_light(kg: float) -> Season:
    born = date(2026, 3, 1)
    names = [f"E{number:02}" for number in range(20)]
    return season(
        ewes=[{"ewe": name, "past_poor_1": 1} for name in names],
        lambing=[{"ewe": name, "lambed_on": born} for name in names],
        lambs=[{"ewe": name, "lamb_no": 1, "born": Born.ALIVE, "sex": Sex.EWE, "birth_weight": 0.5} for name in names],
        weights=[{"animal": f"{name}-1", "date": born + timedelta(90), "kg": kg if name == "E00" else KG,
                  "occasion": Weighed.WEANING} for name in names])


def share(kg: float) -> float | None:
    return share_of_like_ewes(rearing(one_light(kg)), "e00")


def test_a_litter_is_held_against_those_of_like_ewes_as_a_share_of_theirs() -> None:
    mean = (19 * KG + 24.0) / 20  # like ewes are all that are compared, she among them
    assert pytest.approx((24.0 - mean) / mean) == share(24.0)


@pytest.mark.parametrize(("off", "poor"), [(0.01, False), (0.0, True), (-0.01, True)])
def test_a_litter_a_third_under_like_ewes_is_poor(off: float, poor: bool) -> None:
    third = 19 * KG / 29  # x of which x = 2/3 (19 KG + x) / 20
    records = one_light(third + off)
    ewe = records.flock.ewes["e00"]
    assert (poor, "33 % under" in poor_lambing(records, ewe).words) == (poor_lambing(records, ewe).poor, poor)
    decided = decisions(records, "weaned")
    assert (Verdict.WATCH if poor else Verdict.KEEP, Verdict.KEEP) == (decided["e00"].verdict, decided["e01"].verdict)


def test_she_stands_out_with_reasons_and_cells_though_no_fault_is_written() -> None:
    (reason,) = decisions(one_light(15.0), "weaned")["e00"].reasons
    assert "Poor in two of her last three lambings: this season litter 49 % under like ewes, one earlier" == reason.text
    assert {"Weights", "Lambing", "Lambs", "Ewes"} >= {cell.sheet for cell in reason.cells} >= {"Weights", "Ewes"}
