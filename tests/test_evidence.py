"""Evidence: one number for each ewe and the cells that hold it, nothing where nothing was looked at."""

from datetime import date, timedelta

import pytest
from seasons import season

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN
from template_builder.layout.choices import (
    Born,
    CheckOccasion,
    Colostrum,
    Feet,
    Help,
    Milk,
    Mouth,
    Prolapse,
    Reason,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Vigour,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.policy import EVIDENCE, EVIDENCE_BY_ID, RULES
from template_builder.layout.sheets.ewes import POOR
from template_builder.layout.whole import SHEET
from workbook.reading.season_file import read
from workbook.results.advice.evidence import LOOKERS, NOTHING, Seen, evidence
from workbook.results.pipeline import analyse
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)
MAY, JUNE, JULY = date(2026, 5, 20), date(2026, 6, 20), date(2026, 7, 20)


def seen(id: str, records: Season) -> Seen:
    return evidence(records, records.flock.ewes["a"])[id]


def cells(found: Seen) -> list[str]:
    return [str(cell) for cell in found.cells]


def check(day: date | None = JUNE, **values: Value) -> Row:
    return {"ewe": "A", "date": day, **values}


def treatment(reason: Reason) -> Row:
    return {"date": JUNE, "given_to": TreatedFor.EWE, "animal": "A", "reason": reason}


def test_every_evidence_has_a_function_in_the_order_of_policy() -> None:
    assert [one.id for one in EVIDENCE] == list(LOOKERS)


def test_a_poor_lambing_of_an_earlier_year_rests_on_its_cell_alone_where_nothing_bears_on_this_one() -> None:
    """All her lambs were set on to others by choice: that says nothing of her."""
    lamb: Row = {"ewe": "A", "lamb_no": 1, "born": Born.ALIVE, "foster_ewe": "B", "why_moved": WhyMoved.SPARE}
    found = seen("poor_lambings", season(ewes=[{"ewe": "A", POOR[0]: 1}, {"ewe": "B"}], lambs=[lamb]))
    assert (1.0, [POOR[0]]) == (found.value, [SHEET["ewes"].columns[cell.column - 1].id for cell in found.cells])


def test_every_rule_rests_on_evidence_that_exists() -> None:
    assert {rule.evidence for rule in RULES} <= set(EVIDENCE_BY_ID)
    assert {rule.evidence for rule in RULES} == set(EVIDENCE_BY_ID), "evidence that no rule uses"


@pytest.mark.parametrize("id", list(LOOKERS))
def test_nothing_recorded_is_not_nought(id: str) -> None:
    assert NOTHING == seen(id, season(ewes=[{"ewe": "A"}]))


@pytest.mark.parametrize("column", ["sides_in_milk", "teats", "prolapse", "colostrum"])
def test_a_question_mark_is_not_nought_either(column: str) -> None:
    found = evidence(records := season(lambing=[{"ewe": "A", column: NOT_KNOWN}]), records.flock.ewes["a"])
    assert {None} == {found[id].value for id in ("dry_at_lambing", "teats_large", "prolapse_vaginal", "no_milk")}


def test_all_well_is_nought_and_points_at_its_own_cell() -> None:
    records = season(lambing=[{"ewe": "A", "all_well": YesNo.YES}])
    for id in ("prolapse_vaginal", "dry_at_lambing", "teats_large", "narrow"):
        assert (0, ["Lambing!E4"]) == (seen(id, records).value, cells(seen(id, records)))


def test_a_filled_cell_overrides_all_well() -> None:
    found = seen("prolapse_womb", season(lambing=[{"ewe": "A", "all_well": YesNo.YES, "prolapse": Prolapse.WOMB}]))
    assert (1, ["Lambing!R4"]) == (found.value, cells(found))


@pytest.mark.parametrize(("sides", "expected"), [(2, 0), (1, 1), (0, 2)])
def test_sides_dry_at_lambing(sides: int, expected: float) -> None:
    found = seen("dry_at_lambing", season(lambing=[{"ewe": "A", "sides_in_milk": sides}]))
    assert (expected, ["Lambing!P4"]) == (found.value, cells(found))


def test_the_last_look_later_says_whether_a_side_is_dry() -> None:
    lambing = [{"ewe": "A", "lambed_on": LAMBED, "sides_next_day": 1}]
    dry = season(lambing=lambing, ewe_check=[check(JUNE, sides_in_milk=1), check(MAY, sides_in_milk=2)])
    assert (1, ["Ewe check!F4"]) == (seen("dry_later", dry).value, cells(seen("dry_later", dry)))
    assert NOTHING == seen("dry_at_lambing", dry)
    assert 0 == seen("dry_later", season(lambing=lambing, ewe_check=[check(MAY, sides_in_milk=1), check(sides_in_milk=2)])).value


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (check(JUNE, sides_in_milk=1), 1),
        (check(JUNE, sides_in_milk=0, milk=Milk.DRY, lambs_at_foot=2), 1),
        (check(None, sides_in_milk=1), 1),
        (check(JULY, sides_in_milk=0, milk=Milk.DRY), None),
        (check(JULY, sides_in_milk=0, occasion=CheckOccasion.BEFORE_MATING), None),
        (check(LAMBED, sides_in_milk=1), None),
        (check(date(2026, 2, 20), sides_in_milk=0), None),
    ],
    ids=["one side", "dry with lambs", "no date", "dried off", "before mating", "on the day she lambed", "before lambing"],
)
def test_only_looks_when_milk_was_to_be_expected_count(row: Row, expected: float | None) -> None:
    records = season(lambing=[{"ewe": "A", "lambed_on": LAMBED}], ewe_check=[row])
    assert expected == seen("dry_later", records).value


