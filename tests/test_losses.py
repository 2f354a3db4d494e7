"""Loss tables: shares worked out by hand on small flocks."""

from datetime import date, datetime, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    Cause,
    Choice,
    ConfirmedBy,
    Help,
    LambLeft,
    NextDay,
    Presentation,
    RearedBy,
    Taken,
    Vigour,
    YesNo,
)
from template_builder.layout.columns import Row
from workbook.results.litters.account import litter_account
from workbook.results.litters.losses import LossTable, loss_tables
from workbook.results.scores.mothering import mothering_scores
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def tables(of: Season) -> dict[str, LossTable]:
    return {table.id: table for table in loss_tables(of, litter_account(of))}


def shares(table: LossTable) -> dict[str, tuple[float, int]]:
    """Lost and live-born of each class."""
    return {item.label: (item.loss.numerator, item.loss.denominator) for item in table.classes}


def lamb(ewe: str, number: int, age: int | None = None, **cells: object) -> Row:
    """A lamb born alive; with an age it died so many days old."""
    left = {} if age is None else {"left_on": DAY + timedelta(days=age), "left_how": LambLeft.DIED}
    return {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **left, **cells}


def flock(lambs: list[Row], ewe: Row | None = None, lambing: Row | None = None, **rows: list[Row]) -> Season:
    ewes = sorted({str(row["ewe"]) for row in lambs if row.get("ewe")})
    return season(ewes=[{"ewe": key, **(ewe or {})} for key in ewes],
                  lambing=[{"ewe": key, "lambed_on": DAY, **(lambing or {})} for key in ewes], lambs=lambs, **rows)


AGES = [lamb("1", 1, 0), lamb("1", 2, 1), lamb("2", 1, 2), lamb("2", 2, 7), lamb("3", 1, 8), lamb("3", 2),
        lamb("4", 1, left_how=LambLeft.DIED), lamb("4", 2), lamb("5", 1), lamb("5", 2)]


def test_stages_by_age_where_no_stage_has_a_date() -> None:
    table = tables(flock(AGES))["stage"]
    assert {"day of birth or next day": (2, 10), "2 to 7 days": (2, 10), "later": (1, 10), "not known when": (1, 10),
            "all": (6, 10)} == shares(table)
    assert [(2, 10), (2, 8), (1, 6)] == [
        (item.of_start.numerator, item.of_start.denominator) for item in table.classes if item.of_start]
    assert "dates for 5 of 6 lost" == table.note
    assert ["Lambs!Q6", "Lambs!Q7"] == [str(cell) for cell in table.classes[1].rows]


@pytest.mark.parametrize(("column", "first", "second"), [
    ("presentation", Presentation.HEAD_BACK, Presentation.BREECH), ("vigour", Vigour.SLOW, Vigour.WEAK),
])
def test_what_was_written_of_a_birth_splits_the_losses(column: str, first: Choice, second: Choice) -> None:
    lambs = [lamb("1", 1, 3, **{column: second}), lamb("1", 2, **{column: first}), lamb("2", 1, **{column: second}),
             lamb("2", 2, 9)]
    table = tables(flock(lambs))[column]
    assert [(first.label, (0, 1)), (second.label, (1, 2)), ("not recorded", (1, 1))] == list(shares(table).items())
    assert f"{column} for 3 of 4 live-born lambs" == table.note
    assert column not in tables(flock(AGES)), "nobody wrote it"


def test_stages_by_the_dates_of_the_group() -> None:
    dates = {"group": "Hill", "turnout": DAY + timedelta(days=5), "marking": DAY + timedelta(days=40),
             "weaning": DAY + timedelta(days=110)}
    lambs = [lamb("1", 1, 1), lamb("1", 2, 2), lamb("2", 1, 5), lamb("2", 2, 6), lamb("3", 1, 110), lamb("3", 2, 111),
             lamb("4", 1), lamb("4", 2)]
    of = flock(lambs, {"group": "hill"}, groups=[dates])
    assert {"day of birth or next day": (1, 8), "to turnout": (2, 8), "to marking": (1, 8), "to weaning": (1, 8),
            "after weaning": (1, 8), "all": (6, 8)} == shares(tables(of)["stage"])


