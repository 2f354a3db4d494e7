"""Conditions that matter in few seasons: each case is one in which a single word of the condition decides what comes out."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from seasons import season

from template_builder.forecast.lambing_days import Spread
from template_builder.layout.choices import (
    Born,
    CameFrom,
    EweLeft,
    HowRecorded,
    LambingTrouble,
    LambLeft,
    RearedBy,
    Sex,
    Stage,
    Weighed,
)
from template_builder.layout.columns import Row
from template_builder.layout.settings import SETTINGS, Setting
from workbook.merging.seasons import merge
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.clinical.hers import at_side_on
from workbook.results.flock.ages_now import ages_now
from workbook.results.litters.account import litter_account
from workbook.results.litters.ewe_facts import EWE_FACTS
from workbook.results.litters.ewe_losses import ewe_loss_tables
from workbook.results.litters.figure import Figure
from workbook.results.litters.figures import WEANED as WEANED_BY_NOW
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.group_account import GroupAccount, Standing, Step, group_accounts, unbalanced
from workbook.results.litters.group_figures import with_groups
from workbook.results.litters.known import resting_on, standardised
from workbook.results.litters.life_table import life_table
from workbook.results.litters.scanning import aborted_as_scanned
from workbook.results.litters.to_ram import too_many
from workbook.results.scores.across import share_of_ewe
from workbook.results.scores.comparing import compare
from workbook.results.scores.litter_weight import litter_weights
from workbook.results.scores.standing import LOWER, MIDDLE, third
from workbook.results.statistics.least_squares import Estimate
from workbook.results.statistics.proportions import widened_wilson
from workbook.results.statistics.shrinking import shrunk
from workbook.rules.checks.balance import lambs_without_lambing
from workbook.rules.checks.season_dates import _a_year_later as a_year_later
from workbook.rules.checks.units import weights_in_other_unit
from workbook.season.cells import CellRef
from workbook.season.groups import Groups
from workbook.season.season import Season

LAMBED = date(2026, 4, 1)
WEANED = date(2026, 7, 10)


def figure(of: Season, id: str) -> Figure:
    book = litter_account(of)
    return next(found for found in figures(of, book, stage_of(of, book), groups=group_accounts(of)) if found.id == id)


def lamb(ewe: str, number: int | None = 1, born: Born = Born.ALIVE, **cells: object) -> Row:
    return {"ewe": ewe, "lamb_no": number, "born": born, **cells}  # type: ignore[dict-item]


def lambed(*ewes: str) -> list[Row]:
    return [{"ewe": ewe, "lambed_on": LAMBED} for ewe in ewes]


# Weaning


def test_a_litter_that_nobody_weighed_has_no_weight_rather_than_none_at_all() -> None:
    of = season(ewes=[{"ewe": "A"}], lambing=lambed("A"), lambs=[lamb("A")], counts=[
        {"date": WEANED, "group": "", "stage": Stage.WEANING, "lambs": 1}])
    assert figure(of, "litter_weight").value is None


@pytest.mark.parametrize(("hours", "weaned"), [(-24, False), (0, False), (24, True)])
def test_a_flock_is_weaned_when_the_day_is_over(hours: int, weaned: bool) -> None:
    as_of = datetime.combine(WEANED, datetime.min.time()) + timedelta(hours=hours)
    of = season(as_of, groups=[{"group": "Low", "weaning": WEANED}], ewes=[{"ewe": "A", "group": "Low"}], lambing=lambed("A"),
                lambs=[lamb("A")])
    assert weaned is (stage_of(of, litter_account(of)) == WEANED_BY_NOW)


def test_only_the_lamb_whose_weight_has_something_to_be_said_of_it_is_spoken_of() -> None:
    weights: list[Row] = [{"animal": f"A-{n}", "date": LAMBED + timedelta(days=90), "kg": 30.0, "occasion": Weighed.WEANING}
                          for n in (1, 2)]
    of = season(ewes=[{"ewe": "A"}], lambing=lambed("A"), weights=weights, lambs=[
        lamb("A", 1, sex=Sex.EWE, birth_weight=4.0), lamb("A", 2, sex=Sex.EWE)])
    said = litter_weights(of)["a"].words
    assert said and not said.startswith(";")


# Lambs and their places


def test_an_aborted_lamb_is_none_of_those_born() -> None:
    of = season(ewes=[{"ewe": ewe, "scanned": 2, "group": "Low"} for ewe in "AB"], groups=[{"group": "Low", "ewes_to_ram": 2}],
                lambing=lambed("A", "B"), lambs=[lamb("A"), lamb("A", 2), lamb("B"), lamb("B", 2, Born.ABORTED)])
    assert (3, 3) == (figure(of, "lambing_pct").known, figure(of, "lambing_pct").of)


def test_a_lamb_sold_is_sold_from_its_own_group() -> None:
    groups: list[Row] = [{"group": name, "ewes_to_ram": 1, "marking": LAMBED + timedelta(days=40)} for name in ("Low", "Hill")]
    of = season(groups=groups, ewes=[{"ewe": "A", "group": "Low", "scanned": 1}, {"ewe": "B", "group": "Hill", "scanned": 1}],
                lambing=lambed("A", "B"), lambs=[
                    lamb("A"), lamb("B", left_on=LAMBED + timedelta(days=9), left_how=LambLeft.SOLD)],
                counts=[{"date": LAMBED + timedelta(days=40), "group": name, "stage": Stage.MARKING, "lambs": lambs}
                        for name, lambs in (("Low", 1), ("Hill", 0))])
    assert {"Low": 0, "Hill": 1} == {found.group: found.lines["sold_to_marking"] for found in group_accounts(of)}


def test_a_death_dated_ahead_takes_no_more_than_there_were() -> None:
    of = season(datetime(2026, 4, 20, 12), groups=[{"group": "Low", "marking": date(2026, 5, 10), "weaning": WEANED}],
                ewes=[{"ewe": ewe, "group": "Low"} for ewe in "AB"], lambing=lambed("A", "B"),
                lambs=[lamb("A"), lamb("B", left_on=date(2026, 6, 1), left_how=LambLeft.DIED)])
    assert all((stage.at_risk or 0) >= stage.lost for stage in life_table(of))
    assert 1 == sum(stage.lost for stage in life_table(of))


# Ewes


def test_a_ewe_that_aborted_after_an_empty_scan_is_in_lamb_all_the_same() -> None:
    aborted = [lamb(ewe, born=Born.ABORTED) for ewe in "ABC"]
    of = season(ewes=[{"ewe": ewe, "scanned": scan} for ewe, scan in zip("ABC", (2, 1, 0), strict=True)], lambs=aborted)
    assert (2, 1) == aborted_as_scanned(of)
    _, holds = EWE_FACTS["ewe_aborted"]
    assert {"A": True, "B": True, "C": False} == {ewe.name: holds(ewe, Groups.of(of)) for ewe in of.flock.ewes.values()}


@pytest.mark.parametrize(("stated", "asked"), [(2, True), (None, False)])
def test_a_ewe_of_no_group_may_be_of_the_one_without_a_number(stated: int | None, asked: bool) -> None:
    groups: list[Row] = [{"group": "Low", "ewes_to_ram": 2}, {"group": "Hill", "ewes_to_ram": stated}]
    of = season(groups=groups, lambing=lambed("A", "B", "C", "D", "E"),
                ewes=[{"ewe": ewe, "group": "Low" if ewe in "AB" else None} for ewe in "ABCDE"])
    assert asked is bool(list(too_many(of)))


@pytest.mark.parametrize("word", [LambingTrouble.NARROW, LambingTrouble.NO_MILK])
def test_one_word_of_trouble_is_told_once(word: LambingTrouble) -> None:
    of = season(ewes=[{"ewe": "A"}], lambing=[{"ewe": "A", "lambed_on": LAMBED, "trouble": word}], lambs=[lamb("A")])
    assert 1 == season_in_words(of.flock.ewes["a"]).lower().count(word.label)


def test_a_share_below_nothing_on_policy_is_nothing() -> None:
    of = season(policy=[{"row_key": "repeatability", "limit": -0.3}])
    assert -0.3 == of.policy.weights["repeatability"]
    assert 0.0 == share_of_ewe(of, {}).value


# Groups by count


def test_a_figure_of_lambs_alone_stays_without_a_group_by_count() -> None:
    of = season(groups=[{"group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 20, "tally_ewes": 20,
                         "tally_1": 20}])
    figure = Figure("scanning_pct_scanned", "Scanned", 150.0, "%", 3, None, "Lambs.")
    (with_book,) = with_groups([figure], group_accounts(of), has_book=True)
    assert "Without Heft (known by counts only)." == with_book.without


# What is compared


def test_of_an_even_number_two_alike_on_the_line_between_thirds_stand_in_the_middle() -> None:
    scores = [1.0, 2.0, 3.0, 4.0, 4.0, *(float(number) for number in range(5, 12))]
    assert 12 == len(scores)
    assert (LOWER, MIDDLE, MIDDLE) == (third(3.0, scores), third(4.0, scores), third(5.0, scores))


@pytest.mark.parametrize(("ages", "allowed"), [([90.0] * 12, False), ([90.0] * 11 + [91.0], True)])
def test_what_is_the_same_for_all_is_not_allowed_for(ages: list[float], allowed: bool) -> None:
    values = {str(number): 30.0 + number % 3 for number in range(12)}
    found = compare(values, {}, "lambs", {"age": dict(zip(values, ages, strict=True))})
    assert allowed is ("allowing for age" in next(iter(found.against.values())).words)


@pytest.mark.parametrize("setting", [found for found in SETTINGS if found.least], ids=lambda found: found.id)
def test_a_setting_below_its_least_takes_its_default(setting: Setting) -> None:
    assert Spread.of({}) == Spread.of({setting.id: (setting.least or 0) / 2})


# Rows and their hidden keys


def test_an_interval_of_a_stage_is_as_wide_as_whole_litters_deserve() -> None:
    """Ten twin litters, two lost whole: 4 of 20 lambs, the design effect worked out by hand from the litters."""
    ewes = "ABCDEFGHIJ"
    of = season(ewes=[{"ewe": ewe} for ewe in ewes], lambing=lambed(*ewes), lambs=[
        lamb(ewe, number, **({"left_on": LAMBED, "left_how": LambLeft.DIED} if ewe in "AB" else {}))
        for ewe in ewes for number in (1, 2)])
    squares = 2 * (2 - 0.2 * 2) ** 2 + 8 * (0.2 * 2) ** 2
    effect = squares * 10 / 9 / (20 * 0.2 * 0.8)
    first = life_table(of)[0]
    assert (4, 20) == (first.lost, first.at_risk)
    assert widened_wilson(4, 20, effect) == first.of_at_risk == first.of_live_born


def test_a_figure_without_numerator_rests_on_nothing_that_could_be_known() -> None:
    kappa = Figure("scan_kappa", "Kappa", 0.9, "", None, None, "")
    assert (kappa,) == resting_on([kappa], {})


def test_who_recorded_a_lambing_is_not_forgotten_for_a_second_row_without_a_name() -> None:
    ewe: Row = {"ewe": "A1"}
    rows = {"lambing": [{**ewe, "recorded_by": "AB"}, {**ewe, "notes": "twice"}], "lambs": [lamb("A1", sex=Sex.EWE)]}
    other = {"lambing": [{**ewe, "recorded_by": "AB"}], "lambs": [lamb("A1", sex=Sex.RAM)]}
    found = merge([season(file=name, **of) for name, of in (("day.xlsx", rows), ("night.xlsx", other))])
    (conflict,) = [one for one in found.conflicts if one.heading == "Sex"]
    assert {"day.xlsx Lambs!C4, by AB", "night.xlsx Lambs!C4, by AB"} == {claim.source for claim in conflict.claims}


# Of groups of which one does not say how many ewes went to the ram

HALF_STATED: list[Row] = [{"group": "A", "ewes_to_ram": 10}, {"group": "B"}]


def test_deaths_of_ewes_are_counted_over_those_to_the_ram_only_where_every_group_says_how_many() -> None:
    ewes: list[Row] = [{"ewe": "1", "group": "A", "left_how": EweLeft.DIED}, {"ewe": "2", "group": "B"}]
    for groups, of in ((HALF_STATED[:1], 10), (HALF_STATED, 2)):
        tables = {table.id: table for table in ewe_loss_tables(season(groups=groups, ewes=ewes[:len(groups)]))}
        assert {of} == {one.loss.denominator for one in tables["ewe_deaths"].classes}


def test_a_bought_lamb_is_none_of_those_the_ewes_to_the_ram_bore() -> None:
    bought: Row = {"born": Born.ALIVE, "came_from": CameFrom.BOUGHT_IN, "foster_ewe": "1", "reared_by": RearedBy.FOSTER_EWE}
    of = season(groups=HALF_STATED, ewes=[{"ewe": "1", "group": "A"}], lambing=lambed("1"), lambs=[lamb("1"), bought])
    assert [False, True] == [one.bought for one in of.flock.lambs]
    found = figure(of, "lambing_pct")
    assert (1, True) == (found.numerator, found.above is not None)


def test_while_ewes_are_to_lamb_lambs_of_every_group_are_counted_per_ewe_lambed() -> None:
    ewes: list[Row] = [{"ewe": "1", "group": "A"}, {"ewe": "2", "group": "B"}, {"ewe": "3", "group": "A", "scanned": 2}]
    of = season(groups=HALF_STATED, ewes=ewes, lambing=lambed("1", "2"), lambs=[lamb("1"), lamb("2")])
    assert (2, 2) == (figure(of, "lambing_pct").numerator, figure(of, "lambing_pct").denominator)


def test_a_figure_that_the_book_cannot_give_is_not_given_of_groups_by_count_alone() -> None:
    by_count: Row = {"group": "C", "ewes_to_ram": 20, "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 20, "tally_2": 20}
    for groups, given in (([HALF_STATED[1], by_count], False), ([HALF_STATED[0], by_count], True)):
        name = groups[0]["group"]
        of = season(groups=groups, ewes=[{"ewe": "1", "group": name, "scanned": 2}], lambing=lambed("1"),
                    lambs=[lamb("1")])
        found = figure(of, "scanning_pct_ram")
        assert given is (found.value is not None), found
        assert given is not ("Without C (known by counts only)." in found.definition)


# What is summed where nothing was weighed, counted or lost


def test_where_nothing_was_weighed_there_is_no_weight_per_ewe() -> None:
    of = season(groups=HALF_STATED[:1], ewes=[{"ewe": "1", "group": "A"}], lambing=lambed("1"), lambs=[lamb("1")])
    assert None is figure(of, "kg_weaned_per_ewe").value
    assert 0.0 == standardised({}, ["ewe"]) == standardised({"ewe": [30.0]}, [])


def test_a_lamb_that_is_not_short_at_a_count_is_reared_whole() -> None:
    of = season(ewes=[{"ewe": "1"}], lambing=lambed("1"), lambs=[lamb("1", 1), lamb("1", 2)])
    assert [2.0] == [age.lambs for age in ages_now(of, {}, {})]


def test_a_step_is_of_lambs_lost_or_more_never_of_both() -> None:
    place = CellRef("season.xlsx", "Counts", 4, 1)
    before, after = Standing("marking", 10, "counted", place), Standing("weaning", 8, "counted", place)
    right, wrong = Step(before, after, lost=2, sold=0, moved=0, more=0), Step(before, after, lost=3, sold=0, moved=0, more=1)
    account = GroupAccount("A", place, "", True, None, (right, wrong), {})
    assert [wrong] == unbalanced(account)
    assert "Nothing counted yet." == replace(account, steps=()).words != account.words


def test_a_lamb_that_left_on_a_day_nobody_wrote_was_at_her_side() -> None:
    of = season(ewes=[{"ewe": "1"}], lambing=lambed("1"), lambs=[lamb("1", 1), lamb("1", 2, left_how=LambLeft.DIED)])
    (ewe,) = of.flock.ewes.values()
    assert 2 == at_side_on(ewe, WEANED)


def test_means_are_drawn_in_by_their_errors() -> None:
    """Worked out by hand: weights of 1/4, apart 12.5, between (12.5 - 1) / (0.5 - 0.25) = 46, kept 46 / (46 + 4)."""
    assert [4.6, -4.6] == pytest.approx(shrunk([Estimate(10, 2), Estimate(0, 2)], 5.0))


# Checks


def test_lambs_without_a_lambing_name_the_other_lambs_and_not_the_first_twice() -> None:
    of = season(ewes=[{"ewe": "1"}], lambs=[lamb("1", 1), lamb("1", 2)])
    (found,) = lambs_without_lambing(of)
    assert ("Lambs!A4", ["Lambs!A5"]) == (str(found.place), [str(cell) for cell in found.also])


def test_a_weighed_lamb_of_no_ewe_is_held_against_no_size_of_litter() -> None:
    of = season(ewes=[{"ewe": "1"}], lambs=[{"lamb_no": 1, "tag": f"7{number:03}", "birth_weight": 9.9} for number in range(9)])
    assert [] == list(weights_in_other_unit(of))


@pytest.mark.parametrize(("day", "offered"), [
    (date(2023, 3, 15), "15 Mar 2024"), (date(2022, 3, 15), ""), (date(2024, 2, 29), ""), (date.max, "")])
def test_the_same_day_a_year_later_is_offered_where_it_is_in_the_season(day: date, offered: str) -> None:
    said = a_year_later(day, lambda later: later.year == 2024)
    assert (f"; did you mean {offered}?" if offered else "") == said
