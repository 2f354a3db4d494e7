"""Accounts of groups: worked by hand, and balanced whatever was counted; the flock's figures with groups known by counts."""

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from dumps import dump
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook
from seasons import season

import workbook.rules.checks  # noqa: F401 - importing it declares the rules
from template_builder.build import Plan, build
from template_builder.layout.choices import Born, CameFrom, HowRecorded, LambLeft, RearedBy, Sex, Stage, Weighed
from template_builder.layout.columns import Row, Start
from workbook.cli import main
from workbook.results.litters.account import imbalances, litter_account
from workbook.results.litters.figures import Figure, figures, stage_of
from workbook.results.litters.group_account import GroupAccount, group_accounts, unbalanced
from workbook.results.scores.adjusted import NOT_ADJUSTED, birth_weights, lamb_weight
from workbook.rules.rule import REGISTRY, run
from workbook.season.season import Season

MARKED, WEANED = date(2026, 6, 10), date(2026, 8, 14)
HEFT: Row = {
    "group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 104, "tally_ewes": 100, "tally_0": 6, "tally_1": 60,
    "tally_2": 30, "tally_3": 3, "tally_4": 1,
}


def count(stage: Stage, lambs: int | None, group: str = "Heft", ewes: int | None = None, on: date | None = None) -> Row:
    day = on or {Stage.TURNOUT: date(2026, 5, 1), Stage.MARKING: MARKED, Stage.WEANING: WEANED}[stage]
    return {"date": day, "group": group, "stage": stage, "lambs": lambs, "ewes": ewes}


def account(of: Season, group: str = "Heft") -> GroupAccount:
    return next(account for account in group_accounts(of) if account.group == group)


def parts(found: GroupAccount, stage: str) -> tuple[int | None, ...]:
    """Lost, sold, moved and more by a stage."""
    return tuple(found.lines[f"{word}_{stage}"] for word in ("lost_to", "sold_to", "moved_by", "more_at"))


def figure(of: Season, id: str) -> Figure:
    book = litter_account(of)
    found = figures(of, book, stage_of(of, book), groups=group_accounts(of))
    return next(figure for figure in found if figure.id == id)


# --- by hand ---------------------------------------------------------------------------------------------------------


def test_a_group_by_tally_and_counts() -> None:
    # 60 + 2 x 30 + 3 x 3 + 4 x 1 = 133 lambs; 133 - 112 = 21 lost by marking, 112 - 108 = 4 after.
    of = season(groups=[HEFT], counts=[count(Stage.MARKING, 112, ewes=98), count(Stage.WEANING, 108, ewes=97)])
    found = account(of)
    assert {
        "ewes_to_ram": 104, "ewes_scanned": 100, "ewes_empty": 6, "scanned": 133, "turned_out": None, "marked": 112,
        "weaned": 108, "lost_to_marking": 21, "sold_to_marking": 0, "moved_by_marking": 0, "more_at_marking": 0,
        "lost_to_weaning": 4, "sold_to_weaning": 0, "moved_by_weaning": 0, "more_at_weaning": 0, "ewes_turned_out": None,
        "ewes_marked": 98, "ewes_weaned": 97,
    } == found.lines
    assert (133, 25) == (found.known, found.lost)
    assert ("133 lambs expected of 100 ewes scanned (60 with 1, 30 with 2, 3 with 3, 1 with 4; four or more counted as 4). "
            "21 lost from scanning to marking (15.8 %): 112 at marking, 133 scanned. "
            "4 lost from marking to weaning (3.6 %): 108 at weaning, 112 at marking.") == found.words


def test_a_rise_is_more_and_a_problem() -> None:
    of = season(groups=[HEFT], counts=[count(Stage.MARKING, 112), count(Stage.WEANING, 118)])
    assert (0, 6) == (account(of).lines["lost_to_weaning"], account(of).lines["more_at_weaning"])
    assert (139, 21) == (account(of).known, account(of).lost)
    problems, _ = run(of, [REGISTRY["B109"]])
    assert ["group Heft: 6 more at weaning than at marking: 118 at weaning, 112 at marking"] == [
        problem.found.text for problem in problems]
    assert "neighbour" in problems[0].fix


