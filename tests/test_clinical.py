"""One clinical reading over random seasons: a look changes only what rests on it, and nobody answers for another ewe's doing."""

from collections.abc import Mapping
from random import Random

import pytest
from edge_seasons import Rows, edge_season
from seasons import season

from template_builder.layout.choices import (
    Cause,
    CheckOccasion,
    Choice,
    ConfirmedBy,
    Feet,
    LambLeft,
    Mouth,
    Taken,
    Teats,
    Udder,
    WhyMoved,
)
from template_builder.layout.columns import Row, Value
from workbook.results.advice.decisions import Decision, decisions
from workbook.results.advice.evidence import evidence
from workbook.results.clinical import hers
from workbook.season.season import Season

SEEDS = range(60)

# The evidence that each part of a look may change.
RESTS_ON: Mapping[str, set[str]] = {
    "udder": {"udder_lump_hard", "udder_damaged", "mastitis"},
    "teats": {"teats_large", "teats_bad"},
    "mouth": {"gummer", "broken", "jaw", "thin"},
    "feet": {"badly_lame", "lame_treatments"},
    "condition": {"thin", "condition_at_mating"},
}
VALUES: Mapping[str, tuple[Value, ...]] = {
    "udder": tuple(Udder), "teats": tuple(Teats), "mouth": tuple(Mouth), "feet": tuple(Feet), "condition": (1.0, 1.5, 2.5, 4.0),
}


def decided(rows: Rows, at: Season) -> Mapping[str, Decision]:
    return decisions(season(at.as_of, **rows), "weaned")


@pytest.mark.parametrize("seed", SEEDS)
def test_changing_one_look_changes_only_what_rests_on_it(seed: int) -> None:
    random = Random(seed)
    rows, now = edge_season(seed)
    checks = rows.get("ewe_check", [])
    if not checks:
        checks = [{"ewe": rows["ewes"][0]["ewe"], "date": now.date(), "occasion": CheckOccasion.ANY_DAY}]
    at = random.randrange(len(checks))
    part = random.choice(list(VALUES))
    changed: Row = {**checks[at], part: random.choice(VALUES[part])}
    before = decided({**rows, "ewe_check": checks}, season(now))
    after = decided({**rows, "ewe_check": [*checks[:at], changed, *checks[at + 1:]]}, season(now))
    differ = {key for key in before if before[key].evidence != after[key].evidence}
    assert len(differ) <= 1
    for key in differ:
        assert {id for id, value in before[key].evidence.items() if value != after[key].evidence[id]} <= RESTS_ON[part]
    others = {key for key in before if before[key].verdict is not after[key].verdict}
    assert others <= differ


def blamed(rows: Rows, at: Season) -> list[tuple[str, str, int]]:
    """Ewe, what for, and the row of the lamb: by the records alone, in words of its own."""
    found = season(at.as_of, **rows)
    return [(ewe.key, what, lamb.record.row) for ewe in found.flock.ewes.values() for lamb in ewe.family if lamb.named
            for what, so in (("lost", hers.lost(ewe, lamb)), ("refused", hers.refused_by(lamb) == ewe.key)) if so]


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_is_blamed_for_a_lamb_she_did_not_have_at_her_side(seed: int) -> None:
    """Every lamb of the season starved, surely, or was refused: who answers for it was with it on that day."""
    random = Random(seed)
    rows, now = edge_season(seed)
    ends: tuple[Row, ...] = (
        {"left_how": LambLeft.DIED, "cause": Cause.STARVED, "confirmed_by": ConfirmedBy.VET}, {"taken": Taken.REFUSED},
        {"taken": Taken.REFUSED, "why_moved": random.choice([WhyMoved.SPARE, WhyMoved.REFUSED, WhyMoved.EWE_DIED])})
    rows["lambs"] = [{**row, **random.choice(ends)} for row in rows.get("lambs", [])]
    found = season(now, **rows)
    by_row = {lamb.record.row: lamb for lamb in found.flock.lambs if lamb.named}
    for key, what, row in blamed(rows, season(now)):
        lamb = by_row[row]
        if what == "lost":
            assert key == lamb.rearer, "the ewe that was rearing it"
        else:
            assert key == lamb.bearer, "its own mother"
            moved_by_choice = lamb.record["why_moved"] in (WhyMoved.SPARE, WhyMoved.EWE_DIED)
            assert not (lamb.set_on and moved_by_choice), "the foster ewe would not have it: nobody's fault"


@pytest.mark.parametrize("seed", SEEDS)
def test_every_number_a_decision_rests_on_points_at_cells_that_are_filled(seed: int) -> None:
    rows, now = edge_season(seed)
    found = season(now, **rows)
    for ewe in found.flock.ewes.values():
        for id, seen in evidence(found, ewe).items():
            if seen.value:
                assert seen.cells, (ewe.name, id)


def test_every_part_a_look_can_change_is_tried() -> None:
    assert set(VALUES) == set(RESTS_ON)
    assert all(isinstance(value, Choice | float) for values in VALUES.values() for value in values)
