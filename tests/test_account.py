"""The litter account: a worked season, counts as assertions, and what must hold however broken the records are.

Expected figures of the worked season were worked out on paper from the definitions.
"""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from seasons import AS_OF, season

from template_builder.layout.choices import (
    Born,
    CameFrom,
    CheckOccasion,
    EweLeft,
    HowRecorded,
    LambLeft,
    RearedBy,
    Trouble,
    Weighed,
)
from template_builder.layout.columns import NOT_KNOWN, Row
from workbook.results.litters import account as account_module
from workbook.results.litters.account import Account, imbalances, litter_account
from workbook.results.litters.lines import ALL, COUNT, LINES
from workbook.results.litters.movements import SCANNED_PLACES, Fate, Movement, Place, movements
from workbook.season.families import BORN
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def worked() -> Season:
    """Eight ewes, A to H, each with another story."""
    died, fresh = {"left_on": DAY + timedelta(days=21), "left_how": LambLeft.DIED}, {"born": Born.DEAD_FRESH}
    return season(
        ewes=[
            {"ewe": "A", "scanned": 2}, {"ewe": "B", "scanned": 1}, {"ewe": "C"}, {"ewe": "D", "scanned": 0},
            {"ewe": "E", "scanned": 2, "left_on": date(2026, 3, 20), "left_how": EweLeft.DIED},
            {"ewe": "F", "scanned": 3, "left_on": DAY + timedelta(days=10), "left_how": EweLeft.DIED},
            {"ewe": "G", "scanned": 1}, {"ewe": "H", "scanned": 1},
        ],
        lambing=[{"ewe": ewe, "lambed_on": DAY} for ewe in "ABCDFH"],
        lambs=[
            {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE},
            {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "B"},
            {"ewe": "A", "lamb_no": 3, "born": Born.ALIVE, **died},
            {"ewe": "B", "lamb_no": 1, **fresh},
            {"ewe": "C", "lamb_no": 1, "born": Born.ALIVE}, {"ewe": "C", "lamb_no": 2, "born": Born.ALIVE},
            {"ewe": "D", "lamb_no": 1, "born": Born.ALIVE, "reared_by": RearedBy.PET},
            {"ewe": "F", "lamb_no": 1, "born": Born.ALIVE}, {"ewe": "F", "lamb_no": 2, "born": Born.ALIVE},
            {"ewe": "F", "lamb_no": 3, "born": Born.MUMMIFIED},
            {"ewe": "G", "lamb_no": 1, "born": Born.ABORTED}, {"ewe": "G", "lamb_no": 2, "born": Born.ABORTED},
            {"ewe": "H", "lamb_no": 1, **fresh},
            {"came_from": CameFrom.BOUGHT_IN, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "H"},
        ],
    )


def totals(found: Account) -> dict[str, int]:
    return {line: of[ALL] for line, of in found.lines.items() if of[ALL]}


def test_worked_season_is_accounted_for_to_the_last_lamb() -> None:
    found = litter_account(worked())
    assert {
        "scanned": 10, "born_scanned": 6, "aborted_scanned": 2, "lost_with_ewe": 2,
        "born": 10, "more_than_scanned": 2, "born_unscanned": 2, "born_alive": 8, "born_dead": 2,
        "died": 1, "present": 7, "own_ewe": 3, "foster_ewe": 1, "pet": 1, "no_ewe": 2,
        "set_on": 2, "set_on_home": 1, "set_on_bought": 1, "known": 14, "aborted_beyond_scan": 1, "bought_in": 1,
    } == totals(found)
    assert [] == imbalances(found)


def test_classes_of_the_worked_season() -> None:
    found = litter_account(worked())
    assert ("0", "1", "2", "3", "not scanned", "bought in", "count", "all") == found.classes
    assert {"0": 1, "1": 2, "2": 3, "3": 2, "not scanned": 2, "bought in": 0, "count": 0, "all": 10} == found.lines["born"]
    assert 1 == found.lines["set_on_bought"]["bought in"]
    assert {"scanned": 2, "born": 3, "more_than_scanned": 1, "set_on_home": 1} == {
        line: found.ewes["a"].lines[line] for line in ("scanned", "born", "more_than_scanned", "set_on_home")}


def test_lines_lead_to_the_rows_they_count() -> None:
    rows = litter_account(worked()).rows
    assert ["Lambs!D6"] == [str(cell) for cell in rows["died"]]
    assert ["Ewes!B8"] == [str(cell) for cell in rows["lost_with_ewe"]]
    assert ["Lambs!D13", "Lambs!D14"] == [str(cell) for cell in rows["aborted_scanned"]]