@pytest.mark.parametrize(("counted", "weaned"), [(-1, None), (0, 0), (1, 1)])
def test_a_count_of_none_is_a_count_and_one_below_it_is_not(counted: int, weaned: int | None) -> None:
    found = account(season(groups=[HEFT], counts=[count(Stage.WEANING, counted)]))
    assert (weaned, None if weaned is None else 133 - weaned) == (found.lines["weaned"], found.lost)


def test_without_marking_the_loss_is_from_the_scan() -> None:
    found = account(season(groups=[HEFT], counts=[count(Stage.WEANING, 108)]))
    assert (None, None, 25) == (found.lines["marked"], found.lines["lost_to_marking"], found.lines["lost_to_weaning"])


@pytest.mark.parametrize(("tally", "stages", "known", "lost"), [
    (True, (Stage.MARKING, Stage.WEANING), 133, 23), (True, (Stage.WEANING,), 133, 23), (True, (Stage.MARKING,), None, None),
    (False, (Stage.MARKING, Stage.WEANING), None, None), (False, (), None, None),
])
def test_what_a_group_lost_is_known_only_from_its_scan_to_its_weaning(
    tally: bool, stages: tuple[Stage, ...], known: int | None, lost: int | None,
) -> None:
    row = {column: value for column, value in HEFT.items() if tally or not column.startswith("tally")}
    found = account(season(groups=[row], counts=[count(stage, 110) for stage in stages]))
    assert (known, lost) == (found.known, found.lost)


def test_without_a_scan_turnout_is_the_start() -> None:
    found = account(season(groups=[{"group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY}],
                           counts=[count(Stage.TURNOUT, 130), count(Stage.MARKING, 121)]))
    assert (None, 130, 121, 9) == tuple(found.lines[id] for id in ("scanned", "turned_out", "marked", "lost_to_marking"))
    assert found.known is None


@pytest.mark.parametrize(("how", "tally", "ewes", "scanned"), [
    (HowRecorded.COUNTS_ONLY, True, True, 133), (HowRecorded.COUNTS_ONLY, False, True, 2),
    (HowRecorded.COUNTS_ONLY, True, False, 133),
    (HowRecorded.EACH_LAMB, True, True, 2), (HowRecorded.EACH_LAMB, False, True, 2), (HowRecorded.EACH_LAMB, True, False, 133),
    (HowRecorded.EACH_LAMB, False, False, None),
])
def test_the_scan_of_a_group_is_its_tally_or_its_ewes(how: HowRecorded, tally: bool, ewes: bool, scanned: int | None) -> None:
    row = {column: value for column, value in HEFT.items() if tally or not column.startswith("tally")}
    found = account(season(groups=[{**row, "how_recorded": how}], ewes=[{"ewe": "A", "group": "heft", "scanned": 2}] * ewes))
    assert scanned == found.lines["scanned"]


@pytest.mark.parametrize(("day", "sold"), [
    (date(2026, 6, 9), (1, 0)), (MARKED, (1, 0)), (date(2026, 6, 11), (0, 1)), (WEANED, (0, 1)), (date(2026, 8, 15), (0, 0)),
    (None, (1, 0)),
])
def test_a_lamb_sold_is_sold_by_the_stage_it_left_by(day: date | None, sold: tuple[int, int]) -> None:
    of = season(
        groups=[{"group": "Heft", "how_recorded": HowRecorded.EACH_LAMB}], ewes=[{"ewe": "A", "group": "Heft", "scanned": 2}],
        lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.SOLD, "left_on": day},
               {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE}],
        counts=[count(Stage.MARKING, 1), count(Stage.WEANING, 1)])
    found = account(of)
    assert sold == (found.lines["sold_to_marking"], found.lines["sold_to_weaning"])