@pytest.mark.parametrize(("day", "at_risk"), [(39, [8, 8, 6]), (40, [8, 8, 6]), (41, [8, 8, 8]), (None, [8, 8, 8])])
def test_lambs_sold_are_not_at_risk_afterwards(day: int | None, at_risk: list[int]) -> None:
    left = {"left_how": LambLeft.SOLD, "left_on": None if day is None else DAY + timedelta(days=day)}
    lambs = [lamb(str(ewe), number, **(left if ewe == 1 else {})) for ewe in (1, 2, 3, 4) for number in (1, 2)]
    lambs[-1] |= {"left_how": LambLeft.DIED, "left_on": DAY + timedelta(days=60)}
    dates = {"group": "Hill", "marking": DAY + timedelta(days=40), "weaning": DAY + timedelta(days=110)}
    classes = {item.label: item for item in tables(flock(lambs, {"group": "Hill"}, groups=[dates]))["stage"].classes}
    starts = [classes[label].of_start for label in ("day of birth or next day", "to marking", "to weaning")]
    assert at_risk == [start.denominator for start in starts if start]
    assert (1, at_risk[-1]) == (starts[-1] and starts[-1].numerator, starts[-1] and starts[-1].denominator)


def test_her_own_turnout_goes_before_that_of_the_group() -> None:
    of = flock([lamb("1", 1, 4), lamb("1", 2)], {"group": "Hill"}, {"turned_out_on": DAY + timedelta(days=3)},
               groups=[{"group": "Hill", "turnout": DAY + timedelta(days=9), "marking": DAY + timedelta(days=40)}])
    assert (1, 2) == shares(tables(of)["stage"])["to marking"]


@pytest.mark.parametrize(("column", "dated"), [("turnout", True), ("marking", True), ("weaning", True), ("ram_in", False)])
def test_one_date_of_any_group_makes_stages_of_dates(column: str, dated: bool) -> None:
    of = flock(AGES, {"group": "Top"}, groups=[{"group": "Top", column: DAY + timedelta(days=40)}])
    assert dated == (f"to {column}" in shares(tables(of)["stage"])) == ("later" not in shares(tables(of)["stage"]))


def test_her_own_turnout_alone_makes_stages_of_dates() -> None:
    stages = shares(tables(flock([lamb("1", 1, 4), lamb("1", 2)], lambing={"turned_out_on": DAY + timedelta(days=4)}))["stage"])
    assert (1, 2) == stages["to turnout"]


def test_short_at_a_count_is_in_the_stage_in_which_it_went() -> None:
    of = flock(AGES, counts=[{"date": DAY + timedelta(days=60), "lambs": 3}])
    assert ((2, 10), (7, 10)) == (shares(tables(of)["stage"])["later"], shares(tables(of)["stage"])["all"])
    assert "Counts!D4" in map(str, tables(of)["stage"].classes[2].rows)


@pytest.mark.parametrize(("group", "lost"), [("Hill", 2), (None, 0)])
def test_short_in_a_group_is_lost_in_it_and_short_in_the_flock_in_none(group: str | None, lost: int) -> None:
    of = flock([lamb(ewe, number) for ewe in "12" for number in (1, 2)], {"group": "Hill"},
               counts=[{"date": DAY + timedelta(days=60), "group": group, "lambs": 2}])
    found = tables(of)
    assert (lost, 4) == shares(found["group"])["Hill"]
    said = "2 lambs short at the last count are in the tables by stage and by group only"
    assert f"mothers for 4 of 4 live-born lambs; {said}" == found["litter_size"].note
    only_by_stage = "2 lambs short at the last count are in the table by stage only"
    assert (group is None) is (only_by_stage in found["group"].note)


