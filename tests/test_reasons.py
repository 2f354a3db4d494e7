"""Every reason of every decision in the demo leads to cells that hold what it says, read from the file without the program."""

import json
from collections.abc import Mapping
from datetime import date, datetime
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from seasons import RULE

from demo_workbooks import CLEAN, MESSY
from template_builder.layout.choices import Verdict, WhyMoved
from template_builder.layout.policy import EVIDENCE_BY_ID
from template_builder.layout.sheets import SHEETS
from workbook.output.report import result_json
from workbook.reading.season_file import read
from workbook.results.advice.decisions import Decision, Reason
from workbook.results.pipeline import Result, analyse

DEMO = Path(__file__).parent.parent / "demo_workbooks"

# What a cell must say for each rule to lean on it, in the words of the drop-downs; written here a second time on purpose.
# Prolapse, mouth and the rest are told by one word; "number" is any number, looked at more closely below.
GONE_FROM_HER = {"died", "missing", *(why.label for why in WhyMoved)}
SAYS: Mapping[str, set[str]] = {
    "vaginal-prolapse": {"vaginal"}, "womb-prolapse": {"womb"}, "rectal-prolapse": {"rectal"}, "unnamed-prolapse": {"prolapse"},
    "side-dry-at-lambing": {"0", "1"}, "side-dry-later": {"0", "1"}, "udder-lump-or-hard": {"lump", "hard"},
    "udder-damaged": {"damaged"}, "mastitis": {"mastitis"}, "large-teats": {"large"}, "bad-teats": {"blocked", "damaged"},
    "bad-udder-or-teats": {"bad udder or teats"},
    "gummer": {"gummer"}, "broken-mouth": {"broken"}, "jaw": {"overshot", "undershot"}, "lame-again": {"lameness"},
    "lame-twice": {"lameness"}, "badly-lame": {"badly lame"}, "empty": {"0"}, "empty-young": {"0"}, "empty-age-unknown": {"0"},
    "aborted": {"aborted", "mummified", "dead, decayed", "dead, fresh", "weak"}, "refused-lambs": {"refused"},
    "lost-her-lambs": {"starved or chilled"}, "no-milk": {"none", "no milk"}, "narrow": {"narrow"},
    "thin-sound-teeth": {"thin"}, "thin-before-mating": {"thin"},
    "reared-none": GONE_FROM_HER, "reared-none-again": GONE_FROM_HER,
    "poor-again": GONE_FROM_HER | {"1"},
}
SOUND_TEETH = {"full", "worn", "overshot", "undershot"}
THIN_BELOW = 2.0

# Rules whose number is not the number of their cells: sides counted in one cell, or a yes that rests on several.
NOT_COUNTED = {
    "side-dry-at-lambing", "badly-lame", "thin-sound-teeth", "never-lambed", "aborted", "reared-none", "reared-none-again",
    "mastitis", "lame-twice", "lame-again", "thin-before-mating", "poor-again",
}


@cache
def result(name: str) -> Result:
    return analyse(read(DEMO / name))


@cache
def cells(name: str) -> Mapping[tuple[str, str], object]:
    """Every filled cell of the sheets people write in, by tab and place."""
    book = openpyxl.load_workbook(DEMO / name, read_only=True)
    return {(sheet.title, cell.coordinate): cell.value for sheet in SHEETS for row in book[sheet.title].iter_rows()
            for cell in row if cell.value is not None}


def reasons(name: str) -> list[tuple[Decision, Reason]]:
    return [(decision, reason) for decision in result(name).decisions.values() for reason in decision.reasons]


def holds(reason: Reason, value: object) -> bool:
    """Whether a value as it stands in the file bears out a reason."""
    said = str(value).strip().casefold()
    if reason.rule in ("thin-sound-teeth", "thin-before-mating"):
        return isinstance(value, int | float) and value < THIN_BELOW or said in SOUND_TEETH | SAYS[reason.rule]
    if reason.rule == "never-lambed":
        return isinstance(value, datetime | date) or isinstance(value, int) and value > 0
    return said in SAYS[reason.rule]


@pytest.mark.parametrize("name", [CLEAN, MESSY])
def test_each_cell_of_each_reason_says_so(name: str) -> None:
    assert len(reasons(name)) > 40
    for decision, reason in reasons(name):
        assert reason.cells, (decision.name, reason.rule)
        for place in reason.cells:
            value = cells(name).get((place.sheet, place.cell))
            assert value is not None and holds(reason, value), (decision.name, reason.rule, str(place), value)


@pytest.mark.parametrize("name", [CLEAN, MESSY])
def test_the_number_of_a_reason_is_the_number_of_its_cells(name: str) -> None:
    for decision, reason in reasons(name):
        assert reason.value == decision.evidence[RULE[reason.rule].evidence]
        if reason.rule not in NOT_COUNTED:
            assert reason.value == len(set(reason.cells)), (decision.name, reason.rule)