def test_a_mastitis_seen_treated_and_told_by_a_moved_lamb_is_one() -> None:
    records = season(
        ewes=[{"ewe": "A"}], ewe_check=[check(trouble=Trouble.MASTITIS)], treatments=[treatment(Reason.MASTITIS)],
        lambs=[{"ewe": "A", "lamb_no": 1, "why_moved": WhyMoved.MASTITIS}],
    )
    assert (1, {"Ewe check!L4", "Treatments!G4", "Lambs!P4"}) == (
        seen("mastitis", records).value, set(cells(seen("mastitis", records))))


def test_a_sound_udder_makes_mastitis_nought() -> None:
    found = seen("mastitis", season(ewe_check=[check(udder=Udder.SOUND)]))
    assert (0, ["Ewe check!G4"]) == (found.value, cells(found))


def test_the_last_mouth_by_date_counts_not_by_row() -> None:
    records = season(ewe_check=[check(JULY, mouth=Mouth.BROKEN), check(MAY, mouth=Mouth.FULL)])
    assert (1, ["Ewe check!I4"]) == (seen("broken", records).value, cells(seen("broken", records)))


def test_the_last_look_at_her_teats_counts_and_one_before_she_lambed_stands_before_it() -> None:
    lambing = [{"ewe": "A", "lambed_on": LAMBED, "teats": Teats.LARGE}]
    for day, expected in ((JUNE, 0), (LAMBED, 0), (None, 0), (LAMBED - timedelta(days=1), 1)):
        assert expected == seen("teats_large", season(lambing=lambing, ewe_check=[check(day, teats=Teats.SOUND)])).value


def test_a_prolapse_seen_at_a_check_is_unnamed_until_lambing_names_it() -> None:
    checks = [check(trouble=Trouble.PROLAPSE), check(MAY, trouble=Trouble.PROLAPSE)]
    assert 1 == seen("prolapse_unnamed", season(ewe_check=checks)).value
    named = season(ewe_check=checks, lambing=[{"ewe": "A", "prolapse": Prolapse.RECTAL}])
    assert NOTHING == seen("prolapse_unnamed", named)


def lambs_born(*born: Born) -> list[Row]:
    return [{"ewe": "A", "lamb_no": number, "born": one} for number, one in enumerate(born, start=1)]


ALIVE, FRESH, DECAYED, MUMMY, CAST = Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED, Born.MUMMIFIED, Born.ABORTED


@pytest.mark.parametrize(("born", "words"), [
    ([CAST, CAST], "2 lambs aborted"), ([ALIVE, CAST], "1 lamb aborted"), ([ALIVE, MUMMY], "1 lamb mummified"),
    ([FRESH, DECAYED], "litter all dead, one decayed"), ([DECAYED], "lamb dead and decayed"),
    ([FRESH, FRESH], ""), ([ALIVE, DECAYED], ""), ([ALIVE], ""),
])
def test_what_her_lambs_say_of_an_abortion(born: list[Born], words: str) -> None:
    found = seen("aborted", season(lambs=lambs_born(*born)))
    assert (bool(words), words) == (bool(found.value), found.words)


def test_a_check_that_saw_her_abort_is_certain() -> None:
    found = seen("aborted", season(ewe_check=[check(trouble=Trouble.ABORTED)]))
    assert (1, ["Ewe check!L4"], "aborted") == (found.value, cells(found), found.words)


@pytest.mark.parametrize(("days", "suspected"), [(7, False), (8, True), (9, True)])
@pytest.mark.parametrize("lamb", [{"born": Born.DEAD_FRESH}, {"born": Born.ALIVE, "vigour": Vigour.WEAK}, {"born": Born.ALIVE}])
def test_lambing_early_with_a_lamb_dead_or_weak_may_be_an_abortion(days: int, suspected: bool, lamb: Row) -> None:
    mated = LAMBED + timedelta(days=days) - timedelta(days=147)
    records = season(ewes=[{"ewe": "A", "mated_on": mated}], lambing=[{"ewe": "A", "lambed_on": LAMBED}],
                     lambs=[{"ewe": "A", "lamb_no": 1, **lamb}])
    poor = lamb != {"born": Born.ALIVE}
    assert (suspected and poor) == bool(seen("aborted", records).value)


