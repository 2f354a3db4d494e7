"""What is known of a ewe's age and lambings, and how ages and litters are called."""

import pytest
from seasons import season

from template_builder.layout.columns import Row
from workbook.season.ages import AgeClass, age_class, litter_words


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"lambings_before": 0}, AgeClass.FIRST),
        ({"lambings_before": 1}, AgeClass.MATURE),
        ({"past_lambings": 1}, AgeClass.MATURE),
        ({"born_year": 2025}, AgeClass.FIRST),
        ({"born_year": 2024}, AgeClass.UNKNOWN),
        ({"born_year": 2023}, AgeClass.MATURE),
        ({}, AgeClass.UNKNOWN),
    ],
)
def test_age_class(cells: Row, expected: AgeClass) -> None:
    records = season(ewes=[{"ewe": "A", **cells}])
    assert expected is age_class(records, records.flock.ewes["a"])


@pytest.mark.parametrize(("year", "expected"), [(None, AgeClass.UNKNOWN), (2025, AgeClass.FIRST), (2027, AgeClass.MATURE)])
def test_age_is_counted_in_the_year_of_the_season(year: int | None, expected: AgeClass) -> None:
    records = season(season=[{"row_key": "year", "value": year}], ewes=[{"ewe": "A", "born_year": 2024}])
    assert expected is age_class(records, records.flock.ewes["a"])


def test_age_classes_in_words() -> None:
    assert ["first-time", "mature", "of unknown age"] == [one.words for one in AgeClass]


def test_litter_sizes_in_words() -> None:
    assert ["no lambs recorded", "singles", "twins", "triplets", "litters of 6"] == [litter_words(n) for n in (0, 1, 2, 3, 6)]