@pytest.mark.parametrize(("ewe", "groups", "place"), [
    ({}, (), "to_lamb"),
    ({"due": date(2026, 4, 1)}, (), "never_lambed"),  # 1 April + (160 - 147) days is long past
    ({"due": date(2026, 8, 20)}, (), "to_lamb"),  # may lamb until 2 September
    ({"due": date(2026, 8, 17)}, (), "never_lambed"),  # until 30 August; the moment is 31 August
    ({"due": date(2026, 4, 1), "mated_on": date(2026, 3, 24)}, (), "to_lamb"),  # 24 March + 160 days is 31 August
    ({"due": date(2026, 4, 1), "mated_on": date(2026, 3, 23)}, (), "never_lambed"),
    ({"group": "hill"}, ({"group": "Hill", "ram_out": date(2026, 3, 24)},), "to_lamb"),
    ({"group": "hill"}, ({"group": "Hill", "ram_out": date(2025, 12, 1)},), "never_lambed"),
    ({"left_how": EweLeft.SOLD}, (), "lost_with_ewe"),
])
def test_places_of_a_ewe_that_has_not_lambed(ewe: Row, groups: tuple[Row, ...], place: str) -> None:
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 2, **ewe}], groups=groups)))
    assert {"scanned": 2, "known": 2, place: 2} == found


def test_a_ewe_that_lambed_without_lambs_written_has_fewer() -> None:
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 2}], lambing=[{"ewe": "1", "lambed_on": DAY}])))
    assert {"scanned": 2, "known": 2, "fewer": 2} == found


@pytest.mark.parametrize(("lambs", "expected"), [
    ((Born.ABORTED, Born.ALIVE), {"born_scanned": 1, "aborted_beyond_scan": 1}),
    ((Born.MUMMIFIED, Born.DEAD_FRESH), {"born_scanned": 1, "aborted_beyond_scan": 1}),
    ((Born.ABORTED, Born.ABORTED), {"aborted_scanned": 1, "aborted_beyond_scan": 1}),
])
def test_lambs_born_fill_her_scanned_places_first(lambs: tuple[Born, ...], expected: dict[str, int]) -> None:
    rows = [{"ewe": "1", "lamb_no": number, "born": born} for number, born in enumerate(lambs, start=1)]
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 1}], lambs=rows)))
    assert expected == {line: found[line] for line in found if line.startswith(("born_scanned", "aborted"))}


@pytest.mark.parametrize("born", [Born.MUMMIFIED, Born.ABORTED])
def test_a_ewe_whose_only_lamb_was_not_born_has_fewer_and_is_not_waited_for(born: Born) -> None:
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 2, "due": DAY}],
                                         lambs=[{"ewe": "1", "lamb_no": 1, "born": born}])))
    assert {"scanned": 2, "known": 2, "aborted_scanned": 1, "fewer": 1} == found


def test_places_without_a_lamb_belong_to_a_ewe_on_ewes() -> None:
    ewe = season(ewe_check=[{"ewe": "1"}]).flock.ewes["1"]
    for whose in (None, ewe):
        with pytest.raises(ValueError, match="belongs to a ewe on Ewes"):
            _ = Movement(Place.FEWER, "1", whose).cell


def test_an_abortion_seen_without_lambs_takes_all_her_places() -> None:
    look = {"ewe": "1", "date": DAY, "occasion": CheckOccasion.ANY_DAY, "trouble": Trouble.ABORTED}
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 2}], ewe_check=[look])))
    assert {"scanned": 2, "known": 2, "aborted_scanned": 2} == found


def test_a_scan_no_ewe_can_have_costs_no_memory() -> None:
    assert 10**12 == totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 10**12}])))["to_lamb"]


def test_a_repeated_lambing_row_adds_nothing() -> None:
    once = season(ewes=[{"ewe": "1", "scanned": 2}], lambing=[{"ewe": "1", "born_alive": 2}])
    twice = season(ewes=[{"ewe": "1", "scanned": 2}], lambing=[{"ewe": "1", "born_alive": 2}] * 2)
    assert totals(litter_account(once)) == totals(litter_account(twice))
    assert 2 == totals(litter_account(twice))["born_alive"]