@pytest.mark.parametrize(("day", "moved"), [
    (date(2026, 6, 9), ((1, -1), (0, 0))), (MARKED, ((1, -1), (0, 0))), (date(2026, 6, 11), ((0, 0), (1, -1))),
    (None, ((1, -1), (0, 0))),
])
def test_a_lamb_set_on_in_another_group_has_moved_by_the_next_stage(
    day: date | None, moved: tuple[tuple[int, int], tuple[int, int]],
) -> None:
    names = ("Heft", "Park")
    of = season(
        groups=[{"group": name, "how_recorded": HowRecorded.EACH_LAMB} for name in names],
        ewes=[{"ewe": letter, "group": name, "scanned": 1} for letter, name in zip("AB", names, strict=True)],
        lambing=[{"ewe": letter, "lambed_on": date(2026, 4, 1)} for letter in "AB"],
        lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, "foster_ewe": "B", "moved_on": day},
               {"ewe": "B", "lamb_no": 1, "born": Born.DEAD_FRESH, "foster_ewe": "A", "moved_on": day}],
        counts=[count(stage, 1, name) for name in names for stage in (Stage.MARKING, Stage.WEANING)])
    found = [account(of, name) for name in names]
    assert moved == tuple(tuple(one.lines[f"moved_by_{stage}"] for one in found) for stage in ("marking", "weaning"))


@pytest.mark.parametrize(("as_of", "weaned"), [
    (datetime(2026, 8, 13, 12), None), (datetime(2026, 8, 14, 0), 2), (datetime(2026, 8, 15), 2),
])
def test_the_book_stands_in_from_the_day_of_the_stage(as_of: datetime, weaned: int | None) -> None:
    of = season(
        as_of, groups=[{"group": "Heft", "how_recorded": HowRecorded.EACH_LAMB, "weaning": WEANED}],
        ewes=[{"ewe": "A", "group": "Heft", "scanned": 2}],
        lambs=[{"ewe": "A", "lamb_no": number, "born": Born.ALIVE} for number in (1, 2)])
    assert weaned == account(of).lines["weaned"]


def test_the_last_count_of_a_stage_stands_and_of_two_on_one_day_the_higher() -> None:
    found = account(season(groups=[HEFT], counts=[
        count(Stage.MARKING, 90), count(Stage.MARKING, 95), count(Stage.MARKING, 99, on=date(2026, 6, 9))]))
    assert 95 == found.lines["marked"]


def each_ewe() -> Season:
    """A: twins, known by number. B: a single born dead. C: twins, one sold, one a pet. D, of the other group: a single, set
    on to B."""
    each_ewe: Row = {"how_recorded": HowRecorded.EACH_EWE, "ewes_to_ram": 4, "marking": MARKED}
    rows = [{"group": name, **each_ewe} for name in ("Heft", "Park")]
    return season(
        groups=rows,
        ewes=[{"ewe": "A", "scanned": 2, "group": "Heft"}, {"ewe": "B", "scanned": 1, "group": "Heft"},
              {"ewe": "C", "scanned": 2, "group": "Heft"}, {"ewe": "D", "scanned": 1, "group": "Park"}],
        lambing=[{"ewe": "A", "lambed_on": date(2026, 4, 14), "born_alive": 2}, {"ewe": "B", "born_dead": 1},
                 {"ewe": "C", "lambed_on": date(2026, 4, 16)}, {"ewe": "D", "lambed_on": date(2026, 4, 17)}],
        lambs=[{"ewe": "C", "lamb_no": 1, "born": Born.ALIVE, "left_on": date(2026, 7, 1), "left_how": LambLeft.SOLD},
               {"ewe": "C", "lamb_no": 2, "born": Born.ALIVE, "reared_by": RearedBy.PET, "moved_on": date(2026, 4, 20)},
               {"ewe": "D", "lamb_no": 1, "born": Born.ALIVE, "foster_ewe": "B", "moved_on": date(2026, 4, 18)}],
        counts=[count(Stage.MARKING, 3), count(Stage.WEANING, 2)],
    )


def test_a_group_recorded_by_ewe() -> None:
    # Scanned 5. At marking 3 are counted of A's two, C's first and D's set on: 5 - 3 = 2, one pet out, one came in, 2 lost
    # (B's dead one, one short). At weaning 2: one was sold.
    found = account(each_ewe())
    assert (5, 3, 2) == tuple(found.lines[id] for id in ("scanned", "marked", "weaned"))
    assert (2, 0, 0, 0) == parts(found, "marking")
    assert (0, 1, 0, 0) == parts(found, "weaning")