def test_no_colostrum_and_each_lamb_moved_for_milk() -> None:
    records = season(lambing=[{"ewe": "A", "colostrum": Colostrum.NONE}],
                     lambs=[{"ewe": "A", "lamb_no": 1, "why_moved": WhyMoved.NO_MILK}])
    assert 2 == seen("no_milk", records).value
    assert 0 == seen("no_milk", season(lambing=[{"ewe": "A", "colostrum": Colostrum.LITTLE}])).value


def test_helped_without_a_reason_says_nothing_about_narrow() -> None:
    assert NOTHING == seen("narrow", season(lambing=[{"ewe": "A", "help": Help.HARD}]))
    assert 0 == seen("narrow", season(lambing=[{"ewe": "A", "help": Help.NONE}])).value


@pytest.mark.parametrize(("conditions", "expected"), [
    ([1.75, 1.75], 1), ([2.0, 1.75], 0), ([1.75, 2.0], 0), ([3.0, 1.5, 1.5], 1), ([1.5, 1.5, 2.5], 0), ([1.5], 0),
])
def test_thin_at_her_last_two_looks_with_sound_teeth(conditions: list[float], expected: float) -> None:
    looks = [check(MAY + timedelta(days=number), condition=one) for number, one in enumerate(conditions)]
    assert NOTHING == seen("thin", season(ewe_check=looks)), "a mouth is needed to judge by"
    assert expected == seen("thin", season(ewe_check=[*looks, check(JULY, mouth=Mouth.WORN)])).value
    assert 0 == seen("thin", season(ewe_check=[*looks, check(JULY, mouth=Mouth.BROKEN)])).value


def test_thin_as_her_trouble_and_thin_at_lambing_are_looks_too() -> None:
    lambing: list[Row] = [{"ewe": "A", "lambed_on": LAMBED, "condition": 1.5}]
    records = season(lambing=lambing, ewe_check=[check(trouble=Trouble.THIN, mouth=Mouth.FULL)])
    assert (1, ["Lambing!T4", "Ewe check!L4", "Ewe check!I4"]) == (seen("thin", records).value, cells(seen("thin", records)))


@pytest.mark.parametrize(("looks", "expected"), [
    ([check(condition=1.0, occasion=CheckOccasion.BEFORE_MATING)], 1.0),
    ([check(condition=1.0), check(JULY, condition=2.5, occasion=CheckOccasion.BEFORE_MATING)], 2.5),
    ([check(condition=1.0, occasion=CheckOccasion.WEANING)], None),
])
def test_condition_at_the_look_before_mating(looks: list[Row], expected: float | None) -> None:
    assert expected == seen("condition_at_mating", season(ewe_check=looks)).value


BADLY, LAME, SOUND_FEET = Feet.BADLY_LAME, Feet.LAME, Feet.SOUND


@pytest.mark.parametrize(("feet", "expected"), [
    ([BADLY], 0), ([BADLY, BADLY], 1), ([SOUND_FEET, BADLY], 0), ([BADLY, SOUND_FEET], 0), ([LAME, BADLY], 0), ([BADLY, LAME], 0),
    ([SOUND_FEET, BADLY, BADLY], 1), ([BADLY, BADLY, SOUND_FEET], 0), ([BADLY, SOUND_FEET, BADLY], 0), ([BADLY, BADLY, BADLY], 1),
])
def test_badly_lame_is_not_recovering_only_at_her_last_two_looks(feet: list[Feet], expected: float) -> None:
    looks = [check(MAY + timedelta(days=number), feet=one) for number, one in enumerate(feet)]
    assert expected == seen("badly_lame", season(ewe_check=looks)).value


def test_scanned_empty_but_lambed_is_not_empty() -> None:
    records = season(ewes=[{"ewe": "A", "scanned": 0, "lambings_before": 2}],
                     lambs=[{"ewe": "A", "lamb_no": 1, "born": Born.ALIVE}])
    assert 0 == seen("empty_mature", records).value


def test_treatments_of_a_group_are_not_hers_alone() -> None:
    row = {**treatment(Reason.LAMENESS), "given_to": TreatedFor.GROUP}
    assert NOTHING == seen("lame_treatments", season(ewes=[{"ewe": "A"}], treatments=[row]))


@pytest.mark.parametrize("name", [CLEAN, HILL_CLEAN])
def test_policy_says_which_evidence_is_of_a_last_look_and_which_says_more_than_its_number(name: str) -> None:
    looks = {id for id, one in EVIDENCE_BY_ID.items() if one.last_look}
    for decision in analyse(read(FOLDER / name)).decisions.values():
        seen = decision.facts.seen
        assert {id for id, one in seen.items() if one.at_mating} <= looks
        assert {id for id, one in seen.items() if one.words} <= {id for id, one in EVIDENCE_BY_ID.items() if one.in_words}
        for part in {EVIDENCE_BY_ID[id].checked for id in looks}:
            of_part = [seen[id] for id in looks if EVIDENCE_BY_ID[id].checked == part]
            assert len({one.at_mating for one in of_part if one.value is not None}) <= 1, "one look was the last"
