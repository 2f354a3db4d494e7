"""The invented season of the demo: the same each run, near published rates, and free of slips where it should be."""

from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from seasons import season

import workbook.rules.checks  # noqa: F401 - fills the registry of rules
from demo_workbooks import simulation
from demo_workbooks.simulation.risks import born_dead_risk, loss_risk
from demo_workbooks.simulation.slip_list import SLIPS
from demo_workbooks.simulation.slips import slips_made
from template_builder.layout.choices import Born, Cause, EweLeft, Help, LambLeft, RearedBy, YesNo
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.sheets import SHEETS
from template_builder.scan.by_ewe import read_scan_list
from template_builder.scan.season_rows import Mating, season_rows
from workbook.rules.rule import REGISTRY, run
from workbook.season.families import Flock
from workbook.season.matching import How
from workbook.season.season import Season

TO_WEANING = date(2026, 6, 27)


@cache
def clean() -> dict[str, list[Row]]:
    return simulation.clean_season()


@cache
def messy() -> dict[str, list[Row]]:
    return simulation.messy_season()


def as_season(rows: dict[str, list[Row]]) -> Season:
    as_of = simulation.settings()["as_of"]
    assert isinstance(as_of, datetime)
    return season(as_of, "season.xlsx", **rows)


@cache
def flock() -> Flock:
    return as_season(clean()).flock


def born_rows() -> list[Row]:
    dead_or_alive = (Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED)
    return [row for row in clean()["lambs"] if row.get("born") in dead_or_alive and "ewe" in row]


def live_rows() -> list[Row]:
    return [row for row in born_rows() if row["born"] is Born.ALIVE]


def share(some: Iterable[object], of: Iterable[object]) -> float:
    return sum(1 for _ in some) / sum(1 for _ in of)


def lambings() -> list[Row]:
    return [row for row in clean()["lambing"] if "lambed_on" in row]


# --- the same each run -----------------------------------------------------------------------------------------------


def test_two_calls_give_the_same() -> None:
    assert simulation.scan_list_csv() == simulation.scan_list_csv()
    assert clean() == simulation.clean_season()
    assert messy() == simulation.messy_season()


def test_rows_given_out_are_not_shared() -> None:
    simulation.clean_season()["ewes"].clear()
    assert 180 == len(simulation.clean_season()["ewes"])


def test_says_that_it_is_invented() -> None:
    assert "invented" in str(simulation.settings()["flock"])
    assert "invented" in simulation.scan_list_csv().splitlines()[0]


# --- the scan list ---------------------------------------------------------------------------------------------------


def test_scan_list_gives_the_ewes(tmp_path: Path) -> None:
    path = tmp_path / "scan-list.csv"
    path.write_text(simulation.scan_list_csv(), encoding="utf-8")
    found = read_scan_list(path)
    assert () == found.unplaced
    expected = {row["ewe"]: row for row in simulation.ewes()}
    columns = ("scanned", "breed", "born_year", "group", "ram", "mated_on", "scanned_on", "official_tag", "condition", "mark",
               "lambings_before", "notes")
    assert expected.keys() == {row.ewe for row in found.rows}
    for row in found.rows:
        assert {column: expected[row.ewe].get(column) for column in columns} == {
            column: getattr(row, column) for column in columns
        }


def test_build_lays_the_same_rows_ready(tmp_path: Path) -> None:
    path = tmp_path / "scan-list.csv"
    path.write_text(simulation.scan_list_csv(), encoding="utf-8")
    assert season_rows(read_scan_list(path).rows, Mating())["ewes"] == lay_ready(simulation.ewes())["ewes"]


def test_issued_cells_are_those_laid_ready() -> None:
    laid = lay_ready(simulation.ewes())
    for sheet in (sheet for sheet in SHEETS if sheet.id in laid):
        issued = [*(column.id for column in sheet.issued), "row_key"]
        assert laid[sheet.id]
        for before, after in zip(laid[sheet.id], clean()[sheet.id], strict=False):
            assert [before.get(column) for column in issued] == [after.get(column) for column in issued]


def test_leading_zeros_are_there() -> None:
    assert "0412" in {row["ewe"] for row in simulation.ewes()}


# --- near published rates --------------------------------------------------------------------------------------------