def test_the_book_stands_in_where_nobody_counted() -> None:
    # D's lamb has gone to Heft: none of Park's one lamb is there at marking, and none is lost.
    found = account(each_ewe(), "Park")
    assert None is found.lines["marked"]
    of = replace(each_ewe(), records={**each_ewe().records, "counts": ()})
    assert 4 == account(of).lines["marked"]
    assert "from the book" == account(of).steps[0].after.basis


def test_short_at_a_count_is_booked_to_no_ewe_and_no_warning() -> None:
    of = each_ewe()
    (marking, weaning) = litter_account(of).counts
    assert (4, 3, -1) == (marking.expected, marking.counted, marking.difference)
    assert (3, 2, -1) == (weaning.expected, weaning.counted, weaning.difference)
    assert 1 == litter_account(of).lines["short"]["count"]
    assert ([], []) == run(of, [REGISTRY["B102"], REGISTRY["B103"], REGISTRY["B113"]])


def test_an_unbalanced_account_is_told() -> None:
    found = account(each_ewe())
    wrong = replace(found, steps=(replace(found.steps[0], lost=1), *found.steps[1:]))
    assert [wrong.steps[0]] == unbalanced(wrong)
    assert [] == unbalanced(found)


# --- ewes listed in a group known by counts only ---------------------------------------------------------------------


def listed_by_count() -> Season:
    return season(
        groups=[{"group": "Heft", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 3, "ram_out": date(2025, 12, 1)},
                {"group": "Park", "ewes_to_ram": 1}],
        ewes=[{"ewe": str(number), "scanned": number, "group": "Heft"} for number in range(3)]
        + [{"ewe": "P", "scanned": 2, "group": "Park"}],
        lambing=[{"ewe": "P", "lambed_on": date(2026, 4, 14), "born_alive": 2}],
        counts=[count(Stage.MARKING, 2), count(Stage.WEANING, 2)],
    )


def test_their_scan_is_in_the_group_and_not_lost_in_the_flock() -> None:
    of = listed_by_count()
    assert (3, 3, 1) == tuple(account(of).lines[id] for id in ("scanned", "ewes_scanned", "ewes_empty"))
    book = litter_account(of)
    assert [] == imbalances(book)
    assert (2, 0) == (book.total("scanned"), book.total("never_lambed"))
    assert {"P"} == {ewe.name for ewe in book.ewes.values()}
    assert ([], []) == run(of, [REGISTRY["C115"]])


def test_figures_take_both_in() -> None:
    of = listed_by_count()
    # Scanned 3 + 2 of 3 + 1 ewes; lost 1 of 3 in Heft, none of 2 in Park; reared 2 + 2 of 3 + 1 to the ram.
    assert (5, 4) == (figure(of, "scanning_pct_scanned").numerator, figure(of, "scanning_pct_scanned").denominator)
    assert (1, 5) == (figure(of, "total_loss_pct").numerator, figure(of, "total_loss_pct").denominator)
    assert (4, 4) == (figure(of, "reared_pct").numerator, figure(of, "reared_pct").denominator)
    assert (1, 1) == (figure(of, "ewes_lambed_pct").numerator, figure(of, "ewes_lambed_pct").denominator)
    assert "With lambs counted at weaning in Heft. From 2 of 4 lambs" in figure(of, "reared_pct").definition
    assert figure(of, "ewes_lambed_pct").definition.endswith("Without Heft (known by counts only).")


# --- figures of a flock known by counts only -------------------------------------------------------------------------


@pytest.mark.parametrize(("weighed", "there"), [(True, True), (False, False)])
def test_reared_takes_groups_in_once_lambs_are_weaned(weighed: bool, there: bool) -> None:
    of = listed_by_count()
    weaned = season(weights=[{"animal": "x", "date": WEANED, "kg": 30, "occasion": Weighed.WEANING}]).rows("weights")
    of = replace(of, records={**of.records, "counts": of.rows("counts")[:1], "weights": weaned if weighed else ()})
    book = litter_account(of)
    found = {one.id: one for one in figures(of, book, stage_of(of, book), groups=group_accounts(of))}
    assert there is ("reared_pct" in found)
    assert not there or "Not known, and left out, for Heft." in found["reared_pct"].definition


