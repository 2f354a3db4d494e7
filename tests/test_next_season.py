"""From one season to the next: who comes back with what history, who left, what is carried and what is told of the rest."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from seasons import season

from template_builder.layout.choices import (
    Action,
    Born,
    CheckOccasion,
    EweLeft,
    HowRecorded,
    LambLeft,
    Mouth,
    OnOff,
    Prolapse,
    Sex,
    Taken,
    Udder,
    Verdict,
    Weighed,
)
from template_builder.layout.columns import NOT_KNOWN, Row
from template_builder.scan.by_ewe import ScanList, ScanRow
from template_builder.scan.season_rows import Mating
from workbook.carrying.next_season import Carried, next_season
from workbook.carrying.said import text
from workbook.carrying.same_season import as_it_stands
from workbook.carrying.scanned import with_scan, without_scan
from workbook.reading.season_file import Reading
from workbook.results.pipeline import analyse
from workbook.season.cells import CellRef
from workbook.season.decided import Decided, NotTaken, OwnWord
from workbook.season.season import Season

JUNE = date(2026, 6, 1)
LAMB: Row = {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}
TWO: list[Row] = [LAMB, {"ewe": "A", "lamb_no": 2, "born": Born.ALIVE}]
HERE = CellRef("summary.xlsx", "Ewe decisions", 5, 1)


def decided(of: Season, words: dict[str, OwnWord] | None = None, **more: object) -> Decided:
    return Decided("summary.xlsx", words or {}, {}, of.policy, **more)  # type: ignore[arg-type]


def word(verdict: Verdict, why: str = "") -> OwnWord:
    return OwnWord(verdict, why, HERE)


def after(of: Season, words: dict[str, OwnWord] | None = None, kept: tuple[str, ...] = ()) -> Carried:
    """The season after this one; with `words`, or ewe lambs kept, as the meeting decided."""
    said = None if words is None and not kept else decided(of, words, kept=kept)
    return next_season(analyse(Reading(of, ())), 2027, said)


def hers(lambs: Sequence[Row] = (), words: dict[str, OwnWord] | None = None, **ewe: object) -> Row:
    """The row next season of a ewe with these cells and lambs."""
    rows: Row = {"ewe": "A", **ewe}  # type: ignore[dict-item]
    return after(season(ewes=[rows], lambs=lambs, groups=[{"group": "Hill", "weaning": JUNE}]), words).ewes["a"]


def told(carried: Carried) -> str:
    return text(carried.said)


# Who she is.


def test_number_age_tags_group_breed_and_own_columns_go_with_her() -> None:
    row: Row = {"ewe": "0412", "born_year": 2022, "official_tag": "826012345600412", "also_known_as": "W7", "group": "Hill",
                "breed": "Mule", "+Bought from": "mart"}
    carried = after(season(ewes=[row]))
    assert row.items() <= carried.ewes["0412"].items()
    assert "not carried from Ewes" not in told(carried)


def test_what_was_of_the_season_stays_behind_and_is_named() -> None:
    row: Row = {"ewe": "A", "scanned": 2, "due": JUNE, "mark": "red", "ram": "T1", "condition": 3.0}
    carried = after(season(ewes=[row], groups=[{"group": "Hill", "ram_in": JUNE, "how_recorded": HowRecorded.EACH_LAMB}]))
    assert not row.keys() - {"ewe"} & carried.ewes["a"].keys()
    assert "not carried from Ewes, as of the season past: Scanned, Due, Mark, Ram, Condition at scanning" in told(carried)
    assert ({"group": "Hill", "how_recorded": HowRecorded.EACH_LAMB},) == tuple(carried.rows["groups"])
    assert "not carried from Groups, as of the season past: Ram in" in told(carried)


@pytest.mark.parametrize(("notes", "carried"), [
    (None, None), ("blind in one eye", "2026: blind in one eye"), ("2025: blind in one eye", "2025: blind in one eye"),
])
def test_notes_bear_the_year_they_are_from(notes: str | None, carried: str | None) -> None:
    assert carried == hers(notes=notes).get("notes")


def test_settings_and_rules_are_carried_and_the_year_is_the_next() -> None:
    of = season(ewes=[{"ewe": "A"}], season=[{"row_key": "year", "value": 2026}, {"row_key": "gestation", "value": 145},
                                             {"row_key": "as_of", "value": JUNE}, {"row_key": "last_loss", "value": 12.0}],
                policy=[{"row_key": "gummer", "on": OnOff.OFF, "limit": 1}, {"row_key": "least-coverage", "limit": 50}])
    carried = after(of)
    assert {"gestation": 145, "year": 2027} == {str(row["row_key"]): row["value"] for row in carried.rows["season"]}
    policy = {row["row_key"]: row for row in carried.rows["policy"]}
    assert (OnOff.OFF, 50) == (policy["gummer"]["on"], policy["least-coverage"]["limit"])


def test_the_rules_are_those_of_the_summary_where_one_is_given() -> None:
    of = season(ewes=[{"ewe": "A"}])
    rules = tuple(replace(one, rule=replace(one.rule, action=Action.NOTE)) for one in of.policy.rules)
    summary = replace(decided(of), policy=replace(of.policy, rules=rules))
    carried = next_season(analyse(Reading(of, ())), 2027, summary)
    assert {Action.NOTE} == {row["action"] for row in carried.rows["policy"] if "action" in row}


# Her history.


def test_a_lambing_more_with_its_lambs() -> None:
    row = hers([*TWO[:1], {**TWO[1], "left_how": LambLeft.DIED}], lambings_before=2, past_lambings=2, past_born=3, past_reared=3)
    assert (3, 3, 5, 4) == tuple(row[column] for column in ("lambings_before", "past_lambings", "past_born", "past_reared"))


def test_a_ewe_that_did_not_lamb_has_no_lambing_more() -> None:
    row = hers(scanned=0, lambings_before=2, past_lambings=2, past_fault_1=1, past_fault_2=0, past_fault_3=0)
    assert (2, 2, [1, 0, 0]) == (row["lambings_before"], row["past_lambings"], [row[f"past_fault_{n}"] for n in (1, 2, 3)])
    assert "2026: scanned empty" in str(row["past_year_1"])


def test_lambings_whose_number_is_not_known_stay_so() -> None:
    row = hers(TWO)
    assert "lambings_before" not in row
    assert (1, 2) == (row["past_lambings"], row["past_born"])
    assert "past_born" not in hers(TWO, past_lambings=2)  # lambings are recorded, but not how many lambs they gave


@pytest.mark.parametrize(("lamb", "cells", "faults"), [
    ({}, {}, (0, None, None)),
    ({"taken": Taken.REFUSED}, {}, (1, None, None)),
    ({}, {"past_fault_1": 1, "past_fault_2": 0, "past_fault_3": 1}, (0, 1, 0)),
    ({"taken": Taken.REFUSED}, {"past_fault_1": NOT_KNOWN, "past_fault_2": 1}, (1, None, 1)),
    ({"born": Born.ABORTED}, {"past_fault_1": 1}, (None, 1, None)),
    ({}, {"past_faults": 2}, (0, 1, 1)), ({}, {"past_faults": 0}, (0, 0, 0)), ({}, {"past_faults": 1}, (0, None, None)),
    ({}, {"past_faults": 1, "past_lambings": 1}, (0, 1, None)), ({}, {"past_faults": 0, "past_lambings": 1}, (0, 0, None)),
], ids=str)
def test_faults_move_back_by_one_lambing(lamb: Row, cells: dict[str, object], faults: tuple[int | None, ...]) -> None:
    row = hers([{**LAMB, **lamb}], **cells)
    assert faults == tuple(row.get(f"past_fault_{number}") for number in (1, 2, 3))


def test_a_fault_of_which_it_is_not_known_at_which_lambing_is_told() -> None:
    carried = after(season(ewes=[{"ewe": "A", "past_faults": 1, "past_lambings": 2}], lambs=[LAMB]))
    assert "it is not written in which: left blank (1): A" in told(carried)


def test_a_poor_lambing_moves_back_too() -> None:
    row = hers([{**LAMB, "left_how": LambLeft.DIED}], past_poor_1=0, past_poor_2=1)
    assert (1, 0, 1) == tuple(row[f"past_poor_{number}"] for number in (1, 2, 3))


def test_years_move_back_and_one_without_records_says_so() -> None:
    row = hers(past_year_1="2025: x", past_year_2="2024: y", past_year_3="2023: z")
    assert ["2026: nothing recorded", "2025: x", "2024: y"] == [row[f"past_year_{number}"] for number in (1, 2, 3)]


def test_prolapse_udder_abortion_and_last_looks_in_words() -> None:
    carried = after(season(
        ewes=[{"ewe": "A", "past_prolapse": "rectal 2024", "past_looks": "mouth full (Aug 2025)"},
              {"ewe": "B", "past_looks": "mouth full (Aug 2025)"}],
        lambing=[{"ewe": "A", "lambed_on": date(2026, 3, 1), "prolapse": Prolapse.WOMB}],
        lambs=[{**LAMB, "born": Born.MUMMIFIED}],
        ewe_check=[{"ewe": "A", "date": date(2026, 8, 20), "occasion": CheckOccasion.BEFORE_MATING, "udder": Udder.LUMP,
                    "mouth": Mouth.WORN}]))
    row = carried.ewes["a"]
    assert ("rectal 2024, womb 2026", "lump or hard 2026", "2026") == (
        row["past_prolapse"], row["past_udder"], row["past_abortion"])
    assert "udder lump, mouth worn (Aug 2026)" == row["past_looks"]
    assert "mouth full (Aug 2025)" == carried.ewes["b"]["past_looks"]  # not looked at this season


def test_last_years_warning_is_what_was_against_her_and_why_she_was_kept() -> None:
    refused: Row = {**LAMB, "taken": Taken.REFUSED}
    assert "refused her lambs" == hers([refused])["past_warning"]
    assert "refused her lambs, kept: good milker" == hers([refused], {"a": word(Verdict.KEEP, "good milker")})["past_warning"]
    assert "past_warning" not in hers([LAMB], past_warning="of last year")


@pytest.mark.parametrize(("cells", "seasons", "mean"), [
    ({}, 1, -11.0), ({"past_litter_deviation": 2.5, "past_litter_seasons": 2}, 3, (2 * 2.5 - 11.0) / 3),
])
def test_the_mean_of_her_litters_is_carried_with_how_many_it_is_of(cells: Row, seasons: int, mean: float) -> None:
    born, names = date(2026, 3, 1), [f"E{number:02}" for number in range(11)] + ["A"]
    of = season(
        ewes=[{"ewe": name, **(cells if name == "A" else {})} for name in names],
        lambing=[{"ewe": name, "lambed_on": born} for name in names],
        lambs=[{"ewe": name, "lamb_no": 1, "born": Born.ALIVE, "sex": Sex.EWE, "birth_weight": 4.0} for name in names],
        weights=[{"animal": f"{name}-1", "date": born + timedelta(90), "kg": 18.0 if name == "A" else 30.0,
                  "occasion": Weighed.WEANING} for name in names])
    row = after(of).ewes["a"]
    assert (seasons, pytest.approx(mean, abs=0.005)) == (row["past_litter_seasons"], row["past_litter_deviation"])
    assert 1 == row["past_poor_1"]


# Who left.


CULL: Row = {"ewe": "A", "lambed_on": date(2026, 3, 1), "prolapse": Prolapse.VAGINAL}


def left(of: Season, words: dict[str, OwnWord] | None) -> tuple[list[str], list[Row]]:
    carried = after(of, words)
    return list(carried.ewes), list(carried.rows["left"])


def test_a_ewe_that_died_or_went_stands_on_left_with_how_and_when() -> None:
    of = season(ewes=[{"ewe": "A", "left_on": JUNE, "left_how": EweLeft.DIED, "left_why": "cast", "born_year": 2020},
                      {"ewe": "B", "left_on": NOT_KNOWN}, {"ewe": "C"}])
    ewes, rows = left(of, None)
    assert ["c"] == ewes
    assert [{"ewe": "A", "born_year": "2020", "season": "2026", "how": "died", "left_on": "1 Jun 2026", "why": "cast"},
            {"ewe": "B", "season": "2026", "how": "left, how is not written", "left_on": "?"}] == rows
    assert "died or went, on Left now (2): A died on 1 Jun 2026, B left, how is not written on ?" in told(after(of))


@pytest.mark.parametrize(("words", "here", "how", "why"), [
    ({}, False, "culled by decision", "Vaginal prolapse, 1 time"),
    ({"a": word(Verdict.DRAFT, "to a friend")}, False, "sold as draft by decision", "to a friend"),
    ({"a": word(Verdict.KEEP)}, True, "", ""), ({"a": word(Verdict.WATCH)}, True, "", ""),
    (None, True, "", ""),
], ids=["as the rules say", "otherwise", "kept", "watched", "no summary"])
def test_who_is_to_go_is_the_last_word_of_the_meeting(
    words: dict[str, OwnWord] | None, here: bool, how: str, why: str,
) -> None:
    ewes, rows = left(season(ewes=[{"ewe": "A"}], lambing=[CULL]), words)
    assert (["a"] if here else []) == ewes
    assert ([] if here else [(how, why)]) == [(row["how"], row["why"]) for row in rows]


def test_a_keep_that_the_meeting_culls_goes() -> None:
    ewes, rows = left(season(ewes=[{"ewe": "A"}], lambs=[LAMB]), {"a": word(Verdict.CULL)})
    assert ([], ["decided at the meeting"]) == (ewes, [row["why"] for row in rows])


def test_without_a_summary_nobody_has_decided_and_that_is_told() -> None:
    carried = after(season(ewes=[{"ewe": "A"}], lambing=[CULL]))
    assert "recommended to go, which nobody has decided (--decisions SUMMARY), and in all the same (1): A" in told(carried)


def test_what_could_not_be_taken_of_the_summary_is_told() -> None:
    of = season(ewes=[{"ewe": "A"}], lambs=[LAMB])
    problem = NotTaken(HERE, "“perhaps” is no decision about ewe A: choose cull; draft; watch; keep")
    carried = next_season(analyse(Reading(of, ())), 2027, decided(of, problems=(problem,)))
    assert f"look: {problem}" in told(carried)


def test_ewes_of_an_earlier_left_stay_there() -> None:
    of = season(ewes=[{"ewe": "A", "left_how": EweLeft.SOLD}], left=[{"ewe": "Z", "season": "2024", "how": "died"}])
    assert [("Z", "2024"), ("A", "2026")] == [(row["ewe"], row["season"]) for row in after(of).rows["left"]]


# Rows that belong to no ewe or to two.


def test_a_ewe_that_lambed_but_is_not_on_ewes_comes_and_a_number_beside_a_treatment_does_not() -> None:
    carried = after(season(ewes=[{"ewe": "A"}], lambs=[{**LAMB, "ewe": "B"}, {**LAMB, "foster_ewe": "C"}]))
    assert ["a", "b"] == sorted(carried.ewes)
    assert "look: lambed, but not on Ewes: in, without age or tags (1): B" in told(carried)
    assert "without a lambing: not in (1): c" in told(carried)


def test_a_number_that_fits_two_ewes_is_told_with_its_cell_and_theirs() -> None:
    carried = after(season(ewes=[{"ewe": "0412"}, {"ewe": "00412"}], lambing=[{"ewe": "412", "lambed_on": JUNE}]))
    assert "look: season.xlsx:Lambing!A4: 412 fits two ewes, 00412 (Ewes!A5) and 0412 (Ewes!A4)" in told(carried)
    assert ["0412", "00412"] == list(carried.ewes)


def test_a_ewe_twice_on_ewes_comes_once_and_a_row_without_a_number_is_told() -> None:
    carried = after(season(ewes=[{"ewe": "A", "breed": "Mule"}, {"ewe": "A"}, {"breed": "Mule"}]))
    assert ["a"] == list(carried.ewes)
    assert "season.xlsx:Ewes!A4: ewe A stands again in Ewes!A5" in told(carried)
    assert "season.xlsx:Ewes!A6 has no number in it and was not carried" in told(carried)


# Ewe lambs kept.


def test_ewe_lambs_kept_come_in_as_ewes_that_never_lambed() -> None:
    of = season(ewes=[{"ewe": "A"}], lambs=[{**LAMB, "tag": "7001"}, {**LAMB, "lamb_no": 2},
                                            {**LAMB, "lamb_no": 3, "left_how": LambLeft.SOLD}])
    carried = after(of, kept=("7001", "A-2", "A-3", "nobody"))
    young: Row = {"born_year": 2026, "lambings_before": 0, "notes": "daughter of A"}
    assert [{"ewe": "7001", "also_known_as": "A-1", **young}, {"ewe": "A-2", **young}] == list(carried.new)
    assert "replacements born here; write their groups (2): 7001, A-2" in told(carried)
    assert "look: the ewe lamb A-3 was to be kept, but it left (sold): write her on Ewes by hand" in told(carried)
    assert "look: the ewe lamb nobody was to be kept, but no lamb answers to it" in told(carried)


# The scan list.


def listed(*rows: ScanRow) -> ScanList:
    return ScanList(Path("scan.csv"), rows, (), (), ())


def scan(carried: Carried, *rows: ScanRow, mating: Mating | None = None) -> tuple[dict[str, Row], str]:
    found, said, _ = with_scan(carried, listed(*rows), mating or Mating(), 147)
    return {str(row["ewe"]): row for row in found}, text(said)


def test_the_scan_goes_to_the_ewe_it_means_by_number_zeros_or_official_tag() -> None:
    carried = after(season(ewes=[{"ewe": "0412", "born_year": 2022}, {"ewe": "W7", "official_tag": "826012345600415"}]))
    rows, said = scan(carried, ScanRow(2, "412", 2), ScanRow(3, "9", 1, official_tag="826012345600415"))
    assert {"0412": 2, "W7": 1} == {name: row["scanned"] for name, row in rows.items()}
    assert "joined but for leading zeros (1): 412 is 0412" in said
    assert "look" not in said


def test_who_is_on_one_side_only_is_listed_on_both() -> None:
    carried = after(season(ewes=[{"ewe": "A"}, {"ewe": "B"}]))
    rows, said = scan(carried, ScanRow(2, "A", 2), ScanRow(3, "N1", 1, born_year=2025))
    assert (["A", "B", "N1"], None, 2025) == (list(rows), rows["B"].get("scanned"), rows["N1"]["born_year"])
    assert "on the list, but not in season.xlsx: in as new, without a history (1): N1" in said
    assert "in season.xlsx, but neither on the list nor gone: in as not scanned (1): B" in said


def test_a_line_that_fits_two_ewes_or_one_listed_before_is_asked_about() -> None:
    carried = after(season(ewes=[{"ewe": "0412"}, {"ewe": "00412"}, {"ewe": "A", "also_known_as": "W7"}]))
    rows, said = scan(carried, ScanRow(2, "412", 2), ScanRow(3, "A", 1), ScanRow(4, "W7", 3))
    assert "look: line 2: 412 fits two ewes, 00412 (Ewes!A5) and 0412 (Ewes!A4) of season.xlsx" in said
    assert "look: line 4: ewe W7 is a ewe listed before, A" in said
    assert (2, 1, 3) == (rows["412"]["scanned"], rows["A"]["scanned"], rows["W7"]["scanned"])


def test_number_and_official_tag_of_two_ewes_are_asked_about() -> None:
    carried = after(season(ewes=[{"ewe": "A"}, {"ewe": "B", "official_tag": "826012345600415"}]))
    rows, said = scan(carried, ScanRow(2, "A", 2, official_tag="826012345600415"))
    assert "look: line 2: the number A and the official tag 826012345600415 are those of two ewes" in said
    assert 2 == rows["A"]["scanned"]


def test_a_ewe_that_had_left_and_is_scanned_is_asked_about() -> None:
    carried = after(season(ewes=[{"ewe": "A", "left_how": EweLeft.DIED, "left_on": JUNE}, {"ewe": "B"}],
                           left=[{"ewe": "Z", "season": "2024", "how": "died"}]))
    rows, said = scan(carried, ScanRow(2, "A", 2), ScanRow(3, "Z", 1), ScanRow(4, "B", 1))
    assert "look: on the list, but gone by season.xlsx" in said and "A died on 1 Jun 2026, Z died" in said
    assert {"A", "B", "Z"} == set(rows) and "past_year_1" not in rows["A"]


def test_what_the_list_says_otherwise_is_told_and_its_group_is_this_years() -> None:
    carried = after(season(ewes=[{"ewe": "A", "breed": "Mule", "born_year": 2020, "group": "Hill"}]))
    rows, said = scan(carried, ScanRow(2, "A", 2, breed="mule", born_year=2021, group="Low"))
    assert ("Mule", 2020, "Low") == (rows["A"]["breed"], rows["A"]["born_year"], rows["A"]["group"])
    assert "look: another born year on the list; what stands here was kept (1): A (2021, here 2020)" in said
    assert "breed" not in said


def test_a_ewe_decided_to_go_who_is_scanned_is_here_with_her_history() -> None:
    carried = after(season(ewes=[{"ewe": "A"}, {"ewe": "B"}], lambing=[CULL]), {})
    assert ["b"] == list(carried.ewes)
    found = with_scan(carried, listed(ScanRow(2, "A", 2), ScanRow(3, "B", 1)), Mating(), 147)
    assert ({"A", "B"}, frozenset({"A"})) == ({row["ewe"] for row in found.ewes}, found.returned)
    assert "vaginal 2026" == next(row for row in found.ewes if row["ewe"] == "A")["past_prolapse"]
    assert "look: on the list, though decided to go: in with her history, and not on Left (1): A" in text(found.said)


def test_a_note_of_the_list_stands_before_that_of_the_year_before() -> None:
    rows, said = scan(after(season(ewes=[{"ewe": "A", "notes": "shy"}])), ScanRow(2, "A", 2, notes="counted twice"))
    assert ("counted twice; 2026: shy", False) == (rows["A"]["notes"], "another notes" in said)


@pytest.mark.parametrize(("row", "ram_in", "due"), [
    (ScanRow(2, "A", 2), None, None), (ScanRow(2, "A", 2, mated_on=date(2026, 10, 1)), JUNE, date(2027, 2, 25)),
    (ScanRow(2, "A", 2), date(2026, 10, 10), date(2027, 3, 6)), (ScanRow(2, "A", 0), date(2026, 10, 10), None),
    (ScanRow(2, "A", 2, due=date(2027, 3, 1)), JUNE, date(2027, 3, 1)),
], ids=["nothing", "mated", "ram", "empty", "due"])
def test_when_she_is_due(row: ScanRow, ram_in: date | None, due: date | None) -> None:
    rows, _ = scan(after(season(ewes=[{"ewe": "A"}])), row, mating=Mating(ram_in=ram_in))
    assert due == rows["A"].get("due")


@pytest.mark.parametrize(("written", "hers", "due"), [
    ("Low", "Low", date(2026, 10, 26)), ("Low", None, None), (None, None, None),
])
def test_a_row_of_groups_without_a_name_is_nobodys(written: str | None, hers: str | None, due: date | None) -> None:
    carried = as_it_stands(season(ewes=[{"ewe": "A", "group": hers}], groups=[{"group": written, "ram_in": JUNE}]))
    assert [due] == [row.get("due") for row in without_scan(carried, Mating(), 147)]


def test_without_a_list_the_ewes_are_those_that_came_back_and_the_young_ones() -> None:
    carried = after(season(ewes=[{"ewe": "A"}, {"ewe": "B", "left_how": EweLeft.DIED}], lambs=[{**LAMB, "tag": "7001"}]),
                    kept=("7001",))
    assert ["A", "7001"] == [row["ewe"] for row in without_scan(carried, Mating(), 147)]