def test_litters_are_mostly_twins_with_all_sizes_from_none_to_six() -> None:
    scans = Counter(row.get("scanned") for row in simulation.ewes())
    assert {None, 0, 1, 2, 3, 4, 5, 6} == set(scans)
    assert 2 == scans.most_common(1)[0][0]
    assert 4 <= scans[0] <= 6
    # About 8, 15 and 25 % of litters are triplets at a mean of 1.8, 2.0 and 2.2: Keady's figures, by the farming press.
    in_lamb = [row for row in simulation.ewes() if row.get("scanned")]
    assert 0.08 <= share((row for row in in_lamb if row["scanned"] >= 3), in_lamb) <= 0.25  # type: ignore[operator]


def test_born_dead_is_within_what_is_published() -> None:
    # 0.7 to 6 % of lambs: veterinary pathology review.
    assert 0.007 <= share((row for row in born_rows() if row["born"] is not Born.ALIVE), born_rows()) <= 0.06


def test_losses_of_live_born_are_within_what_is_published() -> None:
    # Around the 13.8 % of 1,822 live-born lambs in Griffiths and others 2019, NZ Vet J; flocks range from 5 to 20 %.
    lost = [row for row in live_rows() if row.get("left_how") in (LambLeft.DIED, LambLeft.MISSING)]
    assert 0.05 <= share(lost, live_rows()) <= 0.20


def test_losses_fall_mostly_in_the_first_days() -> None:
    # 37 of 57 deaths of live-born lambs fell in the first week: Shiels and others, as told on a Teagasc page. Of the some
    # thirty here the share may be 15 % either way by chance.
    lost = [lamb for lamb in flock().lambs if lamb.left_how in (LambLeft.DIED, LambLeft.MISSING) and lamb.bearer]
    days = [(lamb.left_on, flock().ewes[lamb.bearer or ""].lambed_on) for lamb in lost]
    ages = [(left - born).days for left, born in days if left and born]
    assert len(lost) == len(ages)
    assert 37 / 57 - 0.15 <= share((age for age in ages if age <= 7), ages) <= 37 / 57 + 0.15


def test_light_and_heavy_lambs_run_the_greater_risk() -> None:
    # Best weights of twins and triplets are 93 and 78 % of a single's: Hanrahan and Keady 2013, Proc BSAS.
    for litter, best in ((1, 5.5), (2, 5.5 * 0.93), (3, 5.5 * 0.78)):
        for shares in ((1, 0.8, 0.6), (1, 1.2, 1.4)):
            lost = [loss_risk(best * share, litter, hard=False, young_dam=False) for share in shares]
            born_dead = [born_dead_risk(best * share, litter, hard=False) for share in shares]
            assert sorted(lost) == lost
            assert sorted(born_dead) == born_dead


def test_light_lambs_are_lost_more_often() -> None:
    born = {ewe.name: len(ewe.lambs) for ewe in flock().ewes.values()}
    best = {1: 5.5, 2: 5.5 * 0.93}
    weighed = [(float(row["birth_weight"]) / best.get(born[str(row["ewe"])], 5.5 * 0.78), row.get("left_how"))  # type: ignore[arg-type]
               for row in live_rows() if "birth_weight" in row]
    light, usual = ([how for of_best, how in weighed if (of_best < 0.8) is small] for small in (True, False))
    died = [share((how for how in some if how is LambLeft.DIED), some) for some in (light, usual)]
    assert died[0] > died[1]


def test_causes_not_known_are_no_more_than_post_mortems_leave() -> None:
    # 19 to 28 % stayed without a cause in post-mortem series, by summary; farms know less, so twice that at most.
    dead = [row for row in live_rows() if row.get("left_how") is LambLeft.DIED]
    assert all("cause" in row for row in dead)
    assert 0 < share((row for row in dead if row["cause"] is Cause.NOT_KNOWN), dead) <= 0.5


def test_share_of_ewes_helped() -> None:
    # 5 to 25 % in commercial flocks: from memory.
    helped = [row for row in lambings() if row.get("help") not in (None, Help.NONE)]
    assert 0.05 <= share(helped, lambings()) <= 0.25