def test_headline_figures_by_count_alone() -> None:
    of = season(groups=[HEFT, {"group": "Far", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 50}],
                counts=[count(Stage.MARKING, 112), count(Stage.WEANING, 108), count(Stage.MARKING, 40, "Far")])
    assert "weaned" == stage_of(of, litter_account(of))
    assert pytest.approx(133 / 104 * 100) == figure(of, "scanning_pct_ram").value
    assert pytest.approx(133.0) == figure(of, "scanning_pct_scanned").value
    assert pytest.approx(133 / 94) == figure(of, "litter_scanned").value
    assert pytest.approx(6.0) == figure(of, "empty_pct").value
    assert pytest.approx(25 / 133 * 100) == figure(of, "total_loss_pct").value
    assert pytest.approx(108 / 104 * 100) == figure(of, "reared_pct").value
    assert figure(of, "reared_pct").definition.endswith("in Heft. Not known, and left out, for Far.")
    assert figure(of, "lambing_pct").value is None


def test_a_group_or_a_book_with_none_adds_nothing() -> None:
    """Heft by tally, Dry by tally with empty ewes alone, and one ewe listed in Park; 133 lambs of 94 ewes in lamb in Heft."""
    dry: Row = {"group": "Dry", "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": 5, "tally_ewes": 5, "tally_0": 5}
    ewe: Row = {"ewe": "P", "scanned": 2, "group": "Park"}
    of = season(groups=[HEFT, dry, {"group": "Park", "ewes_to_ram": 1}], ewes=[ewe])
    assert (135, 95) == (figure(of, "litter_scanned").numerator, figure(of, "litter_scanned").denominator)
    assert (11, 106) == (figure(of, "empty_pct").numerator, figure(of, "empty_pct").denominator)
    empty = replace(of, records={**of.records, "ewes": season(ewes=[{**ewe, "scanned": 0}]).rows("ewes")})
    assert (133, 94) == (figure(empty, "litter_scanned").numerator, figure(empty, "litter_scanned").denominator)
    assert (12, 106) == (figure(empty, "empty_pct").numerator, figure(empty, "empty_pct").denominator)


def test_no_group_by_count_leaves_every_definition_alone() -> None:
    of = each_ewe()
    book = litter_account(of)
    assert figures(of, book, "lambed") == figures(of, book, "lambed", groups=group_accounts(of))


# --- tagged lambs whose mother is not known --------------------------------------------------------------------------


def test_lambs_without_a_mother() -> None:
    lambs = [{"tag": tag, "born": Born.ALIVE, "sex": Sex.EWE, "came_from": CameFrom.MOTHER_NOT_KNOWN} for tag in ("N1", "N2")]
    of = season(groups=[HEFT], lambs=lambs, counts=[count(Stage.WEANING, 108)],
                weights=[{"animal": "N1", "date": WEANED, "kg": 27, "occasion": Weighed.WEANING}])
    book = litter_account(of)
    assert (2, 2, 2) == (book.total("born_unscanned"), book.total("present"), book.total("known"))
    assert [] == imbalances(book)
    weight = lamb_weight(of, of.flock.lambs[0], Weighed.WEANING, birth_weights(of))
    assert weight is not None and weight.kg is None and NOT_ADJUSTED == weight.words
    # The group counted at weaning is all there is: lambs tagged from it are not counted a second time.
    assert 108 == figure(of, "reared_pct").numerator
    problems, _ = run(of, REGISTRY.values())
    assert {"B112"} == {problem.rule.id for problem in problems}


# --- whatever was counted --------------------------------------------------------------------------------------------

