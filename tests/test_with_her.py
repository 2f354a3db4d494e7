"""Lambs that came at foot of a ewe bought in: hers and bought, never born here and never set on."""

from datetime import date, datetime
from pathlib import Path

import pytest
from live_cells import differences, reckoned
from seasons import season

from template_builder.build import Plan, build
from template_builder.layout.choices import Belly, Born, CameFrom, EweLeft, LambLeft, RearedBy, Stage, WhyMoved
from template_builder.layout.columns import Row, Value
from template_builder.live_values import with_values
from workbook.results.clinical.hers import at_her_side
from workbook.results.litters.account import imbalances, litter_account
from workbook.results.litters.counts import assertions
from workbook.results.litters.ewe_facts import rears_none
from workbook.results.litters.lines import ALL
from workbook.rules import checks  # noqa: F401 - declares the rules
from workbook.rules.rule import REGISTRY, run
from workbook.season.groups import Groups
from workbook.season.season import Season

NOW = datetime(2026, 4, 20, 9, 0)
CAME = date(2026, 4, 2)


def lamb(number: int, **values: Value) -> Row:
    return {"ewe": "B1", "lamb_no": number, "tag": f"70{number}", "came_from": CameFrom.WITH_HER, **values}


def bought(*lambs: Row, ewe: Row | None = None, **rows: list[Row]) -> Season:
    """A ewe bought in with lambs at foot, and one that lambed here with room for another."""
    return season(
        NOW, ewes=[{"ewe": "B1", "group": "Hill", **(ewe or {})}, {"ewe": "0412", "scanned": 1, "group": "Hill"}],
        lambing=[{"ewe": "0412", "lambed_on": date(2026, 4, 1)}],
        lambs=[*lambs, {"ewe": "0412", "lamb_no": 1, "born": Born.ALIVE}], groups=[{"group": "Hill"}], **rows)


def lines(of: Season) -> dict[str, int]:
    account = litter_account(of)
    assert [] == imbalances(account)
    return {line: found[ALL] for line, found in account.lines.items() if found[ALL]}


def problems(of: Season) -> list[str]:
    return [f"{one.rule.id} {one.place} {one.found.text}" for one in run(of, REGISTRY.values())[0]]


HOME = {"scanned": 1, "born_scanned": 1, "born": 1, "born_alive": 1, "present": 1, "own_ewe": 1, "known": 1}


def test_they_are_bought_in_and_not_set_on() -> None:
    assert {**HOME, "bought_in": 2} == lines(bought(lamb(1), lamb(2)))


def test_they_are_at_her_side_and_nothing_complains() -> None:
    of = bought(lamb(1), lamb(2))
    ewe = of.flock.ewes["b1"]
    assert (["B1-1", "B1-2"], False) == ([one.name for one in at_her_side(ewe)], rears_none(ewe, Groups.of(of)))
    assert [] == problems(of)


def test_they_answer_to_her_number() -> None:
    found = bought(lamb(1), lamb(2)).flock.lamb_called("B1-2")
    assert found is not None and "702" == found.tag


def test_one_moved_on_to_another_ewe_is_set_on() -> None:
    of = bought(lamb(1), lamb(2, reared_by=RearedBy.FOSTER_EWE, foster_ewe="0412", moved_on=date(2026, 4, 5),
                             why_moved=WhyMoved.SPARE))
    assert {**HOME, "bought_in": 2, "set_on": 1, "set_on_bought": 1} == lines(of)
    assert [] == problems(of)


@pytest.mark.parametrize(("on", "booked"), [(1, 0), (2, 2), (3, 2)], ids=["the day before", "the day", "the day after"])
def test_a_count_expects_them_from_the_day_they_came(on: int, booked: int) -> None:
    counts: list[Row] = [{"date": date(2026, 4, on), "group": "Hill", "stage": Stage.TURNOUT, "lambs": booked + 1}]
    (count,) = assertions(bought(lamb(1, moved_on=CAME), lamb(2, moved_on=CAME), counts=counts))
    assert booked + 1 == count.check.expected


@pytest.mark.parametrize(("how", "words"), [(EweLeft.DIED, "died"), (EweLeft.SOLD, "was sold")])
@pytest.mark.parametrize("came_from", [CameFrom.WITH_HER, CameFrom.BORN_HERE])
def test_when_their_ewe_is_gone_somebody_is_asked_who_rears_them(how: EweLeft, words: str, came_from: CameFrom) -> None:
    ewe: Row = {"left_on": date(2026, 4, 10), "left_how": how}
    of = bought(lamb(1, came_from=came_from, born=Born.ALIVE), ewe=ewe)
    asked = f"C151 Ewes!Q4 ewe B1 {words} on 10 Apr 2026, but these lambs are still booked on her: B1-1"
    assert [asked] == [words for words in problems(of) if words.startswith("C151")]
    here = lines(of)
    assert 1 == here["own_ewe"]  # the one of the other ewe
    assert (1 if came_from is CameFrom.BORN_HERE else 0) == here.get("no_ewe", 0)


@pytest.mark.parametrize("answer", [
    {"reared_by": RearedBy.PET, "moved_on": date(2026, 4, 10), "why_moved": WhyMoved.EWE_LEFT},
    {"reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "0412", "moved_on": date(2026, 4, 10), "why_moved": WhyMoved.EWE_LEFT},
    {"reared_by": RearedBy.NO_EWE}, {"left_how": LambLeft.SOLD, "left_on": date(2026, 4, 10)},
], ids=["bottle", "another ewe", "no ewe", "sold with her"])
def test_every_answer_to_it_settles_it(answer: Row) -> None:
    of = bought(lamb(1, **answer), ewe={"left_on": date(2026, 4, 10), "left_how": EweLeft.SOLD})
    assert [] == problems(of)


def test_live_cells_say_the_same(tmp_path: Path) -> None:
    rows = bought(lamb(1, belly=Belly.HOLLOW), lamb(2, reared_by=RearedBy.FOSTER_EWE, foster_ewe="0412", moved_on=CAME)).records
    typed: dict[str, list[Row]] = {id: [dict(row.values) for row in of] for id, of in rows.items()}
    plan = with_values(Plan("Bought in", {**typed, "season": [{"row_key": "as_of", "value": NOW}]}), NOW)
    path = tmp_path / "season.xlsx"
    build(path, plan)
    assert [1, 2] == list(plan.live["ewes"]["at_side"])[:2]
    assert (0, 0, 1) == tuple(plan.live["lambs"][id][0] for id in ("set_on", "bearer", "rearer"))
    assert [] == differences(plan.live, reckoned(path, plan.rows))