def test_lambs_of_a_ewe_that_left_are_not_with_their_own_ewe() -> None:
    lambs = [{"ewe": "1", "lamb_no": n, "born": Born.ALIVE} for n in (1, 2)]
    found = totals(litter_account(season(ewes=[{"ewe": "1", "scanned": 2, "left_on": DAY}], lambs=lambs)))
    assert (2, 0) == (found["no_ewe"], found.get("own_ewe", 0))


def flock_of(lambs: int, *counts: Row, **rows: list[Row]) -> Season:
    """One ewe a lamb in group Hill or, every second, in Low; lambed on 1 April."""
    ewes = [{"ewe": str(n), "scanned": 1, "group": ("Low", "Hill")[n % 2]} for n in range(1, lambs + 1)]
    return season(
        ewes=ewes, lambing=[{"ewe": str(n), "lambed_on": DAY} for n in range(1, lambs + 1)],
        lambs=[{"ewe": str(n), "lamb_no": 1, "born": Born.ALIVE} | _gone(rows, n) for n in range(1, lambs + 1)], counts=counts,
    )


def _gone(rows: dict[str, list[Row]], number: int) -> dict[str, object]:
    return dict(next((row for row in rows.get("gone", []) if row["ewe"] == str(number)), {}))


def counted(lambs: int, group: str | None = None, days: int = 30) -> Row:
    return {"date": DAY + timedelta(days=days), "group": group, "lambs": lambs}


def test_a_count_below_the_book_makes_lambs_short() -> None:
    found = litter_account(flock_of(10, counted(8)))
    check = found.counts[0]
    assert (10, 8, -2) == (check.expected, check.counted, check.difference)
    assert "2 fewer than the book: 10 lambs expected in the whole flock, 8 counted" == check.words
    carried = {"short": 2, "present": -2, "present_seen": -2, "own_ewe": -2}
    assert carried == {line: of[COUNT] for line, of in found.lines.items() if of[COUNT]}
    assert (8, 10) == (found.lines["present"][ALL], found.lines["born_alive"][ALL])
    assert [] == imbalances(found)


def test_a_count_above_the_book_changes_nothing() -> None:
    found = litter_account(flock_of(10, counted(6, "hill")))
    assert "1 more than the book: 5 lambs expected in group hill, 6 counted" == found.counts[0].words
    assert (0, 10) == (found.lines["short"][ALL], found.lines["present"][ALL])


@pytest.mark.parametrize(("counts", "short"), [
    ((counted(9), counted(8, days=60)), 2),  # of two counts of the flock the later stands
    ((counted(7), counted(10, days=60)), 0),
    ((counted(8), counted(9)), 1),  # of two on one day the higher
    ((counted(4, "Hill"), counted(3, "Low")), 3),
    ((counted(4, "Hill"), counted(8, days=60)), 2),  # the flock's count replaces earlier counts of groups
    ((counted(4, "Hill"), counted(10, days=60)), 0),
    ((counted(3, "Hill", 60), counted(9, days=60)), 1),  # and one made on its day
    ((counted(3, "Hill", 61), counted(9, days=60)), 2),  # a group counted the day after stands
    ((counted(8), counted(4, "Hill", 60)), 2),  # one in Hill, the other somewhere in Low
    ((counted(8), counted(5, "Hill", 60)), 2),  # both in Low
    ((counted(8), counted(5, "Hill", 60), counted(5, "Low", 61)), 0),  # all found again
    ((counted(9), counted(2, "Hill", 60)), 3),
    ((counted(10, days=-1),), 0),  # before the first lamb was born: ten above the book
])
def test_which_counts_stand(counts: tuple[Row, ...], short: int) -> None:
    found = litter_account(flock_of(10, *counts))
    assert short == found.lines["short"][ALL]
    assert [] == imbalances(found)


@pytest.mark.parametrize(("gone", "short"), [
    ({"left_how": LambLeft.MISSING, "left_on": DAY + timedelta(days=40)}, 1),  # the count had missed it already
    ({"left_how": LambLeft.DIED, "left_on": DAY + timedelta(days=40)}, 2),  # it was there to be counted
    ({"left_how": LambLeft.DIED, "left_on": DAY + timedelta(days=30)}, 1),  # the book no longer expects it
    ({"left_how": LambLeft.DIED}, 1),
])
def test_lambs_that_left_and_a_count_of_eight_in_ten(gone: Row, short: int) -> None:
    found = litter_account(flock_of(10, counted(8), gone=[{"ewe": "1", **gone}]))
    assert short == found.lines["short"][ALL]