def test_causes_are_of_all_live_born_and_the_note_says_for_how_many() -> None:
    of = flock([
        lamb("1", 1, 0, cause=Cause.STARVED), lamb("1", 2, 3, cause=Cause.STARVED), lamb("2", 1, 3),
        lamb("2", 2, 9, cause=Cause.NOT_KNOWN), lamb("3", 1, 9, left_how=LambLeft.MISSING), lamb("3", 2),
    ])
    table = tables(of)["cause"]
    assert {"starved or chilled": (2, 6), "not known": (1, 6), "not recorded": (1, 6), "missing": (1, 6)} == shares(table)
    assert "causes for 2 of 4 dead" == table.note


def test_birth_weight_bands_begin_at_their_lower_limit_and_not_weighed_is_one() -> None:
    weights = (2.9, 3.0, 3.9, 4.0, 5.5, 6.0, None)
    of = flock([lamb("1", n, 1 if kg in (2.9, None) else None, birth_weight=kg) for n, kg in enumerate(weights, 1)])
    assert {"under 3 kg": (1, 1), "3 to under 4 kg": (0, 2), "4 to under 5 kg": (0, 1), "5 to under 6 kg": (0, 1),
            "6 kg and over": (0, 1), "not weighed": (1, 1)} == shares(tables(of)["birth_weight"])


def test_litter_size_counts_the_dead_too_and_bought_lambs_stand_apart() -> None:
    of = flock([
        lamb("1", 1, 3), {"ewe": "1", "lamb_no": 2, "born": Born.DEAD_FRESH}, lamb("2", 1),
        {"ewe": "2", "lamb_no": 2, "born": Born.MUMMIFIED},
        {"came_from": CameFrom.BOUGHT_IN, "left_how": LambLeft.DIED},
        {"came_from": CameFrom.MOTHER_NOT_KNOWN, "born": Born.ALIVE},
    ])
    assert {"1": (0, 1), "2": (1, 1), "mother not known": (0, 1)} == shares(tables(of)["litter_size"])


@pytest.mark.parametrize(("ewe", "helped", "all_well", "label"), [
    (Help.HARD, None, None, "hard"), (None, YesNo.YES, None, "helped, how not recorded"), (Help.VET, YesNo.YES, None, "vet"),
    (Help.NONE, YesNo.YES, None, "helped, how not recorded"), (Help.LIGHT, YesNo.YES, None, "light"),
    (Help.NONE, None, None, "none"),
    (Help.HARD, YesNo.NO, None, "none"), (None, None, None, "not recorded"), (None, None, YesNo.YES, "none"),
    (Help.LIGHT, None, YesNo.YES, "light"),
])
def test_help_is_that_of_the_lamb_else_of_its_ewe(
    ewe: Help | None, helped: YesNo | None, all_well: YesNo | None, label: str,
) -> None:
    of = flock([lamb("1", 1, 2, helped=helped)], lambing={"help": ewe, "all_well": all_well})
    assert {label: (1, 1)} == shares(tables(of)["help"])


@pytest.mark.parametrize(("cells", "label"), [
    ({"born_year": 2025}, "ewe lamb or 1 year"), ({"born_year": 2024}, "2 years"), ({"born_year": 2023}, "3 to 5 years"),
    ({"born_year": 2021}, "3 to 5 years"), ({"born_year": 2020}, "6 years and over"), ({}, "not recorded"),
    ({"lambings_before": 0}, "first lambing, age not recorded"), ({"born_year": 2030}, "not recorded"),
])
def test_age_of_the_ewe(cells: Row, label: str) -> None:
    assert {label: (0, 1)} == shares(tables(flock([lamb("1", 1)], cells))["ewe_age"])


@pytest.mark.parametrize(("born", "losses", "mothering"), [
    (2024, "ewe lamb or 1 year", "first-time, singles"), (2022, "3 to 5 years", "mature, singles"),
])
def test_losses_and_mothering_take_one_age_where_the_year_is_blank_and_the_moment_is_in_january(
    born: int, losses: str, mothering: str,
) -> None:
    of = season(ewes=[{"ewe": "1", "born_year": born}], as_of=datetime(2026, 1, 15),
                lambs=[lamb("1", 1, taken=Taken.YES)],
                lambing=[{"ewe": "1", "lambed_on": date(2025, 4, 1), "mothering": 5, "sides_in_milk": 2,
                          "next_day": NextDay.ALL_FULL}])
    assert {losses: (0, 1)} == shares(tables(of)["ewe_age"])
    assert f"all 1 ewe; only 1 {mothering}" == mothering_scores(of)["1"].of_class