numbers = st.one_of(st.none(), st.integers(0, 60))
names = st.sampled_from(["Heft", "Park", "Low"])
hows = st.sampled_from([None, *HowRecorded])
rows_of_groups = st.lists(st.fixed_dictionaries({"group": names, "how_recorded": hows}, optional={
    **{f"tally_{lambs}": numbers for lambs in ("ewes", 0, 1, 2, 3, 4)}, "ewes_to_ram": numbers,
    "marking": st.just(MARKED), "weaning": st.just(WEANED),
}), max_size=4)
days = st.dates(date(2026, 4, 1), date(2026, 8, 30))
rows_of_counts = st.lists(st.fixed_dictionaries({}, optional={
    "date": days, "group": names, "stage": st.sampled_from(list(Stage)), "lambs": numbers, "ewes": numbers}), max_size=8)
ewe_names = st.sampled_from(["A", "B", "C", "D"])
rows_of_ewes = st.lists(st.fixed_dictionaries({"ewe": ewe_names}, optional={
    "group": names, "scanned": st.integers(0, 4), "left_on": days}), max_size=4)
rows_of_lambing = st.lists(st.fixed_dictionaries({"ewe": ewe_names}, optional={
    "lambed_on": days, "born_alive": st.integers(0, 3), "turned_out_to": names, "turned_out_on": days}), max_size=4)
rows_of_lambs = st.lists(st.fixed_dictionaries({"born": st.sampled_from(list(Born))}, optional={
    "ewe": ewe_names, "foster_ewe": ewe_names, "reared_by": st.sampled_from(list(RearedBy)), "moved_on": days, "left_on": days,
    "left_how": st.sampled_from(list(LambLeft)), "came_from": st.sampled_from(list(CameFrom))}), max_size=8)


@given(groups=rows_of_groups, counts=rows_of_counts, ewes=rows_of_ewes, lambing=rows_of_lambing, lambs=rows_of_lambs)
def test_every_group_balances(
    groups: list[Row], counts: list[Row], ewes: list[Row], lambing: list[Row], lambs: list[Row],
) -> None:
    of = season(datetime(2026, 9, 1), groups=groups, counts=counts, ewes=ewes, lambing=lambing, lambs=lambs)
    assert [] == imbalances(litter_account(of))
    for found in group_accounts(of):
        lines = {id: number or 0 for id, number in found.lines.items()}
        start = "scanned" if found.lines["scanned"] is not None else "turned_out"
        for stage, here in (("marking", "marked"), ("weaning", "weaned")):
            if found.lines[start] is not None and found.lines[here] is not None:
                assert lines[start] + lines[f"more_at_{stage}"] == lines[here] + sum(
                    lines[id] for id in (f"lost_to_{stage}", f"sold_to_{stage}", f"moved_by_{stage}"))
                assert 0 == min(lines[f"lost_to_{stage}"], lines[f"more_at_{stage}"])
            start = here if found.lines[here] is not None else start
        if found.by_count and found.known is not None:
            assert found.known == (found.lost or 0) + lines["weaned"]
    book = litter_account(of)
    for one in figures(of, book, stage_of(of, book), groups=group_accounts(of)):
        if one.id in ("empty_pct", "total_loss_pct") and one.numerator is not None and one.denominator is not None:
            assert 0 <= one.numerator <= one.denominator


# --- a flock known by counts only, through real files ----------------------------------------------------------------


def test_a_summary_is_written_without_a_single_ewe(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    rows: dict[str, list[Row]] = {"groups": [HEFT], "counts": [count(Stage.MARKING, 112), count(Stage.WEANING, 108)]}
    build(path, Plan("By count", rows, Start.OUTDOORS))
    done = CliRunner().invoke(main, ["analyse", str(path), "--as-of", "2026-09-01"])
    assert 0 == done.exit_code, done.output
    assert "Total loss %: 18.8 %" in done.output
    policy = load_workbook(tmp_path / "season-summary.xlsx")["Policy"]
    assert ("hidden", "$A$1:$L$1") == (policy.sheet_state, policy.print_area.rsplit("!", 1)[-1]), "there is no ewe to decide on"
    told = dump(tmp_path / "season-summary.xlsx")
    assert "Known by counts only: weaned; nothing is recorded by ewe, so there are no decisions." in told
    assert "21 lost from scanning to marking (15.8 %)" in told
