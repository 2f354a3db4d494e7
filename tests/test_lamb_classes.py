"""The classes lambs are counted in: on each limit, and just below it."""

import pytest
from seasons import season

from template_builder.layout.choices import Born
from workbook.comparing.measures import AGES
from workbook.results.litters.lamb_classes import weight_band, years_class


@pytest.mark.parametrize(("kg", "band"), [
    (6.0, "6 kg and over"), (5.9, "5 to under 6 kg"), (5.0, "5 to under 6 kg"), (4.9, "4 to under 5 kg"),
    (4.0, "4 to under 5 kg"), (3.9, "3 to under 4 kg"), (3.0, "3 to under 4 kg"), (2.9, "under 3 kg"), (0.1, "under 3 kg"),
    (-0.1, "not weighed"), (None, "not weighed"),
])
def test_the_birth_weight_band_of_a_lamb(kg: float | None, band: str) -> None:
    lamb, = season(lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, "birth_weight": kg}]).flock.lambs
    assert band == weight_band(lamb)


@pytest.mark.parametrize(("born", "age"), [
    (2019, "6 years and over"), (2020, "6 years and over"), (2021, "3 to 5 years"), (2023, "3 to 5 years"), (2024, "2 years"),
    (2025, "ewe lamb or 1 year"), (2026, "ewe lamb or 1 year"), (2027, "not recorded"), (None, "not recorded"),
])
def test_the_age_class_of_a_ewe(born: int | None, age: str) -> None:
    of = season(ewes=[{"ewe": "A", "born_year": born}], season=[{"row_key": "year", "value": 2026}])
    assert age == years_class(of, of.flock.ewes["a"])


@pytest.mark.parametrize(("born", "figure"), [
    (2026, "loss_age_0"), (2024, "loss_age_2"), (2023, "loss_age_3"), (2020, "loss_age_6"),
])
def test_the_figure_of_an_age_class_is_called_by_the_years_it_begins_at(born: int, figure: str) -> None:
    of = season(ewes=[{"ewe": "A", "born_year": born}], season=[{"row_key": "year", "value": 2026}])
    assert years_class(of, of.flock.ewes["a"]) == AGES[figure]