def test_no_more_are_short_than_the_book_still_holds() -> None:
    sold = [{"ewe": str(n), "left_how": LambLeft.SOLD, "left_on": DAY + timedelta(days=90)} for n in range(1, 10)]
    found = litter_account(flock_of(10, counted(7), gone=sold))
    assert (9, 1, 0) == tuple(found.lines[line][ALL] for line in ("sold", "short", "present"))


def test_lambs_follow_the_ewe_to_the_group_she_was_turned_out_to() -> None:
    out = {"ewe": "1", "lambed_on": DAY, "turned_out_on": DAY + timedelta(days=3), "turned_out_to": "Top"}
    found = litter_account(season(
        ewes=[{"ewe": "1", "group": "Shed"}], lambing=[out], lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE}],
        counts=[counted(1, "Shed", 2), counted(1, "Top", 4), counted(0, "Shed", 4)],
    ))
    assert [0, 0, 0] == [check.difference for check in found.counts]


@pytest.mark.parametrize(("group", "moved", "counted", "difference"), [
    (None, 9, 3, 0), (None, 10, 3, 0), (None, 11, 4, 0), (None, None, 3, 0), (None, 10, 4, 1),
    ("Low", 9, 3, 0), ("Low", 10, 3, 0), ("Low", 11, 4, 0), ("Low", None, 3, 0), ("Low", 10, 2, -1),
])
def test_a_pet_is_counted_with_its_own_ewe_until_it_is_moved_and_then_with_none(
    group: str | None, moved: int | None, counted: int, difference: int,
) -> None:
    """One rule for counts of a group and of the flock: the count is of day 10, the pet was moved on the day given."""
    pet = {"reared_by": RearedBy.PET, "moved_on": None if moved is None else date(2026, 5, moved)}
    of = season(
        groups=[{"group": "Low"}], ewes=[{"ewe": "1", "group": "Low"}, {"ewe": "2", "group": "Low"}],
        lambs=[{"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, **(pet if (ewe, number) == ("2", 2) else {})}
               for ewe in "12" for number in (1, 2)],
        counts=[{"date": date(2026, 5, 10), "group": group, "lambs": counted}],
    )
    account = litter_account(of)
    (check,) = account.counts
    assert difference == check.difference
    assert max(0, -difference) == account.total("short")
    assert 1 == account.total("pet")
    assert (group is None and moved != 11) is ("(1 on the bottle apart)" in check.words)


def test_groups_known_by_counts_only_are_not_held_against_the_book() -> None:
    found = litter_account(season(groups=[{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY}],
                                  counts=[counted(200, "Hill"), counted(200)]))
    assert () == found.counts


def test_seen_are_lambs_weighed_or_in_a_count_that_met_the_book() -> None:
    lambs = [{"ewe": "1", "lamb_no": n, "born": Born.ALIVE} for n in (1, 2)]
    weighed = {"animal": "1-1", "date": DAY, "kg": 20, "occasion": Weighed.EARLY}
    assert 1 == totals(litter_account(season(ewes=[{"ewe": "1"}], lambs=lambs, weights=[weighed])))["present_seen"]
    assert 2 == totals(litter_account(season(ewes=[{"ewe": "1"}], lambs=lambs, counts=[counted(2)])))["present_seen"]


def test_a_lamb_in_the_wrong_class_shows_as_an_imbalance(monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(of: Season) -> tuple[object, ...]:
        right = movements(of)
        first = next(n for n, move in enumerate(right) if move.fate is Fate.OWN_EWE)
        return (*right[:first], replace(right[first], fate=Fate.DIED), *right[first + 1:])

    monkeypatch.setattr(account_module, "movements", wrong)
    found = imbalances(litter_account(worked()))
    assert {("born_alive", "2", ""), ("present", "2", ""), ("born_alive", "2", "a"), ("present", "2", "a"),
            ("born_alive", "all", ""), ("present", "all", "")} == {(one.line, one.size_class, one.ewe) for one in found}


def test_a_place_or_a_lamb_left_out_shows_as_an_imbalance(monkeypatch: pytest.MonkeyPatch) -> None:
    for left_out in range(len(movements(worked()))):
        monkeypatch.setattr(account_module, "movements", lambda of, n=left_out: movements(of)[:n] + movements(of)[n + 1:])
        out = movements(worked())[left_out]
        memo_only = out.place in (Place.BOUGHT_IN, Place.ABORTED_BEYOND_SCAN)
        assert memo_only is not bool(imbalances(litter_account(worked())))


# --- whatever is written ---

NUMBERS = ("1", "01", "2", "3", " 3", "77")
days = st.none() | st.dates(date(2026, 2, 1), date(2026, 7, 1))
numbers = st.sampled_from(NUMBERS)


def rows(**cells: st.SearchStrategy[object]) -> st.SearchStrategy[list[Row]]:
    return st.lists(st.fixed_dictionaries(cells), max_size=8)


seasons_of_all_kinds = st.fixed_dictionaries({
    "groups": st.just([{"group": "Hill", "ram_out": date(2025, 12, 1)}, {"group": "Low"}]),
    "ewes": rows(ewe=st.none() | numbers, scanned=st.none() | st.just(NOT_KNOWN) | st.integers(-1, 6), due=days,
                 group=st.sampled_from([None, "hill", "Low", "?"]), left_on=days, left_how=st.none() | st.sampled_from(EweLeft)),
    "lambing": rows(ewe=st.none() | numbers, lambed_on=days, born_alive=st.none() | st.integers(0, 4),
                    born_dead=st.none() | st.integers(0, 3), turned_out_to=st.sampled_from([None, "Hill"]), turned_out_on=days),
    "lambs": rows(ewe=st.none() | numbers, lamb_no=st.none() | st.integers(1, 3), born=st.none() | st.sampled_from(Born),
                  left_on=days, left_how=st.none() | st.sampled_from(LambLeft), reared_by=st.none() | st.sampled_from(RearedBy),
                  foster_ewe=st.none() | numbers, came_from=st.none() | st.sampled_from(CameFrom)),
    "counts": rows(date=days, group=st.sampled_from([None, "Hill", "low", "Nowhere"]), lambs=st.none() | st.integers(0, 12)),
})
any_season = given(seasons_of_all_kinds)
slow_is_fine = settings(max_examples=examples(150), deadline=None, suppress_health_check=[HealthCheck.too_slow])
Written = dict[str, list[Row]]


@slow_is_fine
@any_season
def test_every_line_balances_in_every_class_and_for_every_ewe(written: Written) -> None:
    found = litter_account(season(**written))
    assert [] == imbalances(found)
    assert {line.id for line in LINES} == set(found.lines)
    assert found.lines["set_on_home"][ALL] == found.lines["foster_ewe"][ALL]
    assert all(0 <= of[ALL] for of in found.lines.values())


@slow_is_fine
@any_season
def test_every_scanned_place_and_every_lamb_has_one_class(written: Written) -> None:
    of = season(**written)
    moves = movements(of)
    named = [move.lamb for move in moves if move.lamb is not None]
    assert len(of.flock.lambs) == len(named) == len(set(named))
    for ewe in of.flock.ewes.values():
        filled = sum(move.number for move in moves if move.ewe is ewe and move.place in SCANNED_PLACES)
        assert max(0, ewe.scanned or 0) == filled
    assert all((move.fate is not None) == (move.lamb is not None and move.lamb.born in BORN) for move in moves)


@slow_is_fine
@given(seasons_of_all_kinds, st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_no_class(written: Written, chance: object) -> None:
    """But for numbers written twice on Ewes or Lambing, where by rule the first row counts."""
    unlike = {sheet: _once(found) if sheet in ("ewes", "lambing") else found for sheet, found in written.items()}
    mixed = {sheet: chance.sample(found, len(found)) for sheet, found in unlike.items()}  # type: ignore[attr-defined]
    assert litter_account(season(**unlike)).lines == litter_account(season(**mixed)).lines


def _once(found: list[Row]) -> list[Row]:
    """Each number once, also where two are the same but for spaces and zeros."""
    return list({str(row["ewe"]).strip().lstrip("0"): row for row in reversed(found)}.values())


@slow_is_fine
@any_season
def test_lambing_rows_written_twice_add_nothing(written: Written) -> None:
    twice = {**written, "lambing": [*written["lambing"], *written["lambing"]]}
    assert litter_account(season(**written)).lines == litter_account(season(**twice)).lines


def test_the_moment_decides_whether_she_may_still_lamb() -> None:
    ewe = [{"ewe": "1", "scanned": 1, "due": date(2026, 4, 1)}]
    assert 1 == totals(litter_account(season(datetime(2026, 4, 14), ewes=ewe)))["to_lamb"]  # 1 April + 13 days
    assert 1 == totals(litter_account(season(datetime(2026, 4, 15), ewes=ewe)))["never_lambed"]
    assert AS_OF > datetime(2026, 4, 15)