def test_one_ewe_aborted_and_few_died() -> None:
    aborted = {row["ewe"] for row in clean()["lambs"] if row.get("born") is Born.ABORTED}
    died = [row for row in clean()["ewes"] if row.get("left_how") is EweLeft.DIED]
    assert 1 == len(aborted)
    assert 2 <= len(died) <= 4
    assert any(flock().ewes[str(row["ewe"])].lambed_on is None for row in died)


def test_prolapse_is_rare() -> None:
    # 406 in 36,695 ewes: Jackson and others 2014, NZ Vet J. One or two of 180 is within its range between farms, 0 to 5.9 %.
    assert 1 <= sum("prolapse" in row and row["prolapse"].label != "none" for row in lambings()) <= 2  # type: ignore[union-attr]


def test_all_well_is_used_for_most_lambings() -> None:
    assert share((row for row in lambings() if row.get("all_well") is YesNo.YES), lambings()) > 0.5


def test_set_on_pets_bought_and_untagged_lambs_are_there() -> None:
    reared = Counter(row.get("reared_by") for row in clean()["lambs"])
    assert reared[RearedBy.FOSTER_EWE] >= 5
    assert reared[RearedBy.PET] >= 5
    assert 2 == sum("ewe" not in row for row in clean()["lambs"])
    assert any("-" in str(row["animal"]) for row in clean()["weights"])


# --- free of slips ---------------------------------------------------------------------------------------------------


def test_every_check_is_quiet() -> None:
    problems, skipped = run(as_season(clean()), REGISTRY.values())
    assert [] == [str(problem) for problem in problems]
    assert [] == skipped


def test_every_number_resolves() -> None:
    assert () == flock().unmatched
    assert [] == [ewe.name for ewe in flock().ewes.values() if ewe.record is None]
    written = [(row, column) for sheet in ("lambing", "lambs", "ewe_check") for row in as_season(clean()).rows(sheet)
               for column in ("ewe", "foster_ewe") if row.has(column) and row.text(column)]
    assert {How.SAME} == {flock().names.match(row.text(column) or "").how for row, column in written}


def test_columns_and_groups_exist() -> None:
    columns = {sheet.id: {column.id for column in sheet.columns} | {"row_key"} for sheet in SHEETS}
    for sheets in (clean(), messy()):
        assert columns.keys() == sheets.keys()
        for sheet, rows in sheets.items():
            assert set() == {column for row in rows for column in row} - columns[sheet]
    named = {row["group"] for row in simulation.groups()}
    assert named == {row["group"] for row in clean()["ewes"]} == {row["group"] for row in clean()["counts"]}


def test_tags_and_lamb_numbers_are_unique() -> None:
    tags = Counter(row["tag"] for row in clean()["lambs"] if "tag" in row)
    numbers = Counter((row["ewe"], row["lamb_no"]) for row in clean()["lambs"] if "ewe" in row)
    assert {1} == set(tags.values()) == set(numbers.values())


def test_litters_are_as_scanned() -> None:
    for ewe in flock().ewes.values():
        if ewe.scanned is not None and ewe.lambs:
            assert ewe.scanned == len(ewe.lambs), ewe.name


def test_lambing_days_follow_mating() -> None:
    for ewe in flock().ewes.values():
        if ewe.lambed_on and ewe.record and (mated := ewe.record.day("mated_on")):
            assert 138 <= (ewe.lambed_on - mated).days <= 160


def test_larger_litters_come_earlier() -> None:
    # Singles 149.8 days, triplets and more 146.7: a study of 1,291 hair sheep.
    days: dict[bool, list[int]] = {True: [], False: []}
    for ewe in flock().ewes.values():
        if ewe.lambed_on and ewe.record and (mated := ewe.record.day("mated_on")) and len(ewe.lambs) != 2:
            days[len(ewe.lambs) == 1].append((ewe.lambed_on - mated).days)
    assert sum(days[True]) / len(days[True]) > sum(days[False]) / len(days[False])


def test_foster_ewes_can_rear() -> None:
    for lamb in flock().lambs:
        foster, moved = lamb.record.text("foster_ewe"), lamb.record.day("moved_on")
        assert (lamb.reared_by is RearedBy.FOSTER_EWE) == (foster is not None)
        if foster:
            ewe = flock().ewes[foster]
            assert lamb.bearer != foster
            assert not ewe.aborted and not ewe.gone
            assert ewe.lambed_on and moved and timedelta(0) <= moved - ewe.lambed_on <= timedelta(days=2)


