"""Which ewe lambs may come into the flock: who is left out and why, what speaks against one, and the order."""

from collections.abc import Mapping
from datetime import date

import pytest
from seasons import season

from demo_workbooks import CLEAN, FOLDER
from template_builder.layout.choices import (
    Born,
    CameFrom,
    EweLeft,
    Help,
    LambLeft,
    Prolapse,
    RearedBy,
    Sex,
    Taken,
    YesNo,
)
from template_builder.layout.columns import Row, Value
from workbook.reading.season_file import read
from workbook.results.advice.decisions import decisions
from workbook.results.flock.replacements import Candidate, Choice, replacements
from workbook.results.pipeline import analyse

PROLAPSED: Row = {"ewe": "A", "lambed_on": date(2026, 4, 2), "prolapse": Prolapse.VAGINAL}


def lamb(number: int = 1, ewe: str = "A", **cells: Value) -> Row:
    return {"ewe": ewe, "lamb_no": number, "sex": Sex.EWE, "born": Born.ALIVE, "reared_by": RearedBy.OWN_EWE, **cells}


def chosen(*lambs: Row, ewe: Mapping[str, Value] = {}, **rows: list[Row]) -> dict[str, Candidate]:  # noqa: B006
    """The candidates of ewe A's lambs, by name."""
    given: list[Row] = [{"ewe": "A", "scanned": 2, "group": "Brow", **ewe}, {"ewe": "B", "scanned": 1, "group": "Brow"}]
    one = season(ewes=given, lambs=list(lambs), **rows)
    return {found.lamb.name: found for found in replacements(one, decisions(one, "weaned"), "weaned")}


def twin(**cells: Value) -> Row:
    return lamb(2, sex=Sex.RAM, **cells)


def test_a_sound_twin_of_a_sound_ewe_is_a_first_choice() -> None:
    (found,) = chosen(lamb(), twin()).values()
    assert (Choice.FIRST, "A", 2, (), (), 0) == (found.choice, found.dam, found.born, found.out, found.against, found.sisters)


@pytest.mark.parametrize("cells", [
    {"sex": Sex.RAM}, {"sex": None}, {"born": Born.DEAD_FRESH}, {"left_how": LambLeft.SOLD}, {"left_how": LambLeft.DIED},
    {"came_from": CameFrom.BOUGHT_IN},
])
def test_only_ewe_lambs_born_here_and_still_here_are_on_the_list(cells: Mapping[str, Value]) -> None:
    assert {} == chosen({**lamb(), **cells}, twin())


@pytest.mark.parametrize(("kept", "out"), [(YesNo.NO, ("daughters of this ram are not kept",)), (YesNo.YES, ()), (None, ())])
def test_a_ram_whose_daughters_are_not_kept(kept: YesNo | None, out: tuple[str, ...]) -> None:
    (found,) = chosen(lamb(), twin(), groups=[{"group": "brow", "keep_daughters": kept}]).values()
    assert out == found.out


def test_a_lamb_on_the_bottle_is_left_out() -> None:
    (found,) = chosen(lamb(reared_by=RearedBy.PET), twin()).values()
    assert ("reared on the bottle",) == found.out


def test_the_mothers_prolapse_rules_her_daughter_out() -> None:
    (found,) = chosen(lamb(), twin(), lambing=[PROLAPSED]).values()
    assert ("her mother: prolapse",) == found.out


def test_a_mother_that_has_died_is_judged_all_the_same() -> None:
    (found,) = chosen(lamb(), twin(), ewe={"left_how": EweLeft.DIED}, lambing=[PROLAPSED]).values()
    assert Choice.OUT is found.choice


def test_a_mother_that_refused_a_lamb_rules_its_sister_out() -> None:
    found = chosen(lamb(), twin(taken=Taken.REFUSED, reared_by=RearedBy.PET))
    assert ("her mother: refused lambs",) == found["A-1"].out


def test_an_aborted_mother_or_foster_ewe_rules_her_out() -> None:
    aborted = lamb(1, "B", born=Born.ABORTED)
    found = chosen(lamb(reared_by=RearedBy.FOSTER_EWE, foster_ewe="B"), twin(), aborted)
    assert ("set on to a ewe that aborted, or may have",) == found["A-1"].out
    own = chosen(lamb(), twin(born=Born.MUMMIFIED))
    assert ("her mother aborted, or may have",) == own["A-1"].out


def test_a_lamb_whose_mother_nobody_knows_is_left_out() -> None:
    (found,) = chosen({**lamb(ewe=""), "ewe": None, "tag": "77", "came_from": CameFrom.MOTHER_NOT_KNOWN}).values()
    assert ("mother not known",) == found.out


@pytest.mark.parametrize(("born", "against"), [(1, True), (2, False), (3, False), (4, True)])
def test_the_litter_she_was_born_in_has_a_wanted_range(born: int, against: bool) -> None:
    found = chosen(lamb(), *(lamb(number, sex=Sex.RAM) for number in range(2, born + 1)))["A-1"]
    assert against == bool(found.against)
    assert (Choice.SECOND if against else Choice.FIRST) == found.choice


def test_help_at_birth_and_setting_on_speak_against_her() -> None:
    helped = chosen(lamb(), twin(), lambing=[{"ewe": "A", "lambed_on": date(2026, 4, 2), "help": Help.HARD}])["A-1"]
    assert ("helped at birth",) == helped.against
    set_on = chosen(lamb(reared_by=RearedBy.FOSTER_EWE, foster_ewe="B"), twin())["A-1"]
    assert ("set on: not reared by her mother",) == set_on.against


def test_sisters_are_counted() -> None:
    found = chosen(lamb(1), lamb(2), lamb(3))
    assert [2, 2, 2] == [one.sisters for one in found.values()]


def test_the_order_is_first_choices_by_weight_then_second_ones_then_those_left_out() -> None:
    of = analyse(read(FOLDER / CLEAN))
    found = replacements(of.season, of.decisions, of.stage)
    assert sorted(one.choice for one in found) == [one.choice for one in found]
    for choice in Choice:
        kgs = [one.kg for one in found if one.choice is choice and one.kg is not None]
        assert sorted(kgs, reverse=True) == kgs
    assert {Choice.FIRST, Choice.SECOND, Choice.OUT} == {one.choice for one in found}
    # Against the lamb model itself: each difference is the lamb's own.
    lambs = of.rearing.lambs.lambs
    assert all(one.kg == lambs[one.lamb.record.row].against.deviation for one in found if one.lamb.record.row in lambs)