@pytest.mark.parametrize("name", [CLEAN, MESSY])
def test_each_cell_of_a_reason_stands_in_a_row_that_speaks_of_the_ewe(name: str) -> None:
    of = result(name)
    rows = {(row.tab, row.row): row for tab in of.season.records.values() for row in tab}
    for decision, reason in reasons(name):
        for place in reason.cells:
            row = rows[place.sheet, place.row]
            told = [column for column in ("ewe", "foster_ewe", "animal") if row.has(column) and row.text(column)]
            named = [of.season.flock.ewe_of(row, column) for column in told]
            assert decision.ewe in [ewe.key for ewe in named if ewe], (decision.name, str(place))


@pytest.mark.parametrize("name", [CLEAN, MESSY])
def test_a_verdict_other_than_keep_has_a_reason_and_keep_has_none_that_acts(name: str) -> None:
    for decision in result(name).decisions.values():
        acting = {reason.action.label for reason in decision.reasons} - {"note"}
        if decision.verdict in (Verdict.KEEP, Verdict.UNKNOWN):
            assert not acting
        else:
            assert decision.verdict.label in acting


def test_the_figures_file_tells_what_each_ewe_reared() -> None:
    of = result(CLEAN)
    told = {ewe["ewe"]: ewe["litter"] for ewe in json.loads(result_json(of))["ewes"]}
    key, litter = next((key, one) for key, one in of.rearing.litters.items() if one.kg is not None and key in of.rearing.across)
    against = of.rearing.against(key)
    assert against is not None
    assert {
        "kg": litter.kg, "reared": litter.reared, "expected": (litter.kg or 0.0) - (against.deviation or 0.0),
        "difference": against.deviation, "compared": against.words,
        "over_seasons": of.rearing.across[key].kg, "seasons": of.rearing.across[key].seasons,
    } == told[of.season.flock.ewes[key].name]
    assert None in told.values()


def test_the_figures_file_tells_how_each_lamb_stands() -> None:
    of = result(CLEAN)
    told = json.loads(result_json(of))["lambs"]
    assert len(of.rearing.lambs.lambs) == len(told) > 250
    compared = [one for one in told if one["difference"] is not None]
    assert {True} == {one["kg"] == pytest.approx(one["expected"] + one["difference"]) for one in compared}
    lamb = next(lamb for lamb in of.season.flock.lambs if lamb.tag == compared[0]["tag"])
    assert (lamb.record.text("ewe"), lamb.number, lamb.sex and lamb.sex.label) == (
        compared[0]["ewe"], compared[0]["lamb_no"], compared[0]["sex"])
    kg, weighed_on, lambed_on, *_ = compared[0]["cells"]
    assert ["Weights", "Weights", "Lambing"] == [cell.split("!")[0] for cell in (kg, weighed_on, lambed_on)]


def test_every_rule_is_told_what_its_cells_say() -> None:
    assert set(RULE) == set(SAYS) | {"never-lambed"}


# Rates of the demo against what is published: no proof, but a rule gone wild would show.


def share(name: str, *evidence: str) -> float:
    """Per cent of ewes looked at for which any of these was found; the first says who was looked at."""
    looked = [one.evidence for one in result(name).decisions.values() if one.evidence[evidence[0]] is not None]
    return 100 * sum(any(seen[id] for id in evidence) for seen in looked) / len(looked)


def test_ewes_with_lumps_or_a_hard_udder_are_as_many_as_published() -> None:
    # Masses in 4.7 % of pregnant and 10.9 % of lactating ewes, Grant, Smith and Green 2016, by a veterinary review. The demo
    # has about 175 ewes, so a true 4.7 % may show as 3 %.
    assert 3.0 <= share(CLEAN, "udder_lump_hard") <= 10.9


def test_culls_for_the_udder_are_at_most_what_a_first_year_of_looking_finds() -> None:
    # 8 to 10 % of ewes could be culled on the udder in the first year of looking: Agriculture Victoria, spring 2024.
    for_udder = {"udder-lump-or-hard", "side-dry-later", "mastitis"}
    culled = [one for one in result(CLEAN).decisions.values() if for_udder & {reason.rule for reason in one.reasons}]
    assert 4.0 <= 100 * len(culled) / len(result(CLEAN).decisions) <= 10.0


def test_prolapse_is_within_what_farms_report() -> None:
    # 0 to 5.9 % of ewes by farm: Jackson and others 2014, NZ Vet J.
    assert 0.0 < share(CLEAN, "prolapse_vaginal") <= 5.9


def test_ewes_that_leave_are_about_as_many_as_flocks_cull() -> None:
    # 14 to 18.3 % of ewes culled a year, American national study (NAHMS) at second hand; it counts age, which no rule here
    # does, so the demo may lie below. Ewes already culled this season count with those recommended.
    decided = result(CLEAN).decisions.values()
    gone = [ewe for ewe in result(CLEAN).season.flock.ewes.values() if ewe.gone and ewe.record]
    leave = sum(one.verdict in (Verdict.CULL, Verdict.DRAFT) for one in decided) + len(gone)
    assert 10.0 <= 100 * leave / (len(decided) + len(gone)) <= 18.3


def test_each_evidence_is_known_for_some_ewe_of_the_demo() -> None:
    known = {id for one in result(CLEAN).decisions.values() for id, value in one.evidence.items() if value is not None}
    assert known >= set(EVIDENCE_BY_ID) - {"prolapse_unnamed", "udder_or_teats"}
