"""Losses on the side of the ewes, worked out by hand."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import Born, EweLeft, LambLeft, RearedBy, WhyMoved
from template_builder.layout.columns import Row
from workbook.results.litters.ewe_losses import ewe_loss_tables
from workbook.results.litters.losses import LossTable
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def tables(of: Season) -> dict[str, LossTable]:
    return {table.id: table for table in ewe_loss_tables(of)}


def shares(table: LossTable) -> dict[str, tuple[float, int]]:
    return {item.label: (item.loss.numerator, item.loss.denominator) for item in table.classes}


def died(ewe: str, days: int | None, why: str | None = None, **cells: object) -> Row:
    """A ewe that died so many days after 1 April."""
    left = {} if days is None else {"left_on": DAY + timedelta(days=days)}
    return {"ewe": ewe, "left_how": EweLeft.DIED, "left_why": why, **left, **cells}


DEATHS = [
    died("1", -3, "twin-lamb disease", scanned=2),  # never lambed
    died("2", -1, "Twin-lamb disease", scanned=2),  # the day before her lambing is written
    died("3", 0, "hard birth"), died("4", 7), died("5", 8, scanned=1), died("6", None), died("7", 60, "fell", scanned=0),
    {"ewe": "8", "left_how": EweLeft.SOLD, "left_on": DAY}, {"ewe": "9"},
]
LAMBED = [{"ewe": number, "lambed_on": DAY} for number in "234568"]


def test_ewes_that_died_by_stage_of_the_ewes_to_the_ram() -> None:
    of = season(ewes=DEATHS, lambing=LAMBED, groups=[{"group": "Low", "ewes_to_ram": 20}])
    table = tables(of)["ewe_deaths"]
    assert {"before lambing": (2, 20), "at lambing or within 7 days": (2, 20), "later": (1, 20), "scanned empty": (1, 20),
            "not known when": (1, 20)} == shares(table)
    assert ("Ewe deaths by stage, of ewes to the ram", "dates for 6 of 7 dead ewes") == (table.title, table.note)
    assert ["Ewes!R6", "Ewes!R7"] == [str(cell) for cell in table.classes[1].rows]


def test_causes_stand_as_written_and_one_spelling_is_one_cause() -> None:
    table = tables(season(ewes=DEATHS, lambing=LAMBED))["ewe_death_causes"]
    assert {"twin-lamb disease": (2, 9), "hard birth": (1, 9), "fell": (1, 9), "not recorded": (3, 9)} == shares(table)
    assert ("Ewe deaths by cause as written, of ewes in the book", "causes for 4 of 7 dead ewes") == (table.title, table.note)


def lamb(ewe: str, number: int = 1, **cells: object) -> Row:
    return {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **cells}


@pytest.mark.parametrize(("ewe", "lambs", "why"), [
    ({"left_how": EweLeft.DIED, "left_on": DAY}, [lamb("1")], "she died or was lost"),
    ({}, [lamb("1", born=Born.DEAD_FRESH)], "all her lambs born dead"),
    ({}, [lamb("1", left_how=LambLeft.DIED), lamb("1", 2, left_how=LambLeft.MISSING)], "her lambs died or are missing"),
    ({}, [lamb("1", reared_by=RearedBy.PET), lamb("1", 2, left_how=LambLeft.DIED)], "her lambs taken off her"),
    ({}, [], "not recorded"),
])
def test_why_a_ewe_rears_none(ewe: Row, lambs: list[Row], why: str) -> None:
    of = season(ewes=[{"ewe": "1", **ewe}, {"ewe": "2"}], lambing=[{"ewe": number, "lambed_on": DAY} for number in "12"],
                lambs=[*lambs, lamb("2")])
    assert {why: (1, 2)} == shares(tables(of)["rearing_none"])


def test_pet_lambs_by_why_of_all_live_born() -> None:
    of = season(lambs=[
        lamb("1", reared_by=RearedBy.PET, why_moved=WhyMoved.SPARE), lamb("1", 2), lamb("1", 3, reared_by=RearedBy.PET),
        lamb("2", reared_by=RearedBy.PET, why_moved=WhyMoved.SPARE, left_how=LambLeft.DIED), lamb("2", 2, born=Born.DEAD_FRESH),
    ])
    table = tables(of)["pets"]
    assert {"spare of a big litter": (2, 4), "not recorded": (1, 4)} == shares(table)
    assert ("reasons for 2 of 3 pet lambs", True) == (table.note, table.incomplete)


def test_an_empty_season_has_no_class() -> None:
    assert all(not table.classes and not table.note for table in ewe_loss_tables(season()))