def test_every_way_of_splitting_has_all_live_born_lambs_and_all_losses() -> None:
    of = flock([*AGES, lamb("6", 1, 4, reared_by=RearedBy.PET), {"came_from": CameFrom.MOTHER_NOT_KNOWN, "born": Born.ALIVE}])
    for table in tables(of).values():
        if table.id not in ("stage", "cause", "confirmed"):
            assert (7, 12) == tuple(map(sum, zip(*shares(table).values(), strict=True))), table.id


def test_groups_and_rams_are_one_class_however_they_are_spelt() -> None:
    ewes = [{"ewe": "1", "group": "hill", "ram": "Texel 1"}, {"ewe": "2", "group": "Hill ", "ram": "texel  1"},
            {"ewe": "3", "group": "low"}, {"ewe": "4", "group": "LOW", "ram": "L2"}]
    lambs = [lamb("1", 1, 3), lamb("2", 1), lamb("3", 1), lamb("4", 1, 5)]
    found = tables(season(ewes=ewes, lambs=lambs, groups=[{"group": "Low"}]))
    # As on Groups where the group stands there, else as first written.
    assert {"hill": (1, 2), "Low": (1, 2)} == shares(found["group"])
    assert {"Texel 1": (1, 2), "L2": (1, 1), "not recorded": (0, 1)} == shares(found["ram"])
    assert ("rams for 3 of 4 live-born lambs", True) == (found["ram"].note, found["ram"].incomplete)
    assert ("groups for 4 of 4 live-born lambs", False) == (found["group"].note, found["group"].incomplete)


def test_who_confirmed_the_cause_of_those_that_have_one() -> None:
    of = flock([
        lamb("1", 1, 0, cause=Cause.STARVED, confirmed_by=ConfirmedBy.VET), lamb("1", 2, 3, cause=Cause.SCOUR),
        lamb("2", 1, 3, cause=Cause.PNEUMONIA, confirmed_by=ConfirmedBy.NOBODY), lamb("2", 2, 9, cause=Cause.NOT_KNOWN),
        lamb("3", 1, 9, confirmed_by=ConfirmedBy.VET), lamb("3", 2),
    ])
    table = tables(of)["confirmed"]
    assert {"nobody": (1, 6), "vet": (1, 6), "not recorded": (1, 6)} == shares(table)
    assert ("causes confirmed for 1 of 3 written down", True) == (table.note, table.incomplete)


def test_who_reared_the_lost_and_the_others() -> None:
    of = flock([lamb("1", 1, 3), lamb("1", 2, reared_by=RearedBy.PET), lamb("2", 1, 9, reared_by=RearedBy.PET),
                lamb("3", 1, reared_by=RearedBy.FOSTER_EWE, foster_ewe="2")])
    assert {"own ewe": (1, 1), "foster ewe": (0, 1), "pet on the bottle": (1, 2)} == shares(tables(of)["reared_by"])


@pytest.mark.parametrize(("id", "note"), [
    ("birth_weight", "birth weights for 1 of 3 live-born lambs"), ("help", "help for 0 of 3 live-born lambs"),
    ("ewe_age", "ages of ewes for 1 of 3 live-born lambs"), ("litter_size", "mothers for 2 of 3 live-born lambs"),
    ("reared_by", ""), ("stage", ""),
])
def test_each_table_says_for_how_many_it_is_known(id: str, note: str) -> None:
    of = season(ewes=[{"ewe": "1", "born_year": 2023}, {"ewe": "2"}], lambing=[{"ewe": "1", "lambed_on": DAY}],
                lambs=[lamb("1", 1, birth_weight=4.0), lamb("2", 1), {"came_from": CameFrom.MOTHER_NOT_KNOWN}])
    table = tables(of)[id]
    assert (note, bool(note)) == (table.note, table.incomplete)


def test_an_empty_season_has_no_losses() -> None:
    assert all(item.loss.value is None for table in tables(season()).values() for item in table.classes)