def test_no_ewe_rears_more_than_she_should() -> None:
    at_weaning = Counter(lamb.rearer for lamb in flock().lambs
                         if lamb.rearer and lamb.born is Born.ALIVE and (lamb.left_on is None or lamb.left_on > TO_WEANING))
    assert {1, 2, 3} == set(at_weaning.values())


def test_lambs_of_a_dead_ewe_are_moved() -> None:
    dead = [ewe for ewe in flock().ewes.values() if ewe.gone and ewe.born_alive]
    assert dead
    for ewe in dead:
        assert all(lamb.rearer != ewe.key for lamb in ewe.born_alive if lamb.left_on is None)


def test_counts_of_ewes_meet_the_book() -> None:
    for count in clean()["counts"]:
        there = [row for row in clean()["ewes"] if row["group"] == count["group"]
                 and ("left_on" not in row or row["left_on"] > count["date"])]  # type: ignore[operator]
        assert count["ewes"] == len(there)


def test_growth_is_believable() -> None:
    # 250 to 300 g a day for lowland twins: from memory.
    rates = []
    for lamb in flock().lambs:
        day = flock().ewes[lamb.bearer].lambed_on if lamb.bearer else None
        for weighing in lamb.weights:
            if day and lamb.birth_weight and (kg := weighing.number("kg")) and (on := weighing.day("date")):
                rates.append((kg - lamb.birth_weight) * 1000 / (on - day).days)
    assert 230 <= sum(rates) / len(rates) <= 300
    assert 100 < min(rates) and max(rates) < 450


def test_nothing_lies_ahead() -> None:
    as_of = simulation.settings()["as_of"]
    assert isinstance(as_of, datetime)
    for sheet, rows in clean().items():
        days = [value for row in rows for value in row.values() if isinstance(value, date) and not isinstance(value, datetime)]
        assert all(day <= as_of.date() for day in days), sheet


def test_treatments_say_their_withdrawal() -> None:
    assert all("withdrawal" in row for row in clean()["treatments"])


def test_no_lamb_or_ewe_went_for_meat_under_withdrawal() -> None:
    worms = next(row for row in clean()["treatments"] if row["product"] == "worm drench")
    end = worms["date"] + timedelta(days=worms["withdrawal"])  # type: ignore[operator,arg-type]
    sold = [row["left_on"] for row in clean()["lambs"] if row.get("left_how") is LambLeft.SOLD and row["left_on"] > TO_WEANING]  # type: ignore[operator]
    assert sold and all(day > end for day in sold)  # type: ignore[operator]


# --- the season with slips -------------------------------------------------------------------------------------------


def test_slips_are_many_and_each_changes_something() -> None:
    made = slips_made(clean())
    assert 35 <= len(made) == len(SLIPS) <= 100
    for slip in made:
        rows, row = messy()[slip.slip.sheet], messy()[slip.slip.sheet][slip.row]
        assert slip.row < len(rows)
        assert {column: value for column, value in slip.written.items() if value is not None}.items() <= row.items()
        if not slip.slip.added:
            assert row != clean()[slip.slip.sheet][slip.row], slip.slip.what


def test_all_else_is_as_in_the_clean_season() -> None:
    touched = {(made.slip.sheet, made.row) for made in slips_made(clean())}
    for sheet, rows in clean().items():
        for at, row in enumerate(rows):
            assert (sheet, at) in touched or row == messy()[sheet][at]


@pytest.mark.parametrize("slug", [
    "lamb-tag-twice", "lamb-number-twice", "lambing-twice", "ewe-unknown", "foster-ewe-unknown", "foster-ewe-is-own-ewe",
    "number-short-of-zeros", "lambing-outside-gestation", "litter-differs-from-scan", "empty-ewe-lambed",
    "birth-weight-unlikely", "event-after-ewe-left", "event-after-lamb-left", "born-blank", "helped-without-help",
    "cause-without-death", "group-unknown", "withdrawal-blank", "event-before-birth", "finished-before-start", "date-ahead",
    "weighed-animal-unknown", "set-on-to-aborted-ewe",
])
def test_a_slip_is_found(slug: str) -> None:
    problems, _ = run(as_season(messy()), REGISTRY.values())
    assert slug in {problem.rule.slug for problem in problems}
