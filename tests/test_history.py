"""Earlier seasons as the history columns of Ewes tell them: which of her last lambings count, and last year's warning."""

import pytest
from seasons import season

from template_builder.layout.columns import NOT_KNOWN, Row
from template_builder.layout.warning import last_years_warning
from workbook.season.history import earlier_faults


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
